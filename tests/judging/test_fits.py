"""Bore minus shaft: fits of published standards and worked examples, through the project's own difference."""

from fractions import Fraction

import pytest

from runningfits.dataset import Dataset
from runningfits.judging import values
from runningfits.judging.bounds import bounds
from runningfits.judging.values import Value

from .test_bounds import row


def clearances(data: Dataset, hole: tuple[str, str], shaft: tuple[str, str], unit: str) -> tuple[str, str]:
    """Smallest and largest clearance of a hole's and a shaft's row, in the unit."""
    outer = bounds(row("gear-bore", unit, lower=hole[0], upper=hole[1]), data)
    inner = bounds(row("gear-shaft-diameter", unit, lower=shaft[0], upper=shaft[1]), data)
    assert outer.low is not None and outer.high is not None and inner.low is not None and inner.high is not None
    ends = [(outer.low.strict, inner.high.strict), (outer.high.strict, inner.low.strict)]
    found = [
        values.difference(*(Value(v, (), "", "", ()) for v in pair), "mean-bore-minus-mean-shaft") for pair in ends
    ]
    least, most = (f.value / data.units[unit].factor for f in found)
    return str(float(least)), str(float(most))


def limits(nominal: str, deviations: tuple[str, str], step: str) -> tuple[str, str]:
    """Lower and upper size from a nominal and its deviations in steps."""
    low, high = (Fraction(nominal) + Fraction(d) * Fraction(step) for d in deviations)
    return str(float(low)), str(float(high))


ISO_286 = [
    # nominal in mm; hole EI, ES, shaft ei, es and the clearances in micrometres: ISO 286-2, as two packages give it
    ("10", "H7/f7", ("0", "15"), ("-28", "-13"), ("13", "43")),
    ("10", "H7/g6", ("0", "15"), ("-14", "-5"), ("5", "29")),
    ("25", "H6/g5", ("0", "13"), ("-16", "-7"), ("7", "29")),
    ("25", "H7/h6", ("0", "21"), ("-13", "0"), ("0", "34")),
    ("40", "H8/f7", ("0", "39"), ("-50", "-25"), ("25", "89")),
    ("50", "H7/g6", ("0", "25"), ("-25", "-9"), ("9", "50")),
    ("60", "H7/f7", ("0", "30"), ("-60", "-30"), ("30", "90")),
    ("60", "H6/f6", ("0", "19"), ("-49", "-30"), ("30", "68")),
    ("60", "H7/k6", ("0", "30"), ("2", "21"), ("-21", "28")),
    ("60", "H7/n6", ("0", "30"), ("20", "39"), ("-39", "10")),
    ("60", "H7/p6", ("0", "30"), ("32", "51"), ("-51", "-2")),
    ("75", "H7/f6", ("0", "30"), ("-49", "-30"), ("30", "79")),
    ("85", "H7/f7", ("0", "35"), ("-71", "-36"), ("36", "106")),
    ("100", "H7/n6", ("0", "35"), ("23", "45"), ("-45", "12")),
    ("120", "H8/f7", ("0", "54"), ("-71", "-36"), ("36", "125")),
]


@pytest.mark.parametrize(("nominal", "fit", "hole", "shaft", "expected"), ISO_286)
def test_iso_286(
    data: Dataset, nominal: str, fit: str, hole: tuple[str, str], shaft: tuple[str, str], expected: tuple[str, str]
) -> None:
    found = clearances(data, limits(nominal, hole, "0.001"), limits(nominal, shaft, "0.001"), "mm")
    assert [float(f) * 1000 for f in found] == pytest.approx([float(e) for e in expected], abs=1e-9), fit


