"""Temperatures and differences of temperature from text."""

import re
from fractions import Fraction

from .dataset import Dataset

ZERO = {"K": Fraction("-273.15"), "C": Fraction(0), "F": Fraction(-32) * 5 / 9}
"""Where each scale has its zero, in degrees Celsius; its degree is a unit of the dataset."""


def celsius(text: str, data: Dataset) -> Fraction:
    """Temperature of a text such as `21`, `21,5 °C`, `+21 degC` or `70 F` in degrees Celsius.

    Raises ValueError for a text that is none.
    """
    match = re.fullmatch(r"([+-]?\d+(?:[.,]\d+)?) ?(?:(K)|(?:deg|°)? ?([CFcf]))?", text.strip(), re.ASCII)
    if match is None:
        raise ValueError(f'"{text}" is no temperature such as 21 C or 70 F')
    scale = match[2] or (match[3] or "C").upper()
    degree = data.units["K" if scale == "K" else f"deg{scale}"].factor
    return Fraction(match[1].replace(",", ".")) * degree + ZERO[scale]


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
