"""Numbers of a result as text, in the row's unit and at its printed step."""

from fractions import Fraction
from math import floor, log10

from .. import numerals, units
from ..dataset import Dataset
from ..rows import Row

FINER = 10
"""A measured value is shown one digit finer than the row is printed."""


class Scale:
    """A unit and a step in which numbers of one result are shown."""

    def __init__(self, row: Row, data: Dataset) -> None:
        """Unit and step of a row."""
        self.unit = row["unit"]
        self.factor = data.units[self.unit].factor
        self.step = Fraction(min(numerals.step(text) for text in _numbers(row)))

    def text(self, si: Fraction | float, finer: int = FINER) -> str:
        """A number in SI as text in the unit."""
        return units.rounded(Fraction(si) / self.factor, self.step / finer)

    def up(self, si: float, digits: int = 2) -> str:
        """An uncertainty as text, rounded up to two digits."""
        value = Fraction(si) / self.factor
        if value <= 0:
            return "0"
        place = floor(log10(float(value))) - digits + 1
        unit = Fraction(10) ** place
        whole = -(-value // unit)
        return units.rounded(whole * unit, unit)


def _numbers(row: Row) -> list[str]:
    columns = ("lower", "upper", "nominal", "tolerance", "limit")
    return [row[c] for c in columns if row[c]] or ["0"]


def share(value: float | None) -> str | None:
    """A probability as text; above 0.9995 and below 0.0005 as a bound, since no model is as sure as 1 or 0."""
    if value is None:
        return None
    if value > 0.9995:
        return ">0.999"
    return "<0.001" if value < 0.0005 else f"{value:.3f}"
