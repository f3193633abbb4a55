"""Where several documents speak of one thing: which agree, which differ, which is used for judging."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from ..dataset import Dataset
from ..engine_models import Family
from ..rows import Row
from ..shown import label, places_of
from ..tables import LIMITS
from .both_units import ranges
from .html import cited, link, row_anchor, table, text


@dataclass(frozen=True)
class Shared:
    """Rows of several documents for one item, place, part, size and condition, for models that they share."""

    rows: tuple[Row, ...]
    over: frozenset[str]

    @property
    def agree(self) -> bool:
        """Whether one number of each, in a unit that they share, is the same throughout."""
        return all(same(self.rows[0], r) for r in self.rows[1:])


def shared(data: Dataset, engine: str) -> list[Shared]:
    """What several documents print for one engine: ranges and tightening steps."""
    over = {c["over"] for c in data.table("choices")}
    groups: dict[tuple[str, ...], list[Row]] = {}
    for name in (*LIMITS, "torques"):
        for row in data.all_rows(engine, name):
            key = (name, row.item, row["position"], *(row.cells.get(p, "") for p in TELLING))
            groups.setdefault(key, []).append(row)
    family = data.family(engine)
    several = (
        g for rows in groups.values() for g in _of_shared_models(rows, family) if len({r["source"] for r in g}) > 1
    )
    return [Shared(tuple(g), frozenset(r.id for r in g if r.id in over)) for g in several]


TELLING = ("which", "purpose", "thread", "class", "size", "at", "state", "method", "step")
"""Columns beside `applies` that tell rows of one item and place apart."""


def _of_shared_models(rows: Iterable[Row], family: Family) -> Iterable[list[Row]]:
    """Rows in groups that name the same parts and whose models overlap, directly or through one another."""
    found: list[tuple[Mapping[str, frozenset[str]], set[str], list[Row]]] = []
    for row in rows:
        speaks = family.speaks(row)
        mine = [g for g in found if g[0] == speaks.parts and g[1] & speaks.models]
        models = set(speaks.models).union(*(g[1] for g in mine))
        found = [g for g in found if g not in mine]
        found.append((speaks.parts, models, [*(r for g in mine for r in g[2]), row]))
    return [g[2] for g in found]


def same(one: Row, other: Row) -> bool:
    """Whether two rows print the same range and limit in a unit that both print."""
    for a in ("", "_2"):
        for b in ("", "_2"):
            if one[f"unit{a}"] and one[f"unit{a}"] == other[f"unit{b}"]:
                return _numbers(one, a) == _numbers(other, b)
    return False


def _numbers(row: Row, suffix: str) -> tuple[object, ...]:
    low, high = row.range(suffix)
    nominal = row.value("nominal" + suffix) if low is None and high is None else None
    limits = (row.value("limit" + suffix), row["limit_as"]) if row.table != "torques" else ()
    return low, high, nominal, *limits


def summary(found: Iterable[Shared]) -> str:
    """How many agree, in words."""
    found = list(found)
    same = sum(s.agree for s in found)
    if not found:
        return "No two documents that were read speak of the same fit, part or step of this engine."
    return (
        f"Of {len(found)} fits, parts and steps that two or more documents print, {same} agree to the last digit in a "
        f"unit that they share; {len(found) - same} differ or share no unit."
    )


def differing(data: Dataset, found: Iterable[Shared]) -> str:
    """A table of those that differ, with what each document prints."""
    rows = []
    for s in (s for s in found if not s.agree):
        for n, row in enumerate(s.rows):
            what = f"{text(label(row, data))}, {text(places_of(row, data))}" if n == 0 else "the same"
            values, limits = ranges(row)
            rows.append(
                [
                    what,
                    link(f"#{row_anchor(row)}", text(" / ".join(values)) or "limit alone"),
                    text(" / ".join(limits)),
                    _used(row, s),
                    cited(row.cite),
                ]
            )
    return table(("What", "Range", "Limit", "For judging", "Page"), rows) if rows else ""


def _used(row: Row, found: Shared) -> str:
    if row.id in found.over:
        return "passed over"
    return "used" if found.over else "no choice made"
