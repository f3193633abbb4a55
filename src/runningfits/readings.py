"""How well pages are read: what two blind readings of the same pages differed in.

`python -m runningfits.readings [DIR]` prints `docs/readings.md` for a data folder.
"""

import sys
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

from . import tables
from .dataset import Dataset
from .reread import NUMBERS
from .rows import Row

PREFACE = """# How well the pages were read

A reader copies a page; a second one, who has not seen the rows, copies the same page; `runningfits reread` compares
them cell by cell, and what differs is settled on the page (`data/rereadings.csv`). Counted are numbers in cells: those
of rows that were read twice, and of these the cells in which the two readings differed. A reading is wrong in a cell
when the page settled it otherwise. Made anew by `python -m runningfits.readings > docs/readings.md`; a test holds it to
the data.
"""

CAVEATS = """Both readers used the same stored text of a page: a fault of that text, or one that both made alike, does
not show. Such faults are what the rules look for (`docs/rules-study.md`), and what the page itself prints wrong is in
`data/misprints.csv`. Most differences are no misreading of a digit but a choice of column: a lone number as a single
value, an upper end or a limit. Numbers that a reader left out since the text was poor count as passed over. A row in
which two readings differ and whose page has not settled it yet stays read once; its numbers are not counted here.
"""


def page(data: Dataset) -> str:
    """The page as Markdown."""
    rows = list(_rows(data))
    twice = [r for r in rows if r["reading"] == "twice"]
    numbers = sum(bool(r.cells.get(n)) for r in twice for n in NUMBERS)
    settled = data.table("rereadings")
    lines = [PREFACE, _shares(rows, twice), "", *_kinds(settled, numbers), "", CAVEATS]
    return "\n".join(lines)


def _rows(data: Dataset) -> Iterable[Row]:
    for engine in sorted(data.engines):
        for table in (*tables.LIMITS, "torques"):
            yield from data.all_rows(engine, table)


def _shares(rows: list[Row], twice: list[Row]) -> str:
    memory = sum(r["reading"] == "memory" for r in rows)
    share = 100 * len(twice) / len(rows)
    return f"{len(rows)} ranges and tightening steps: {len(twice)} read twice ({share:.1f} %), {memory} from memory."


def _kinds(settled: list[dict[str, str]], numbers: int) -> list[str]:
    """A line a kind of difference: how many, how many of each reading wrong, and the first's rate per thousand."""
    differ = Counter(r["kind"] for r in settled)
    first = Counter(r["kind"] for r in settled if r["first"] != r["settled"])
    second = Counter(r["kind"] for r in settled if r["second"] != r["settled"])
    lines = [
        "| kind of difference | cells | first reading wrong | per thousand | second reading wrong | per thousand |",
        "| --- | ---: | ---: | ---: | ---: | ---: |",
    ]
    for kind in sorted(differ, key=lambda k: (-differ[k], k)):
        lines.append(_line(kind, differ[kind], first[kind], second[kind], numbers))
    lines.append(_line("all", differ.total(), first.total(), second.total(), numbers))
    return [*lines, "", f"{numbers} numbers were compared."]


def _line(kind: str, differ: int, first: int, second: int, numbers: int) -> str:
    rates = [f"{1000 * n / numbers:.2f}" if numbers else "" for n in (first, second)]
    return f"| {kind} | {differ} | {first} | {rates[0]} | {second} | {rates[1]} |"


def main(argv: list[str]) -> None:
    """Print the page for a data folder."""
    sys.stdout.write(page(Dataset(Path(argv[0]) if argv else None)))


if __name__ == "__main__":
    main(sys.argv[1:])
