"""Bench sheets as XLSX workbooks: one worksheet for the sheet's own fields, one a table."""

import datetime
import io
import warnings
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ..files import write_whole
from ..numerals import plain, shown
from . import build_table
from .faults import SheetError, SheetFault
from .package import repacked

if TYPE_CHECKING:
    from openpyxl.cell.cell import Cell
    from openpyxl.worksheet.worksheet import Worksheet

TABLES = ("instruments", "readings", "torques", "parts")
BUILD = "build"
MATERIALS, MATERIAL_OF = "materials", "material of "
"""The field of the materials, which is a line for each size on the first worksheet."""

WHOLE = ("step", "order")
MOST_ROWS = 12_000
MOST_COLUMNS = 100


def read(path: Path, name: str) -> tuple[dict[str, Any], dict[tuple[str | int, ...], str]]:
    """Sheet and the cell of each value by its path.

    Raises SheetError for a file that is no workbook, macros, formulas, merged cells, dates, unknown columns.
    """
    sheets = _worksheets(repacked(path.read_bytes(), name), name)
    faults: list[SheetFault] = []
    if missing := [t for t in ("sheet", *TABLES[:2]) if t not in sheets]:
        raise SheetError(
            [
                SheetFault(
                    name,
                    f"no worksheet {', '.join(missing)}",
                    "worksheets sheet, build, instruments, readings, torques",
                )
            ]
        )
    found: dict[str, Any] = {}
    cells: dict[tuple[str | int, ...], str] = {}
    for title, sheet in sheets.items():
        if title not in ("sheet", BUILD, *TABLES):
            continue
        where = f"{name}:{title}"
        if merged := sorted(r.coord for r in sheet.merged_cells.ranges):
            faults.append(SheetFault(f"{where}!{merged[0]}", "merged cells", "one value a cell"))
            continue
        if (sheet.max_row or 0) > MOST_ROWS:
            faults.append(SheetFault(where, f"{sheet.max_row} rows", f"at most {MOST_ROWS}"))
            continue
        if (sheet.max_column or 0) > MOST_COLUMNS:
            faults.append(SheetFault(where, f"{sheet.max_column} columns", f"at most {MOST_COLUMNS}"))
            continue
        if title == "sheet":
            for key, cell in _fields(sheet, where, faults):
                of = [MATERIALS, key.removeprefix(MATERIAL_OF)] if key.startswith(MATERIAL_OF) else [key]
                into = found.setdefault(MATERIALS, {}) if len(of) > 1 else found
                into[of[-1]] = _text(cell, where, faults)
                cells[tuple(of)] = f"{title}!{cell.coordinate}"
        else:
            found[title] = list(_records(sheet, title, where, faults, cells))
    if BUILD in found:
        found[BUILD] = build_table.build(found[BUILD], cells)
    found = {k: v for k, v in found.items() if v or k not in (BUILD, "parts")}
    if faults:
        raise SheetError(faults)
    return found, cells


HEADINGS = {"mpe": "limit of error", "mpe_percent": "limit of error in percent"}


def heading(field: str) -> str:
    """A field's name for people."""
    return HEADINGS.get(field, field.replace("_", " "))


def _field(text: str) -> str:
    """The field that a heading stands for."""
    plain = text.strip()
    if plain.lower().startswith(MATERIAL_OF):
        return MATERIAL_OF + plain[len(MATERIAL_OF) :]
    return next((f for f, words in HEADINGS.items() if words == plain.lower()), plain.replace(" ", "_"))


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


def _fields(sheet: "Worksheet", where: str, faults: list[SheetFault]) -> Iterator[tuple[str, "Cell"]]:
    seen: set[str] = set()
    for key, value, *_ in sheet.iter_rows(min_row=2, max_col=2):
        if value.value in (None, "") or key.value in (None, ""):
            continue
        field = _field(str(key.value))
        if field in seen:
            faults.append(SheetFault(f"{where}!{key.coordinate}", f'"{key.value}" again', "each field once"))
        seen.add(field)
        yield field, value


