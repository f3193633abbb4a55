"""Both units of a row: as printed, and converted where the page prints one."""

from ..dataset import Dataset
from ..rows import Row
from ..shown import in_one_unit, limit, span

OTHER = {
    "in": "mm", "thou": "mm", "ft": "m", "mm": "in", "um": "in", "m": "ft",
    "lbf.ft": "N.m", "lbf.in": "N.m", "N.m": "lbf.ft", "kgf.m": "N.m", "kgf.cm": "N.m",
    "lbf": "N", "ozf": "N", "kgf": "N", "N": "lbf", "oz": "g", "lb": "kg", "g": "oz", "kg": "lb",
}  # fmt: skip
"""The unit that a number is also shown in where its page prints one unit only."""

SIGNS = {"lbf.ft": "lbf·ft", "lbf.in": "lbf·in", "N.m": "N·m", "kgf.m": "kgf·m", "kgf.cm": "kgf·cm", "deg": "°"}
"""Units as they are written for the eye."""


def shown(words: str) -> str:
    """A range in words with its units as they are written for the eye."""
    for name, sign in SIGNS.items():
        words = words.replace(f" {name}", sign if sign == "°" else f" {sign}")
    return words


def ranges(row: Row) -> tuple[list[str], list[str]]:
    """New range and wear limit as printed, a text a unit."""
    suffixes = ("", "_2") if row["unit_2"] else ("",)
    limits = [limit(row, s) for s in suffixes] if row.table != "torques" else []
    return [shown(s) for s in (span(row, x) for x in suffixes) if s], [shown(s) for s in limits if s]


Four = tuple[float | None, float | None, float | None, float | None]


def numbers(row: Row, data: Dataset) -> Four:
    """Lower and upper end, a lone single value, and the limit as a value; None for none.

    In mm, degrees, N, N.m or g.
    """
    ends = row.range()
    one = row.value("nominal") if ends == (None, None) else None
    unit = data.units[row["unit"]]
    scale = float(unit.factor) * (1000 if unit.dimension in ("length", "mass") else 1)
    found = (*ends, one, row.limit(data.quantities[row.item]["limit_side"]))
    low, high, single, limit_ = (None if v is None else float(v) * scale for v in found)
    return low, high, single, limit_


def converted(row: Row, data: Dataset) -> tuple[str, str]:
    """Range and limit in the other unit where the page prints one alone, at the printed step; else empty."""
    unit = OTHER.get(row["unit"], "")
    if row["unit_2"] or not unit:
        return "", ""
    words, limits = in_one_unit(row, data, unit)
    return shown(words), shown(limits)
