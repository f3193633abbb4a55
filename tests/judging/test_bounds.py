"""What a row allows: its range and wear limit, from rows made in memory."""

from fractions import Fraction
from math import inf

import pytest

from runningfits.dataset import Dataset
from runningfits.judging.bounds import LEAST_SHARE, Bounds, End, bounds, together
from runningfits.rows import Cite, Row

from ..auditing.examples import filled


def row(quantity: str, unit: str = "mm", misprints: dict[str, dict[str, str]] | None = None, **cells: str) -> Row:
    """A row of sizes that stands on no page."""
    whole = filled("sizes", {"quantity": quantity, "unit": unit, **cells})
    return Row(f"example/{quantity}", "sizes", "example", whole, Cite("", "", "", "", ""), misprints or {})


def limits(data: Dataset, quantity: str, **cells: str) -> tuple[Bounds, list[str | None]]:
    """Bounds of a row in one unit, and its four limits in millimetres as text."""
    found = bounds(row(quantity, **cells), data)
    ends = (found.low, found.high, found.wear_low, found.wear_high)
    assert all(e is None or e.strict == e.loose for e in ends), "one unit has no stricter one"
    return found, [None if e is None else str(float(e.strict * 1000)) for e in ends]


BORE, SHAFT, BOTH = "main-bearing-bore", "main-journal-diameter", "gear-fit"


@pytest.mark.parametrize(
    ("quantity", "cells", "expected"),
    [
        pytest.param(BORE, {"lower": "60", "upper": "61"}, ["60.0", "61.0", "60.0", "61.0"], id="range"),
        pytest.param(BORE, {"lower": "60"}, ["60.0", None, "60.0", None], id="at least"),
        pytest.param(BORE, {"upper": "61"}, [None, "61.0", None, "61.0"], id="at most"),
        pytest.param(
            BORE, {"nominal": "60", "tolerance": "0.5"}, ["59.5", "60.5", "59.5", "60.5"], id="nominal and tolerance"
        ),
        pytest.param(
            BORE,
            {"lower": "60", "upper": "61", "limit": "63", "limit_as": "value"},
            ["60.0", "61.0", "60.0", "63.0"],
            id="a bore wears upward",
        ),
        pytest.param(
            SHAFT,
            {"lower": "60", "upper": "61", "limit": "58", "limit_as": "value"},
            ["60.0", "61.0", "58.0", "61.0"],
            id="a shaft wears downward",
        ),
        pytest.param(
            BORE,
            {"lower": "60", "upper": "61", "limit": "0.5", "limit_as": "wear"},
            ["60.0", "61.0", "60.0", "61.5"],
            id="an amount of wear counts from the upper end of a bore",
        ),
        pytest.param(
            SHAFT,
            {"lower": "60", "upper": "61", "limit": "0.5", "limit_as": "wear"},
            ["60.0", "61.0", "59.5", "61.0"],
            id="an amount of wear counts from the lower end of a shaft",
        ),
        pytest.param(
            BORE,
            {"nominal": "60", "limit": "0.5", "limit_as": "wear"},
            [None, None, None, "60.5"],
            id="an amount of wear from a single value",
        ),
        pytest.param(BORE, {"limit": "63", "limit_as": "value"}, [None, None, None, "63.0"], id="limit alone"),
        pytest.param(SHAFT, {"limit": "58", "limit_as": "value"}, [None, None, "58.0", None], id="lower limit alone"),
        pytest.param(
            BORE,
            {"lower": "60", "upper": "61", "limit": "61", "limit_as": "value"},
            ["60.0", "61.0", "60.0", "61.0"],
            id="no wear allowed",
        ),
        pytest.param(
            BORE,
            {"lower": "60", "upper": "61", "limit": "60.5", "limit_as": "value"},
            ["60.0", "61.0", "60.0", "61.0"],
            id="a limit inside the range never narrows it",
        ),
        pytest.param(
            BOTH,
            {"lower": "-0.02", "upper": "0.03", "limit": "0.05", "limit_as": "value"},
            ["-0.02", "0.03", "-0.02", "0.05"],
            id="either side, above",
        ),
        pytest.param(
            BOTH,
            {"lower": "-0.02", "upper": "0.03", "limit": "-0.05", "limit_as": "value"},
            ["-0.02", "0.03", "-0.05", "0.03"],
            id="either side, below",
        ),
    ],
)
def test_limits(data: Dataset, quantity: str, cells: dict[str, str], expected: list[str | None]) -> None:
    assert limits(data, quantity, **cells)[1] == expected


