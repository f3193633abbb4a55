"""Bench sheets as grids of cells, as a workbook or a CSV file holds them: the sheet's fields, and a grid a table."""

import datetime
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from ..numerals import plain, shown
from . import build_table
from .faults import SheetError, SheetFault

TABLES = ("instruments", "readings", "torques", "parts")
BUILD = "build"
TITLES = ("sheet", BUILD, *TABLES)
NEEDED = ("sheet", *TABLES[:2])
MATERIALS, MATERIAL_OF = "materials", "material of "
"""The field of the materials, which is a line for each size on the first grid."""

AGAIN = "again"
"""The column of a second reading, which a workbook holds in the line of the first."""

WHOLE = ("step", "order")
HEADINGS = {"mpe": "limit of error", "mpe_percent": "limit of error in percent"}

Paths = dict[tuple[str | int, ...], str]
"""Where the value at a path stands, within its file."""


@dataclass(frozen=True)
class Cell:
    """A cell that is not empty: its value, where it and its line stand within the file; `fault`: what it is instead."""

    value: Any
    place: str
    line: str
    fault: str = ""


Row = list[Cell | None]


def heading(field: str) -> str:
    """A field's name for people."""
    return HEADINGS.get(field, field.replace("_", " "))


def sections(title: str, rows: Iterable[Row]) -> list[tuple[str, str, list[Row]]]:
    """Title, line and rows of each grid of a worksheet: its own, and those below, each under its title."""
    found: list[tuple[str, str, list[Row]]] = [(title, title, [])]
    for row in rows:
        told = [c for c in row if c]
        if told and told == row[:1] and (word := str(told[0].value).strip().lower()) in TITLES:
            found.append((word, told[0].line, []))
        elif told:
            found[-1][2].append(row)
    return found if found[0][2] else found[1:] or found


def values(grids: Mapping[str, Iterable[Row]], name: str) -> tuple[dict[str, Any], Paths]:
    """Sheet and the place of each value by its path, from grids by title; raises SheetError with every fault."""
    faults: list[SheetFault] = []
    found: dict[str, Any] = {}
    places: Paths = {}

    def fault(place: str, what: str, expected: str) -> None:
        faults.append(SheetFault(f"{name}:{place}", what, expected))

    for title, rows in grids.items():
        if title == "sheet":
            _own_fields(rows, fault, found, places)
        else:
            found[title] = list(_records(rows, title, fault, places))
    if BUILD in found:
        found[BUILD] = build_table.build(found[BUILD], places, fault)
    if faults:
        raise SheetError(faults)
    return {k: v for k, v in found.items() if v or k not in (BUILD, "parts")}, places


def missing(titles: Iterable[str], name: str, kind: str) -> None:
    """Raise SheetError where a grid that every sheet has is not there."""
    if lacking := [t for t in NEEDED if t not in set(titles)]:
        expected = f"{kind}s sheet, build, instruments, readings, torques"
        raise SheetError([SheetFault(name, f"no {kind} {', '.join(lacking)}", expected)])


Told = Callable[[str, str, str], None]


def _own_fields(rows: Iterable[Row], fault: Told, found: dict[str, Any], places: Paths) -> None:
    seen: set[str] = set()
    for row in list(rows)[1:]:
        key, value = (*row[:2], None, None)[:2]
        if key is None or value is None:
            continue
        field = _field(str(key.value))
        if field in seen:
            fault(key.place, f"{shown(str(key.value))} again", "each field once")
        seen.add(field)
        of = [MATERIALS, field.removeprefix(MATERIAL_OF)] if field.startswith(MATERIAL_OF) else [field]
        into = found.setdefault(MATERIALS, {}) if len(of) > 1 else found
        into[of[-1]] = _text(value, fault)
        places[tuple(of)] = value.place


def _field(text: str) -> str:
    """The field that a heading stands for."""
    plain_text = text.strip()
    if plain_text.lower().startswith(MATERIAL_OF):
        return MATERIAL_OF + plain_text[len(MATERIAL_OF) :]
    return next((f for f, words in HEADINGS.items() if words == plain_text.lower()), plain_text.replace(" ", "_"))


