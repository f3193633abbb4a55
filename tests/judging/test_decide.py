"""The decision: conformance probabilities of JCGM 106, the three zones of ISO 14253-1, wear zones, properties."""

from math import inf, isnan, nan

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.stats import norm

from runningfits.judging.coverage import NORMAL
from runningfits.judging.decide import VERDICTS, Limits, decide, probability

LIMITS = (0.02, 0.07)
STANDARD = 0.003
"""A range in millimetres and a standard uncertainty, with U = 2 u: the three-zone cases."""

Pair = tuple[float, float]


def arrays(*numbers: float) -> list[np.ndarray]:
    return [np.array([n], dtype=np.float64) for n in numbers]


def of(
    new: Pair, wear: Pair | None = None, up: bool = True, *, loose: Pair | None = None, lone: Pair = (nan, nan)
) -> Limits:
    """Limits of one value: a new range, open where it is NaN, and what wear allows, `loose` by the wider unit."""
    fresh = not all(map(isnan, new))
    low, high = (o if isnan(n) else n for n, o in zip(new, (-inf, inf), strict=True))
    wider = loose or (low, high)
    allowed = wear or (low, high)
    ends = (low, wider[0], high, wider[1])
    ends += (allowed[0], allowed[0], allowed[1], allowed[1]) if wear else ends
    return Limits(*arrays(*ends, *lone), *(np.array([f]) for f in (fresh, wear is not None, up, False)))


def judged(least: float, most: float, limits: Limits) -> str:
    return VERDICTS[decide(*arrays(least, most), limits)[0]]


def verdict(value: float, expanded: float, new: Pair, wear: Pair | None = None, up: bool = True) -> str:
    """Verdict of one value with its expanded uncertainty."""
    return judged(value - expanded, value + expanded, of(new, wear, up))


def share(value: float, standard: float, low: float, high: float) -> float:
    return float(probability(*arrays(value, standard, low, high))[0])


@pytest.mark.parametrize(
    ("value", "standard", "low", "high", "expected"),
    [
        # values of the examples from memory, confirmed by calculation
        pytest.param(-5.47, 0.05, -inf, -5.40, 0.9192, id="JCGM 106:2012, 7.3, example 1: Zener diode, printed 0.92"),
        pytest.param(509.7, 8.6, 490, inf, 0.9890, id="JCGM 106:2012, 7.3, example 2: container, printed 0.99"),
        pytest.param(13.6, 1.8, 12.5, 16.3, 0.6626, id="JCGM 106:2012, 7.4, example: SAE 40 oil, printed 0.66"),
        pytest.param(0.023, 0.003, 0.020, 0.026, 0.6827, id="one standard uncertainty to each side"),
    ],
)
def test_conformance_probability(value: float, standard: float, low: float, high: float, expected: float) -> None:
    assert share(value, standard, low, high) == pytest.approx(expected, abs=0.00005)


ZONES = [
    # value, probability, guarded, simple: ISO 14253-1 with U = 2 u, by calculation; no wear limit is printed
    (0.0130, 0.00982, "tight", "tight"),
    (0.0139, 0.02101, "tight", "tight"),
    (0.0141, 0.02461, "cannot-tell", "tight"),
    (0.0199, 0.48670, "cannot-tell", "tight"),
    (0.0200, 0.50000, "cannot-tell", "new"),
    (0.0259, 0.97539, "cannot-tell", "new"),
    (0.0261, 0.97899, "new", "new"),
    (0.0450, 1.00000, "new", "new"),
    (0.0639, 0.97899, "new", "new"),
    (0.0641, 0.97539, "cannot-tell", "new"),
    (0.0700, 0.50000, "cannot-tell", "new"),
    (0.0701, 0.48670, "cannot-tell", "past-new"),
    (0.0759, 0.02461, "cannot-tell", "past-new"),
    (0.0761, 0.02101, "past-new", "past-new"),
]


@pytest.mark.parametrize(("value", "expected", "guarded", "simple"), ZONES)
def test_zones(value: float, expected: float, guarded: str, simple: str) -> None:
    assert verdict(value, 2 * STANDARD, LIMITS) == guarded
    assert verdict(value, 0.0, LIMITS) == simple
    assert share(value, STANDARD, *LIMITS) == pytest.approx(expected, abs=0.000005)


@pytest.mark.parametrize(("value", "_", "guarded", "__"), ZONES)
def test_zones_where_wear_makes_it_smaller(value: float, _: float, guarded: str, __: str) -> None:
    other = {"tight": "past-new", "past-new": "tight"}.get(guarded, guarded)
    assert verdict(value, 2 * STANDARD, LIMITS, up=False) == other


def test_a_range_narrower_than_the_uncertainty_never_conforms() -> None:
    # ISO 14253-1: with U of at least half the range no zone of conformity is left
    found = {verdict(v, 2 * STANDARD, (0.020, 0.026)) for v in np.linspace(0.008, 0.038, 301)}
    assert found == {"tight", "cannot-tell", "past-new"}


