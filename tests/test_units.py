"""Units of the closed list: picked by name and dimension, converted exactly."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runningfits import load, numerals, units
from runningfits.units import Unit, UnitError, convert, pick, rounded

KNOWN = load().units
PAIRS = [(a, b) for a in KNOWN.values() for b in KNOWN.values() if a.dimension == b.dimension]
VALUES = st.decimals(allow_nan=False, allow_infinity=False, places=6, min_value=-(10**6), max_value=10**6)


@pytest.mark.parametrize(
    ("value", "start", "end", "expected"),
    [
        ("1", "in", "mm", "25.4"),
        ("25.4", "mm", "in", "1"),
        ("1", "thou", "um", "25.4"),
        ("12", "in", "ft", "1"),
        ("1", "lbf.ft", "lbf.in", "12"),
        ("1", "lbf.ft", "N.m", "1.3558179483314004"),
        ("1", "kgf.m", "N.m", "9.80665"),
        ("16", "oz", "lb", "1"),
        ("1", "deg", "arcmin", "60"),
        ("9", "degF", "K", "5"),
        ("-0.0007", "in", "mm", "-0.01778"),
    ],
)
def test_converted_exactly(value: str, start: str, end: str, expected: str) -> None:
    assert convert(Decimal(value), KNOWN[start], KNOWN[end]) == Fraction(expected)


@given(VALUES, st.sampled_from(PAIRS))
def test_there_and_back_is_exact(value: Decimal, pair: tuple[Unit, Unit]) -> None:
    start, end = pair
    there = convert(value, start, end)
    assert there * end.factor / start.factor == Fraction(value)
    if len(str(there)) < 25 and there.denominator == 1:
        assert convert(Decimal(there.numerator), end, start) == Fraction(value)


@given(VALUES, st.sampled_from(PAIRS), st.integers(1, 10**6))
def test_a_conversion_scales(value: Decimal, pair: tuple[Unit, Unit], times: int) -> None:
    assert convert(value * times, *pair) == convert(value, *pair) * times


@given(st.sampled_from(list(KNOWN.values())), st.sampled_from(list(KNOWN.values())))
def test_another_dimension_does_not_convert(start: Unit, end: Unit) -> None:
    if start.dimension == end.dimension:
        assert convert(Decimal(1), start, end) == start.factor / end.factor
        return
    with pytest.raises(UnitError, match=f"^{start.unit} does not convert to {end.unit}$"):
        convert(Decimal(1), start, end)


@given(st.text())
def test_a_name_is_a_unit_or_refused(name: str) -> None:
    if name in KNOWN:
        assert pick(KNOWN, name).unit == name
        return
    with pytest.raises(UnitError):
        pick(KNOWN, name)


@pytest.mark.parametrize(
    ("name", "dimension", "message"),
    [
        ("inch", "length", '"inch" is not a unit of the list: ft, in, m, mm, thou, um'),
        ("IN", "length", '"IN" is not a unit of the list: ft, in, m, mm, thou, um'),
        ("", "mass", '"" is not a unit of the list: g, kg, lb, oz'),
        ("lbf.ft", "length", '"lbf.ft" measures torque, expected a unit of length'),
    ],
)
def test_a_refusal_names_what_was_expected(name: str, dimension: str, message: str) -> None:
    with pytest.raises(UnitError) as caught:
        pick(KNOWN, name, dimension)
    assert str(caught.value) == message


def test_a_unit_of_the_right_dimension_is_picked() -> None:
    assert pick(KNOWN, "in", "length") is KNOWN["in"]


def test_factors_are_exact() -> None:
    rows = [{"unit": "third", "dimension": "count", "factor": "1/3", "label": "a third"}]
    third = units.from_rows(rows)["third"]
    assert (third.unit, third.dimension, third.factor, third.label) == ("third", "count", Fraction(1, 3), "a third")


@pytest.mark.parametrize(
    ("value", "step", "expected"),
    [
        (Fraction(254, 10), Fraction(1, 10), "25.4"),
        (Fraction(1, 3), Fraction(1, 1000), "0.333"),
        (Fraction(-2, 3), Fraction(1, 100), "-0.67"),
        (Fraction(5), Fraction(1), "5"),
        (Fraction(5), Fraction(2), "5"),
        (Fraction(5), Fraction(3, 100), "5.00"),
        (Fraction(1234), Fraction(100), "1234"),
        (Fraction(0), Fraction(1, 10), "0.0"),
    ],
)
def test_digits_enough_to_keep_the_step(value: Fraction, step: Fraction, expected: str) -> None:
    assert rounded(value, step) == expected


@given(st.fractions(-1000, 1000), st.fractions(Fraction(1, 10**9), 10))
def test_rounding_moves_by_less_than_a_step(value: Fraction, step: Fraction) -> None:
    text = rounded(value, step)
    assert abs(Fraction(numerals.parse(text)) - value) <= min(step, Fraction(1)) / 2
