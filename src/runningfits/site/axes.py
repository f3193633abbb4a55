"""Axes of drawings: values to places, round marks, in millimetres and inches."""

import math
from dataclasses import dataclass

INCH = 25.4


@dataclass(frozen=True)
class Ends:
    """What is drawn of a range: its ends (None where open), a single value, the limit as a value."""

    low: float | None
    high: float | None
    one: float | None
    limit: float | None

    @property
    def values(self) -> list[float]:
        """All its numbers."""
        return [v for v in (self.low, self.high, self.one, self.limit) if v is not None]


@dataclass(frozen=True)
class Axis:
    """Maps values between `least` and `most` to places between `start` and `end`, linear or logarithmic."""

    least: float
    most: float
    start: float
    end: float
    log: bool = False

    def at(self, value: float) -> float:
        """Place of a value; one beyond an end stands at the end."""
        value = min(max(value, self.least), self.most)
        if self.log:
            share = math.log(value / self.least) / math.log(self.most / self.least)
        else:
            share = (value - self.least) / (self.most - self.least)
        return self.start + share * (self.end - self.start)

    def off(self, value: float) -> bool:
        """Whether a value lies beyond an end."""
        return not self.least <= value <= self.most

    def marks(self, unit: float = 1.0, most: int = 7) -> list[float]:
        """Round values in a unit (1 of it is `unit` of the axis) for at most so many marks, ascending."""
        least, upper = self.least / unit, self.most / unit
        return _log_marks(least, upper, most) if self.log else _linear_marks(least, upper, most)


def _log_marks(least: float, upper: float, most: int) -> list[float]:
    decades = range(math.floor(math.log10(least)), math.ceil(math.log10(upper)) + 1)
    for steps in ((1, 2, 5), (1, 3), (1,)):
        found = [s * 10.0**d for d in decades for s in steps if least <= s * 10.0**d <= upper]
        if len(found) <= most:
            break
    return found


def _linear_marks(least: float, upper: float, most: int) -> list[float]:
    rough = (upper - least) / most
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(s * power for s in (1, 2, 5, 10) if s * power >= rough)
    first = math.ceil(least / step - 1e-9)
    return [n * step for n in range(first, math.floor(upper / step + 1e-9) + 1)]


def number(value: float) -> str:
    """A mark's value as text: no more digits than it has."""
    text = f"{value:.6f}".rstrip("0").rstrip(".")
    return "0" if text in ("", "-0") else text
