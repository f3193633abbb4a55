"""What no verdict is given to: wear that no page prints, and agreement by an uncertainty that is too wide to tell."""

from collections.abc import Iterable, Mapping
from fractions import Fraction
from math import hypot, inf, isfinite

from ..dataset import Dataset
from .bounds import Bounds
from .coverage import NORMAL
from .uncertainty import rectangular, resolved
from .values import Value

FARTHEST = {"clearance": 7, "gap": 7, "end-play": 2, "backlash": 2, "lash": 2, "form": 10, "protrusion": 2}
"""How many times the larger end of its new range a value may lie beyond it and still be that of a used part, by kind of
quantity: no page prints a limit that lies farther off."""

FARTHEST_ELSE = Fraction(1)
"""The same for kinds of which no page prints a range and a limit."""

WORN_OFF, WORN_OFF_PART, SPRUNG = Fraction("0.0016"), Fraction(3, 4), Fraction(1, 4)
"""How far a size may lie beyond its new range: at most 1.6 mm, and three quarters of itself; a spring a quarter. No
page prints a limit that lies farther off."""


def farthest(bounds: Bounds, quantity: Mapping[str, str]) -> float:
    """How far beyond what rows allow a value may lie on the side of wear, in SI units; infinite without an end."""
    end = bounds.wear_high if bounds.wears_up else bounds.wear_low
    if end is None:
        return inf
    largest = max(abs(e.loose) for e in (bounds.low, bounds.high, end) if e)
    kind, own = quantity["kind"], abs(end.loose)
    if kind == "size" and quantity["dimension"] == "length":
        return float(min(WORN_OFF, WORN_OFF_PART * own))
    if kind in ("size", "spring"):
        return float(SPRUNG * own)
    return float(FARTHEST.get(kind, FARTHEST_ELSE) * largest)


def is_beyond_wear(value: float, bounds: Bounds, quantity: Mapping[str, str]) -> bool:
    """Whether a value lies farther out on the side of wear than any page lets a used part be."""
    end = bounds.wear_high if bounds.wears_up else bounds.wear_low
    if end is None:
        return False
    off = value - float(end.loose) if bounds.wears_up else float(end.loose) - value
    return off > farthest(bounds, quantity)


USUAL_TIMES = 3
"""How many times wider than by the instrument that is usual for a quantity U may be where a printed value agrees."""


def is_too_wide(value: Value, bounds: Bounds, quantity: Mapping[str, str], data: Dataset) -> bool:
    """Whether U is so wide that agreement with a printed value without a tolerance says nothing.

    It may be half of the last printed digit; else three times what one reading by the usual instrument has, and never
    half of the printed value.
    """
    if bounds.nominal is None:
        return False
    ends = float(bounds.nominal.strict), float(bounds.nominal.loose)
    middle, half = abs(sum(ends)) / 2, abs(ends[1] - ends[0]) / 2
    usual = USUAL_TIMES * _usual_expanded(quantity["instrument"], middle, data)
    return value.expanded > max(half, min(usual, middle / 2))


def _usual_expanded(instrument: str, size: float, data: Dataset) -> float:
    """Expanded uncertainty of one reading by a class of instrument, in SI units."""
    known = data.keyed("instruments")[instrument]
    factor = float(data.units[known["unit"]].factor)
    limit, step, hand = (
        float(Fraction(known[a] or (known[b] if b else "") or 0)) * factor
        for a, b in (("mpe", "usual"), ("resolution", ""), ("repeatability", ""))
    )
    percent = float(known["mpe_percent"] or known["usual_percent"] or 0)
    if percent:
        limit = percent / 100 * size
    return NORMAL * hypot(rectangular(limit), resolved(step), hand)


def is_too_wide_for_simple(value: Value, bounds: Bounds, new: bool) -> bool:
    """Whether U is wider than the range by which a value passes: taken as it is, the value then says nothing.

    That is the new range for what passes as new, else what is allowed with wear. Where one end alone is printed, it is
    how far that lies from nothing.
    """
    new_low, _, new_high, _, low, _, high, _ = bounds.ends()
    if new:
        low, high = new_low, new_high
    ends = [e for e in (low, high) if isfinite(e)]
    return bool(ends) and value.expanded > (high - low if len(ends) > 1 else abs(ends[0]))


def is_below_nothing(shown: Iterable[Value], quantity: Mapping[str, str]) -> bool:
    """Whether a form was read below nothing, which no gap under a straightedge and no swing of a dial is."""
    return quantity["kind"] == "form" and any(v.most < 0 for v in shown)
