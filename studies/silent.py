"""Errors that two printed units cannot show: the wrong number and its twin still agree."""

from fractions import Fraction

from trying import Injection, Whole

from runningfits import numerals, units


def silent(injection: Injection, whole: Whole) -> bool:
    """Whether one number is wrong and still agrees with the other unit within half of the coarser last digit."""
    if not injection.cells or not injection.column:
        return False
    old, new = injection.place.cells, injection.cells[0][1]
    first, second = (injection.column.removesuffix("_2") + s for s in ("", "_2"))
    if sum(old[c] != new[c] for c in new) != 1 or not (new.get(first) and new.get(second)):
        return False
    return agree((new[first], whole.units[new["unit"]]), (new[second], whole.units[new["unit_2"]]))


def agree(first: tuple[str, units.Unit], second: tuple[str, units.Unit]) -> bool:
    """Whether two printed numbers with their units agree within half of the coarser last digit."""
    (a, step_a), (b, step_b) = (_exact(*n) for n in (first, second))
    return abs(a - b) <= max(step_a, step_b) / 2


def _exact(text: str, unit: units.Unit) -> tuple[Fraction, Fraction]:
    value, step = numerals.parse(text), numerals.step(text)
    return Fraction(value) * unit.factor, Fraction(step) * unit.factor
