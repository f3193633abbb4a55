"""Factors for 95 %: of Student's distribution, and of the largest, smallest or spread of several readings."""

from collections.abc import Callable
from functools import cache
from math import erf, exp, hypot, isinf, pi, sqrt
from statistics import NormalDist
from typing import NamedTuple

NORMAL = 1.96
"""Half-width in standard deviations that holds 95 % of a normal distribution."""

HELD = 0.955
ONE_SIDED = NormalDist().inv_cdf(HELD)
"""Share that is held, a little over 95 % for what the formulas leave out, and its one-sided normal quantile."""

BOTH = 0.98
"""What two ends that are lifted apart need of their sum, by the study."""

_LEAST_TAIL = 0.02
_HALF_SPAN, _STEPS, _HALVINGS, _NEWTONS = 8.0, 320, 60, 10
_NARROW = 1e-3
"""Limits beside a normal error that they do not shape."""


def factor(freedom: float, normal: float = NORMAL) -> float:
    """Coverage factor with so many effective degrees of freedom (JCGM 100:2008, G.3.2, table G.2); for 95 % as it is.

    Student's quantile by its expansion about the normal one, for 95 % exact to 0.01 from 4 degrees on.
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.5.
    """
    if isinf(freedom):
        return normal
    z, n = normal, freedom
    first = (z**3 + z) / 4
    second = (5 * z**5 + 16 * z**3 + 3 * z) / 96
    third = (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / 384
    return z + first / n + second / n**2 + third / n**3


class Order(NamedTuple):
    """Error of what is counted of several readings, in standard deviations of one.

    `alone` is its standard deviation where one place (or two) stands out; `lift` its mean where all places are alike,
    and `reach` how far beyond that mean its 95 % end lies.
    """

    alone: float
    lift: float
    reach: float


@cache
def of_largest(count: int) -> Order:
    """Error of the largest of so many readings."""
    if count == 1:
        return Order(1.0, 0.0, ONE_SIDED)
    mean = _mean(lambda x: _share(x) ** count)
    return Order(1.0, mean, NormalDist().inv_cdf(HELD ** (1 / count)) - mean)


@cache
def of_spread(count: int, groups: int = 1) -> Order:
    """Error of the largest of some spreads, each of so many readings."""
    mean = _mean(lambda width: _range_share(width, count) ** groups if width > 0 else 0.0)
    return Order(sqrt(2), mean, _range_quantile(count, HELD ** (1 / groups)) - mean)


def _mean(share: Callable[[float], float]) -> float:
    """Mean of a distribution from the share below each value."""
    step = 2 * _HALF_SPAN / _STEPS
    points = [-_HALF_SPAN + step * k for k in range(_STEPS + 1)]
    return step * sum((1 - share(x) if x >= 0 else -share(x)) - (0.5 if x == 0 else 0) for x in points)


def one_sided(half_width: float, deviation: float) -> float:
    """How far the sum of an error within limits +- a and a normal one goes, by the share held on one side.

    Share below x: ((x + a) P((x + a) / s) - (x - a) P((x - a) / s) + s (p((x + a) / s) - p((x - a) / s))) / 2 a, with
    P and p the normal distribution and its density (the integral of P over the rectangle). It bends one way beyond its
    middle, so that Newton's steps from the farther of both ends only rise, and never past it.
    """
    if half_width <= _NARROW * deviation:
        return ONE_SIDED * hypot(deviation, half_width / sqrt(3))
    if not deviation:
        return (2 * HELD - 1) * half_width
    a = half_width / deviation
    found = max((2 * HELD - 1) * a, ONE_SIDED)
    for _ in range(_NEWTONS):
        held, steep = _under(found + a) - _under(found - a), _share(found + a) - _share(found - a)
        found += (2 * a * HELD - held) / steep
    return found * deviation


def _under(x: float) -> float:
    """Integral of the normal distribution function up to x."""
    return x * _share(x) + _density(x)


def half_widths(alone: float, reach: float, up: float, down: float) -> tuple[float, float]:
    """How far a reading may lie above and below the truth, 95 % of the time, whether places stand out or are alike.

    `alone` is the standard deviation where they stand out, `reach` how far beyond its mean the error ends where they
    are alike, `up` and `down` what that mean may be. Where it may only go one way, the other end leaves what is wanting
    to 95 % of the errors of places that stand out. Where either may go its own way, they seldom end together.
    """
    if not up and not down:
        return NORMAL * alone, NORMAL * alone
    if up and down:
        return BOTH * (up + reach), BOTH * (down + reach)
    above = up + reach if up else _rest(alone, down + reach)
    below = down + reach if down else _rest(alone, up + reach)
    return above, below


def _rest(alone: float, end: float) -> float:
    left = NormalDist().cdf(end / alone) - HELD if alone else 0.0
    return -alone * NormalDist().inv_cdf(max(left, _LEAST_TAIL)) if alone else 0.0


@cache
def _range_quantile(count: int, share: float) -> float:
    """Quantile of the range of so many standard normal values, by halving."""
    low, high = 0.0, 12.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if _range_share(middle, count) < share else (low, middle)
    return (low + high) / 2


def _range_share(width: float, count: int) -> float:
    """Share of samples whose range is at most `width`: n times the integral of phi(x) (Phi(x) - Phi(x - w))^(n-1).

    Source: H. A. David and H. N. Nagaraja, Order Statistics, 2.3.3; the trapezium rule, from memory of the formula.
    """
    step = 2 * _HALF_SPAN / _STEPS
    points = (-_HALF_SPAN + step * k for k in range(_STEPS + 1))
    return count * step * sum(_density(x) * (_share(x) - _share(x - width)) ** (count - 1) for x in points)


def _density(x: float) -> float:
    return exp(-x * x / 2) / sqrt(2 * pi)


def _share(x: float) -> float:
    return (1 + erf(x / sqrt(2))) / 2
