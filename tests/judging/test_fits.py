"""Bore minus shaft: fits of published standards and worked examples, through the project's own difference."""

import csv
from fractions import Fraction
from pathlib import Path

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


ISO_286 = list(
    csv.DictReader((Path(__file__).parents[1] / "published" / "iso-286.csv").read_text(encoding="utf-8").splitlines())
)
"""Deviations and clearances of ISO 286-2 in micrometres, as one package or two alike give them."""


def iso_286(line: dict[str, str], *columns: str) -> tuple[str, str]:
    one, other = (line[f"{c}_um"] for c in columns)
    return one, other


@pytest.mark.parametrize("line", ISO_286, ids=[f"{r['nominal_mm']} {r['fit']}" for r in ISO_286])
def test_iso_286(data: Dataset, line: dict[str, str]) -> None:
    hole, shaft = (limits(line["nominal_mm"], iso_286(line, f"{p}_ei", f"{p}_es"), "0.001") for p in ("hole", "shaft"))
    found = clearances(data, hole, shaft, "mm")
    expected = iso_286(line, "clearance_min", "clearance_max")
    assert [float(f) * 1000 for f in found] == pytest.approx([float(e) for e in expected], abs=1e-9)


def test_iso_286_as_pressfit_has_it(data: Dataset) -> None:
    pressfit = pytest.importorskip("pressfit")
    assert len(ISO_286) > 270
    for line in ISO_286:
        known = pressfit.fit(line["fit"], float(line["nominal_mm"]))
        hole = limits(line["nominal_mm"], (str(known.hole_ei_um), str(known.hole_es_um)), "0.001")
        shaft = limits(line["nominal_mm"], (str(known.shaft_ei_um), str(known.shaft_es_um)), "0.001")
        found = [float(f) * 1000 for f in clearances(data, hole, shaft, "mm")]
        assert found == pytest.approx(list(known.clearance_um), abs=1e-9), line


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
    ("1.5", "RC2", ("0", "0.6"), ("-0.8", "-0.4"), ("0.4", "1.4")),
    ("1.5", "RC3", ("0", "1.0"), ("-1.6", "-1.0"), ("1.0", "2.6")),
    ("1.5", "RC4", ("0", "1.6"), ("-2.0", "-1.0"), ("1.0", "3.6")),
    ("1.5", "RC5", ("0", "1.6"), ("-3.0", "-2.0"), ("2.0", "4.6")),
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
