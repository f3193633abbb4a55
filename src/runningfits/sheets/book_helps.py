"""What helps to fill a workbook: lists to pick from, a hint at each cell, examples, a page of help."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from . import book_pages, build_table, grids, sheet_form
from .vocabulary import SPELLED

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook
    from openpyxl.worksheet.worksheet import Worksheet

HELP = (12, 24, 116)
"""Widths of the columns of the help, in characters."""

MORE = 50
"""Lines below the readings that have their helps too."""

LONGEST = 250
"""Characters of a hint, and of a list that stands in its cell's rule."""

HOW = (
    "Fill the cells under `value`; a line without a value is passed over. Numbers stay as you type them.",
    "Write 0.05, not 0,05 and not 1/64. A temperature may bear its unit, a place may be a name such as rear.",
    "A second reading of a place stands in its line, under `again`: take the part out of the tool between them.",
    "A third has a line of its own, and so has a second one between two leaves. Grey: a second one is not asked.",
    "Columns that few sheets need, such as temperature, are folded: the + above the columns opens them.",
    "Insert lines where the empty ones of a grid do not suffice; the titles of the grids stay.",
    "No formulas, no merged cells. Further worksheets and this one are not read.",
    "A printed page cuts long notes: `runningfits sheet ENGINE -o s.html` prints each range with its page.",
)

SECOND: dict[str, Any] = {
    "description": "A second reading of the same place, the part taken out between; grey: not asked"
}
BUILD: dict[str, dict[str, Any]] = {
    "kind": {"description": "What the line tells of the engine", "enum": list(build_table.KINDS)},
    "of": {"description": "What is fitted, or which part is machined; such as piston, crankpin"},
    "place": {"description": "Where: all, or a number; such as all, 3"},
    "answer": {"description": "The model, what is fitted, the size or the document; such as 0.50 mm, unknown"},
}
"""What a workbook says of columns that the schema has not."""


def add(book: "Workbook", spans: book_pages.Spans) -> None:
    """Add the helps to a workbook that has the grids of a sheet on these lines."""
    tools = f"sheet!$A${spans['instruments'][1]}:$A${spans['instruments'][-1]}"
    for title, lines in spans.items():
        table = book[title if title == book_pages.READINGS else "sheet"]
        if title == "sheet":
            _own_fields(table, lines)
            continue
        first, last = lines[0] + 1, lines[-1] + (MORE if title == book_pages.READINGS else 0)
        for number, field in enumerate(_columns(title), 1):
            letter = book_pages.letter(number)
            _rule(table, f"{letter}{first}:{letter}{last}", _told(title)[field], tools)
    _help(book)


def _columns(title: str) -> list[str]:
    """Columns of a grid of a workbook."""
    return list(BUILD) if title == grids.BUILD else book_pages.ordered(sheet_form.fields())[title]


def _told(title: str) -> dict[str, dict[str, Any]]:
    """What the schema says of each field of a grid."""
    said = sheet_form.schema()["properties"]
    if title == grids.BUILD:
        return BUILD
    fields: dict[str, dict[str, Any]] = said if title == "sheet" else said[title]["items"]["properties"]
    return fields | {grids.AGAIN: SECOND} if title == book_pages.READINGS else fields


def _words(said: dict[str, Any]) -> str:
    examples = f"; such as {', '.join(said['examples'])}" if "examples" in said else ""
    return f"{said['description']}{examples}"


def _own_fields(table: "Worksheet", lines: range) -> None:
    table.cell(lines[0], 3, "what it is").font = book_pages.bold()
    for line in lines[1:]:
        word = str(table.cell(line, 1).value)
        word = grids.MATERIALS if word.startswith(grids.MATERIAL_OF) else word
        field = next((f for f in _told("sheet") if grids.heading(f) == word), "")
        if field:
            _rule(table, f"B{line}", _told("sheet")[field])
        if field and len(str(table.cell(line, 2).value or "")) <= book_pages.OWN[1]:
            table.cell(line, 3, _words(_told("sheet")[field]))


def _rule(table: "Worksheet", cells: str, said: dict[str, Any], tools: str = "") -> None:
    """A hint at cells, and where the list is closed the words to pick from; another word may be typed all the same."""
    from openpyxl.worksheet.datavalidation import DataValidation

    rule = DataValidation(allow_blank=True, showErrorMessage=False, showInputMessage=True)
    rule.prompt = _words(said)[:LONGEST]
    if choices := _choices(said, tools):
        rule.type, rule.formula1 = "list", choices
    rule.add(cells)
    table.add_data_validation(rule)


def _choices(said: dict[str, Any], tools: str) -> str:
    if "enum" in said:
        return f'"{",".join(said["enum"])}"'
    if said.get("$ref") == "#/$defs/unit":
        return f'"{",".join(SPELLED)}"'
    return tools if "of this sheet" in said["description"] else ""


def _help(book: "Workbook") -> None:
    page = book.create_sheet("help")
    for line in (*_lines(),):
        page.append(line)
    for letter, width in zip("ABC", HELP, strict=True):
        page.column_dimensions[letter].width = width
    for cell in page[1]:
        cell.font = book_pages.bold()
    book_pages.on_paper(page)


def _lines() -> Iterator[tuple[str, str, str]]:
    yield "grid", "cell", "what it is"
    yield from (("", "", line) for line in HOW)
    for title in grids.TITLES:
        for field in sheet_form.fields()["sheet"] if title == "sheet" else _columns(title):
            yield title, grids.heading(field), _words(_told(title)[field])
