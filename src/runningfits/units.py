"""Units of the closed list, converted exactly."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from .numerals import plain


@dataclass(frozen=True, eq=False)
class Unit:
    """A unit: its name, what it measures, its exact factor to SI, its name in words."""

    unit: str
    dimension: str
    factor: Fraction
    label: str


class UnitError(ValueError):
    """A unit that is not in the closed list, or that measures something else."""


def from_rows(rows: list[dict[str, str]]) -> dict[str, Unit]:
    """Units by name from the rows of `units.csv`."""
    return {r["unit"]: Unit(r["unit"], r["dimension"], Fraction(r["factor"]), r["label"]) for r in rows}


def pick(units: dict[str, Unit], name: str, dimension: str | None = None) -> Unit:
    """The unit of that name; raises UnitError when it is unknown or of another dimension."""
    unit = units.get(name)
    if unit is None:
        raise UnitError(f'"{name}" is not a unit of the list: {", ".join(_known(units, dimension))}')
    if dimension and unit.dimension != dimension:
        raise UnitError(f'"{name}" measures {unit.dimension}, expected a unit of {dimension}')
    return unit


def convert(value: Decimal, start: Unit, end: Unit) -> Fraction:
    """Exact value in another unit of the same dimension; raises UnitError for another dimension.

    Temperatures convert as differences.
    """
    if start.dimension != end.dimension:
        raise UnitError(f"{start.unit} does not convert to {end.unit}")
    return Fraction(value) * start.factor / end.factor


def rounded(value: Fraction, step: Fraction) -> str:
    """A converted value as text, with digits enough to keep a printed step (both in the end unit)."""
    digits = 0
    while Fraction(1, 10**digits) > step and digits < 12:
        digits += 1
    scaled = round(value * 10**digits)
    return plain(Decimal(scaled).scaleb(-digits))


def _known(units: dict[str, Unit], dimension: str | None) -> list[str]:
    return sorted(u.unit for u in units.values() if dimension in (None, u.dimension))
