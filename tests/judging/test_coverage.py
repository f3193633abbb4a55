"""Factors for 95 %: Student's by JCGM 100 and scipy, the largest and the spread of several by exact distributions."""

from math import inf, sqrt

import pytest
from scipy.integrate import quad
from scipy.stats import norm, studentized_range, t

from runningfits.judging.coverage import (
    BOTH,
    HELD,
    NORMAL,
    Order,
    factor,
    half_widths,
    of_largest,
    of_spread,
    one_sided,
)

G_2 = {
    # JCGM 100:2008, table G.2, fraction 95 % (from memory, confirmed by scipy)
    4: 2.78, 5: 2.57, 6: 2.45, 7: 2.36, 8: 2.31, 9: 2.26, 10: 2.23, 11: 2.20, 12: 2.18, 13: 2.16, 14: 2.14, 15: 2.13,
    16: 2.12, 17: 2.11, 18: 2.10, 19: 2.09, 20: 2.09, 25: 2.06, 30: 2.04, 35: 2.03, 40: 2.02, 45: 2.01, 50: 2.01,
    100: 1.984, inf: 1.960,
}  # fmt: skip


@pytest.mark.parametrize(("freedom", "expected"), G_2.items())
def test_table_g_2(freedom: float, expected: float) -> None:
    assert t.ppf(0.975, freedom) == pytest.approx(expected, abs=0.005), "the table is what it is said to be"
    assert factor(freedom) == pytest.approx(expected, abs=0.01 + 0.005), "its rounding beside our own 0.01"


@pytest.mark.parametrize("freedom", [4, 4.4, 5.7, 8.1, 12.5, 33.3, 1000])
def test_student_as_scipy_has_it(freedom: float) -> None:
    assert factor(freedom) == pytest.approx(t.ppf(0.975, freedom), abs=0.01)


def test_fewer_degrees_of_freedom_are_wider() -> None:
    found = [factor(n) for n in (4, 5, 6, 10, 30, 100, inf)]
    assert found == sorted(found, reverse=True)
    assert found[-1] == NORMAL == 1.96


def ends(order: Order) -> tuple[float, float]:
    """The interval of the error that is taken for 95 %, in standard deviations of one reading."""
    above, below = half_widths(order.alone, order.reach, order.lift, 0.0)
    return -below, above


@pytest.mark.parametrize("count", [2, 3, 4, 6, 8, 12])
def test_the_largest_of_several_holds_95_percent(count: int) -> None:
    # where all places are alike the error is the largest of all, where one stands out it is its own
    low, high = ends(of_largest(count))
    alike = norm.cdf(high) ** count - norm.cdf(low) ** count
    alone = norm.cdf(high) - norm.cdf(low)
    assert 0.95 <= min(alike, alone) <= 0.965, "holds 95 %, and is not much wider"


def test_one_reading_is_its_own_largest() -> None:
    order = of_largest(1)
    assert (order.alone, order.lift) == (1.0, 0.0)
    assert half_widths(order.alone, order.reach, 0.0, 0.0) == (NORMAL, NORMAL)


@pytest.mark.parametrize("count", [2, 3, 5, 6])
def test_the_lift_of_a_largest_is_its_mean(count: int) -> None:
    # expected largest of n standard normal values (Harter's tables of normal order statistics, from memory)
    assert of_largest(count).lift == pytest.approx({2: 0.56419, 3: 0.84628, 5: 1.16296, 6: 1.26721}[count], abs=1e-5)


@pytest.mark.parametrize(("count", "groups"), [(2, 1), (2, 3), (3, 1), (3, 2), (4, 1), (6, 1), (6, 2), (8, 1)])
def test_the_spread_of_several_holds_95_percent(count: int, groups: int) -> None:
    # the range of n normal values with a known standard deviation: the studentized range of infinite freedom
    low, high = ends(of_spread(count, groups))
    alike = studentized_range.cdf(high, count, inf) ** groups
    alike -= studentized_range.cdf(low, count, inf) ** groups if low > 0 else 0.0
    alone = norm.cdf(high / sqrt(2)) - norm.cdf(low / sqrt(2))
    assert 0.95 <= min(alike, alone) <= 0.965


@pytest.mark.parametrize("count", [2, 3, 4, 6, 10])
def test_the_quantile_of_the_range_as_scipy_has_it(count: int) -> None:
    order = of_spread(count)
    assert order.lift + order.reach == pytest.approx(studentized_range.ppf(HELD, count, inf), abs=1e-5)


@pytest.mark.parametrize("count", [3, 4, 6])
def test_several_alike_read_too_much(count: int) -> None:
    assert of_largest(count).lift > 0
    assert of_spread(count).lift == pytest.approx(2 * of_largest(count).lift, abs=1e-6), "the range is max less min"
    assert of_spread(count, 3).lift > of_spread(count).lift, "the largest of three spreads is larger"


@pytest.mark.parametrize("deviation", [1e-9, 0.01, 0.1, 0.3, 0.58, 1.0, 3.0, 99.0, 1001.0, 1e6])
def test_a_rectangle_and_a_normal_error_as_scipy_has_it(deviation: float) -> None:
    # the share of their sum below the end, integrated over the rectangle
    end = one_sided(1.0, deviation)
    held = quad(lambda t: norm.cdf((end - t) / deviation), -1, 1, points=[min(end, 1.0)], epsabs=1e-13)[0] / 2
    assert held == pytest.approx(HELD, abs=1e-9)


def test_a_rectangle_alone_ends_sooner_than_a_normal_error() -> None:
    # JCGM 100:2008, G.2.2: 95 % of a rectangle lie within 1.65 standard deviations; one-sided (2 p - 1) a
    assert one_sided(1.0, 0.0) == pytest.approx(2 * HELD - 1)
    assert one_sided(0.0, 1.0) == pytest.approx(norm.ppf(HELD))
    assert one_sided(0.0, 0.0) == 0
    assert one_sided(sqrt(3), 0.0) < one_sided(0.0, 1.0)


def test_a_lift_that_may_go_both_ways_widens_both_ends() -> None:
    above, below = half_widths(1.0, 1.5, 0.8, 0.6)
    assert (above, below) == pytest.approx((BOTH * (0.8 + 1.5), BOTH * (0.6 + 1.5)))
