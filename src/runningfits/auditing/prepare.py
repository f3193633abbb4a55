"""The prepared tables on which rules run: text as asserted, SI values, printed steps."""

import math
import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache, lru_cache
from typing import Any

from .. import numerals, positions, tables, units
from ..engine_models import Family
from ..places import folder
from ..rows import Cite, Row
from ..rulebook import create
from . import spoken
from .derived import derive
from .form import schema
from .learnt import Bounds, stored
from .load import Folder

PRINTED_2 = tuple(f"{n}{s}" for s in ("", "_2") for n in tables.PRINTED)
RANGE = ("low", "high", "wear")


def prepare(found: Folder, learnt: Bounds | None = None) -> sqlite3.Connection:
    """An in-memory database with the prepared tables of a dataset.

    `learnt` are the bounds of the population to judge by, the stored ones where not given.
    """
    base = sqlite3.connect(":memory:")
    base.create_function("pow", 2, _power, deterministic=True)  # not every SQLite has it
    _faults(base, found)
    for table in tables.SHARED:
        _shared(base, found, table)
    given = known(found)
    _engine_rows(base, found, given)
    derive(base, found, given.units, stored() if learnt is None else learnt)
    base.commit()
    base.execute("ANALYZE")
    return base


def _power(base: float | None, exponent: float | None) -> float | None:
    """A power as SQL has it: nothing of nothing."""
    return None if base is None or exponent is None else math.pow(base, exponent)


def _faults(base: sqlite3.Connection, found: Folder) -> None:
    columns = {"file": "TEXT", "line": "INTEGER", "column": "TEXT", "kind": "TEXT", "found": "TEXT", "expected": "TEXT"}
    rows = [(file, f.line, f.column, f.kind, f.found, f.expected) for file, f in found.faults]
    create(base, "faults", columns, rows)


def _shared(base: sqlite3.Connection, found: Folder, table: str) -> None:
    names = [f["name"] for f in schema(folder("schema"), table)["fields"]]
    columns = {"file": "TEXT", "line": "INTEGER"} | dict.fromkeys(names, "TEXT")
    rows = [(f.file, line, *(r[n] for n in names)) for f, line, _, r in found.of(table)]
    create(base, table, columns, rows)


@dataclass(frozen=True)
class Known:
    """What a row's prepared form depends on besides its cells."""

    units: dict[str, units.Unit]
    misprints: dict[str, dict[str, dict[str, str]]]
    quantities: dict[str, dict[str, str]]
    joints: dict[str, dict[str, str]]
    families: dict[str, Family]


def known(found: Folder) -> Known:
    """Units, misprints by row and column, quantities, joints and families of a dataset."""
    misprints: dict[str, dict[str, dict[str, str]]] = {}
    for _, _, _, misprint in found.of("misprints"):
        misprints.setdefault(misprint["row"], {})[misprint["column"]] = misprint
    quantities = {r["quantity"]: r for _, _, _, r in found.of("quantities")}
    joints = {r["joint"]: r for _, _, _, r in found.of("joints")}
    return Known(_units(found), misprints, quantities, joints, spoken.families(found))


FIRST = {"row": "TEXT", "table": "TEXT", "engine": "TEXT", "file": "TEXT", "line": "INTEGER"}
NUMBERS = {
    "column": "TEXT",
    "base": "TEXT",
    "text": "TEXT",
    "unit": "TEXT",
    "si": "REAL",
    "step": "REAL",
    "misprint": "INTEGER",
    "source": "TEXT",
    "places": "INTEGER",
}
"""Columns of `numbers`, one row a printed number: SI value, printed step in SI, decimals."""

TWINS = NUMBERS | {f"{n}_2": NUMBERS[n] for n in ("text", "unit", "si", "step", "places")}
"""Columns of `twins`: a number with the same one in the second unit; `misprint` where either is one."""


PLACES = {"row": "TEXT", "place": "INTEGER", "most": "INTEGER", "counted": "TEXT"}
"""Columns of `places`: a place that a row speaks of, how many there are in its models, and what they are counted by."""


