"""The decision: verdicts and probabilities of conformance for arrays of values."""

from collections.abc import Callable
from math import erfc, inf, sqrt
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

VERDICTS = (
    "new", "worn", "serviceable", "past-new", "agrees", "loose", "tight", "cannot-tell", "which-row", "no-range",
    "bad-entry",
)  # fmt: skip
NEW, WORN, SERVICEABLE, PAST_NEW, AGREES, LOOSE, TIGHT, CANNOT_TELL = range(8)

PASSED = ("new", "worn", "serviceable", "agrees")
"""Verdicts of what is proven to be as a page wants it."""

DONE = {"found": (*PASSED, "past-new"), "machined": ("new", "serviceable", "agrees"), "assembled": ("new", "agrees")}
"""Verdicts of what needs nothing more, by stage."""

OUT = ("loose", "tight", "past-new", "bad-entry")
"""Verdicts of what is proven out, or is no reading."""

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Normal = Callable[[Floats], Floats]
_ERFC = np.frompyfunc(erfc, 1, 1)


class Limits(NamedTuple):
    """Arrays of one shape: what rows allow, in SI units.

    Each end stands twice: `strict` by the stricter of what is printed for it, `loose` by the other; open ends are
    infinite. `new_` ends bound the new range, `allowed_` ends what is allowed with wear. `middle_` are the ends of a
    printed value without a tolerance, half a printed digit to each side, NaN where there is none.
    """

    new_low: Floats
    new_low_loose: Floats
    new_high: Floats
    new_high_loose: Floats
    allowed_low: Floats
    allowed_low_loose: Floats
    allowed_high: Floats
    allowed_high_loose: Floats
    middle_low: Floats
    middle_high: Floats
    fresh: Flags
    limited: Flags
    wears_up: Flags
    either_way: Flags


def is_done(verdict: str, stage: str) -> bool:
    """Whether a verdict asks for nothing more at a stage."""
    return verdict in DONE[stage]


def is_out(verdict: str, stage: str) -> bool:
    """Whether a verdict says that a part cannot stay as it is at a stage; what is out is never done."""
    return verdict in OUT and not is_done(verdict, stage)


def decide(least: Floats, most: Floats, limits: Limits) -> npt.NDArray[np.int8]:
    """Verdict of each interval from `least` to `most` as an index into VERDICTS.

    The interval is value less and plus expanded uncertainty, a single value for simple acceptance, infinite on one
    side where only a bound was measured. What is allowed counts as proved only when the whole interval lies inside the
    strict ends, what is not only when it lies outside the loose ones; in between nothing is decided (ISO 14253-1: guard
    band equal to U at each limit). A value on a limit is inside. `limited` says that a wear limit is printed: without
    one a value beyond the new range on the side of wear is `past-new`, save where wear goes `either_way`. Beside a
    limit a printed value without a tolerance bounds a size on the other side, as far as U lets it agree.
    """
    known = np.isfinite(least) & np.isfinite(most)
    inside = (least >= limits.allowed_low) & (most <= limits.allowed_high)
    agreeing = np.where(limits.wears_up, most >= limits.middle_low, least <= limits.middle_high)
    unworn = np.where(limits.wears_up, most <= limits.allowed_high, least >= limits.allowed_low)
    inside = inside | (_bounded_by_value(limits) & known & agreeing & unworn)
    fresh = inside & limits.fresh & (least >= limits.new_low) & (most <= limits.new_high)
    beyond = limits.fresh & ((most < limits.new_low_loose) | (least > limits.new_high_loose))
    below, above = most < limits.allowed_low_loose, least > limits.allowed_high_loose
    lone = ~np.isnan(limits.middle_low) & ~limits.fresh
    outer, inner = np.maximum(limits.middle_low, limits.middle_high), np.minimum(limits.middle_low, limits.middle_high)
    unlimited = lone & ~limits.limited
    below = below | (unlimited & (most < inner))
    above = above | (unlimited & (least > outer))
    verdict = np.full(least.shape, CANNOT_TELL, dtype=np.int8)
    rated = inside & (limits.fresh | limits.limited)
    verdict[rated] = SERVICEABLE
    verdict[rated & beyond] = WORN
    verdict[fresh] = NEW
    verdict[unlimited & known & (least <= limits.middle_high) & (most >= limits.middle_low)] = AGREES
    worn_side = np.where(limits.wears_up, above, below)
    verdict[worn_side] = LOOSE
    verdict[worn_side & ~limits.limited & ~limits.either_way] = PAST_NEW
    verdict[np.where(limits.wears_up, below, above)] = TIGHT
    return verdict


