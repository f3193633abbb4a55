"""The whole site: pages, scripts and prints as files that any generator can take; the published form beside them.

`python -m runningfits.site.every_page FOLDER` writes the files: Markdown with HTML, scripts, prints, assets.
"""

import shutil
import sys
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path

from .. import readings
from ..auditing import rule_pages as rules
from ..dataset import Dataset
from . import (
    api,
    bench_page,
    columns,
    deciding,
    downloads,
    engines,
    home,
    prints,
    quantities,
    records,
    searching,
    wanted,
)

HAND = {
    "judging.md": "judging.md",
    "rules-study.md": "rules-study.md",
    "judging-study.md": "judging-study.md",
    "decisions/README.md": "decisions.md",
}
"""Pages of the docs folder that the site shows, by the name that they have there."""


def write(folder: Path, data: Dataset, docs: Path, last: str = "") -> list[str]:
    """Site paths of all pages, scripts, prints and assets, written into a folder; `docs` has the hand-written ones."""
    hand = docs / "site"
    shutil.copytree(hand, folder, dirs_exist_ok=True)
    written = {p.relative_to(hand).as_posix(): p.read_text(encoding="utf-8") for p in hand.rglob("*.md")}
    for name, text in generated(data, written, docs, last).items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return sorted(p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file())


def generated(data: Dataset, written: Mapping[str, str], docs: Path, last: str = "") -> dict[str, str]:
    """Every page and script that is made, by site path; `written` are the hand-written pages, `docs` their folder."""
    return dict(_generated(data, written, docs, Path(last) if last else None))


def _generated(data: Dataset, written: Mapping[str, str], docs: Path, last: Path | None) -> Iterator[tuple[str, str]]:
    for module in (home, engines, quantities, columns, prints, bench_page, wanted):
        yield from module.pages(data).items()
    yield from records.pages(data, last).items()
    yield from api.pages().items()
    yield from downloads.pages(data, docs / "site" / "examples").items()
    yield from bench_page.scripts(data).items()
    yield from searching.pages(data).items()
    yield "readings.md", readings.page(data)
    yield from ((f"rules/{name}", text) for name, text in rules.pages().items())
    yield from ((name, (docs / path).read_text(encoding="utf-8")) for path, name in HAND.items())
    yield from ((name, deciding.expand(text, data)) for name, text in written.items() if "<!-- deciding:" in text)


def published(site: Path, data: str, last: str) -> None:
    """Write the published form into the built site: `v1`, and the folder of the data's version beside it."""
    from ..places import folder
    from ..publishing.publish import publish

    with tempfile.TemporaryDirectory() as base:
        target = Path(base) / "form"
        publish(Path(data) if data else folder("data"), target, Path(last) if last else None)
        shutil.copytree(target, site, dirs_exist_ok=True)


if __name__ == "__main__":
    from ..places import folder as part

    write(Path(sys.argv[1]), Dataset(), part("docs"))