def _records(rows: Iterable[Row], title: str, fault: Told, places: Paths) -> Iterator[dict[str, Any]]:
    every = iter(rows)
    first = next(every, [])
    header = [_field(str(c.value)) if c else "" for c in first]
    if twice := {h for h in header if h and header.count(h) > 1}:
        fault(next(c.line for c in first if c), f"the column {', '.join(sorted(twice))} twice", "each column once")
    number = 0
    for row in every:
        record: dict[str, Any] = {}
        cells: dict[str, str] = {}
        for key, cell in zip((*header, *[""] * len(row)), row, strict=False):
            if cell is None:
                continue
            if not key:
                fault(cell.place, "a value under no heading", "a heading in the first row")
                continue
            record[key] = _whole(key, _text(cell, fault))
            cells[key] = cell.place
        if record:
            for key in {"value", "number"} & set(header):
                record.setdefault(key, "")
            for part, at in _readings(record, cells) if title == "readings" else ((record, cells),):
                places[title, number] = next(c.line for c in row if c)
                places |= {(title, number, key): place for key, place in at.items()}
                number += 1
                yield part


def _readings(line: dict[str, Any], cells: dict[str, str]) -> Iterator[tuple[dict[str, Any], dict[str, str]]]:
    """The reading of a line and the second one where it holds one, each with the places of its values."""
    again = line.pop(AGAIN, "")
    yield line, cells
    if again:
        yield {k: v for k, v in line.items() if k != "to"} | {"value": again}, cells | {"value": cells[AGAIN]}


def folded(readings: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    """Readings as lines: a second one stands beside the first where nothing but the value differs."""
    lines: list[dict[str, Any]] = []
    for reading in readings:
        first = lines[-1] if lines else {AGAIN: ""}
        if AGAIN in first or "to" in reading or _but_value(first) != _but_value(reading):
            lines.append(reading)
        else:
            lines[-1] = first | {AGAIN: reading.get("value", "")}
    return lines


def _but_value(reading: dict[str, Any]) -> dict[str, Any]:
    return {k: v for k, v in reading.items() if k != "value"}


def _whole(key: str, text: str) -> str | int:
    return int(text) if key in WHOLE and text.isascii() and text.isdigit() and len(text) < 10 else text


def _text(cell: Cell, fault: Told) -> str:
    """Text of a cell as it was typed; a number without an exponent."""
    value = cell.value
    if cell.fault:
        fault(cell.place, f"{cell.fault} {shown(str(value))}", "a value")
    elif isinstance(value, bool):
        fault(cell.place, f"{value}", "text or a number")
    elif isinstance(value, int | float):
        return plain(Decimal(repr(value)).normalize() if isinstance(value, float) else Decimal(value))
    elif isinstance(value, str):
        return value.strip()
    elif isinstance(value, datetime.date):
        return value.isoformat()[:10]
    else:
        fault(cell.place, f"{type(value).__name__}", "text or a number")
    return ""


def rows(sheet: dict[str, Any], fields: dict[str, list[str]]) -> Iterator[tuple[str, list[list[Any]]]]:
    """Title and rows of each grid of a sheet, headings first; `fields` lists the columns of each, and of the sheet."""
    own: list[list[Any]] = [["field", "value"]]
    for key in fields["sheet"]:
        if key == MATERIALS:
            own += [[MATERIAL_OF + size, material] for size, material in sheet.get(key, {}).items()]
        else:
            own.append([heading(key), sheet.get(key, "")])
    yield "sheet", own
    answers = [[line[c] for c in build_table.COLUMNS] for line in build_table.lines(sheet.get(BUILD, {}))]
    yield BUILD, [list(build_table.COLUMNS), *answers]
    for title in TABLES:
        told = [[record.get(k, "") for k in fields[title]] for record in sheet.get(title, ())]
        yield title, [[heading(k) for k in fields[title]], *told]
