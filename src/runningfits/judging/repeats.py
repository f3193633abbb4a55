"""Repeats of one place that lie farther apart than instrument and hand can bring them."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import inf

from . import grid
from .causes import limit_of
from .values import Means

WILD = 6
"""How many standard deviations of the hand repeats may lie apart: two do in all but one of 40,000 pairs, five in all
but one of 5,000."""

WORST_HAND = 5
"""How many times the usual spread of its class the worst hand has that still measures (common practice, no source)."""


@dataclass(frozen=True)
class Apart:
    """How far the repeats of a place lie apart, and how far they may, in SI units; infinite where nobody knows."""

    range: float
    allowed: float

    @property
    def wild(self) -> bool:
        """Whether they lie farther apart than they may."""
        return self.range > self.allowed


def apart(readings: Iterable[grid.Reading], means: Means) -> dict[int, Apart]:
    """How far the repeats of each reading's place lie apart, by the number of the reading.

    A place's own repeats do not count for the hand that they are held against: one that scatters would excuse itself,
    and many good ones elsewhere would thin it.
    """
    places: defaultdict[tuple[str, str, str], list[grid.Reading]] = defaultdict(list)
    for r in readings:
        places[r.part, r.place, r.direction].append(r)
    return {r.index: found for own in places.values() for found in [_apart(own, means)] for r in own}


def _apart(own: list[grid.Reading], means: Means) -> Apart:
    values = [r.value for r in own]
    tools = sorted({r.instrument for r in own})
    hand = max(_hand([r.value for r in own if r.instrument == t], t, means) for t in tools)
    step = max(means.tools[t].resolution for t in tools)
    marks = 2 * float(max(r.half_width for r in own))
    size = float(max(map(abs, values)))
    scales = sum(limit_of(t, means.tools, size) for t in tools) if len(tools) > 1 else 0.0
    return Apart(float(max(values) - min(values)), WILD * hand + step + marks + scales)


def _hand(own: list[Fraction], tool: str, means: Means) -> float:
    """Spread of the hand with an instrument as the rest of the sheet shows it, no better than its class and no worse
    than the worst hand; infinite where neither class nor sheet tells."""
    scatter = means.scatter[tool]
    shown, usual = scatter.without(own), scatter.usual
    if not usual:
        return inf if shown is None else shown
    return min(max(shown or 0.0, usual), WORST_HAND * usual)
