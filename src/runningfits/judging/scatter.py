"""How readings of one instrument in one hand scatter, over a whole sheet."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import inf, sqrt

from ..dataset import Dataset
from . import grid
from .uncertainty import pooled, shown_in_steps

ENOUGH = 6
"""Degrees of freedom from which the repeats of a sheet speak alone."""

USUAL_FREEDOM = 4
"""Degrees of freedom that the usual repeatability of a class counts as (common practice, no source)."""


@dataclass(frozen=True)
class Scatter:
    """Standard deviation of one reading in SI units and its degrees of freedom.

    `usual` is that of the class, 0 where none is known; `pooled` that of the sheet's repeats alone, with their degrees
    of freedom in `repeats`.
    """

    deviation: float
    freedom: float
    usual: float = 0.0
    pooled: float = 0.0
    repeats: int = 0

    def shown(self, step: float) -> float:
        """Standard deviation that readings in steps show: of repeats as it is, of the class's usual hand worked out."""
        if self.repeats >= ENOUGH or not self.usual:
            return self.deviation if self.repeats else shown_in_steps(self.deviation, step)
        squares = self.repeats * self.pooled**2 + USUAL_FREEDOM * shown_in_steps(self.usual, step) ** 2
        return sqrt(squares / (self.repeats + USUAL_FREEDOM))

    def without(self, cell: Sequence[Fraction]) -> float | None:
        """Standard deviation by all repeats of the sheet but those of one place; None where there are no others."""
        own, freedom = pooled([list(cell)])
        left = self.repeats - freedom
        squares = self.pooled**2 * self.repeats - own**2 * freedom
        return sqrt(max(squares, 0.0) / left) if left > 0 else None


def scatters(kinds: dict[str, str], groups: Iterable[list[grid.Reading]], data: Dataset) -> dict[str, Scatter]:
    """Scatter of each instrument of a sheet by its id; `kinds` gives its class, `groups` the readings of each part.

    Repeats of one place and direction are pooled over the sheet; below six degrees of freedom the usual repeatability
    of the class joins as four degrees, without repeats it stands alone, as a value that is known.
    """
    repeats: defaultdict[str, list[list[Fraction]]] = defaultdict(list)
    for readings in groups:
        for (tool, _, _), cell in _cells(readings).items():
            repeats[tool].append(cell)
    return {tool: _scatter(repeats[tool], _usual(kind, data)) for tool, kind in kinds.items()}


def _cells(readings: list[grid.Reading]) -> dict[tuple[str, str, str], list[Fraction]]:
    found: defaultdict[tuple[str, str, str], list[Fraction]] = defaultdict(list)
    for r in readings:
        found[r.instrument, r.place, r.direction].append(r.value)
    return found


def _usual(kind: str, data: Dataset) -> float:
    """Usual repeatability of a class in SI units, 0 where none is known."""
    known = data.keyed("instruments")[kind]
    return float(Fraction(known["repeatability"] or 0) * data.units[known["unit"]].factor)


def _scatter(cells: list[list[Fraction]], usual: float) -> Scatter:
    deviation, freedom = pooled(cells)
    whole, known = _with_usual(deviation, freedom, usual)
    return Scatter(whole, known, usual, deviation, freedom)


def _with_usual(deviation: float, freedom: int, usual: float) -> tuple[float, float]:
    """Standard deviation and degrees of freedom of the repeats, and of the class where they are few."""
    if freedom >= ENOUGH or not usual:
        return deviation, freedom or inf
    if not freedom:
        return usual, inf
    total = freedom + USUAL_FREEDOM
    return sqrt((freedom * deviation**2 + USUAL_FREEDOM * usual**2) / total), total


NONE = Scatter(0.0, inf)
"""Nothing known of the hand."""