@pytest.mark.parametrize(("nominal", "fit"), [(c[0], c[1]) for c in ISO_286])
def test_iso_286_as_pressfit_has_it(data: Dataset, nominal: str, fit: str) -> None:
    known = pytest.importorskip("pressfit").fit(fit, float(nominal))
    hole = limits(nominal, (str(known.hole_ei_um), str(known.hole_es_um)), "0.001")
    shaft = limits(nominal, (str(known.shaft_ei_um), str(known.shaft_es_um)), "0.001")
    found = [float(f) * 1000 for f in clearances(data, hole, shaft, "mm")]
    assert found == pytest.approx(list(known.clearance_um), abs=1e-9)


ANSI_B4_1 = [
    # class; hole and shaft deviations and the clearances in thousandths of an inch
    # ANSI B4.1, in Machinery's Handbook, 31st edition, tables 8a and 8b, p. 718 to 721
    ("2.5", "RC1", ("0", "0.5"), ("-0.7", "-0.4"), ("0.4", "1.2")),
    ("2.5", "RC2", ("0", "0.7"), ("-0.9", "-0.4"), ("0.4", "1.6")),
    ("2.5", "RC3", ("0", "1.2"), ("-1.9", "-1.2"), ("1.2", "3.1")),
    ("2.5", "RC4", ("0", "1.8"), ("-2.4", "-1.2"), ("1.2", "4.2")),
    ("2.5", "RC5", ("0", "1.8"), ("-3.7", "-2.5"), ("2.5", "5.5")),
    ("2.5", "RC6", ("0", "3.0"), ("-4.3", "-2.5"), ("2.5", "7.3")),
    ("2.5", "RC7", ("0", "3.0"), ("-5.8", "-4.0"), ("4.0", "8.8")),
    ("1.5", "RC1", ("0", "0.4"), ("-0.7", "-0.4"), ("0.4", "1.1")),
    ("1.5", "RC4", ("0", "1.6"), ("-2.0", "-1.0"), ("1.0", "3.6")),
    ("1.5", "RC6", ("0", "2.5"), ("-3.6", "-2.0"), ("2.0", "6.1")),
]


@pytest.mark.parametrize(("nominal", "kind", "hole", "shaft", "expected"), ANSI_B4_1)
def test_ansi_b4_1(
    data: Dataset, nominal: str, kind: str, hole: tuple[str, str], shaft: tuple[str, str], expected: tuple[str, str]
) -> None:
    found = clearances(data, limits(nominal, hole, "0.001"), limits(nominal, shaft, "0.001"), "in")
    assert [float(f) * 1000 for f in found] == pytest.approx([float(e) for e in expected], abs=1e-9), kind


@pytest.mark.parametrize(
    ("bore", "shaft", "unit", "expected"),
    [
        # CORD, Michigan engine repair, example 10, prints half of it: a radial clearance. A clearance here is diametral
        ("1.1273", "1.125", "in", "0.0023"),
        # CORD, engine repair, example 4: guide and stem, more than the 0.0015 in allowed
        ("0.3458", "0.3413", "in", "0.0045"),
        # TM 5-3805-281-24-2: a main journal of 95.201 to 95.227 mm with 0.030 to 0.107 mm runs in a bore of 95.257 to
        # 95.308 mm
        ("95.257", "95.227", "mm", "0.030"),
        ("95.308", "95.201", "mm", "0.107"),
    ],
)
def test_a_clearance_is_exact_and_diametral(data: Dataset, bore: str, shaft: str, unit: str, expected: str) -> None:
    factor = data.units[unit].factor
    parts = [Value(Fraction(v) * factor, (), "", "", ()) for v in (bore, shaft)]
    assert values.difference(*parts, "").value == Fraction(expected) * factor


def test_a_difference_keeps_the_readings_of_both() -> None:
    bore = Value(Fraction(0), (), "bore", "smallest", (0,))
    shaft = Value(Fraction(0), (), "shaft", "mean", (4, 5))
    found = values.difference(bore, shaft, "smallest-bore-minus-mean-shaft")
    assert found.readings == (0, 4, 5)
    assert (found.way, found.method) == ("bore minus shaft", "smallest-bore-minus-mean-shaft")
