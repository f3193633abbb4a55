"""Printed numbers: exact value, printed step, and what is no number."""

import re
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from runningfits import numerals
from runningfits.numerals import NumeralError, parse, plain, shown, step

PLAIN = st.from_regex(re.compile(r"-?[0-9]{1,30}(\.[0-9]{1,30})?", re.ASCII), fullmatch=True)
FINITE = st.decimals(allow_nan=False, allow_infinity=False, min_value=Decimal("-1e20"), max_value=Decimal("1e20"))


@pytest.mark.parametrize(
    ("text", "value", "least"),
    [
        ("0.0015", "0.0015", "0.0001"),
        ("2.50", "2.50", "0.01"),
        ("12", "12", "1"),
        ("-0.0007", "-0.0007", "0.0001"),
        ("007", "7", "1"),
        ("0.0", "0.0", "0.1"),
        ("-0", "-0", "1"),
    ],
)
def test_value_and_step(text: str, value: str, least: str) -> None:
    assert (str(parse(text)), str(step(text))) == (value, least)


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("2,447", "; write a decimal point, not a comma"),
        ("-2,447", "; write a decimal point, not a comma"),
        ("2064-01-01", "; a spreadsheet made a date of it: format the cell as text and type the number again"),
        ("1/64", "; write the fraction as a decimal number"),
        ("-1 1/64", "; write the fraction as a decimal number"),
        (" 0.5", "; take the blanks away"),
        ("0.5\n", "; take the blanks away"),
        ("0.5 in", "; the unit belongs in its own cell"),
        ("0.5in", "; the unit belongs in its own cell"),
        (".5", "; write the zero before the point"),
        ("-.5", "; write the zero before the point"),
        ("+0.5", ""),
        ("5.", ""),
        ("1_000", ""),
        ("1,000,000", ""),
        ("--1", ""),
        ("NaN", ""),
        ("Infinity", ""),
        ("\u0665", ""),
        ("\uff15", ""),
        ("5\u00b2", ""),
        ("", ""),
    ],
)
def test_what_is_no_number_is_refused_with_a_hint(text: str, hint: str) -> None:
    with pytest.raises(NumeralError) as caught:
        parse(text)
    assert str(caught.value) == f"{shown(text)} is not a plain number such as 0.0015{hint}"


@given(PLAIN)
def test_a_plain_number_is_its_value(text: str) -> None:
    assert parse(text) == Decimal(text)
    assert plain(parse(text)) == str(Decimal(text)) or "E" in str(Decimal(text))


@given(PLAIN)
def test_the_step_is_one_of_the_last_digit(text: str) -> None:
    digits = len(text.partition(".")[2])
    assert step(text) == Decimal(1).scaleb(-digits)
    assert (Fraction(parse(text)) / Fraction(step(text))).denominator == 1


@given(FINITE)
@example(Decimal("1E+2"))
@example(Decimal("1E-20"))
@example(Decimal("-0E-3"))
def test_plain_and_back(value: Decimal) -> None:
    assert numerals.NUMBER.fullmatch(plain(value))
    assert parse(plain(value)) == value
    assert parse(plain(value)).is_signed() == value.is_signed()


@given(st.one_of(st.text(), st.text("-+.,_ 0123456789eE\u0661\u00b2\n"), PLAIN))
def test_a_text_is_a_number_or_refused(text: str) -> None:
    if re.fullmatch(r"-?[0-9]+(\.[0-9]+)?", text):
        assert parse(text) == Decimal(text)
        return
    for refuse in (parse, step):
        with pytest.raises(NumeralError):
            refuse(text)


@given(st.text(st.characters()), st.integers(2, 60))
def test_a_shown_text_is_short_and_prints(text: str, most: int) -> None:
    found = shown(text, most)
    assert found.isprintable()
    assert (found[0], found[-1]) == ('"', '"')
    if text.isprintable():
        assert found == (f'"{text}"' if len(text) <= most else f'"{text[: most - 1]}…"')
