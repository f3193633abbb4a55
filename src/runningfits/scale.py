"""Numbers as text, in the row's unit and at its printed step."""

from dataclasses import dataclass
from fractions import Fraction
from math import floor, log10

from . import numerals, units
from .dataset import Dataset
from .rows import Row

FINER = 10
"""A measured value is shown one digit finer than the row is printed."""


USUAL_STEPS = {"in": Fraction(1, 10_000), "mm": Fraction(1, 1000)}
"""Steps in which lengths are shown where no row gives one."""


@dataclass(frozen=True)
class Scale:
    """A unit, its factor to SI, and the step in which numbers of one result are shown."""

    unit: str
    factor: Fraction
    step: Fraction

    def into(self, unit: str, factor: Fraction) -> "Scale":
        """The same step in another unit."""
        return Scale(unit, factor, self.step * self.factor / factor)

    def text(self, si: Fraction | float, finer: int = FINER) -> str:
        """A number in SI as text in the unit."""
        return units.rounded(Fraction(si) / self.factor, self.step / finer)

    def shows(self, si: Fraction) -> bool:
        """Whether a number in SI is not 0 as text."""
        return bool(Fraction(self.text(si)))

    def up(self, si: float, digits: int = 2) -> str:
        """An uncertainty as text, rounded up to two digits."""
        value = Fraction(si) / self.factor
        if value <= 0:
            return "0"
        place = floor(log10(float(value))) - digits + 1
        unit = Fraction(10) ** place
        whole = -(-value // unit)
        return units.rounded(whole * unit, unit)


def of_row(row: Row, data: Dataset) -> Scale:
    """Unit and finest printed step of a row."""
    steps = [Fraction(numerals.step(text)) for text in _numbers(row)]
    return Scale(row["unit"], data.units[row["unit"]].factor, min(steps))


def _numbers(row: Row) -> list[str]:
    columns = ("lower", "upper", "nominal", "tolerance", "limit")
    return [row[c] for c in columns if row[c]] or ["0"]