def _engine_rows(base: sqlite3.Connection, found: Folder, given: Known) -> None:
    prepared: dict[str, list[tuple[Any, ...]]] = {"limits": [], "torques": [], "numbers": [], "twins": [], "places": []}
    for table in ("sizes", "clearances", "torques"):
        for file, line, name, cells in found.of(table):
            for target, rows in (
                () if name in found.beyond else _forms((name, table, file.engine, file.file, line), cells, given)
            ):
                prepared[target].extend(rows)
    create(base, "limits", FIRST | _wide_columns("sizes"), prepared["limits"])
    create(base, "torques", FIRST | _wide_columns("torques"), prepared["torques"])
    create(base, "numbers", FIRST | NUMBERS, prepared["numbers"])
    create(base, "twins", FIRST | TWINS, prepared["twins"])
    turns = [(Row(name, "sequences", f.engine, r, _NO_CITE), r["row"]) for f, _, name, r in found.of("sequences")]
    prepared["places"].extend(line for row, text in turns for line in _placed(row, text, given))
    create(base, "places", PLACES, prepared["places"])
    for table, columns in _INDEXES:
        base.execute(f'CREATE INDEX "{table}-{"-".join(columns)}" ON "{table}" ({", ".join(columns)})')
    orders = [(name, "sequences", f.engine, f.file, line, *r.values()) for f, line, name, r in found.of("sequences")]
    names = ["joint", "applies", "order", "column", "grid_row", "source", "page"]
    create(base, "sequences", FIRST | dict.fromkeys(names, "TEXT"), orders)
    spoken.prepare(base, found, given.families)


Forms = Iterator[tuple[str, list[tuple[Any, ...]]]]


def _forms(place: tuple[Any, ...], cells: dict[str, str], given: Known) -> Forms:
    """Prepared tables and the rows that a row of the dataset gives there."""
    name, table, engine = place[:3]
    row = Row(name, table, engine, cells, _NO_CITE, given.misprints.get(name, {}))
    quantity = given.quantities.get(row.item, {})
    wide = _wide(row, place, given.units, quantity.get("limit_side", "upper"))
    yield "torques" if table == "torques" else "limits", [wide]
    numbers = _numbers(row, place, given.units)
    yield "numbers", list(numbers.values())
    yield "twins", [_twin(n, numbers[f"{c}_2"]) for c, n in numbers.items() if f"{c}_2" in numbers]
    yield "places", _placed(row, cells["position"], given)


def _placed(row: Row, text: str, given: Known) -> list[tuple[Any, ...]]:
    """Lines of `places` for the places that a row names."""
    by = (given.quantities.get(row.item) or given.joints.get(row.item, {})).get("count", "")
    family = given.families.get(row.engine)
    most = family.count(by, family.speaks(row).models) if family and by else None
    return [(row.id, n, most, by) for n in _expand(text, most)]


_INDEXES = (
    ("numbers", ("row",)),
    ("twins", ("row",)),
    ("limits", ("row",)),
    ("limits", ("engine", "quantity", "source", "page")),
    ("limits", ("engine", "quantity", "at", "speaks")),
    ("limits", ("quantity",)),
    ("torques", ("row",)),
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


@lru_cache(100_000)
def _si(value: Decimal | None, unit: units.Unit | None) -> float | None:
    return None if value is None or unit is None else float(Fraction(value) * unit.factor)


def _numbers(row: Row, place: tuple[Any, ...], known: dict[str, units.Unit]) -> dict[str, tuple[Any, ...]]:
    """Rows of `numbers` by column."""
    found = {}
    for column in PRINTED_2:
        if not row.cells.get(column):
            continue
        unit = row.cells["unit_2" if column.endswith("_2") else "unit"]
        step = numerals.step(row.cells[column]) if row.value(column) is None else row.step(column)
        si, step_si = _si(row.value(column), known.get(unit)), _si(step, known.get(unit))
        base = column.removesuffix("_2")
        text, misprint = row.cells[column], int(column in row.misprints)
        places = len(text.partition(".")[2])
        found[column] = (*place, column, base, text, unit, si, step_si, misprint, row.cells["source"], places)
    return found


def _twin(first: tuple[Any, ...], second: tuple[Any, ...]) -> tuple[Any, ...]:
    """Row of `twins` from two rows of `numbers`."""
    names = [*FIRST, *NUMBERS]
    one, two = (dict(zip(names, n, strict=True)) for n in (first, second))
    one["misprint"] = max(one["misprint"], two["misprint"])
    return (*one.values(), *(two[n] for n in ("text", "unit", "si", "step", "places")))


@cache
def _wide_columns(table: str) -> dict[str, str]:
    names = [f["name"] for f in schema(folder("schema"), table)["fields"]]
    values = [f"{end}_{kind}" for end in RANGE for kind in ("si", "step")]
    numbers = dict.fromkeys([*values, "middle_si", "middle_step", "at_si"], "REAL")
    return dict.fromkeys(names, "TEXT") | numbers | {"speaks": "TEXT"}


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
    speaks = "|".join(row.cells.get(c, "") for c in ("which", "applies", "size", "purpose", "thread"))
    return (*place, *row.cells.values(), *values, _si(at, known.get(row.cells.get("at_unit", ""))), speaks)