WORN = [
    (1.9, "tight"),
    (2.0, "new"),
    (4.0, "new"),
    (4.001, "worn"),
    (6.0, "worn"),
    (6.001, "loose"),
]


@pytest.mark.parametrize(("value", "expected"), WORN)
def test_wear_limit_above(value: float, expected: str) -> None:
    assert verdict(value, 0.0, (2, 4), (2, 6)) == expected


@pytest.mark.parametrize(("value", "expected"), WORN)
def test_wear_limit_below(value: float, expected: str) -> None:
    # a shaft: the same zones from the other side
    assert verdict(-value, 0.0, (-4, -2), (-6, -2), up=False) == expected


GUARDED = [
    # U of 0.5 about limits of 2, 4 and 6: an interval that only touches a limit from outside is not proved to be out;
    # about 4 it is proved to be inside the limit of 6, and whether it is new or worn is not
    (1.49, "tight"),
    (1.5, "cannot-tell"),
    (2.49, "cannot-tell"),
    (2.5, "new"),
    (3.5, "new"),
    (3.51, "serviceable"),
    (4.5, "serviceable"),
    (4.51, "worn"),
    (5.5, "worn"),
    (5.51, "cannot-tell"),
    (6.5, "cannot-tell"),
    (6.51, "loose"),
]


@pytest.mark.parametrize(("value", "expected"), GUARDED)
def test_wear_zones_with_guard_bands(value: float, expected: str) -> None:
    assert verdict(value, 0.5, (2, 4), (2, 6)) == expected


@pytest.mark.parametrize(("value", "expected"), GUARDED)
def test_wear_zones_of_a_shaft_with_guard_bands(value: float, expected: str) -> None:
    assert verdict(-value, 0.5, (-4, -2), (-6, -2), up=False) == expected


@pytest.mark.parametrize(
    ("value", "expanded", "expected"),
    [
        (4.0, 0.0, "new"),
        (4.001, 0.0, "loose"),
        (3.4, 0.5, "new"),
        (3.6, 0.5, "cannot-tell"),
        (4.4, 0.5, "cannot-tell"),
        (4.6, 0.5, "loose"),
    ],
)
def test_a_wear_limit_at_the_end_of_the_range_allows_no_wear(value: float, expanded: float, expected: str) -> None:
    # common practice: legal, and nothing is ever worn
    assert verdict(value, expanded, (2, 4), (2, 4)) == expected


@pytest.mark.parametrize(
    ("value", "expected"),
    [(-100.0, "new"), (3.4, "new"), (3.6, "cannot-tell"), (4.4, "cannot-tell"), (4.6, "past-new")],
)
def test_at_most(value: float, expected: str) -> None:
    assert verdict(value, 0.5, (-inf, 4)) == expected


@pytest.mark.parametrize(
    ("value", "expected"), [(1.4, "tight"), (1.6, "cannot-tell"), (2.4, "cannot-tell"), (2.6, "new"), (100.0, "new")]
)
def test_at_least(value: float, expected: str) -> None:
    assert verdict(value, 0.5, (2, inf)) == expected


@pytest.mark.parametrize(
    ("value", "expected"),
    [(1.0, "serviceable"), (5.4, "serviceable"), (5.6, "cannot-tell"), (6.4, "cannot-tell"), (6.6, "loose")],
)
def test_a_limit_alone_says_nothing_about_new(value: float, expected: str) -> None:
    assert verdict(value, 0.5, (nan, nan), (-inf, 6)) == expected


def test_a_lower_limit_alone() -> None:
    assert verdict(5.6, 0.5, (nan, nan), (5, inf), up=False) == "serviceable"
    assert verdict(4.4, 0.5, (nan, nan), (5, inf), up=False) == "loose"


@pytest.mark.parametrize(
    ("least", "most", "expected"),
    [
        # new 2 to 4 by one unit, 1.8 to 4.2 by the other: inside is by the stricter, outside by both
        (2.0, 4.0, "new"),
        (1.9, 3.0, "cannot-tell"),
        (1.81, 1.99, "cannot-tell"),
        (4.01, 4.19, "cannot-tell"),
        (1.7, 1.79, "tight"),
        (4.21, 4.3, "past-new"),
    ],
)
def test_between_two_units_nothing_is_decided(least: float, most: float, expected: str) -> None:
    assert judged(least, most, of((2, 4), loose=(1.8, 4.2))) == expected


@pytest.mark.parametrize(
    ("least", "most", "expected"),
    [
        # a lone 12.0 is known to half its last digit; an interval that reaches it agrees, and is never new
        (11.9, 12.1, "agrees"),
        (12.04, 12.2, "agrees"),
        (12.06, 12.2, "past-new"),
        (11.8, 11.96, "agrees"),
        (11.8, 11.94, "tight"),
        (12.0, inf, "cannot-tell"),
    ],
)
def test_a_value_without_a_tolerance(least: float, most: float, expected: str) -> None:
    assert judged(least, most, of((nan, nan), lone=(11.95, 12.05))) == expected


