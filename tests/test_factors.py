"""Exact factors of the units that a sheet may bear."""

from decimal import Decimal
from fractions import Fraction

import pytest
from ucumvert import PintUcumRegistry  # type: ignore[import-untyped]

from runningfits import units
from runningfits.dataset import Dataset


@pytest.mark.parametrize(
    ("number", "start", "end", "expected"),
    [
        # exact by definition: NIST SP 811, appendix B
        ("1", "in", "mm", Fraction(254, 10)),
        ("1", "ft", "in", Fraction(12)),
        ("1", "thou", "um", Fraction(254, 10)),
        ("1", "lbf", "N", Fraction("4.4482216152605")),
        ("1", "lbf.ft", "N.m", Fraction("4.4482216152605") * Fraction("0.3048")),
        ("1", "lbf.ft", "lbf.in", Fraction(12)),
        ("1", "lbf.in", "N.m", Fraction("4.4482216152605") * Fraction("0.0254")),
        ("1", "kgf", "N", Fraction("9.80665")),
        ("1", "kgf.m", "N.m", Fraction("9.80665")),
        ("1", "kgf.m", "kgf.cm", Fraction(100)),
        ("1", "lb", "oz", Fraction(16)),
        ("1", "lbf", "ozf", Fraction(16)),
        ("1", "deg", "arcmin", Fraction(60)),
        ("9", "degF", "K", Fraction(5)),
        ("1", "degC", "K", Fraction(1)),
    ],
)
def test_exact_factors(data: Dataset, number: str, start: str, end: str, expected: Fraction) -> None:
    assert units.convert(Decimal(number), data.units[start], data.units[end]) == expected


@pytest.mark.parametrize(
    ("start", "end", "expected"),
    [
        ("N.m", "lbf.ft", 0.7375621492772654),
        ("N.m", "lbf.in", 8.850745791327185),
        ("kgf.m", "lbf.ft", 7.233013851209894),
        ("lbf.ft", "N.m", 1.3558179483314003),
    ],
)
def test_factors_as_pint_has_them(data: Dataset, start: str, end: str, expected: float) -> None:
    # pint 0.25.3
    assert float(data.units[start].factor / data.units[end].factor) == pytest.approx(expected, rel=1e-15)


def test_a_unit_of_another_dimension_is_refused(data: Dataset) -> None:
    with pytest.raises(units.UnitError, match=r"lbf\.ft does not convert to mm"):
        units.convert(Decimal(1), data.units["lbf.ft"], data.units["mm"])


@pytest.mark.parametrize("name", ["Nm", "inch", "ft-lb", "lbf-ft", "mil", ""])
def test_a_unit_outside_the_list_is_refused(data: Dataset, name: str) -> None:
    with pytest.raises(units.UnitError, match="not a unit of the list"):
        units.pick(data.units, name)


UCUM = PintUcumRegistry()


def test_ucum_codes_are_of_the_grammar_and_mean_the_factor(data: Dataset) -> None:
    """UCUM 2.2 by a grammar that was written from it.

    Its reader takes the sign of a minute of arc for a minute of time; UCUM's own table has `'` as deg/60.
    """
    for row in data.table("units"):
        found = UCUM.from_ucum(row["ucum"])
        if row["dimension"] == "temperature":  # a degree, as a difference of two readings: the scales' zeros differ
            scale = float((UCUM.Quantity(2, found.units) - UCUM.Quantity(1, found.units)).to("kelvin").magnitude)
        elif row["dimension"] == "angle":
            scale = 1 / 60 if row["ucum"] == "'" else float(found.to("degree").magnitude)
        else:
            scale = float(found.to_base_units().magnitude)
        assert scale == pytest.approx(float(Fraction(row["factor"])), rel=1e-12), row["unit"]
