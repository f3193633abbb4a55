"""Temperatures and differences of temperature from text, and the units of the dataset as a pint registry."""

import re
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Any

from .dataset import Dataset

if TYPE_CHECKING:
    from pint import UnitRegistry


@cache
def registry(definitions: tuple[str, ...]) -> "UnitRegistry[Any]":
    """A closed pint registry: the definitions and nothing else."""
    from pint import UnitRegistry

    found: UnitRegistry[Any] = UnitRegistry(None, non_int_type=Fraction)
    for line in definitions:
        found.define(line)
    return found


def definitions(data: Dataset) -> tuple[str, ...]:
    """Pint definitions of the dataset's units; a point in a name becomes an underscore.

    Temperatures have their zero: degC and degF.
    """
    base = {
        "length": "m", "mass": "kg", "force": "N", "torque": "N.m", "angle": "deg", "count": "each", "temperature": "K"
    }  # fmt: skip
    lines = [f"{_name(unit)} = [{dimension}]" for dimension, unit in base.items()]
    for unit in data.units.values():
        if unit.unit not in base.values() and unit.dimension != "temperature":
            factor = f"{unit.factor.numerator} / {unit.factor.denominator}"
            lines.append(f"{_name(unit.unit)} = {factor} * {_name(base[unit.dimension])}")
    return (*lines, "degC = K; offset: 27315 / 100", "degF = 5 / 9 * K; offset: 229835 / 900")


def _name(unit: str) -> str:
    return unit.replace(".", "_")


def celsius(text: str, data: Dataset) -> Fraction:
    """Temperature of a text such as `21`, `21,5 °C`, `+21 degC` or `70 F` in degrees Celsius.

    Raises ValueError for a text that is none.
    """
    match = re.fullmatch(r"([+-]?\d+(?:[.,]\d+)?) ?(?:(K)|(?:deg|°)? ?([CFcf]))?", text.strip(), re.ASCII)
    if match is None:
        raise ValueError(f'"{text}" is no temperature such as 21 C or 70 F')
    unit = match[2] or f"deg{(match[3] or 'C').upper()}"
    known = registry(definitions(data))
    number = Fraction(match[1].replace(",", "."))
    return Fraction(known.Quantity(number, unit).to("degC").magnitude)


def bare(text: str) -> bool:
    """Whether a temperature has no unit."""
    return text.strip()[-1:].isdigit()


def kelvin(text: str, data: Dataset) -> Fraction:
    """A difference of temperature of a text such as `1 K` or `2 degF` in kelvin."""
    number, _, unit = text.partition(" ")
    return Fraction(number) * (data.units[unit].factor if unit in data.units else 1)


def degree_words(text: str) -> str:
    """A temperature as it was written, with the sign of degrees.

    >>> degree_words("21 degC"), degree_words("70F"), degree_words("21"), degree_words("not given")
    ('21 °C', '70 °F', '21 °C', 'not given')
    """
    found = re.fullmatch(r"([+-]?[\d.,]+) ?(?:deg|°)?([CFcf]?)", text.strip())
    return f"{found[1]} °{(found[2] or 'C').upper()}" if found else text
