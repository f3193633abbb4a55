"""Invented readings of a known truth, and slips of the pen that are planted in them."""

from collections.abc import Callable, Mapping
from fractions import Fraction
from math import floor
from random import Random
from typing import Any

from ...dataset import Dataset

Json = dict[str, Any]

TURN = {"in": Fraction(25, 1000), "mm": Fraction(1, 2)}
"""What one turn of a micrometer's thimble is, by its unit."""

MOST_OFF = 1.5
"""How many times the usual spread of a hand an invented reading may lie off the truth."""


def step_of(tool: Json, unit: str, data: Dataset) -> Fraction | None:
    """Step of an instrument in the unit of a reading; None where it has none or reads another unit."""
    return Fraction(tool["resolution"]) if tool["resolution"] and tool["unit"] == unit else None


def hand(tool: Json, data: Dataset) -> float:
    """Usual spread of a hand with a class of instrument, in SI."""
    row = data.keyed("instruments")[tool["instrument"]]
    return float(Fraction(row["repeatability"] or 0) * data.units[row["unit"]].factor)


def shown(line: Json, truth: Fraction, tool: Json, rng: Random, data: Dataset) -> Json | None:
    """A line of a blank sheet with what an honest hand reads of a truth in SI; None where no such reading can be."""
    step, factor = step_of(tool, line["unit"], data), data.units[line["unit"]].factor
    if step is None:
        return None
    spread = hand(tool, data)
    off = min(max(rng.gauss(0.0, spread), -MOST_OFF * spread), MOST_OFF * spread)
    seen = (truth + Fraction(off)) / factor / step
    whole = floor(seen) if "to" in line else round(seen)
    if whole <= 0:
        return None
    found = {**line, "value": text(whole * step, step)}
    return found | ({"to": text((whole + 1) * step, step)} if "to" in line else {})


def text(value: Fraction, step: Fraction) -> str:
    """A number with the digits of a step."""
    digits = next(n for n in range(12) if (step * 10**n).denominator == 1)
    return f"{float(value):.{digits}f}"


def ten_times(line: Json, rng: Random) -> Json:
    """The reading with its point one place to the right."""
    return line | {"value": _moved(line["value"], 1)}


def a_tenth(line: Json, rng: Random) -> Json:
    """The reading with its point one place to the left."""
    return line | {"value": _moved(line["value"], -1)}


def other_unit(line: Json, rng: Random) -> Json:
    """The reading with the other unit of length written beside it."""
    return line | {"unit": "mm" if line["unit"] == "in" else "in"}


def a_turn(line: Json, rng: Random) -> Json:
    """The reading off by one turn of the thimble."""
    value = line["value"]
    moved = Fraction(value) + rng.choice((-1, 1)) * TURN[line["unit"]]
    return line | {"value": f"{float(moved):.{_digits(value)}f}"}


def digits_exchanged(line: Json, rng: Random) -> Json:
    """The reading with two neighbouring digits after the point exchanged; as it is where it has not two."""
    return line | {"value": exchanged(line["value"], rng)} if _digits(line["value"]) > 1 else line


def exchanged(number: str, rng: Random) -> str:
    """A number with two neighbouring digits after the point exchanged.

    >>> exchanged("2.49", Random(1))
    '2.94'
    """
    first = rng.choice(range(number.index(".") + 1, len(number) - 1))
    return number[:first] + number[first + 1] + number[first] + number[first + 2 :]


SLIPS: Mapping[str, Callable[[Json, Random], Json]] = {
    "ten times what was read": ten_times,
    "a tenth of what was read": a_tenth,
    "the wrong unit": other_unit,
    "one turn of the thimble off": a_turn,
    "two digits exchanged": digits_exchanged,
}
"""Slips of the pen by their name."""

OF_SCREWS = ("one turn of the thimble off", "two digits exchanged")
"""Slips of readings that have many digits: of a bore or a shaft, not of a gap."""

OF_A_PART = ("ten times what was read", "a tenth of what was read", "the wrong unit", "one turn of the thimble off")
"""Slips that may be in every reading of a part: a scale that is read wrong, a unit that is taken for granted."""


def _moved(value: str, places: int) -> str:
    digits = max(_digits(value) - places, 0)
    return f"{float(Fraction(value) * Fraction(10) ** places):.{digits}f}"


def _digits(value: str) -> int:
    return len(value.partition(".")[2])
