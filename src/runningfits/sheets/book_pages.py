"""How the grids of a workbook lie on its worksheets, and these on A4 pages that can be read."""

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from . import grids

if TYPE_CHECKING:
    from openpyxl.styles import Font
    from openpyxl.workbook import Workbook
    from openpyxl.worksheet.worksheet import Worksheet

Spans = dict[str, range]
"""Lines of each grid on its worksheet by title, the one of its headings first."""

READINGS = "readings"
TORQUES = ("joint", "instrument", "position", "step", "value", "unit", "note")
"""The first columns of the torques on a workbook: the note, which has the torque, has room behind it."""

SPARE = {"sheet": 1, "build": 2, "instruments": 2, "torques": 2, "parts": 2}
"""Empty lines left below a grid."""

OWN = (33, 24, 10, 8, 8, 6, 26, 10, 8, 8, 7, 6, 5)
"""Widths of the columns that the grids of the first worksheet share, in characters."""

WIDEST = {"item": 28, "position": 11, "part": 6, "place": 7, "direction": 10, "unit": 6, "instrument": 31}
WRITTEN, FEW, WIDTH = ("value", "to", grids.AGAIN), 10, 158
"""Widths of the readings: the most of some columns; those of numbers, and others at most; all with the note."""

FOLDED = ("which", "state", "method", "at", "class", "temperature", "material")
"""Columns of the readings that are folded where the sheet has nothing in them."""

FONT, LETTER, LEAST, LINE = "Calibri", 11, 7, 14
HEADINGS = {READINGS: 2 * LINE, "instruments": 3 * LINE, "torques": 2 * LINE}
"""Points: a letter on the screen, and at least on paper; the height of a line, and of headings of several lines."""

HIGH, MARGIN, FOOT = 297 / 25.4 * 72, 0.4, 0.2
"""Points of an A4 page; inches at its edge, and what the footer has besides."""


def ordered(fields: dict[str, list[str]]) -> dict[str, list[str]]:
    """Columns of each grid as a workbook has them: a second reading beside the first, notes of torques with room."""
    readings, torques = fields[READINGS], fields["torques"]
    at = readings.index("to") + 1
    first = [f for f in TORQUES if f in torques]
    return fields | {
        READINGS: [*readings[:at], grids.AGAIN, *readings[at:]],
        "torques": [*first, *(f for f in torques if f not in first)],
    }


def put(table: "Worksheet", title: str, rows: list[list[Any]]) -> range:
    """Lines of a grid that is put on a worksheet, below what is there and under its title where it is not its own."""
    from openpyxl.styles import Alignment

    head = 1
    if table.title != title:
        head = table.max_row + 2
        table.cell(head - 1, 1, title).font = bold(2)
        table.row_dimensions[head - 1].height = LINE + 4
    spare = [[None] * len(rows[0])] * SPARE.get(title, 0)
    lines = range(head, head + len(rows) + len(spare))
    for line, row in zip(lines, [*rows, *spare], strict=True):
        for column, value in enumerate(row, 1):
            cell = table.cell(line, column, value)
            cell.number_format = "General" if line == head else "@"
            if isinstance(value, str):
                cell.data_type = "s"
    for cell in table[head]:
        cell.font, cell.alignment = bold(), Alignment(wrap_text=True, vertical="bottom")
    table.row_dimensions[head].height = HEADINGS.get(title, LINE)
    return lines


def lay_out(book: "Workbook", fields: dict[str, list[str]], lines: list[dict[str, Any]]) -> None:
    """Give columns their widths and worksheets their pages, fold what is empty, mark where no second one is asked."""
    own, readings = book["sheet"], book[READINGS]
    for number, width in enumerate(OWN, 1):
        own.column_dimensions[letter(number)].width = width
    _widths(readings, fields[READINGS], lines)
    _not_asked(readings, fields[READINGS].index(grids.AGAIN) + 1, lines)
    readings.freeze_panes, readings.print_title_rows = "A2", "1:1"
    on_paper(own)
    on_paper(readings)


def bold(larger: int = 0) -> "Font":
    """The letters of headings, so many points larger than those of cells."""
    from openpyxl.styles import Font

    return Font(FONT, LETTER + larger, bold=True)


def letter(number: int) -> str:
    """The name of a column."""
    from openpyxl.utils import get_column_letter

    return get_column_letter(number)


def _widths(table: "Worksheet", fields: list[str], lines: list[dict[str, Any]]) -> None:
    left = WIDTH
    for number, field in enumerate(fields, 1):
        column = table.column_dimensions[letter(number)]
        longest = max((len(str(line.get(field, ""))) for line in lines), default=0)
        if field in FOLDED and not longest:
            column.outlineLevel, column.hidden = 1, True
            continue
        if field == "note":
            column.width = max(left, FEW)
        elif field in WRITTEN:
            column.width = FEW - 2
        else:
            column.width = min(max(longest, len(field)) + 1, WIDEST.get(field, FEW))
        left -= int(column.width)


def _not_asked(table: "Worksheet", column: int, lines: Iterable[dict[str, Any]]) -> None:
    """Shade the cells of second readings that the sheet does not ask for."""
    from openpyxl.styles import PatternFill

    shade = PatternFill("solid", fgColor="D9D9D9")
    for number, line in enumerate(lines, 2):
        if grids.AGAIN not in line:
            table.cell(number, column).fill = shade


def on_paper(table: "Worksheet") -> None:
    """A worksheet on as many A4 pages as its lines need in letters that can be read; its columns alone are printed."""
    heights = [table.row_dimensions[n].height or LINE for n in range(1, table.max_row + 1)]
    for number, height in enumerate(heights, 1):
        table.row_dimensions[number].height = height
    table.page_setup.paperSize = table.PAPERSIZE_A4
    table.page_setup.orientation = table.ORIENTATION_PORTRAIT
    table.sheet_properties.pageSetUpPr.fitToPage = True  # type: ignore[union-attr]
    table.page_setup.fitToHeight = pages(heights)
    table.print_area = f"A1:{letter(table.max_column)}{LAST}"
    table.print_options.gridLines = True
    for side in ("left", "right", "top"):
        setattr(table.page_margins, side, MARGIN)
    table.page_margins.bottom = MARGIN + FOOT
    table.page_margins.footer = MARGIN / 2
    if table.oddFooter is not None:
        table.oddFooter.center.text = "&A, page &P of &N"


LAST = 1_048_576
"""The last line that a worksheet can have: an area down to it is one of whole columns."""


def pages(heights: list[float]) -> int:
    """How many A4 pages lines of these heights take in the smallest letters, the first of them on each."""
    high = (HIGH - 72 * (2 * MARGIN + FOOT)) * LETTER / LEAST
    return math.ceil(sum(heights[1:]) / (high - heights[0]))