def test_what_can_be_judged(data: Dataset) -> None:
    whole, limit, single, wear = (
        limits(data, BORE, **c)[0]
        for c in (
            {"lower": "60"},
            {"limit": "63", "limit_as": "value"},
            {"nominal": "60"},
            {"limit": "0.1", "limit_as": "wear"},
        )
    )
    assert (whole.fresh, whole.judged) == (True, True)
    assert (limit.fresh, limit.judged) == (False, True)
    assert (single.fresh, single.judged) == (False, True)
    assert (wear.fresh, wear.judged) == (False, False), "wear counted from nothing"


def test_a_single_value_counts_to_half_its_last_digit(data: Dataset) -> None:
    found = limits(data, BORE, nominal="60.0")[0]
    assert found.nominal == End(Fraction("0.05995"), Fraction("0.06005"))
    assert limits(data, BORE, nominal="60.0", tolerance="0.5")[0].nominal is None
    assert limits(data, BORE, nominal="60.0", upper="61")[0].nominal is None


def test_the_side_of_wear(data: Dataset) -> None:
    assert limits(data, BORE, upper="61")[0].wears_up
    assert not limits(data, SHAFT, upper="61")[0].wears_up
    assert limits(data, BOTH, upper="0.1")[0].side == "both"


def test_open_sides_for_the_decision(data: Dataset) -> None:
    assert limits(data, BORE, upper="61")[0].ends() == (-inf, -inf, 0.061, 0.061, -inf, -inf, 0.061, 0.061)
    wear = limits(data, BORE, limit="63", limit_as="value")[0]
    assert not wear.fresh
    assert wear.ends()[4:] == (-inf, -inf, 0.063, 0.063)


def floor(data: Dataset, quantity: str, **cells: str) -> bool:
    return limits(data, quantity, **cells)[0].floor


def test_a_play_without_a_printed_least_must_be_above_zero(data: Dataset) -> None:
    assert floor(data, "rod-bearing-clearance", upper="0.08")
    assert floor(data, "rod-bearing-clearance", lower="0", upper="0.08"), "a printed 0 is no clearance"
    assert floor(data, "crank-end-play", limit="0.4", limit_as="value")
    assert not floor(data, "rod-bearing-clearance", lower="0.02", upper="0.08")
    assert not floor(data, "pin-in-piston-clearance", lower="-0.01", upper="0.01"), "a printed tight fit"
    assert not floor(data, "pin-in-piston-clearance", upper="-0.01"), "tight throughout"
    assert not floor(data, "main-journal-taper", limit="0.01", limit_as="value"), "a form may be 0"
    low, low_loose, *_ = limits(data, "rod-bearing-clearance", lower="0", upper="0.08")[0].ends()
    assert 0 < low == low_loose < 1e-9
    low, low_loose, *_ = limits(data, "rod-bearing-clearance", upper="0.06")[0].ends()
    assert (low, 0 < low_loose < 1e-9) == (1e-5, True), "what is scant does not pass, and is not proven tight"


def test_of_pages_that_print_both_ends_of_a_play_98_in_a_hundred_print_no_smaller_share(data: Dataset) -> None:
    """By kind: pins in their pistons, of which pages print the least shares, are held to one of their own."""
    found: dict[str, list[bool]] = {}
    for engine in data.engines:
        for row in (r for t in ("sizes", "clearances") for r in data.all_rows(engine, t)):
            kind, b = data.quantities[row.item]["kind"], bounds(row, data)
            shares = LEAST_SHARE.get(row.item) or LEAST_SHARE.get(kind)
            if shares and b.low and b.low.strict > 0:
                ends = zip((b.high, b.limit), shares, strict=True)
                found.setdefault(kind, []).extend(b.low.strict >= s * e.strict for e, s in ends if e)
    assert set(found) == set(LEAST_SHARE) - {"pin-in-piston-clearance"}
    assert all(sum(held) >= min(0.98 * len(held), len(held) - 1) for held in found.values())
    assert sum(map(len, found.values())) > 2000