def _bounded_by_value(limits: Limits) -> Flags:
    """Where a wear limit is printed with a value without a tolerance, and no range."""
    return ~np.isnan(limits.middle_low) & ~limits.fresh & limits.limited


def _worn_ends(limits: Limits) -> tuple[Floats, Floats]:
    """Ends of what is allowed with wear; beside a printed value the wear limit alone."""
    lone = _bounded_by_value(limits)
    low = np.where(lone & limits.wears_up, -np.inf, limits.allowed_low)
    return low, np.where(lone & ~limits.wears_up, np.inf, limits.allowed_high)


def within_limit(value: Floats, standard: Floats, limits: Limits) -> Floats:
    """Probability that the true value lies within what is allowed; beside a printed value by the wear limit alone."""
    return probability(value, standard, *_worn_ends(limits))


class Rated(NamedTuple):
    """Arrays of one shape: verdicts as indices into VERDICTS, and the probabilities that the true value lies in the new
    range, NaN where none is printed, and within what is allowed with wear."""

    code: npt.NDArray[np.int8]
    new: Floats
    allowed: Floats


def rate(
    value: Floats, least: Floats, most: Floats, standard: Floats, limits: Limits, normal: Normal | None = None
) -> Rated:
    """Verdict and probabilities of each value in its interval, with its standard uncertainty, by what rows allow.

    `normal` is the standard normal distribution function, for those who have a faster one. Where an end of the new
    range is that of what is allowed with wear too, it is asked for once.
    """
    ask = normal or _normal
    low, high = limits.new_low, limits.new_high
    shares = _share_below(value, standard, low, -inf, ask), _share_below(value, standard, high, inf, ask)
    worn = []
    ends = zip(shares, (low, high), _worn_ends(limits), (-inf, inf), strict=True)
    for share, own, end, tie in ends:
        other = np.flatnonzero(own != end)
        whole = share.copy()
        if other.size:
            whole[other] = _share_below(value[other], standard[other], end[other], tie, ask)
        worn.append(whole)
    new = shares[1] - shares[0]
    new[~limits.fresh] = np.nan
    return Rated(decide(least, most, limits), new, worn[1] - worn[0])


def probability(value: Floats, standard: Floats, low: Floats, high: Floats) -> Floats:
    """Probability that the true value lies between two limits, for a normal distribution about each value.

    NaN where a limit is NaN. `standard` is the standard uncertainty; where it is 0 the answer is 0 or 1. One limit may
    be infinite. Source:
    JCGM 106:2012, 7.2 to 7.4.
    """
    between = _share_below(value, standard, high, inf, _normal) - _share_below(value, standard, low, -inf, _normal)
    return np.where(np.isnan(low) | np.isnan(high), np.nan, between)


def _share_below(value: Floats, standard: Floats, end: Floats, tie: float, normal: Normal) -> Floats:
    """Share of the distribution about each value that lies below an end; `tie` where a known value is on the end."""
    with np.errstate(divide="ignore", invalid="ignore"):
        off = (end - value) / standard
    if not standard.all():
        off[(standard == 0) & (end == value)] = tie
    return normal(off)


def _normal(x: Floats) -> Floats:
    """Standard normal distribution function; 0.5 erfc(-x / sqrt 2)."""
    return 0.5 * np.asarray(_ERFC(-np.nan_to_num(x, nan=0.0, posinf=1e9, neginf=-1e9) / sqrt(2)), dtype=np.float64)
