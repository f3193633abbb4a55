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
    limit = Fraction(known["mpe"] or known["usual"] or 0)
    step = Fraction(known["resolution"] or 0) or limit
    share = classes.factor / own.factor
    off = OFF * (limit or step) * share
    bounds = {
        "mpe": (limit * share / BEST, limit * share * WORST, "a limit"),
        "resolution": (step * share / FINEST, step * share * COARSEST, "a step"),
        "correction": (Fraction(0), off, "a correction"),
        "zero_shift": (Fraction(0), off, "a shift"),
    }
    for field, (least, most, words) in bounds.items():
        if most and field in tool and not least <= abs(Fraction(tool[field])) <= most:
            yield _beyond(sheet, path, tool, field, (least, most), f"{words} of such instruments", own.unit)


def percent_faults(sheet: Sheet, data: Dataset, path: list[Step], tool: dict[str, Any]) -> Iterator[SheetFault]:
    """Faults of a limit in percent: one that no instrument of its class has, or a class that has none in percent."""
    if "mpe_percent" not in tool:
        return
    known = data.keyed("instruments")[tool["instrument"]]
    percent = Fraction(known["mpe_percent"] or known["usual_percent"] or 0)
    if not percent:
        expected = f"the limit of such instruments in {known['unit']}, as mpe"
        yield SheetFault(sheet.place([*path, "mpe_percent"]), shown(tool["mpe_percent"]), expected)
    elif not percent / BEST <= abs(Fraction(tool["mpe_percent"])) <= percent * WORST:
        ends = percent / BEST, percent * WORST
        yield _beyond(sheet, path, tool, "mpe_percent", ends, "a limit of such instruments", "%")


def _beyond(
    sheet: Sheet,
    path: list[Step],
    tool: dict[str, Any],
    field: str,
    ends: tuple[Fraction, Fraction],
    words: str,
    unit: str,
) -> SheetFault:
    low = f"from {_plain(ends[0])} to " if ends[0] else "of at most "
    return SheetFault(sheet.place([*path, field]), shown(tool[field]), f"{words}, {low}{_plain(ends[1])} {unit}")


def _plain(number: Fraction) -> str:
    """Two digits of a number, without an exponent."""
    text = f"{float(number):.2g}"
    return f"{float(text):.7f}".rstrip("0").rstrip(".")