@pytest.mark.parametrize(
    ("quantity", "cells", "expected"),
    [
        (BORE, {"upper": "61"}, "lower"),
        (BORE, {"limit": "63", "limit_as": "value"}, "lower"),
        (BORE, {"lower": "60"}, "upper"),
        (BORE, {"lower": "60", "limit": "62", "limit_as": "value"}, ""),
        (BORE, {"lower": "60", "upper": "61"}, ""),
        (SHAFT, {"lower": "60"}, "upper"),
        (SHAFT, {"limit": "58", "limit_as": "value"}, "upper"),
        (SHAFT, {"upper": "61"}, "lower"),
        (SHAFT, {"upper": "61", "limit": "58", "limit_as": "value"}, ""),
        ("rod-bearing-wall", {"lower": "1.8"}, "upper"),
        ("rod-bearing-wall", {"limit": "1.8", "limit_as": "value"}, "upper"),
        ("rod-bearing-wall", {"upper": "1.9"}, "lower"),
        ("thrust-washer-thickness", {"lower": "2.3"}, "upper"),
        ("valve-margin", {"lower": "1.0"}, ""),
        (SHAFT, {"nominal": "60"}, ""),
        ("main-journal-taper", {"upper": "0.01"}, ""),
        ("crank-end-play", {"upper": "0.4"}, ""),
    ],
)
def test_the_open_end_of_a_running_size(data: Dataset, quantity: str, cells: dict[str, str], expected: str) -> None:
    # first the end that wear does not go to: a bore too small, a shaft or a washer too big
    assert limits(data, quantity, **cells)[0].open_end == expected


def test_inches_are_exact(data: Dataset) -> None:
    found = bounds(row(BORE, "in", lower="2.4995", upper="2.5000"), data)
    assert found.low and found.high
    assert (found.low.strict, found.high.strict) == (Fraction("0.0634873"), Fraction("0.0635"))


def test_of_two_units_the_stricter_must_hold(data: Dataset) -> None:
    # 1.87 in is 47.498 mm, 1.90 in is 48.26 mm: half of the finer step is 0.05 mm
    both = {"lower_2": "1.87", "upper_2": "1.90", "unit_2": "in"}
    found = bounds(row(BORE, lower="47.6", upper="48.3", **both), data)
    assert found.low == End(Fraction("0.0476"), Fraction("0.047498"))
    assert found.high == End(Fraction("0.0483"), Fraction("0.0483")), "48.26 is 48.3 as printed: one end"
    assert found.allows_one(0.04754, 0.048)
    assert not found.allows(0.04754, 0.048)


def test_rows_that_all_must_hold(data: Dataset) -> None:
    one, two = (limits(data, "crank-end-play", **c)[0] for c in ({"lower": "4", "upper": "9"}, {"upper": "8"}))
    found = together([one, two])
    assert found.low == End(Fraction("0.004"), Fraction("0.004")), "the second row is silent on it"
    assert found.high == End(Fraction("0.008"), Fraction("0.009"))
    assert (one.floor, two.floor, found.floor) == (False, True, False)
    assert together([one, limits(data, "crank-end-play", lower="4", upper="9", limit="14", limit_as="value")[0]]).limit
    shaft, bore = (limits(data, n, limit="60", limit_as="value")[0] for n in (SHAFT, BORE))
    assert together([shaft]).side == "lower"
    assert together([bore]).side == "upper"


def test_a_range_and_a_limit_of_two_documents_are_not_joined(data: Dataset) -> None:
    fresh, limit, whole = (
        limits(data, "crank-end-play", **c)[0]
        for c in (
            {"lower": "4", "upper": "9"},
            {"limit": "15", "limit_as": "value"},
            {"lower": "3", "upper": "8", "limit": "14", "limit_as": "value"},
        )
    )
    assert together([fresh, limit]).limit == End(Fraction("0.009"), Fraction("0.015")), "between them nothing is sure"
    assert together([fresh, whole]).limit == End(Fraction("0.014"), Fraction("0.014")), "one document prints both"
    assert together([whole, limit]).limit == End(Fraction("0.014"), Fraction("0.015"))


def test_a_registered_misprint_is_judged_by_the_corrected_value(data: Dataset) -> None:
    wrong = {"limit": {"column": "limit", "printed": "0.7", "corrected": "0.07"}}
    found = bounds(row("rod-side-clearance", misprints=wrong, upper="0.03", limit="0.7", limit_as="value"), data)
    assert found.wear_high == End(Fraction("0.00007"), Fraction("0.00007"))


def test_a_misprint_without_a_proved_value_judges_nothing(data: Dataset) -> None:
    wrong = {"upper": {"column": "upper", "printed": "0.3", "corrected": ""}}
    found = bounds(row("rod-side-clearance", misprints=wrong, upper="0.3"), data)
    assert not found.judged
