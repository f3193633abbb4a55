"""What a row allows: its range and wear limit, from rows made in memory."""

from fractions import Fraction
from math import inf, isnan

import pytest

from runningfits.dataset import Dataset
from runningfits.judging.bounds import Bounds, bounds
from runningfits.rows import Cite, Row

from ..auditing.examples import filled


def row(quantity: str, unit: str = "mm", misprints: dict[str, dict[str, str]] | None = None, **cells: str) -> Row:
    """A row of sizes that stands on no page."""
    whole = filled("sizes", {"quantity": quantity, "unit": unit, **cells})
    return Row(f"example/{quantity}", "sizes", "example", whole, Cite("", "", "", "", ""), misprints or {})


def limits(data: Dataset, quantity: str, **cells: str) -> tuple[Bounds, list[str | None]]:
    """Bounds of a row in millimetres, and its four limits as text."""
    found = bounds(row(quantity, **cells), data)
    ends = (found.low, found.high, found.wear_low, found.wear_high)
    return found, [None if e is None else str(float(e * 1000)) for e in ends]


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
    assert (single.fresh, single.judged) == (False, False)
    assert (wear.fresh, wear.judged) == (False, False), "wear counted from nothing"


def test_the_side_of_wear(data: Dataset) -> None:
    assert limits(data, BORE, upper="61")[0].wears_up
    assert not limits(data, SHAFT, upper="61")[0].wears_up


def test_open_sides_for_the_decision(data: Dataset) -> None:
    assert limits(data, BORE, upper="61")[0].floats() == (-inf, 0.061, -inf, 0.061)
    low, high, *wear = limits(data, BORE, limit="63", limit_as="value")[0].floats()
    assert isnan(low), "no new range is not a number"
    assert isnan(high)
    assert wear == [-inf, 0.063]


def test_inches_are_exact(data: Dataset) -> None:
    found = bounds(row(BORE, "in", lower="2.4995", upper="2.5000"), data)
    assert (found.low, found.high) == (Fraction("0.0634873"), Fraction("0.0635"))


def test_a_registered_misprint_is_judged_by_the_corrected_value(data: Dataset) -> None:
    wrong = {"limit": {"column": "limit", "printed": "0.7", "corrected": "0.07"}}
    found = bounds(row("rod-side-clearance", misprints=wrong, upper="0.03", limit="0.7", limit_as="value"), data)
    assert found.wear_high == Fraction("0.00007")


def test_a_misprint_without_a_proved_value_judges_nothing(data: Dataset) -> None:
    wrong = {"upper": {"column": "upper", "printed": "0.3", "corrected": ""}}
    found = bounds(row("rod-side-clearance", misprints=wrong, upper="0.3"), data)
    assert not found.judged
