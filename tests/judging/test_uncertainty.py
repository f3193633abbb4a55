"""Uncertainty: the end gauge of JCGM 100:2008, annex H.1, and its parts, through the project's own functions."""

from fractions import Fraction
from math import hypot, inf, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from scipy.integrate import quad

from runningfits.judging.uncertainty import (
    Component,
    combined,
    effective_freedom,
    grown,
    left_by_steps,
    limits,
    pooled,
    reach,
    rectangular,
    resolved,
    shown_in_steps,
    triangular,
)

LENGTH = 0.05
"""Nominal length of the end gauge of H.1, in metres."""

COMPARISON = (("repeats", 5.8, 24), ("comparator, random", 3.9, 5), ("comparator, systematic", 6.7, 8))
"""u(d) in nanometres and its degrees of freedom (H.1.3.2, H.1.6)."""


def end_gauge() -> list[Component]:
    """The components of H.1.3 in nanometres, with the degrees of freedom of H.1.6."""
    expansion = rectangular(grown(LENGTH, 1.0, 0.1) * 1e9)
    temperature = rectangular(grown(LENGTH, 11.5, 0.05) * 1e9)
    return [
        Component("standard", 25.0, freedom=18),
        *(Component(k, u, freedom=f) for k, u, f in COMPARISON),
        Component("expansion", expansion, -1, 50),
        Component("temperature", temperature, -1, 2),
    ]


def independent(*standards: float) -> list[Component]:
    return [Component(str(n), u) for n, u in enumerate(standards)]


def test_comparison_of_the_end_gauge() -> None:
    # JCGM 100:2008, H.1.3.2: 9.7 nm
    assert combined([Component(k, u) for k, u, _ in COMPARISON]) == pytest.approx(9.68, abs=0.005)


def test_freedom_of_the_comparison() -> None:
    # JCGM 100:2008, H.1.6: 25.6, from the rounded 9.7 nm
    assert effective_freedom([Component(k, u, freedom=f) for k, u, f in COMPARISON]) == pytest.approx(25.4, abs=0.05)


@pytest.mark.parametrize(
    ("half_width", "expected"),
    [
        pytest.param(grown(LENGTH, 1.0, 0.1), 2.89e-9, id="expansion, H.1.3.5: 2.9 nm"),
        pytest.param(grown(LENGTH, 11.5, 0.05), 16.60e-9, id="temperature, H.1.3.6: 16.6 nm"),
    ],
)
def test_rectangular_parts_of_the_end_gauge(half_width: float, expected: float) -> None:
    assert rectangular(half_width) == pytest.approx(expected, abs=0.005e-9)


def test_end_gauge_of_the_printed_parts() -> None:
    # JCGM 100:2008, H.1.4: 25, 9.7, 2.9 and 16.6 nm make 32 nm (31.66 unrounded)
    assert combined(independent(25, 9.7, 2.9, 16.6)) == pytest.approx(31.66, abs=0.015)


def test_end_gauge() -> None:
    assert combined(end_gauge()) == pytest.approx(31.66, abs=0.005)


def test_effective_freedom_of_the_end_gauge() -> None:
    # JCGM 100:2008, H.1.6: 16.7, which it truncates to 16
    assert effective_freedom(end_gauge()) == pytest.approx(16.75, abs=0.005)


def test_expanded_uncertainty_of_the_end_gauge() -> None:
    # JCGM 100:2008, H.1.6: t99(16) = 2.92, U99 = 93 nm
    assert stats.t.ppf(0.995, int(effective_freedom(end_gauge()))) * combined(end_gauge()) == pytest.approx(
        92.5, abs=0.05
    )


def test_end_gauge_as_gtc_has_it() -> None:
    gtc = pytest.importorskip("GTC")
    length = sum(gtc.ureal(0, c.standard, c.freedom) * c.sign for c in end_gauge())
    assert combined(end_gauge()) == pytest.approx(gtc.uncertainty(length), rel=1e-12)
    assert effective_freedom(end_gauge()) == pytest.approx(gtc.dof(length), rel=1e-12)


def test_end_gauge_as_uncertainties_has_it() -> None:
    uncertainties = pytest.importorskip("uncertainties")
    length = sum(uncertainties.ufloat(0, c.standard) * c.sign for c in end_gauge())
    assert combined(end_gauge()) == pytest.approx(length.s, rel=1e-12)


def test_copper_expansion() -> None:
    # JCGM 100:2008, 4.3.7, example 1 (from memory, confirmed by calculation): limits of 0.40e-6 per degree, u 0.23e-6
    assert rectangular(0.40e-6) == pytest.approx(0.231e-6, abs=0.0005e-6)


def test_triangular() -> None:
    # JCGM 100:2008, 4.3.9: a / sqrt 6 (from memory, confirmed by calculation)
    assert triangular(1.0) == pytest.approx(0.40825, abs=5e-6)


