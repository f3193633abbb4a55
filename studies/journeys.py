"""How long three people take on their whole way, step by step: what the program takes of it, not the people.

`python studies/journeys.py [--site FOLDER] [--write docs/journeys.md]` walks each journey of `tests/journeys` three
times, on the built site in FOLDER (else it builds one), and prints the median of each step in seconds. Needs what the
tests of the site need.
"""

import argparse
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from statistics import median

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from tests.journeys import contributor, phone, tool_author  # noqa: E402
from tests.journeys.walking import walked  # noqa: E402
from tests.site.serving import build, serving  # noqa: E402
from tests.site.tools import browser  # noqa: E402

ROUNDS = 3
Taken = list[tuple[str, float]]

ABOUT = f"""\
# Three journeys

What the program takes of the way of three people, in seconds: the median of {ROUNDS} walks of each step on one machine,
made again with `python studies/journeys.py --write docs/journeys.md`. The steps are those of the tests in
`tests/journeys`; a finger here needs no time between two taps, and nothing is fetched. The times are of that machine:
compare them with each other and not with yours.
"""


def walks(site: Path, base: Path) -> Iterator[tuple[str, list[Taken]]]:
    """Title of each journey, and what its walks took."""
    yield "A builder on a phone", [_on_phone(site) for _ in range(ROUNDS)]
    yield "A tool author with the wheel and the README", _fresh(base / "tool", lambda at: _author(at, site))
    yield "A contributor with a text editor and a Windows clone", _fresh(base / "rows", _contributor)


def _on_phone(site: Path) -> Taken:
    with browser() as chromium, serving(site) as address, phone.phone(chromium, address) as at:
        return walked(phone.STEPS, at)


def _author(folder: Path, site: Path) -> Taken:
    return walked(tool_author.STEPS, tool_author.Author(folder, site / "v1"))


def _contributor(folder: Path) -> Taken:
    return walked(contributor.STEPS, contributor.Contributor(folder))


def _fresh(base: Path, walk: Callable[[Path], Taken]) -> list[Taken]:
    """Walks, each in a folder of its own."""
    folders = [base / str(n) for n in range(ROUNDS)]
    for folder in folders:
        folder.mkdir(parents=True)
    return [walk(folder) for folder in folders]


def text(title: str, taken: list[Taken]) -> str:
    """A journey's table."""
    medians = [(steps[0][0], median(seconds for _, seconds in steps)) for steps in zip(*taken, strict=True)]
    lines = [f"| {name} | {seconds:.1f} |" for name, seconds in medians]
    whole = f"| **all** | **{sum(seconds for _, seconds in medians):.1f}** |"
    return "\n".join([f"## {title}", "", "| step | s |", "| --- | --- |", *lines, whole, ""])


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--site", type=Path)
    asked.add_argument("--write", type=Path)
    given = asked.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        site = given.site or Path(folder) / "site"
        if not given.site:
            build(site)
        page = "\n".join([ABOUT, *(text(*found) for found in walks(site, Path(folder)))])
    print(page)
    if given.write:
        given.write.write_text(page, encoding="utf-8")


if __name__ == "__main__":
    main()
