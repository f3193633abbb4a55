"""Numbers as text."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runningfits.dataset import Dataset
from runningfits.scale import Scale, of_row

from .judging.test_bounds import row

INCH = Scale("in", Fraction(254, 10**4), Fraction(1, 10**4))


@pytest.mark.parametrize(
    ("value", "text"),
    [("0.0024", "0.00240"), ("0.00335", "0.00335"), ("2.5", "2.50000"), ("-0.0001", "-0.00010"), ("0", "0.00000")],
)
def test_one_digit_finer_than_the_row(value: str, text: str) -> None:
    assert INCH.text(Fraction(value) * INCH.factor) == text


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("0.0001414", "0.00015"),
        ("0.00014", "0.00014"),
        ("0.0001401", "0.00015"),
        ("0.00999", "0.0100"),
        ("1.31", "1.4"),
        ("13.01", "14"),
        ("0", "0"),
    ],
)
def test_an_uncertainty_is_rounded_up_to_two_digits(value: str, text: str) -> None:
    assert INCH.up(Fraction(value) * INCH.factor) == text  # type: ignore[arg-type]


@given(st.floats(1e-9, 1e-2))
def test_rounding_up_never_takes_away(value: float) -> None:
    shown = Fraction(INCH.up(value)) * INCH.factor
    assert Fraction(value) <= shown <= Fraction(value) * Fraction(111, 100)


def test_a_row_is_shown_at_its_finest_digit(data: Dataset) -> None:
    found = of_row(row("main-bearing-bore", lower="60.0", upper="60.05", limit="60.1", limit_as="value"), data)
    assert (found.unit, found.step) == ("mm", Fraction(1, 100))


def test_a_scale_in_another_unit_keeps_its_step() -> None:
    metric = INCH.into("mm", Fraction(1, 1000))
    assert metric.step == Fraction("0.00254")
    assert metric.text(Fraction("0.0254")) == "25.4000"
