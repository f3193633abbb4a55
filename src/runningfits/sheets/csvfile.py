"""Bench sheets as CSV text: the grids of a workbook one after the other, each under a line with its title."""

import csv
import io
from collections.abc import Iterable
from typing import Any

from ..numerals import shown
from . import grids
from .faults import SheetError, SheetFault
from .grids import Cell, Row

SEPARATORS = ",;\t"
"""What stands between cells: a spreadsheet writes semicolons where the comma is the decimal one."""

MOST_ROWS = 12_000


def read(text: str, name: str) -> tuple[dict[str, Any], grids.Paths]:
    """Sheet and the line and column of each value by its path; raises SheetError."""
    found: dict[str, list[Row]] = {}
    rows: list[Row] | None = None
    header: list[str] = []
    for line, cells in _lines(text, name):
        title = cells[0].strip().lower()
        if title in grids.TITLES and not any(map(str.strip, cells[1:])):
            if title in found:
                raise SheetError([SheetFault(f"{name}:{line}", f"the section {title} again", "each section once")])
            rows, header = found.setdefault(title, []), []
        elif rows is None:
            expected = f"a line with the title of a section, one of {', '.join(grids.TITLES)}"
            raise SheetError([SheetFault(f"{name}:{line}", shown(cells[0]), expected)])
        elif any(map(str.strip, cells)):
            header = header or cells
            rows.append([_cell(c, line, n, header) for n, c in enumerate(cells)])
    grids.missing(found, name, "section")
    return grids.values(found, name)


def _lines(text: str, name: str) -> Iterable[tuple[int, list[str]]]:
    """Line number and cells of each row that is not blank."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_separator(text), strict=True)
    line, found = 1, []
    try:
        for cells in reader:
            if cells:
                found.append((line, cells))
            if len(found) > MOST_ROWS:
                raise SheetError([SheetFault(name, f"more than {MOST_ROWS} rows", f"at most {MOST_ROWS}")])
            line = reader.line_num + 1
    except csv.Error as error:
        raise SheetError([SheetFault(f"{name}:{line}", str(error), "CSV with closed quotes")]) from error
    return found


def _separator(text: str) -> str:
    """The first separator of the first line that has one."""
    return next((c for c in text[:10_000] if c in SEPARATORS), ",")


def _cell(text: str, line: int, number: int, header: list[str]) -> Cell | None:
    column = header[number].strip() if number < len(header) else ""
    return (
        Cell(text, f"{line}:{column or number + 1}", f"{line}", "a formula" if text.startswith("=") else "")
        if text.strip()
        else None
    )


def write(sheet: dict[str, Any], fields: dict[str, list[str]]) -> str:
    """A sheet as CSV text; `fields` lists the columns of each table, and of `sheet` itself."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for title, rows in grids.rows(sheet, fields):
        writer.writerows([[title], *rows, []])
    return out.getvalue()
