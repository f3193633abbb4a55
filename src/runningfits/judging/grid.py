"""Readings of one item at one position: a grid of places and directions, and the value that counts."""

from collections import Counter, defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import sqrt

from .coverage import Order, of_largest, of_spread
from .temperature import STEEL

Cells = dict[tuple[str, str], list[Fraction]]


@dataclass(frozen=True)
class Reading:
    """One reading in SI units: exact value, half-width where it lies between two marks, and what it was taken with.

    `expansion` is that of the part, in 1e-6 per kelvin; `temperature_known` says that the sheet gives how warm it was,
    `least_only` that the value is known to be at least this, `shift` what known corrections have added to the value.
    """

    index: int
    part: str
    place: str
    direction: str
    value: Fraction
    half_width: Fraction
    instrument: str
    expansion: Fraction = STEEL
    temperature_known: bool = True
    least_only: bool = False
    shift: Fraction = Fraction(0)


def cells(readings: list[Reading]) -> Cells:
    """Repeated readings by place and direction."""
    found: defaultdict[tuple[str, str], list[Fraction]] = defaultdict(list)
    for r in readings:
        found[r.place, r.direction].append(r.value)
    return dict(found)


def means(grid: Cells) -> dict[tuple[str, str], Fraction]:
    """Mean of the repeats of each cell."""
    return {k: sum(v, Fraction(0)) / len(v) for k, v in grid.items()}


def _mean(values: list[Fraction]) -> Fraction:
    return sum(values, Fraction(0)) / len(values)


def cross_difference(grid: Cells) -> Fraction | None:
    """Largest difference between directions at one place; None with fewer than two directions anywhere."""
    return _largest_span(grid, by=0)


def end_difference(grid: Cells) -> Fraction | None:
    """Largest difference between places in one direction; None with fewer than two places anywhere."""
    return _largest_span(grid, by=1)


def _largest_span(grid: Cells, by: int) -> Fraction | None:
    groups: defaultdict[str, list[Fraction]] = defaultdict(list)
    for key, value in means(grid).items():
        groups[key[by]].append(value)
    spans = [max(v) - min(v) for v in groups.values() if len(v) > 1]
    return max(spans) if spans else None


def spread(grid: Cells) -> Fraction | None:
    """Largest reading minus the smallest; None with a single reading."""
    found = list(means(grid).values())
    return max(found) - min(found) if len(found) > 1 else None


def neighbour_difference(grid: Cells) -> Fraction | None:
    """Largest difference between the means of two neighbouring places, in the order of the sheet; None with one."""
    by_place: defaultdict[str, list[Fraction]] = defaultdict(list)
    for (place, _), value in means(grid).items():
        by_place[place].append(value)
    found = [_mean(v) for v in by_place.values()]
    return max((abs(a - b) for a, b in pairwise(found)), default=None)


def _over(pick: Callable[[list[Fraction]], Fraction]) -> Callable[[Cells], Fraction | None]:
    return lambda grid: pick(list(means(grid).values()))


def _half(grid: Cells) -> Fraction | None:
    return max(means(grid).values()) / 2


SINGLE: dict[str, Callable[[Cells], Fraction | None]] = {
    "cross-difference": cross_difference,
    "dial-total": _over(max),
    "end-difference": end_difference,
    "half-dial": _half,
    "largest": _over(max),
    "mean": _over(_mean),
    "mean-then-largest": _over(_mean),
    "neighbour-difference": neighbour_difference,
    "smallest": _over(min),
    "spread": spread,
    "total-travel": _over(max),
    "widest-gap": _over(max),
    "widest-strip": _over(min),
}
"""What counts of one part's readings, by method."""

PAIRED: dict[str, tuple[str, str]] = {
    "largest-bore-minus-largest-shaft": ("largest", "largest"),
    "largest-bore-minus-smallest-shaft": ("largest", "smallest"),
    "mean-bore-minus-mean-shaft": ("mean", "mean"),
    "smallest-bore-minus-largest-shaft": ("smallest", "largest"),
    "smallest-bore-minus-mean-shaft": ("smallest", "mean"),
}
"""What counts of the bore and of the shaft, by method of a clearance."""

DIFFERENCES = ("cross-difference", "end-difference", "neighbour-difference", "spread")
"""Methods that give a difference of two readings, in which the scale error drops out."""


LEAST = ("smallest", "widest-strip")
"""Methods of which the smallest reading counts."""


def order(method: str, grid: Cells) -> tuple[Order, float]:
    """Error of what a method counts of a grid, and by which factor the scatter of its readings is lowered first."""
    if method not in DIFFERENCES:
        return of_largest(len(grid)), 1.0
    places, directions = Counter(p for p, _ in grid), Counter(d for _, d in grid)
    if method == "spread":
        return of_spread(len(grid)), 1.0
    if method == "neighbour-difference":
        return of_spread(2, len(places) - 1), 1 / sqrt(min(places.values()))
    groups = [n for n in (places if method == "cross-difference" else directions).values() if n > 1]
    return of_spread(max(groups), len(groups)), 1.0


def single_method(method: str, part: str, limit_side: str) -> str:
    """Method for readings of one part where the row's own method is for a pair, or where none is given.

    The widest part of a strip counts; of direct readings the worst on the side of wear.
    """
    if part == "strip":
        return "widest-strip"
    if method in SINGLE:
        return method
    return {"upper": "largest", "lower": "smallest", "both": "mean"}[limit_side]


def pair_method(method: str) -> str:
    """Method for a bore and a shaft where the row's own method is for one part, or where none is given."""
    return method if method in PAIRED else "mean-bore-minus-mean-shaft"
