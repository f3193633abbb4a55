"""The prepared tables on which rules run: text as asserted, SI values, printed steps."""

import sqlite3
from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from typing import Any

from .. import numerals, positions, tables, units
from ..rows import Cite, Row
from .load import Folder

PRINTED_2 = tuple(f"{n}{s}" for s in ("", "_2") for n in tables.PRINTED)
RANGE = ("low", "high", "wear")


def prepare(found: Folder) -> sqlite3.Connection:
    """An in-memory database with the prepared tables of a dataset."""
    from .derived import derive

    base = sqlite3.connect(":memory:")
    _faults(base, found)
    for table in tables.SHARED:
        _shared(base, found, table)
    known = _units(found)
    _engine_rows(base, found, known)
    derive(base, found, known)
    base.commit()
    return base


def create(base: sqlite3.Connection, name: str, columns: dict[str, str], rows: Iterable[tuple[Any, ...]]) -> None:
    """Make a STRICT table of columns with their SQLite types, and fill it."""
    listed = ", ".join(f'"{c}" {t}' for c, t in columns.items())
    base.execute(f'CREATE TABLE "{name}" ({listed}) STRICT')
    base.executemany(f'INSERT INTO "{name}" VALUES ({",".join("?" * len(columns))})', rows)


def _faults(base: sqlite3.Connection, found: Folder) -> None:
    columns = {"file": "TEXT", "line": "INTEGER", "column": "TEXT", "kind": "TEXT", "found": "TEXT", "expected": "TEXT"}
    rows = [(file, f.line, f.column, f.kind, f.found, f.expected) for file, f in found.faults]
    create(base, "faults", columns, rows)


def _shared(base: sqlite3.Connection, found: Folder, table: str) -> None:
    from ..places import folder
    from .form import schema

    names = [f["name"] for f in schema(folder("schema"), table)["fields"]]
    columns = {"file": "TEXT", "line": "INTEGER"} | dict.fromkeys(names, "TEXT")
    rows = [(f.file, line, *(r[n] for n in names)) for f, line, _, r in found.of(table)]
    create(base, table, columns, rows)


def _engine_rows(base: sqlite3.Connection, found: Folder, known: dict[str, units.Unit]) -> None:
    misprints: dict[str, dict[str, dict[str, str]]] = {}
    for _, _, _, misprint in found.of("misprints"):
        misprints.setdefault(misprint["row"], {})[misprint["column"]] = misprint
    quantities = {r["quantity"]: r for _, _, _, r in found.of("quantities")}
    counts = {r["engine"]: r for _, _, _, r in found.of("engines")}
    sides = {q: r["limit_side"] for q, r in quantities.items()}
    limits: list[tuple[Any, ...]] = []
    steps: list[tuple[Any, ...]] = []
    numbers: list[tuple[Any, ...]] = []
    places: list[tuple[Any, ...]] = []
    for table in ("sizes", "clearances", "torques"):
        for file, line, name, cells in found.of(table):
            row = Row(name, table, file.engine, cells, _NO_CITE, misprints.get(name, {}))
            place = (name, table, file.engine, file.file, line)
            numbers.extend(_numbers(row, place, known))
            (steps if table == "torques" else limits).append(_wide(row, place, known, sides.get(row.item, "upper")))
            count = counts.get(file.engine, {}).get(quantities.get(row.item, {}).get("count") or "")
            places.extend((name, n) for n in _expand(cells["position"], int(count) if count else None))
    first = {"row": "TEXT", "table": "TEXT", "engine": "TEXT", "file": "TEXT", "line": "INTEGER"}
    create(base, "limits", first | _wide_columns("sizes"), limits)
    create(base, "torques", first | _wide_columns("torques"), steps)
    detail = {"column": "TEXT", "base": "TEXT", "text": "TEXT", "unit": "TEXT", "si": "REAL", "step": "REAL"}
    create(base, "numbers", first | detail | {"misprint": "INTEGER"}, numbers)
    create(base, "places", {"row": "TEXT", "place": "INTEGER"}, places)
    for table, columns in _INDEXES:
        base.execute(f'CREATE INDEX "{table}-{len(columns)}" ON "{table}" ({", ".join(columns)})')
    orders = [(name, "sequences", f.engine, f.file, line, *r.values()) for f, line, name, r in found.of("sequences")]
    names = ["joint", "order", "column", "grid_row", "source", "page"]
    create(base, "sequences", first | dict.fromkeys(names, "TEXT"), orders)


_INDEXES = (
    ("numbers", ("row", '"column"')),
    ("limits", ("row",)),
    ("limits", ("engine", "quantity", "source")),
    ("torques", ("engine", "joint")),
    ("places", ("row",)),
)

_NO_CITE = Cite("", "", "", "", "")


def _units(found: Folder) -> dict[str, units.Unit]:
    return units.from_rows([r for _, _, _, r in found.of("units") if r["factor"] and r["unit"]])


def _expand(position: str, count: int | None) -> tuple[int, ...]:
    try:
        return positions.places(position, count) or ()
    except positions.PositionError:
        return ()


def _si(value: Decimal | None, unit: units.Unit | None) -> float | None:
    return None if value is None or unit is None else float(Fraction(value) * unit.factor)


def _numbers(row: Row, place: tuple[Any, ...], known: dict[str, units.Unit]) -> list[tuple[Any, ...]]:
    found = []
    for column in PRINTED_2:
        if not row.cells.get(column):
            continue
        unit = row.cells["unit_2" if column.endswith("_2") else "unit"]
        step = numerals.step(row.cells[column]) if row.value(column) is None else row.step(column)
        si, step_si = _si(row.value(column), known.get(unit)), _si(step, known.get(unit))
        base = column.removesuffix("_2")
        found.append((*place, column, base, row.cells[column], unit, si, step_si, int(column in row.misprints)))
    return found


def _wide_columns(table: str) -> dict[str, str]:
    from ..places import folder
    from .form import schema

    names = [f["name"] for f in schema(folder("schema"), table)["fields"]]
    values = [f"{end}_{kind}" for end in RANGE for kind in ("si", "step")]
    return dict.fromkeys(names, "TEXT") | dict.fromkeys([*values, "middle_si", "middle_step", "at_si"], "REAL")


def _wide(row: Row, place: tuple[Any, ...], known: dict[str, units.Unit], side: str) -> tuple[Any, ...]:
    """Cells as text, then the range, the wear limit and the single value in SI with their printed steps."""
    unit = known.get(row.cells["unit"])
    low, high = row.range()
    printed = [c for c in ("lower", "upper", "nominal", "tolerance") if row.cells[c]]
    step = max((numerals.step(row.cells[c]) for c in printed), default=None)
    wear = row.limit(side) if row.cells.get("limit") else None
    wear_step = numerals.step(row.cells["limit"]) if wear is not None else None
    if row.cells.get("limit_as") == "wear" and wear_step is not None and step is not None:
        wear_step = max(wear_step, step)
    nominal = row.value("nominal")
    at = numerals.parse(row.cells["at"]) if row.cells.get("at") else None
    ends = [(low, step), (high, step), (wear, wear_step), (nominal, step)]
    values = [_si(v, unit) for pair in ends for v in (pair if pair[0] is not None else (None, None))]
    return (*place, *row.cells.values(), *values, _si(at, known.get(row.cells.get("at_unit", ""))))
