"""The joined tables: engines together in one table of each kind, with ids and SI values."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from .. import tables
from ..auditing.form import schema
from ..dataset import Dataset
from ..places import folder
from ..rows import Row

Value = str | float | int | None


@dataclass(frozen=True)
class Column:
    """A column of a joined table: its Table Schema field, and the type of its cells (text, real or whole)."""

    field: dict[str, Any]
    kind: str

    @property
    def name(self) -> str:
        """Name of the column."""
        return str(self.field["name"])


@dataclass(frozen=True)
class Link:
    """Columns whose cells stand in another table, under its columns `to`."""

    columns: tuple[str, ...]
    table: str
    to: tuple[str, ...]


@dataclass(frozen=True)
class Table:
    """A joined table: columns, and rows in the order of the dataset."""

    name: str
    title: str
    description: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Value, ...], ...]
    key: tuple[str, ...]
    links: tuple[Link, ...] = ()


ID = {
    "name": "id",
    "type": "string",
    "title": "Id",
    "description": "Id of the row, derived from its key",
    "constraints": {"required": True, "unique": True},
}
ENGINE = {
    "name": "engine",
    "type": "string",
    "title": "Engine",
    "description": "Id of the engine family",
    "constraints": {"required": True},
}


def _real(name: str, title: str) -> Column:
    text = f"{title} in SI units, derived; a registered misprint corrected"
    return Column({"name": name, "type": "number", "title": f"{title}, SI", "description": text}, "real")


TORQUE_SI = (_real("lower_si", "Lower end"), _real("upper_si", "Upper end"), _real("nominal_si", "Single value"))
RANGE_SI = (*TORQUE_SI[:2], _real("limit_si", "Wear limit as a value"), TORQUE_SI[2])


def joined(data: Dataset) -> list[Table]:
    """The tables of the engines joined, then the shared tables."""
    return [_engines(data, t) for t in tables.PER_ENGINE] + [_shared(data, t) for t in tables.SHARED]


def _columns(table: str) -> list[Column]:
    """Columns as the source has them; printed numbers stay text, so that trailing zeros are kept."""
    fields = schema(folder("schema"), table)["fields"]
    return [Column(f, "whole" if f["type"] == "integer" else "text") for f in fields]


def _engines(data: Dataset, table: str) -> Table:
    if table not in (*tables.ROWS, "sequences"):
        return _plain(data, table)
    more: tuple[Column, ...] = {"torques": TORQUE_SI, "sequences": ()}.get(table, RANGE_SI)
    own = _columns(table)
    columns = (Column(ID, "text"), Column(ENGINE, "text"), *own, *more)
    values: Callable[[Row, Dataset], tuple[Value, ...]] = _SI.get(table, _range_si)
    rows = [
        (row.id, engine, *(_cell(row.cells[c.name], c) for c in own), *values(row, data))
        for engine in sorted(data.engines)
        for row in data.all_rows(engine, table)
    ]
    return _joined(table, columns, rows)


def _joined(table: str, columns: tuple[Column, ...], rows: Sequence[tuple[Value, ...]]) -> Table:
    """A table of all engines together, each row by its id and with its family."""
    described = schema(folder("schema"), table)
    links = (_FAMILY, *_links(described))
    return Table(table, described["title"], described["description"], columns, tuple(rows), ("id",), links)


def _plain(data: Dataset, table: str) -> Table:
    """A table of the engines whose lines are no ranges: what an engine is, and what its documents are for."""
    own = [_of_many(c) for c in _columns(table)]
    rows = [
        (tables.row_id(table, engine, r), engine, *(_cell(r[c.name], c) for c in own))
        for engine in sorted(data.engines)
        for r in tables.of_engine(data.path, engine, table)
    ]
    columns = (Column(ID, "text"), Column(ENGINE, "text"), *own)
    return _joined(table, columns, rows)


def _of_many(column: Column) -> Column:
    """A column without the demand that its cells be unique, which holds within one engine alone."""
    rules = {k: v for k, v in column.field.get("constraints", {}).items() if k != "unique"}
    return Column(column.field | {"constraints": rules}, column.kind)


def _shared(data: Dataset, table: str) -> Table:
    described = schema(folder("schema"), table)
    columns = _columns(table)
    rows = tuple(tuple(_cell(r[c.name], c) for c in columns) for r in data.table(table))
    return Table(
        table,
        described["title"],
        described["description"],
        tuple(columns),
        rows,
        tuple(described["primaryKey"]),
        _links(described),
    )


_FAMILY = Link(("engine",), "engines", ("engine",))
"""Each row of an engine's table stands under its family."""


def _links(described: dict[str, Any]) -> tuple[Link, ...]:
    """Links that a table's schema names."""
    keys = ((k["fields"], k["reference"]) for k in described.get("foreignKeys", ()))
    return tuple(Link(tuple(own), to["resource"], tuple(to["fields"])) for own, to in keys)


def _cell(text: str, column: Column) -> Value:
    if not text:
        return None
    return int(text) if column.kind == "whole" else text


def _si(value: Decimal | None, row: Row, data: Dataset) -> float | None:
    return None if value is None or not row["unit"] else float(Fraction(value) * data.units[row["unit"]].factor)


def _range_si(row: Row, data: Dataset) -> tuple[Value, ...]:
    low, high = row.range()
    limit = row.limit(data.quantities[row.item]["limit_side"])
    return tuple(_si(v, row, data) for v in (low, high, limit, row.value("nominal")))


def _torque_si(row: Row, data: Dataset) -> tuple[Value, ...]:
    low, high = row.range()
    return tuple(_si(v, row, data) for v in (low, high, row.value("nominal")))


_SI: dict[str, Callable[[Row, Dataset], tuple[Value, ...]]] = {"torques": _torque_si, "sequences": lambda row, data: ()}
"""SI values of the tables that are no ranges."""
