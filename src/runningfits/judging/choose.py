"""Which row of the dataset applies to a reading."""

from dataclasses import dataclass
from decimal import Decimal

from .. import positions
from ..dataset import Dataset
from ..rows import Row


@dataclass(frozen=True)
class Choice:
    """The row that applies, or why none does: several remain (`candidates`), or there is none."""

    row: Row | None
    candidates: tuple[Row, ...] = ()
    passed_over: tuple[Row, ...] = ()


def choose(data: Dataset, engine: str, item: str, position: str, variant: str = "", kind: str = "new") -> Choice:
    """Row of an item at a position, of a class and variant.

    The row that speaks most closely of the place wins: a named or numbered place before `all`. Rows of two documents
    that agree are one; where they differ, choices.csv decides. Raises positions.PositionError for no position.
    """
    known = {r.id for r in data.all_rows(engine, "sizes")} | {r.id for r in data.all_rows(engine, "clearances")}
    rows = [r for r in data.rows(engine, item, position) if r.id in known and r["class"] == kind]
    rows = [r for r in rows if r["variant"] == variant] or ([] if variant else rows)
    rows = _closest(rows, position)
    rows, passed = decided(rows, data)
    distinct = _distinct(rows)
    if len(distinct) == 1:
        return Choice(distinct[0], (), passed)
    return Choice(None, tuple(distinct), passed)


def _closest(rows: list[Row], position: str) -> list[Row]:
    if not rows:
        return []
    number, name = positions.split(position)

    def rank(row: Row) -> tuple[int, int]:
        place = row["position"]
        if place == "all":
            return 2, 0
        if place == name or place == str(number):
            return 0, 0
        return 1, len(positions.numbers(place))

    best = min(rank(r) for r in rows)
    return [r for r in rows if rank(r) == best]


def decided(rows: list[Row], data: Dataset) -> tuple[list[Row], tuple[Row, ...]]:
    """Rows less those that a line of choices.csv passes over for another of them, and those."""
    ids = {r.id for r in rows}
    over = {c["over"] for c in data.table("choices") if c["row"] in ids and c["over"] in ids}
    return [r for r in rows if r.id not in over], tuple(r for r in rows if r.id in over)


def _distinct(rows: list[Row]) -> list[Row]:
    """One row for each set of numbers and conditions; of equal ones the row that was read twice."""
    found: dict[tuple[object, ...], Row] = {}
    for row in sorted(rows, key=lambda r: r["reading"] != "twice"):
        found.setdefault(_numbers(row), row)
    return list(found.values())


def _numbers(row: Row) -> tuple[object, ...]:
    values: list[Decimal | None] = [*row.range(), row.value("limit"), row.value("nominal")]
    return (*values, row["unit"], row["limit_as"], row["variant"], row["at"], row["state"], row["method"])
