"""What an apprentice answered to a drill, read from its table and marked by the key."""

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from ...near import Words
from ...numerals import shown
from ...sheets.faults import SheetError, SheetFault
from ...tables import MOST_CELL
from .exercise import Answer, Task
from .inventing import CALLS

COLUMNS = ("No.", "Fit", "Place", "Readings", "Book", "Page", "Call", "Read again")
"""Columns of a drill's table; the last two are the apprentice's."""

GIVEN = COLUMNS[:4]
"""Columns by which a line is known as this drill's."""

MOST_BYTES = 500_000

ALSO = {"good": ("in", "inside", "ok"), "cannot tell": ("can't tell", "cannot say")}
"""Calls as people write them too."""

SAYS = Words({c: (c, *ALSO.get(c, ())) for c in CALLS})
AGAIN = Words({"yes": ("yes", "y", "x", "read again"), "no": ("no", "n")})


@dataclass(frozen=True)
class Mark:
    """An answer beside what a good apprentice says; `said` is None where nothing was answered."""

    task: Task
    said: Answer | None
    right: bool


def marked(tasks: Sequence[Task], said: Sequence[Answer | None]) -> list[Mark]:
    """Answers marked. Where a reading must be taken again that alone counts: no call on it is worth anything."""
    return [Mark(t, s, s is not None and _is_right(t.answer, s)) for t, s in zip(tasks, said, strict=True)]


def _is_right(wanted: Answer, said: Answer) -> bool:
    return said.again if wanted.again else said == wanted


def answers(path: Path, asked: Sequence[Sequence[str]]) -> list[Answer | None]:
    """The answers in a filled table, one for each line asked; raises SheetError with every fault that was found.

    `asked` are the cells of COLUMNS of this drill, by which a table of another one is told.
    """
    lines = list(_lines(path))
    if len(lines) != len(asked):
        raise SheetError([SheetFault(path.name, f"{len(lines)} lines", f"the {len(asked)} lines of this drill")])
    faults: list[SheetFault] = []
    found = [_answer(path.name, *line, own, faults) for line, own in zip(lines, asked, strict=True)]
    if faults:
        raise SheetError(faults)
    return found


def _lines(path: Path) -> Iterator[tuple[int, dict[str, str]]]:
    """Lines of the table with their number in the file; commas, semicolons or tabs part the cells."""
    try:
        if path.stat().st_size > MOST_BYTES:
            raise SheetError([SheetFault(path.name, "a file too large", "the table of a drill")])
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise SheetError([SheetFault(str(path), str(error.strerror), "the filled table of a drill")]) from error
    except UnicodeDecodeError as error:
        raise SheetError([SheetFault(path.name, f"byte 0x{error.object[error.start]:02x}", "UTF-8 text")]) from error
    first, *_ = lines = text.splitlines() or [""]
    if max(map(len, lines)) > MOST_CELL:
        raise SheetError([SheetFault(path.name, f"field larger than field limit ({MOST_CELL})", "a CSV table")])
    reader = csv.DictReader(lines, delimiter=max(",;\t", key=first.count))
    try:
        if missing := [c for c in COLUMNS if c not in (reader.fieldnames or ())]:
            raise SheetError([SheetFault(f"{path.name}:1", f"no column {', '.join(missing)}", "the table of a drill")])
        for record in reader:
            yield reader.line_num, {c: (record[c] or "").strip() for c in COLUMNS}
    except csv.Error as error:
        raise SheetError([SheetFault(f"{path.name}:{reader.line_num}", str(error), "a CSV table")]) from error


def _answer(
    name: str, number: int, cells: dict[str, str], own: Sequence[str], faults: list[SheetFault]
) -> Answer | None:
    for column, wanted in zip(GIVEN, own, strict=False):
        if cells[column] != wanted:
            expected = f"{wanted}, as this drill has it: is it of another seed, build or version of the data?"
            faults.append(SheetFault(f"{name}:{number}:{column}", shown(cells[column]), expected))
    if not cells["Call"] and not cells["Read again"]:
        return None
    call = _meant(SAYS, cells["Call"], f"{name}:{number}:Call", faults) if cells["Call"] else ""
    again = _meant(AGAIN, cells["Read again"] or "no", f"{name}:{number}:Read again", faults)
    return Answer(call, again == "yes")


def _meant(words: Words, text: str, where: str, faults: list[SheetFault]) -> str:
    found = words.meant(text)
    if not found:
        faults.append(SheetFault(where, shown(text), words.expected(text)))
    return found or ""