def test_resolution() -> None:
    # JCGM 100:2008, F.2.2.1: 0.29 of the step (from memory, confirmed by calculation)
    assert resolved(1.0) == pytest.approx(0.28868, abs=5e-6)


def in_steps(hand: float) -> tuple[float, float]:
    """Variance of readings in whole steps about their mean, and of that mean about the size, over all sizes."""
    steps, sizes = np.arange(-12, 13), (np.arange(4000) + 0.5) / 4000 - 0.5
    edges = (np.append(steps, 13) - 0.5)[None, :]
    shares = np.diff(stats.norm.cdf((edges - sizes[:, None]) / hand), axis=1)
    means = shares @ steps
    return float(np.mean(shares @ steps**2 - means**2)), float(np.mean((means - sizes) ** 2))


@pytest.mark.parametrize("hand", [0.01, 0.05, 0.1, 0.2, 0.28, 0.3, 0.4, 0.8, 1.5])
def test_repeats_in_steps_as_scipy_has_them(hand: float) -> None:
    # what single readings show, and what their mean keeps: never less, and at most 0.065 of a step more
    shown, left = in_steps(hand)
    assert shown_in_steps(hand, 1.0) == pytest.approx(sqrt(shown), rel=0.01)
    found = left_by_steps(sqrt(shown), 1.0)
    assert left <= found**2 * (1 + 1e-3) and found**2 <= left + 0.0038
    assert shown + left == pytest.approx(hand**2 + 1 / 12, rel=1e-6), "Sheppard"


def test_repeats_that_never_differ_keep_their_step() -> None:
    assert left_by_steps(0.0, 0.001) == pytest.approx(resolved(0.001))
    assert shown_in_steps(0.0, 0.001) == 0


def test_without_steps_there_is_nothing_left() -> None:
    assert left_by_steps(0.3, 0.0) == 0
    assert shown_in_steps(0.3, 0.0) == 0.3


