"""Cost of building the site: how long, and how it grows with the number of engines, as ratios measured in one run.

`python studies/site_cost.py` builds the whole site, published form and all, of about a third, two thirds and all of
the engines and prints the times.
"""

import csv
import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from runningfits.tidy import tidy

ROOT = Path(__file__).resolve().parents[1]
ABOUT_ROWS = {"choices": ("row", "over"), "misprints": ("row",), "rereadings": ("row",), "renamed": ("old", "new")}


def some(data: Path, kept: list[str]) -> None:
    """Leave some engines in a copy of the data, with what is said about their rows."""
    _lines(data / "engines.csv", lambda r: r["engine"] in kept)
    for folder in (data / "engines").iterdir():
        if folder.name not in kept:
            shutil.rmtree(folder)
    for table, columns in ABOUT_ROWS.items():
        _lines(data / f"{table}.csv", lambda r, c=columns: all(r[k].partition("/")[0] in kept for k in c))
    others = [p for p in data.rglob("*.csv") if p.stem not in ("pages", "sources")]
    cited = {(r["source"], r["page"]) for p in others for r in _read(p) if "page" in r}
    _lines(data / "pages.csv", lambda r: (r["source"], r["page"]) in cited)
    known = {r["source"] for p in data.rglob("*.csv") if p.stem != "sources" for r in _read(p) if "source" in r}
    _lines(data / "sources.csv", lambda r: r["source"] in known)
    tidy(data)


def _read(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _lines(path: Path, wanted: object) -> None:
    rows = _read(path)
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]) if rows else ["old", "new", "why", "date"], lineterminator="\n")
        writer.writeheader()
        writer.writerows(r for r in rows if wanted(r))  # type: ignore[operator]


def built(data: Path, base: Path) -> tuple[float, int]:
    """Seconds of a build, and how many pages it made."""
    command = [sys.executable, "-m", "mkdocs", "build", "-q", "-f", str(ROOT / "docs" / "mkdocs.yml"), "-d"]
    more = {"RUNNINGFITS_DATA": str(data)}
    start = time.perf_counter()
    subprocess.run([*command, str(base / "site")], env=os.environ | more, check=True, capture_output=True)
    return time.perf_counter() - start, len(list((base / "site").rglob("*.html")))


def whole(kept: list[str]) -> list[str]:
    """Engines with those that share a document with them: the rules judge a document by all of its rows."""
    sources = {
        p.name: {r["source"] for file in p.glob("*.csv") for r in _read(file) if r.get("source")}
        for p in (ROOT / "data" / "engines").iterdir()
    }
    found = set(kept)
    while more := {e for e in sources if e not in found and any(sources[e] & sources[k] for k in found)}:
        found |= more
    return sorted(found)


def main() -> None:
    """Print a line a size, then the ratios."""
    engines = sorted(p.name for p in (ROOT / "data" / "engines").iterdir())
    times = []
    for third in (1, 2, 3):
        kept = whole(engines[: len(engines) * third // 3])
        with tempfile.TemporaryDirectory() as folder:
            data = Path(folder) / "data"
            shutil.copytree(ROOT / "data", data)
            if third < 3:
                some(data, kept)
            seconds, pages = built(data, Path(folder))
        times.append((len(kept), seconds, pages))
        print(f"{len(kept)} engines: {pages} pages in {seconds:.1f} s")
    (n1, t1, p1), (n3, t3, p3) = times[0], times[-1]
    print(f"{n3 / n1:.1f} times the engines, {p3 / p1:.1f} times the pages: {t3 / t1:.1f} times as long")


if __name__ == "__main__":
    main()
