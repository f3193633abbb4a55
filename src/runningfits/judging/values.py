"""From readings to values with their uncertainty."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from math import hypot, inf, sqrt
from typing import Any

from ..dataset import Dataset
from ..numerals import parse
from ..units import Unit, convert, pick
from . import coverage, grid
from .instruments import Instrument, settings
from .scatter import Scatter
from .temperature import STEEL, UNKNOWN_KELVIN, Temperatures, correction, expansion, known
from .uncertainty import Component, combined, effective_freedom, grown, left_by_steps, limits, reach, resolved


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
    chance, lift = _chance(readings, cells, method, means)
    parts = [*chance, *_scale(readings, method, means.tools, float(abs(counted)))]
    if thermal and method not in grid.DIFFERENCES:
        parts += _warmth(readings, float(abs(counted)), means.warmth)
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


IN_WHOLE_STEPS = 1 / 4
"""What a difference of readings in steps may read too large beside the smooth formula, in steps: of single readings so
much, of means of n, which move in finer steps, by n^2 less (by simulation)."""


def _chance(
    readings: list[grid.Reading], cells: grid.Cells, method: str, means: Means
) -> tuple[list[Component], float]:
    """Repeats, and steps or marks, of what is counted, and by how much they lift it where all places are alike.

    Readings that all show the same number share the error of its step; numbers that differ have each its own. A mean
    over n lowers the error by sqrt n; the largest, the smallest and a spread of several are lifted (see coverage.py).
    """
    part = readings[0].part
    widest = max((means.scatter[r.instrument] for r in readings), key=lambda s: s.deviation)
    marks = max(r.half_width for r in readings)
    between = 2 * float(marks) or max(means.tools[r.instrument].resolution for r in readings)
    count = min(len(v) for v in cells.values())
    repeated, step = _of_place(widest, between, count)
    name = f"{'marks' if marks else 'step of the instrument'} on the {part}"
    if method.startswith("mean"):
        numbers = len(set(grid.means(cells).values()))
        by_hand = Component(f"repeats on the {part}", repeated / sqrt(len(cells)), freedom=widest.freedom)
        return [by_hand, Component(name, step / sqrt(numbers))], 0.0
    order, lowered = grid.order(method, cells)
    alike = len({r.value for r in readings}) == 1
    repeated, shared = repeated * lowered, step
    step = step * lowered
    lift = order.lift * (repeated if alike else hypot(repeated, step))
    if method in grid.DIFFERENCES:
        lift += lowered * between * IN_WHOLE_STEPS / count**2
    by_hand = Component(
        f"repeats on the {part}", repeated * order.alone, freedom=widest.freedom, reach=repeated * order.reach
    )
    by_step = (
        Component(name, shared * order.alone, flat=True)
        if alike
        else Component(name, step * order.alone, reach=step * order.reach)
    )
    return [by_hand, by_step], -lift if method in grid.LEAST else lift


def _of_place(hand: Scatter, step: float, count: int) -> tuple[float, float]:
    """Standard deviations that hand and step give the mean of so many readings of one place.

    Repeats in steps show both at once: what they show goes by sqrt n, what it leaves of the step stays. A place that
    was read once by a hand that no repeat shows has the hand of its class and the whole step.
    """
    if count == 1 and not hand.repeats:
        return hand.deviation, resolved(step)
    shown = hand.shown(step)
    return shown / sqrt(count), left_by_steps(shown, step)


def _scale(readings: list[grid.Reading], method: str, tools: dict[str, Instrument], size: float) -> Iterator[Component]:
    """Limits of the instruments, of what they were set on, and zero shifts.

    They drop out of a difference of readings of one instrument; of a mean each has its share, of a largest or smallest
    the widest counts.
    """
    part = readings[0].part
    shares = {t: sum(r.instrument == t for r in readings) / len(readings) for t in {r.instrument for r in readings}}
    used = [tools[t] for t in sorted(shares)]
    if method in grid.DIFFERENCES and len(used) == 1:
        return
    if not method.startswith("mean") and method not in grid.DIFFERENCES:
        used = [max(used, key=lambda t: _limit(t, size))]
    for tool in used:
        share = shares[tool.id] if method.startswith("mean") else 1.0
        yield limits(_scale_key(tool, part), _limit(tool, size) * share)
        if tool.zero_shift:
            yield limits(f"zero of {tool.id}", tool.zero_shift * share)
        for base in settings(tool, tools):
            yield limits(_scale_key(base, "shaft"), _limit(base, size) * share)
            if base.zero_shift:
                yield limits(f"zero of {base.id}", base.zero_shift * share)


def _limit(tool: Instrument, size: float) -> float:
    """Limit of error of an instrument at a size."""
    return tool.percent / 100 * size if tool.percent else tool.mpe


def limit_of(tool: str, tools: dict[str, Instrument], size: float) -> float:
    """How far an instrument may be off at a size with its zero, and with what it was set on."""
    own = tools[tool]
    base = tools[own.set_on] if own.set_on else None
    lent = base.mpe + base.zero_shift if base else 0.0
    return _limit(own, size) + own.zero_shift + lent


def _scale_key(tool: Instrument, part: str) -> str:
    """One cause for one instrument on one kind of part: jaws for bores are others than those for shafts."""
    return f"limit of {tool.id} on the {part}"


def _warmth(readings: list[grid.Reading], size: float, warmth: Temperatures) -> Iterator[Component]:
    """What temperatures add: part and instrument apart, a temperature that nobody gave, instruments of another."""
    part, widest = readings[0].part, max(readings, key=lambda r: abs(r.expansion - STEEL))
    apart = grown(size, float(max(r.expansion for r in readings)), float(warmth.spread))
    yield limits(f"temperature of the {part}", apart)
    unlike = float(STEEL - widest.expansion)
    if not all(r.temperature_known for r in readings):
        spread = grown(size, abs(unlike), UNKNOWN_KELVIN)
        yield limits("temperature that was not given", spread, 1 if unlike >= 0 else -1)
    if warmth.room_half:
        apart = grown(size, float(STEEL), float(warmth.room_half))
        yield limits("temperature of the instruments", apart)


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
