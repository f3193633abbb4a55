"""Factors for 95 %: of Student's distribution, and of the largest, smallest or spread of several readings."""

from functools import cache
from math import erf, exp, isinf, pi, sqrt
from statistics import NormalDist

NORMAL = 1.96
"""Half-width in standard deviations that holds 95 % of a normal distribution."""

HELD = 0.96
_LEAST_TAIL = 0.02
_HALF_SPAN, _STEPS, _HALVINGS = 8.0, 320, 60


def factor(freedom: float) -> float:
    """Coverage factor for 95 % with so many effective degrees of freedom (JCGM 100:2008, G.3.2 and table G.2).

    Student's 0.975 quantile by its expansion about the normal one, exact to 0.01 from 4 degrees on.
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.5.
    """
    if isinf(freedom):
        return NORMAL
    z, n = NORMAL, freedom
    first = (z**3 + z) / 4
    second = (5 * z**5 + 16 * z**3 + 3 * z) / 96
    third = (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / 384
    return z + first / n + second / n**2 + third / n**3


def of_largest(count: int) -> tuple[float, float]:
    """Bias and widening of the largest of so many readings, in standard deviations of one.

    What the largest reads is off by the error of the one place that is largest, where it stands out, or by the largest
    of all errors, where all places are alike. Bias and half-width are those that hold 95 % of both; the half-width over
    1.96 takes the place of the standard deviation.
    """
    return _holding_both(1.0, NormalDist().inv_cdf(HELD ** (1 / count))) if count > 1 else (0.0, 1.0)


def of_spread(count: int, groups: int = 1) -> tuple[float, float]:
    """Bias and widening of the largest of some spreads, each of so many readings, in standard deviations of one.

    It is off by the difference of two errors, where two places stand out, or by the largest range of all errors.
    """
    return _holding_both(sqrt(2), _range_quantile(count, HELD ** (1 / groups)))


def _holding_both(alone: float, alike: float) -> tuple[float, float]:
    """Bias and widening from the standard deviation of one place's error and the end that holds all alike."""
    below = -alone * NormalDist().inv_cdf(max(_share(alike / alone) - HELD, _LEAST_TAIL))
    return (alike - below) / 2, (alike + below) / (2 * NORMAL)


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
