"""Bench sheets as XLSX workbooks: a worksheet for the readings, one for the other grids, one that helps."""

import io
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..files import write_whole
from ..numerals import shown
from . import book_helps, book_pages, grids
from .faults import SheetError, SheetFault
from .grids import Cell, Row
from .package import repacked

if TYPE_CHECKING:
    from openpyxl.worksheet.worksheet import Worksheet

MOST_ROWS = 12_000
MOST_COLUMNS = 100
HEADING_ROWS = 20


def read(raw: bytes, name: str) -> tuple[dict[str, Any], grids.Paths]:
    """Sheet and the cell of each value by its path, from a workbook's bytes.

    Raises SheetError for a file that is no workbook, macros, formulas, merged cells, dates, unknown columns.
    """
    sheets = _worksheets(repacked(raw, name), name)
    told = {t: s for t, s in sheets.items() if t in grids.TITLES}
    if faults := [SheetFault(f"{name}:{place}", *words) for t, s in told.items() for place, *words in _shapes(t, s)]:
        raise SheetError(faults)
    found: dict[str, list[Row]] = {}
    for title, place, rows in (s for t, sheet in told.items() for s in grids.sections(t, _rows(sheet))):
        if title in found:
            raise SheetError([SheetFault(f"{name}:{place}", f"the grid {title} again", "each grid once")])
        found[title] = rows
    grids.missing(found, name, "worksheet")
    others = [s for t, s in sheets.items() if t not in told]
    if faults := [SheetFault(f"{name}:{place}", *words) for s in others for place, *words in _strays(s)]:
        raise SheetError(faults)
    return grids.values(found, name)


def _shapes(title: str, sheet: "Worksheet") -> Iterator[tuple[str, str, str]]:
    """Place, what was found and what was expected of a worksheet that is no plain table."""
    if merged := sorted(r.coord for r in sheet.merged_cells.ranges):
        yield f"{title}!{merged[0]}", "merged cells", "one value a cell"
    elif (sheet.max_row or 0) > MOST_ROWS:
        yield title, f"{sheet.max_row} rows", f"at most {MOST_ROWS}"
    elif (sheet.max_column or 0) > MOST_COLUMNS:
        yield title, f"{sheet.max_column} columns", f"at most {MOST_COLUMNS}"


def _strays(sheet: "Worksheet") -> Iterator[tuple[str, str, str]]:
    """Place, what was found and what was expected of a worksheet that is not read and holds lines of a grid."""
    for row in _rows(sheet, HEADING_ROWS):
        headings = {str(c.value).strip().lower(): c.line for c in row if c}
        for title, key in (("readings", "item"), ("torques", "joint")):
            if {key, "value"} <= set(headings):
                yield headings[key], f"{title} on a worksheet {shown(sheet.title)}", f"them on the worksheet {title}"


def _rows(sheet: "Worksheet", most: int = MOST_ROWS) -> Iterator[Row]:
    """Rows down to the last, or so many; a worksheet's edge may lie where no cell is."""
    ends = min(sheet.max_row or 0, most), min(sheet.max_column or 0, MOST_COLUMNS)
    for row in sheet.iter_rows(max_row=ends[0], max_col=ends[1]) if all(ends) else ():
        yield [_cell(c, sheet.title) for c in row]


def _cell(cell: Any, title: str) -> Cell | None:
    value = cell.value
    if value is None or value == "":
        return None
    place, line = f"{title}!{cell.coordinate}", f"{title}!{cell.row}"
    if cell.data_type == "f" or (isinstance(value, str) and value.startswith("=")):
        return Cell(getattr(value, "text", value), place, line, "a formula")
    return Cell(value, place, line, "an error value" if cell.data_type == "e" else "")


def _worksheets(raw: bytes, name: str) -> "dict[str, Worksheet]":
    """Worksheets by title, without those of charts; what openpyxl leaves out of a workbook does not matter here."""
    import openpyxl

    try:
        with warnings.catch_warnings(action="ignore"):
            book = openpyxl.load_workbook(io.BytesIO(raw))
    except Exception as error:
        found = f"a workbook that does not open ({type(error).__name__})"
        raise SheetError([SheetFault(name, found, "an XLSX file")]) from error
    return {sheet.title: sheet for sheet in book.worksheets}


def write(sheet: dict[str, Any], path: Path, fields: dict[str, list[str]]) -> None:
    """Write a sheet as a workbook; `fields` lists the columns of each table, and of `sheet` itself."""
    import openpyxl

    book = openpyxl.Workbook()
    for given in book.worksheets:
        book.remove(given)
    own, readings = book.create_sheet("sheet"), book.create_sheet(book_pages.READINGS)
    lines, columns = grids.folded(sheet.get("readings", ())), book_pages.ordered(fields)
    spans = {
        title: book_pages.put(readings if title == readings.title else own, title, rows)
        for title, rows in grids.rows(sheet | {"readings": lines}, columns)
    }
    book_pages.lay_out(book, columns, lines)
    book_helps.add(book, spans)
    packed = io.BytesIO()
    book.save(packed)
    write_whole(path, packed.getvalue())