def test_a_bound_alone_proves_one_side() -> None:
    assert judged(2.5, inf, of((2, 4), (2, 6))) == "cannot-tell"
    assert judged(6.1, inf, of((2, 4), (2, 6))) == "loose"
    assert judged(2.5, inf, of((2, nan))) == "new"


def test_where_wear_goes_either_way_no_side_is_past_new() -> None:
    either = of((2, 4))._replace(either_way=np.array([True]))
    assert judged(4.1, 4.2, either) == "loose"
    assert judged(1.8, 1.9, either) == "tight"


def test_many_at_once() -> None:
    values = np.array([v for v, *_ in ZONES])
    many = Limits(*(np.repeat(a, len(ZONES)) for a in of(LIMITS)))
    found = decide(values - 2 * STANDARD, values + 2 * STANDARD, many)
    assert [VERDICTS[c] for c in found] == [g for _, _, g, _ in ZONES]


@pytest.mark.parametrize(("value", "expected"), [(1.9, 0.0), (2.0, 1.0), (4.0, 1.0), (4.1, 0.0)])
def test_without_uncertainty_it_is_inside_or_not(value: float, expected: float) -> None:
    assert share(value, 0.0, 2, 4) == expected


def test_no_range_has_no_probability() -> None:
    assert np.isnan(share(3.0, 0.1, nan, nan))


VALUES = st.floats(-1, 1)
STANDARDS = st.floats(1e-4, 1)
ENDS = st.tuples(VALUES, VALUES).map(lambda pair: (min(pair), max(pair)))


@given(VALUES, STANDARDS, ENDS)
def test_probability_as_scipy_has_it(value: float, standard: float, ends: tuple[float, float]) -> None:
    expected = norm.cdf(ends[1], value, standard) - norm.cdf(ends[0], value, standard)
    assert share(value, standard, *ends) == pytest.approx(expected, rel=0, abs=1e-12)


@given(VALUES, STANDARDS, VALUES)
def test_one_sided_probability_as_scipy_has_it(value: float, standard: float, end: float) -> None:
    assert share(value, standard, -inf, end) == pytest.approx(norm.cdf(end, value, standard), rel=0, abs=1e-12)
    assert share(value, standard, end, inf) == pytest.approx(norm.sf(end, value, standard), rel=0, abs=1e-12)


@given(VALUES, STANDARDS, ENDS, st.floats(0, 1))
def test_a_wider_range_is_at_least_as_likely(
    value: float, standard: float, ends: tuple[float, float], more: float
) -> None:
    wider = share(value, standard, ends[0] - more, ends[1] + more)
    assert wider >= share(value, standard, *ends) - 1e-15


WEAR = st.tuples(VALUES, VALUES, VALUES).map(sorted)


@given(VALUES, STANDARDS, WEAR)
def test_verdict_and_probability_agree(value: float, standard: float, ends: list[float]) -> None:
    low, high, worn = ends
    found = verdict(value, NORMAL * standard, (low, high), (low, worn))
    fresh, allowed = share(value, standard, low, high), share(value, standard, low, worn)
    # 1.96 standard uncertainties from every limit: 0.95 inside, at most 0.025 beyond
    if found == "new":
        assert fresh >= 0.9499
    if found == "worn":
        assert fresh <= 0.0251
    if found in ("worn", "serviceable"):
        assert allowed >= 0.9499
    if found in ("loose", "tight"):
        assert allowed <= 0.0251


@given(VALUES, WEAR)
def test_simple_acceptance_always_decides(value: float, ends: list[float]) -> None:
    low, high, worn = ends
    assume(low < high < worn)
    expected = "tight" if value < low else "new" if value <= high else "worn" if value <= worn else "loose"
    assert verdict(value, 0.0, (low, high), (low, worn)) == expected


@given(VALUES, VALUES, st.floats(0, 0.3), WEAR)
def test_a_larger_value_never_has_a_tighter_verdict(
    first: float, second: float, expanded: float, ends: list[float]
) -> None:
    low, high, worn = ends
    order = ["tight", "new", "serviceable", "worn", "loose"]
    found = [verdict(v, expanded, (low, high), (low, worn)) for v in sorted((first, second))]
    decided = [order.index(f) for f in found if f != "cannot-tell"]
    assert decided == sorted(decided)


@given(VALUES, STANDARDS, STANDARDS, WEAR)
def test_more_uncertainty_never_decides_more(value: float, expanded: float, more: float, ends: list[float]) -> None:
    low, high, worn = ends
    sure, unsure = (verdict(value, u, (low, high), (low, worn)) for u in (expanded, expanded + more))
    less = {sure, "cannot-tell"} | ({"serviceable"} if sure in ("new", "worn") else set())
    assert unsure in less


@given(VALUES, STANDARDS, WEAR)
def test_a_shaft_is_a_bore_in_a_mirror(value: float, expanded: float, ends: list[float]) -> None:
    low, high, worn = ends
    bore = verdict(value, expanded, (low, high), (low, worn))
    assert verdict(-value, expanded, (-high, -low), (-worn, -low), up=False) == bore
