"""What makes the value of some readings uncertain: hand and step, the instruments' limits, temperatures."""

from collections.abc import Iterator
from math import hypot, sqrt

from . import grid
from .instruments import Instrument, settings
from .scatter import Scatter
from .temperature import STEEL, UNKNOWN_KELVIN, Temperatures
from .uncertainty import Component, grown, left_by_steps, limits, resolved

IN_WHOLE_STEPS = 1 / 4
"""What a difference of readings in steps may read too large beside the smooth formula, in steps: of single readings so
much, of means of n, which move in finer steps, by n^2 less (by simulation)."""


def of_chance(
    readings: list[grid.Reading],
    cells: grid.Cells,
    method: str,
    tools: dict[str, Instrument],
    scatter: dict[str, Scatter],
) -> tuple[list[Component], float]:
    """Repeats, and steps or marks, of what is counted, and by how much they lift it where all places are alike.

    Readings that all show the same number share the error of its step; numbers that differ have each its own. A mean
    over n lowers the error by sqrt n; the largest, the smallest and a spread of several are lifted (see coverage.py).
    """
    part = readings[0].part
    widest = max((scatter[r.instrument] for r in readings), key=lambda s: s.deviation)
    marks = max(r.half_width for r in readings)
    between = 2 * float(marks) or max(tools[r.instrument].resolution for r in readings)
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


def of_scale(
    readings: list[grid.Reading], method: str, tools: dict[str, Instrument], size: float
) -> Iterator[Component]:
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


def of_temperatures(readings: list[grid.Reading], size: float, warmth: Temperatures) -> Iterator[Component]:
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
