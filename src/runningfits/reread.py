"""A second, blind reading of pages compared with the rows of a dataset."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from . import numerals, tables
from .auditing.form import Fault, Sheet, read, schema
from .auditing.load import load_whole
from .dataset import Dataset
from .places import folder
from .rows import Row

NUMBERS = (*tables.PRINTED, *(f"{n}_2" for n in tables.PRINTED))
COMPARED = (*NUMBERS, "unit", "unit_2")
SAME_PLACE = ("position", "which", "applies", "size", "class", "at", "purpose", "thread", "step", "action")
"""Columns by which the row of the dataset that a reading is of is picked, after page and item."""


@dataclass(frozen=True)
class Reading:
    """A line of a second reading: its file and line, the item, and the cells."""

    file: str
    line: int
    cells: dict[str, str]

    @property
    def item(self) -> str:
        """The quantity or joint."""
        return self.cells["joint" if "joint" in self.cells else "quantity"]

    @property
    def place(self) -> str:
        """File and line."""
        return f"{self.file}:{self.line}"


@dataclass(frozen=True)
class Difference:
    """A cell that the two readings give differently, and the kind of slip that would explain it."""

    column: str
    first: str
    second: str
    kind: str


@dataclass(frozen=True)
class Compared:
    """A row of the dataset, its second reading, and what differs; one of the two is None where only one has it."""

    row: Row | None
    reading: Reading | None
    differences: tuple[Difference, ...] = ()

    @property
    def agrees(self) -> bool:
        """Whether both readings have the row and give it alike."""
        return bool(self.row and self.reading and not self.differences)


HARMLESS = ("line-end", "byte-order-mark", "last-line")
"""Faults of form that a spreadsheet makes and that change no cell."""


def compared_files(files: Iterable[Path], folder_: Path) -> tuple[list[Compared], list[tuple[str, Fault]]]:
    """Second readings compared with a data folder, and the faults of the files; with faults nothing is compared.

    Raises UnusableError when the folder is no dataset or its form is faulty, OSError when a file cannot be read.
    """
    load_whole(folder_)
    data = Dataset(folder_)
    readings: list[Reading] = []
    faults: list[tuple[str, Fault]] = []
    for path in files:
        sheet = second_reading(path)
        faults += [(str(path), f) for f in sheet.faults if f.kind not in HARMLESS]
        faults += [(str(path), f) for f in unknown_pages(data, sheet.rows)]
        readings += [Reading(path.name, line, cells) for line, cells in sheet.rows]
    return ([] if faults else compare(data, readings)), faults


def second_reading(path: Path) -> Sheet:
    """Rows and faults of a second reading: the columns of torques.csv, or those of sizes.csv and clearances.csv.

    Raises OSError when the file cannot be read.
    """
    with path.open("rb") as file:
        start = file.readline(10_000).decode("utf-8", "replace").lstrip("\ufeff")
    table = "torques" if start.startswith("joint,") else "clearances"
    return read(path, schema(folder("schema"), table))


def unknown_pages(data: Dataset, rows: Iterable[tuple[int, dict[str, str]]]) -> Iterator[Fault]:
    """Faults for the pages of a reading that the dataset does not cite, each page once."""
    known = {(p["source"], p["page"]) for p in data.table("pages")}
    for line, cells in rows:
        page = (cells["source"], cells["page"])
        if page not in known:
            known.add(page)
            shown = f"{numerals.shown(cells['source'])}, {numerals.shown(cells['page'])}"
            yield Fault("unknown-page", line, "page", shown, "a source and page of pages.csv")


def compare(data: Dataset, readings: list[Reading]) -> list[Compared]:
    """Every row on the pages that were read again, with its second reading, then the lines that no row has.

    Torques are compared where the readings have torques, sizes and clearances where they have either.
    """
    torques = {"joint" in r.cells for r in readings}
    wanted = [t for t in (*tables.LIMITS, "torques") if (t == "torques") in torques]
    pages = {(r.cells["source"], r.cells["page"]) for r in readings}
    rows = [r for e in sorted(data.engines) for t in wanted for r in data.all_rows(e, t)]
    rows = [r for r in rows if (r["source"], r["page"]) in pages]
    pairs = _pairs(rows, readings)
    used = list(pairs.values())
    found = [_compared(r, pairs.get(r.id)) for r in rows]
    return found + [Compared(None, r) for r in readings if r not in used]


def _pairs(rows: list[Row], readings: list[Reading]) -> dict[str, Reading]:
    """The reading of each row by its id: those most alike first, each reading once."""
    scored = [
        (_likeness(row, r.cells), -n, row.id, r)
        for row in rows
        for n, r in enumerate(readings)
        if row.item == r.item and all(row[c] == r.cells[c] for c in ("source", "page"))
    ]
    pairs: dict[str, Reading] = {}
    used: set[int] = set()
    for _, n, name, reading in sorted(scored, key=lambda s: s[:3], reverse=True):
        if name not in pairs and n not in used:
            pairs[name] = reading
            used.add(n)
    return pairs


def _likeness(row: Row, cells: dict[str, str]) -> tuple[int, int]:
    """How alike a row and a reading are: a cell of the place counts as two numbers."""
    numbers = sum(row[c] == cells[c] for c in _compared_columns(cells) if row[c] or cells[c])
    place = sum(row[c] == cells[c] for c in SAME_PLACE if c in cells)
    return numbers + 2 * place, numbers


def _compared_columns(cells: dict[str, str]) -> list[str]:
    return [c for c in COMPARED if c in cells]


def _compared(row: Row, reading: Reading | None) -> Compared:
    if reading is None:
        return Compared(row, None)
    cells = reading.cells
    columns = [c for c in (*_compared_columns(cells), "position") if row[c] != cells[c]]
    if not any(row[f"{n}_2"] or cells[f"{n}_2"] for n in tables.PRINTED if f"{n}_2" in cells):
        columns = [c for c in columns if c != "unit_2"]
    return Compared(row, reading, tuple(Difference(c, row[c], cells[c], kind(row.cells, cells, c)) for c in columns))


def kind(first: dict[str, str], second: dict[str, str], column: str) -> str:
    """The kind of slip that explains a cell that two readings give differently.

    >>> empty = dict.fromkeys(COMPARED, "")
    >>> kind(empty | {"upper": "0.0035"}, empty | {"upper": "0.0053"}, "upper")
    'digits exchanged'
    """
    a, b = first[column], second[column]
    if column not in NUMBERS:
        return "place" if column == "position" else "unit"
    if not a or not b:
        return _one_sided(first, second, column)
    if a.lstrip("-") == b.lstrip("-"):
        return "sign"
    if len(a) == len(b):
        return _same_length(a, b)
    if _digits(a) == _digits(b):
        return "decimal point"
    longer, shorter = sorted((a, b), key=len, reverse=True)
    dropped = any(longer[:i] + longer[i + 1 :] == shorter for i in range(len(longer)))
    return "digit lost" if dropped else "another number"


def _one_sided(first: dict[str, str], second: dict[str, str], column: str) -> str:
    """Why one reading has no number in a cell: it stands in another column, or was passed over."""
    value, without, has = (first[column], second, first) if first[column] else (second[column], first, second)
    moved = any(without.get(c) == value != has.get(c) for c in NUMBERS if c != column)
    return "another column" if moved else "passed over"


def _same_length(a: str, b: str) -> str:
    differing = [i for i, (x, y) in enumerate(zip(a, b, strict=True)) if x != y]
    if len(differing) == 1:
        return "one digit"
    i, j = differing[0], differing[-1]
    if len(differing) == 2 and j == i + 1 and a[i] == b[j] and a[j] == b[i]:
        return "decimal point" if "." in a[i : j + 1] else "digits exchanged"
    return "decimal point" if _digits(a) == _digits(b) else "another number"


def _digits(text: str) -> str:
    return text.replace(".", "").lstrip("-0")


def report(compared: list[Compared]) -> str:
    """The comparison in words, a row a line, and a summary."""
    differing = [c for c in compared if c.differences]
    first = sum(c.reading is None for c in compared)
    second = sum(c.row is None for c in compared)
    wrong = sum(d.column in NUMBERS for c in differing for d in c.differences)
    summary = (
        f"{sum(c.agrees for c in compared)} rows agree, {len(differing)} differ, {first} only in the dataset, "
        f"{second} only in the second reading; {numbers_compared(compared)} numbers compared, {wrong} differ"
    )
    return "\n".join([*(line for c in compared for line in _lines(c)), summary])


def as_dict(compared: list[Compared]) -> dict[str, Any]:
    """The comparison as JSON values: what differs, what one reading alone has, and the counts."""
    differing = [_values(c) for c in compared if not c.agrees]
    return {
        "agree": sum(c.agrees for c in compared),
        "numbers_compared": numbers_compared(compared),
        "differing": differing,
    }


def _values(c: Compared) -> dict[str, Any]:
    read = c.reading and {"file": c.reading.file, "line": c.reading.line, "item": c.reading.item}
    differences = [{k: getattr(d, k) for k in ("column", "first", "second", "kind")} for d in c.differences]
    return {"row": c.row and c.row.id, "reading": read, "differences": differences}


def numbers_compared(compared: list[Compared]) -> int:
    """How many number cells either reading fills in the rows that both have."""
    both = [(c.row, c.reading) for c in compared if c.row and c.reading]
    return sum(bool(row.cells.get(n) or reading.cells.get(n)) for row, reading in both for n in NUMBERS)


def _lines(c: Compared) -> Iterator[str]:
    if c.row and c.reading is None:
        yield f"only in the dataset: {c.row.id}"
    elif c.reading and c.row is None:
        cells = c.reading.cells
        numbers = ", ".join(f"{n} {cells[n]}" for n in COMPARED if cells.get(n))
        yield f"only in {c.reading.place}: {c.reading.item}, {cells['position']}: {numbers}"
    elif c.row and c.reading:
        yield f"{'agrees' if c.agrees else 'differs'}: {c.row.id}"
        for d in c.differences:
            first, second = d.first or "nothing", d.second or "nothing"
            yield f"    {d.column}: {first} in the dataset, {second} in {c.reading.place} ({d.kind})"
