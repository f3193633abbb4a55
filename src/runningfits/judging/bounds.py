"""What a row allows: new range and wear limit in SI units."""

from dataclasses import dataclass
from fractions import Fraction
from math import inf, nan

from ..dataset import Dataset
from ..rows import Row


@dataclass(frozen=True)
class Bounds:
    """New range and what is allowed with wear, in SI units; None on an open side.

    `fresh` says that the page prints a new range; `judged` that there is anything to judge by.
    """

    low: Fraction | None
    high: Fraction | None
    wear_low: Fraction | None
    wear_high: Fraction | None
    wears_up: bool
    fresh: bool
    judged: bool

    def floats(self) -> tuple[float, float, float, float]:
        """The four limits for the decision: open sides infinite, no new range NaN."""
        low, high = (_float(self.low, -inf), _float(self.high, inf)) if self.fresh else (nan, nan)
        return low, high, _float(self.wear_low, -inf), _float(self.wear_high, inf)


def _float(value: Fraction | None, missing: float) -> float:
    return missing if value is None else float(value)


def bounds(row: Row, data: Dataset) -> Bounds:
    """Bounds of a row by the side on which its quantity wears.

    A limit on the worn side widens what is allowed there; a limit that lies inside the new range never narrows it.
    """
    side = data.quantities[row.item]["limit_side"]
    factor = data.units[row["unit"]].factor
    low, high = (None if v is None else Fraction(v) * factor for v in row.range())
    limit = row.limit(side)
    worn = None if limit is None else Fraction(limit) * factor
    if side == "both" and worn is not None:
        side = "lower" if low is not None and worn <= low else "upper"
    wear_low, wear_high = low, high
    if worn is not None and side == "lower":
        wear_low = worn if low is None else min(low, worn)
    if worn is not None and side == "upper":
        wear_high = worn if high is None else max(high, worn)
    fresh = low is not None or high is not None
    return Bounds(low, high, wear_low, wear_high, side != "lower", fresh, fresh or worn is not None)
