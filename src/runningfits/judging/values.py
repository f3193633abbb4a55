"""From readings to values with their uncertainty."""

from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from math import inf
from typing import Any

from ..dataset import Dataset
from ..numerals import parse
from ..units import Unit, convert, pick
from . import coverage, grid
from .causes import of_chance, of_scale, of_temperatures
from .instruments import Instrument
from .scatter import Scatter
from .temperature import Temperatures, correction, expansion, known
from .uncertainty import Component, combined, effective_freedom, reach


@dataclass(frozen=True)
class Value:
    """A value in SI units with its components of uncertainty and how it was found.

    `read` is what is counted of the readings, exact. `lifts` are by how much it is off on the average where several
    readings, of which the largest, the smallest or the spread counts, are alike. `least_only` says that the value is a
    bound: a feeler went, and no next leaf is named. `positive` values are differences, never below zero. `marks` is how
    far the marks or leaves between which it was read lie from it.
    """

    read: Fraction
    components: tuple[Component, ...]
    way: str
    method: str
    readings: tuple[int, ...]
    lifts: tuple[float, ...] = ()
    least_only: bool = False
    positive: bool = False
    marks: float = 0.0

    @property
    def value(self) -> Fraction:
        """The value: what was read less its bias."""
        return self.read - self.bias

    @cached_property
    def _ends(self) -> tuple[float, float]:
        """How far the readings may lie above and below the truth; a difference cannot be less than nothing."""
        up, down = sum(x for x in self.lifts if x > 0), -sum(x for x in self.lifts if x < 0)
        parts = list(self.components)
        above, below = coverage.half_widths(self.combined, reach(parts), up, down)
        wider = self.factor / coverage.NORMAL
        above *= wider
        return min(above, float(self.read)) if self.positive else above, below * wider

    @property
    def bias(self) -> Fraction:
        """What is taken off the readings: the middle of what their scatter may have added; of a difference never less
        than nothing, since it is read too large."""
        above, below = self._ends
        return Fraction(max((above - below) / 2, 0.0 if self.positive else -inf))

    @property
    def combined(self) -> float:
        """Combined standard uncertainty."""
        return combined(list(self.components))

    @property
    def factor(self) -> float:
        """Coverage factor for 95 % from the effective degrees of freedom."""
        return coverage.factor(effective_freedom(list(self.components)))

    @property
    def expanded(self) -> float:
        """Expanded uncertainty: 95 % of what the value may be lies within it."""
        _, below = self._ends
        return below + float(self.bias)

    @property
    def standard(self) -> float:
        """Standard deviation of the normal distribution of which the expanded uncertainty holds 95 %."""
        return self.expanded / coverage.NORMAL

    @property
    def least(self) -> float:
        """Low end of what the value may be."""
        least = float(self.value) - self.expanded
        return max(least, 0.0) if self.positive else least

    @property
    def most(self) -> float:
        """High end of what the value may be; infinite where only a bound was measured."""
        return inf if self.least_only else float(self.value) + self.expanded


FEELER = "feeler-gauge"
"""Kind of instrument whose leaf tells only that the gap is at least as wide, unless the next leaf is named too."""


def reading(
    raw: dict[str, Any],
    index: int,
    data: Dataset,
    warmth: Temperatures,
    kind: str,
    shift: Fraction = Fraction(0),
    end: Fraction | None = None,
) -> grid.Reading:
    """A reading of the sheet in SI units, its instrument's known correction added, at 20 degrees Celsius.

    `kind` is the kind of its instrument, `end` the most that this one measures where the sheet says it:
    a strip or a leaf that reads so much tells only that the gap is at least as wide.
    """
    unit = pick(data.units, raw["unit"])
    low = _si(parse(raw["value"]), unit) + shift
    high = _si(parse(raw["to"]), unit) + shift if "to" in raw else low
    factor = correction(raw, data, warmth)
    middle = (low + high) / 2 * factor
    place, direction = raw.get("place", ""), raw.get("direction", "")
    half, tool = (high - low) / 2, raw["instrument"]
    return grid.Reading(
        index=index,
        part=raw["part"],
        place=place,
        direction=direction,
        value=middle,
        half_width=half,
        instrument=tool,
        expansion=expansion(raw, data, warmth),
        temperature_known=known(raw, warmth),
        least_only=_is_bound(raw, kind) or _reaches_end(high - shift, kind, end),
        shift=shift * factor,
    )


def _is_bound(raw: dict[str, Any], kind: str) -> bool:
    """Whether a leaf goes and the next one, that does not, is not named."""
    return kind == FEELER and raw["part"] == "gap" and "to" not in raw


def _reaches_end(high: Fraction, kind: str, end: Fraction | None) -> bool:
    """Whether a strip reads all that it measures, or the leaf that does not go is thicker than any of its set."""
    if end is None:
        return False
    return high >= end if kind == "strip" else kind == FEELER and high > end


def most_measured(tool: dict[str, Any], data: Dataset) -> Fraction | None:
    """The most that an instrument of a sheet measures as the sheet says it, in SI units; None where it says nothing."""
    return Fraction(tool["range_to"]) * data.units[tool["unit"]].factor if "range_to" in tool else None


def _si(value: Decimal, unit: Unit) -> Fraction:
    return convert(value, unit, Unit("", unit.dimension, Fraction(1), ""))


@dataclass(frozen=True)
class Means:
    """What readings were taken with: instruments and their scatter by id, and how warm everything was."""

    tools: dict[str, Instrument]
    scatter: dict[str, Scatter]
    warmth: Temperatures


def part_value(readings: list[grid.Reading], method: str, means: Means, thermal: bool) -> Value | None:
    """Value of one part's readings by a method, or None where the method needs more readings."""
    if method == "half-dial":
        whole = part_value(readings, "dial-total", means, thermal)
        return _halved(whole) if whole else None
    cells = grid.cells(readings)
    counted = grid.SINGLE[method](cells)
    if counted is None:
        return None
    chance, lift = of_chance(readings, cells, method, means.tools, means.scatter)
    parts = [*chance, *of_scale(readings, method, means.tools, float(abs(counted)))]
    if thermal and method not in grid.DIFFERENCES:
        parts += of_temperatures(readings, float(abs(counted)), means.warmth)
    return Value(
        read=counted,
        components=tuple(parts),
        way=readings[0].part,
        method=method,
        readings=tuple(dict.fromkeys(r.index for r in readings)),
        lifts=(lift,) if lift else (),
        least_only=any(r.least_only for r in readings),
        positive=method in grid.DIFFERENCES,
        marks=float(max(r.half_width for r in readings)),
    )


def _halved(whole: Value) -> Value:
    """Half of the dial's swing, with half of its uncertainty (JCGM 100:2008, 5.1.2)."""
    parts = tuple(
        replace(c, standard=c.standard / 2, reach=None if c.reach is None else c.reach / 2) for c in whole.components
    )
    lifts = tuple(x / 2 for x in whole.lifts)
    return replace(whole, read=whole.read / 2, components=parts, method="half-dial", lifts=lifts, marks=whole.marks / 2)


def difference(bore: Value, shaft: Value, method: str) -> Value:
    """Bore minus shaft; causes that both share cancel (JCGM 100:2008, 5.2.2)."""
    taken = [replace(c, sign=-c.sign) for c in shaft.components]
    return Value(
        read=bore.read - shaft.read,
        components=(*bore.components, *taken),
        way="bore minus shaft",
        method=method,
        readings=bore.readings + shaft.readings,
        lifts=(*bore.lifts, *(-x for x in shaft.lifts)),
        marks=bore.marks + shaft.marks,
    )
