"""Faults of an instrument: numbers that no instrument of its class has."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from ..dataset import Dataset
from ..numerals import shown
from .faults import SheetFault, Step
from .placed import Sheet

BEST, WORST = 20, 10
"""How many times smaller and larger than that of its class no instrument's limit of error is."""

FINEST, COARSEST = 100, 20
"""How many times finer and coarser than that of its class no instrument's step is."""

OFF = 30
"""How many limits of its class no instrument is off by, as a known correction or a moved zero."""


def faults(sheet: Sheet, data: Dataset, path: list[Step], tool: dict[str, Any]) -> Iterator[SheetFault]:
    """Faults of limit, step, correction and zero of an instrument that names its unit: a slip of digits or of unit."""
    known = data.keyed("instruments")[tool["instrument"]]
    own, classes = data.units[tool["unit"]], data.units[known["unit"]]
    limit, step = (Fraction(known[a] or known[b] or 0) for a, b in (("mpe", "usual"), ("resolution", "mpe")))
    percent = Fraction(known["mpe_percent"] or known["usual_percent"] or 0)
    share = classes.factor / own.factor
    off = OFF * (limit or step) * share
    bounds = {
        "mpe": (limit * share / BEST, limit * share * WORST, "a limit"),
        "mpe_percent": (percent / BEST, percent * WORST, "a limit"),
        "resolution": (step * share / FINEST, step * share * COARSEST, "a step"),
        "correction": (Fraction(0), off, "a correction"),
        "zero_shift": (Fraction(0), off, "a shift"),
    }
    for field, (least, most, words) in bounds.items():
        if most and field in tool and not least <= abs(Fraction(tool[field])) <= most:
            unit = "%" if field == "mpe_percent" else own.unit
            low = f"from {_plain(least)} to " if least else "of at most "
            expected = f"{words} of such instruments, {low}{_plain(most)} {unit}"
            yield SheetFault(sheet.place([*path, field]), shown(tool[field]), expected)


def _plain(number: Fraction) -> str:
    """Two digits of a number, without an exponent."""
    text = f"{float(number):.2g}"
    return f"{float(text):.7f}".rstrip("0").rstrip(".")
