"""Printed numbers: exact value and printed step."""

import re
from decimal import Decimal
from functools import lru_cache

NUMBER = re.compile(r"-?\d+(\.\d+)?", re.ASCII)


class NumeralError(ValueError):
    """A text that is not a plain number."""


@lru_cache(10_000)
def parse(text: str) -> Decimal:
    """Exact value of a plain number such as 0.0015 or -2.50.

    >>> parse("0.0015")
    Decimal('0.0015')

    Raises NumeralError with what was found: an exponent, a comma, a unit, a sign of its own.
    """
    if not NUMBER.fullmatch(text):
        raise NumeralError(f"{shown(text)} is not a plain number such as 0.0015{_hint(text)}")
    return Decimal(text)


@lru_cache(10_000)
def step(text: str) -> Decimal:
    """One unit of the last printed digit of a number.

    >>> step("2.50"), step("12")
    (Decimal('0.01'), Decimal('1'))
    """
    exponent = parse(text).as_tuple().exponent
    return Decimal(1).scaleb(int(exponent))


def shown(text: str, most: int = 40) -> str:
    """A cell's text for a message: in quotes, escaped, cut to `most` characters."""
    cut = text if len(text) <= most else text[: most - 1] + "…"
    return '"' + "".join(c if c.isprintable() else f"\\x{ord(c):02x}" for c in cut) + '"'


def plain(value: Decimal) -> str:
    """A decimal as text without an exponent.

    >>> plain(Decimal("1E+2"))
    '100'
    """
    return format(value, "f")


def _hint(text: str) -> str:
    return next((f"; {words}" for shape, words in _HINTS.items() if re.fullmatch(shape, text, re.DOTALL)), "")


_HINTS = {
    r"-?\d+,\d+": "write a decimal point, not a comma",
    r"\s.*|.*\s": "take the blanks away",
    r"-?\d*\.?\d+\s*[A-Za-z].*": "the unit belongs in its own cell",
    r"-?\.\d+": "write the zero before the point",
    r"\d{4}-\d\d-\d\d": "a spreadsheet made a date of it: format the cell as text and type the number again",
    r"-?(\d+ )?\d+/\d+": "write the fraction as a decimal number",
}
"""What to do about a text that is no number, by its shape."""
