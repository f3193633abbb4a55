"""The decision: verdicts and probabilities of conformance for arrays of values."""

from math import erfc, sqrt

import numpy as np
import numpy.typing as npt

COVERAGE_FACTOR = 2.0
VERDICTS = ("new", "worn", "loose", "tight", "cannot-tell", "which-row", "no-range", "bad-entry")
NEW, WORN, LOOSE, TIGHT, CANNOT_TELL = range(5)

Floats = npt.NDArray[np.float64]
_ERFC = np.frompyfunc(erfc, 1, 1)


def decide(
    value: Floats,
    uncertainty: Floats,
    low: Floats,
    high: Floats,
    wear_low: Floats,
    wear_high: Floats,
    wears_up: npt.NDArray[np.bool_],
) -> npt.NDArray[np.int8]:
    """Verdict of each value as an index into VERDICTS.

    All arrays have one shape. `uncertainty` is expanded (0 for simple acceptance); `low` and `high` bound the new
    range, NaN where the page prints no new range at all, infinite on an open side; `wear_low` and `wear_high` bound
    what is allowed with wear; `wears_up` says that wear makes the value grow. Conformity is proved only when the whole
    interval lies inside, non-conformity only when it lies outside; in between nothing is decided (ISO 14253-1:
    guard band equal to U at each limit). A value on a limit is inside.
    """
    least, most = value - uncertainty, value + uncertainty
    inside = (least >= wear_low) & (most <= wear_high)
    fresh = inside & (least >= low) & (most <= high)
    used = inside & ((most < low) | (least > high) | np.isnan(low))
    above, below = least > wear_high, most < wear_low
    verdict = np.full(value.shape, CANNOT_TELL, dtype=np.int8)
    verdict[fresh] = NEW
    verdict[used & ~fresh] = WORN
    verdict[np.where(wears_up, above, below)] = LOOSE
    verdict[np.where(wears_up, below, above)] = TIGHT
    return verdict


def probability(value: Floats, standard: Floats, low: Floats, high: Floats) -> Floats:
    """Probability that the true value lies between two limits, for a normal distribution about each value.

    NaN where a limit is NaN. `standard` is the standard uncertainty; where it is 0 the answer is 0 or 1. One limit may
    be infinite. Source:
    JCGM 106:2012, 7.2 to 7.4.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        upper, lower = (high - value) / standard, (low - value) / standard
    exact = ((value >= low) & (value <= high)).astype(np.float64)
    between = np.where(standard > 0, _normal(upper) - _normal(lower), exact)
    return np.where(np.isnan(low) | np.isnan(high), np.nan, between)


def _normal(x: Floats) -> Floats:
    """Standard normal distribution function; 0.5 erfc(-x / sqrt 2)."""
    return 0.5 * np.asarray(_ERFC(-np.nan_to_num(x, nan=0.0, posinf=1e9, neginf=-1e9) / sqrt(2)), dtype=np.float64)
