"""What helps to fill a workbook: lists to pick from, a hint at each cell, examples, a page of help, print titles."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from . import grids, sheet_form
from .vocabulary import SPELLED

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook
    from openpyxl.worksheet.worksheet import Worksheet

TOOLS = "instruments!$A$2:$A$200"
LONGEST = 250
"""Characters of a hint, and of a list that stands in its cell's rule."""

HOW = (
    "Fill the cells under `value`; a line without a value is passed over. Numbers stay as you type them.",
    "Write 0.05, not 0,05 and not 1/64. A temperature may bear its unit, a place may be a name such as rear.",
    "Two readings of a place stand in two lines: take the part out of the tool between them.",
    "No formulas, no merged cells. Further worksheets and this one are not read.",
)


def add(book: "Workbook") -> None:
    """Add the helps to a workbook that has the grids of a sheet."""
    for table in book.worksheets:
        _print(table)
        if table.title == "sheet":
            _own_fields(table)
        elif table.title in grids.TABLES:
            for number, field in enumerate(sheet_form.fields()[table.title], 1):
                _column(table, number, _told(table.title)[field])
    _help(book)


def _print(table: "Worksheet") -> None:
    """Headings on each page, the width on one A4 page; but for the readings, all of a worksheet on one."""
    table.print_title_rows = "1:1"
    table.page_setup.paperSize = table.PAPERSIZE_A4
    table.page_setup.orientation = table.ORIENTATION_PORTRAIT if table.title == "help" else table.ORIENTATION_LANDSCAPE
    table.sheet_properties.pageSetUpPr.fitToPage = True  # type: ignore[union-attr]
    table.page_setup.fitToHeight = 0 if table.title == "readings" else 1
    for side in ("left", "right", "top"):
        setattr(table.page_margins, side, MARGIN)
    table.page_margins.bottom = MARGIN + 0.2
    table.page_margins.footer = MARGIN / 2
    if table.oddFooter:
        table.oddFooter.center.text = "&A, page &P of &N"


MARGIN = 0.4
"""Inches at the edge of a page; the footer stands below."""


def _told(title: str) -> dict[str, dict[str, Any]]:
    """What the schema says of each field of a grid."""
    said = sheet_form.schema()["properties"]
    return said if title == "sheet" else said[title]["items"]["properties"]  # type: ignore[no-any-return]


def _words(said: dict[str, Any]) -> str:
    examples = f"; such as {', '.join(said['examples'])}" if "examples" in said else ""
    return f"{said['description']}{examples}"


def _own_fields(table: "Worksheet") -> None:
    table.cell(1, 3, "what it is")
    table.column_dimensions["C"].width = 60
    for line in range(2, table.max_row + 1):
        field = next((f for f in _told("sheet") if grids.heading(f) == table.cell(line, 1).value), "")
        if field:
            table.cell(line, 3, _words(_told("sheet")[field]))
            _rule(table, f"B{line}", _told("sheet")[field])


def _column(table: "Worksheet", number: int, said: dict[str, Any]) -> None:
    from openpyxl.utils import get_column_letter

    letter = get_column_letter(number)
    _rule(table, f"{letter}2:{letter}{max(table.max_row, 2) + 50}", said)


def _rule(table: "Worksheet", cells: str, said: dict[str, Any]) -> None:
    """A hint at cells, and where the list is closed the words to pick from; another word may be typed all the same."""
    from openpyxl.worksheet.datavalidation import DataValidation

    rule = DataValidation(allow_blank=True, showErrorMessage=False, showInputMessage=True)
    rule.prompt = _words(said)[:LONGEST]
    if choices := _choices(said, table.title):
        rule.type, rule.formula1 = "list", choices
    rule.add(cells)
    table.add_data_validation(rule)


def _choices(said: dict[str, Any], title: str) -> str:
    if "enum" in said:
        return f'"{",".join(said["enum"])}"'
    if said.get("$ref") == "#/$defs/unit":
        return f'"{",".join(SPELLED)}"'
    return TOOLS if said["description"].endswith("of this sheet") and title != "instruments" else ""


def _help(book: "Workbook") -> None:
    from openpyxl.styles import Alignment, Font

    page = book.create_sheet("help")
    _print(page)
    for line in (*_lines(),):
        page.append(line)
    for letter, width in zip("ABC", (16, 24, 90), strict=True):
        page.column_dimensions[letter].width = width
    for row in page.iter_rows():
        for cell in row:
            cell.alignment = Alignment(wrap_text=True, vertical="top")
    for cell in page[1]:
        cell.font = Font(bold=True)


def _lines() -> Iterator[tuple[str, str, str]]:
    yield "worksheet", "cell", "what it is"
    yield from (("", "", line) for line in HOW)
    for title in ("sheet", *grids.TABLES):
        for field in sheet_form.fields()[title]:
            yield title, grids.heading(field), _words(_told(title)[field])