def _records(
    sheet: "Worksheet",
    title: str,
    where: str,
    faults: list[SheetFault],
    cells: dict[tuple[str | int, ...], str],
) -> Iterator[dict[str, Any]]:
    rows = sheet.iter_rows()
    header = [_field(str(c.value)) if c.value not in (None, "") else "" for c in next(rows, ())]
    if twice := {h for h in header if h and header.count(h) > 1}:
        faults.append(SheetFault(f"{where}!1", f"the column {', '.join(sorted(twice))} twice", "each column once"))
    number = 0
    for row in rows:
        record = {}
        for key, cell in zip(header, row, strict=False):
            if cell.value in (None, ""):
                continue
            if not key:
                faults.append(
                    SheetFault(f"{where}!{cell.coordinate}", "a value under no heading", "a heading in row 1")
                )
                continue
            record[key] = _whole(key, _text(cell, where, faults))
            cells[(title, number, key)] = f"{title}!{cell.coordinate}"
        if record:
            for key in {"value", "number"} & set(header):
                record.setdefault(key, "")
            cells[(title, number)] = f"{title}!{row[0].row}"
            number += 1
            yield record


def _whole(key: str, text: str) -> str | int:
    return int(text) if key in WHOLE and text.isascii() and text.isdigit() and len(text) < 10 else text


def _text(cell: "Cell", where: str, faults: list[SheetFault]) -> str:
    """Text of a cell as it was typed; a number without an exponent."""
    value, place = cell.value, f"{where}!{cell.coordinate}"
    if cell.data_type == "f" or (isinstance(value, str) and value.startswith("=")):
        faults.append(SheetFault(place, f"a formula {shown(str(getattr(value, 'text', value)))}", "a value"))
    elif cell.data_type == "e":
        faults.append(SheetFault(place, f"an error value {shown(str(value))}", "a value"))
    elif isinstance(value, bool):
        faults.append(SheetFault(place, f"{value}", "text or a number"))
    elif isinstance(value, int | float):
        return plain(Decimal(repr(value)).normalize() if isinstance(value, float) else Decimal(value))
    elif isinstance(value, str):
        return value.strip()
    elif isinstance(value, datetime.date):
        return value.isoformat()[:10]
    else:
        faults.append(SheetFault(place, f"{type(value).__name__}", "text or a number"))
    return ""


def write(sheet: dict[str, Any], path: Path, fields: dict[str, list[str]]) -> None:
    """Write a sheet as a workbook; `fields` lists the columns of each table, and of `sheet` itself."""
    import openpyxl
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter

    book = openpyxl.Workbook()
    for given in book.worksheets:
        book.remove(given)
    first = book.create_sheet("sheet")
    first.append(["field", "value"])
    for key in fields["sheet"]:
        if key == MATERIALS:
            for size, material in sheet.get(key, {}).items():
                first.append([MATERIAL_OF + size, material])
        else:
            first.append([heading(key), sheet.get(key, "")])
    answers = book.create_sheet(BUILD)
    answers.append(build_table.COLUMNS)
    for line in build_table.lines(sheet.get(BUILD, {})):
        answers.append([line[c] for c in build_table.COLUMNS])
    for title in TABLES:
        table = book.create_sheet(title)
        table.append([heading(k) for k in fields[title]])
        for record in sheet.get(title, ()):
            table.append([record.get(k, "") for k in fields[title]])
    for table in book.worksheets:
        table.freeze_panes = "A2"
        for column in table.columns:
            width = max(len(str(c.value or "")) for c in column)
            letter = get_column_letter(column[0].column or 1)
            table.column_dimensions[letter].width = min(max(10, width + 2), 40)
            column[0].font = Font(bold=True)
            for cell in column[1:]:
                cell.number_format = "@"
            for cell in column:
                cell.data_type = "s" if isinstance(cell.value, str) else cell.data_type
    packed = io.BytesIO()
    book.save(packed)
    write_whole(path, packed.getvalue())