@given(st.floats(0, 3), st.floats(0, 3))
def test_more_that_is_shown_leaves_no_more_of_the_step(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert left_by_steps(high, 1.0) <= left_by_steps(low, 1.0) * (1 + 1e-12)
    assert shown_in_steps(low, 1.0) <= shown_in_steps(high, 1.0) * (1 + 1e-12)


def test_the_widest_limit_ends_as_a_rectangle() -> None:
    # a limit of 2, another of 1 and a hand of 0.5: the second counts as a normal error
    parts = [limits("scale", 2.0), limits("zero", 1.0), Component("hand", 0.5, reach=0.5)]
    rest = hypot(1 / sqrt(3), 0.5 / stats.norm.ppf(0.955))
    end = reach(parts)
    held = quad(lambda t: stats.norm.cdf((end - t) / rest), -2, 2)[0] / 4
    assert held == pytest.approx(0.955, abs=1e-9)
    assert end < stats.norm.ppf(0.955) * hypot(rest, 2 / sqrt(3))


def test_two_equal_limits_reach_as_far_as_their_triangle() -> None:
    # 95.5 % of a triangle of half-width 2 lie below 2 - 2 sqrt(2 x 0.045) = 1.4
    assert reach([limits("one", 1.0), limits("other", 1.0)]) == pytest.approx(1.4, rel=0.03)


def test_limits_of_one_cause_cancel_before_they_reach() -> None:
    assert reach([limits("scale", 2.0), limits("scale", 2.0, -1)]) == 0
    assert reach([limits("scale", 2.0), limits("scale", 1.0, -1)]) == pytest.approx(0.91)


def test_a_step_is_a_rectangle_of_half_its_width() -> None:
    assert resolved(0.0001) == pytest.approx(rectangular(0.00005), rel=1e-15)


def test_independent_difference() -> None:
    assert combined([Component("bore", 3.0), Component("shaft", 2.0, -1)]) == pytest.approx(3.606, abs=0.0005)


def test_a_shared_cause_cancels_in_a_difference() -> None:
    # JCGM 100:2008, 5.2.2, with a correlation coefficient of 1
    assert combined([Component("gauge", 3.0), Component("gauge", 3.0, -1)]) == 0


def test_a_shared_cause_adds_in_a_sum() -> None:
    # two shells measured with one gauge: JCGM 100:2008, 5.2.2, note 1
    assert combined([Component("gauge", 2.0), Component("gauge", 2.0)]) == 4


@pytest.mark.parametrize(("shared", "expected"), [(True, 1.0), (False, 0.316)])
def test_ten_resistors(shared: bool, expected: float) -> None:
    # JCGM 100:2008, 5.2.2, example (from memory, confirmed by calculation): ten resistors of u = 0.1 ohm, set against
    # one standard: 1 ohm; were they independent, 0.32 ohm
    parts = [Component("standard" if shared else str(n), 0.1) for n in range(10)]
    assert combined(parts) == pytest.approx(expected, abs=0.0005)


def test_a_shared_cause_cancels_and_the_rest_stays() -> None:
    parts = [Component("gauge", 3.0), Component("step", 1.0), Component("gauge", 3.0, -1), Component("other", 2.0, -1)]
    assert combined(parts) == pytest.approx(sqrt(5), rel=1e-15)


def test_correlated_difference_as_gtc_has_it() -> None:
    gtc = pytest.importorskip("GTC")
    gauge = gtc.ureal(0, 3.0)
    difference = (gtc.ureal(60.05, 1.0) + gauge) - (gtc.ureal(60.0, 2.0) + gauge)
    parts = [Component("b", 1.0), Component("gauge", 3.0), Component("s", 2.0, -1), Component("gauge", 3.0, -1)]
    assert combined(parts) == pytest.approx(gtc.uncertainty(difference), rel=1e-12)


def test_correlated_sum_as_uncertainties_has_it() -> None:
    uncertainties = pytest.importorskip("uncertainties")
    gauge = uncertainties.ufloat(0, 2.0)
    wall = uncertainties.ufloat(2.0, 0.5)
    parts = [Component("gauge", 2.0), Component("gauge", 2.0), Component("wall", 0.5)]
    assert combined(parts) == pytest.approx((wall + gauge + gauge).s, rel=1e-12)


def test_limits_alone_have_infinite_freedom() -> None:
    assert effective_freedom(independent(1.0, 2.0)) == inf


def test_one_component_keeps_its_freedom() -> None:
    assert effective_freedom([Component("repeats", 3.0, freedom=7)]) == pytest.approx(7, rel=1e-15)


def test_two_equal_components_add_their_freedom() -> None:
    # Welch-Satterthwaite, JCGM 100:2008, G.4.1: (2 u^2)^2 / (u^4 / 4 + u^4 / 4)
    assert effective_freedom([Component("a", 3.0, freedom=4), Component("b", 3.0, freedom=4)]) == pytest.approx(8)


def test_no_component_is_no_uncertainty() -> None:
    assert combined([]) == 0
    assert effective_freedom([]) == inf


def numbers(*texts: str) -> list[Fraction]:
    return [Fraction(t) for t in texts]


def test_pooled_by_hand() -> None:
    # squares 2 and 8 over 1 + 1 degrees of freedom; a single reading has none
    deviation, freedom = pooled([numbers("1", "3"), numbers("10", "14"), numbers("7")])
    assert (deviation, freedom) == (pytest.approx(sqrt(5), rel=1e-15), 2)


def test_pooled_repeats_of_one_size() -> None:
    sizes = numbers("2.4998", "2.4999", "2.4997", "2.4998")
    deviation, freedom = pooled([sizes])
    assert deviation == pytest.approx(float(np.std([float(s) for s in sizes], ddof=1)), rel=1e-9)
    assert freedom == 3


def test_pooled_without_repeats() -> None:
    assert pooled([numbers("2.5"), numbers("2.6")]) == (0.0, 0)


@pytest.mark.parametrize(
    ("size", "expansion", "kelvin", "expected"),
    [
        pytest.param(0.300, 11.5, 10, 34.5e-6, id="300 mm of steel, 24 to 34 degrees (common practice: over 30 um)"),
        pytest.param(0.086, 21.5, 10, 18.49e-6, id="86 mm aluminium piston 10 K warmer: 0.02 mm (common practice)"),
        pytest.param(0.060, 11.5, 1, 0.69e-6, id="60 mm journal, 1 K"),
        pytest.param(0.060, 11.5, -80, -55.2e-6, id="it shrinks when it cools"),
    ],
)
def test_growth(size: float, expansion: float, kelvin: float, expected: float) -> None:
    # gauge block steel 11.5e-6 per kelvin: ISO 3650; aluminium 356.0: Callister, table B.6
    assert grown(size, expansion, kelvin) == pytest.approx(expected, rel=1e-9)


STANDARDS = st.just(0.0) | st.floats(1e-9, 1e-3)


@given(STANDARDS, STANDARDS)
def test_independent_parts_add_as_squares(first: float, second: float) -> None:
    assert combined(independent(first, second)) == pytest.approx(hypot(first, second), rel=1e-12)


@given(st.lists(st.tuples(st.sampled_from("abc"), STANDARDS, st.sampled_from([1, -1])), max_size=8))
def test_never_more_than_the_sum_and_the_order_does_not_matter(parts: list[tuple[str, float, int]]) -> None:
    found = [Component(*p) for p in parts]
    assert combined(found) <= sum(c.standard for c in found) * (1 + 1e-12)
    assert combined(found[::-1]) == pytest.approx(combined(found), rel=1e-9, abs=1e-15)


@given(st.lists(STANDARDS, min_size=1, max_size=6), st.integers(2, 9))
def test_freedom_is_at_least_the_smallest(standards: list[float], freedom: int) -> None:
    found = [Component(str(n), u, freedom=freedom + n) for n, u in enumerate(standards)]
    assert effective_freedom(found) >= freedom * (1 - 1e-9)
