"""Which instrument could tell, named where the one that was used cannot."""

from fractions import Fraction
from math import hypot, sqrt

import pytest

from runningfits.dataset import Dataset
from runningfits.judging.able import nearest, needed
from runningfits.judging.bounds import Bounds, End
from runningfits.judging.uncertainty import Component
from runningfits.judging.values import Value

MICROMETRE = 1e-6


def limits(low: str | None, high: str | None, wear: str | None = None) -> Bounds:
    """Bounds in micrometres of a quantity that wears upward."""
    low_, high_, wear_ = (None if t is None else End(*[Fraction(t) / 10**6] * 2) for t in (low, high, wear))
    return Bounds(low_, high_, wear_, "upper", floor=low is None)


def value(micrometres: str, standard: float, way: str = "bore minus shaft") -> Value:
    return Value(Fraction(micrometres) / 10**6, (Component("limit", standard * MICROMETRE),), way, "largest", (0,))


@pytest.mark.parametrize(
    ("at", "bounds", "expected"),
    [
        (30, limits("20", "60"), 10),
        (55, limits("20", "60"), 5),
        (90, limits("20", "60", "100"), 10),
        (70, limits("20", "60", "100"), 10),
        (5, limits("20", None), 15),
        (5, limits(None, "60"), 5),
    ],
)
def test_distance_to_the_nearest_boundary(at: int, bounds: Bounds, expected: int) -> None:
    assert nearest(at * MICROMETRE, bounds) == pytest.approx(expected * MICROMETRE)


CLASS = 1.96 * sqrt(2) * hypot(5 / sqrt(3), 10 / sqrt(12))
FINE = 1.96 * sqrt(2) * hypot(1 / sqrt(3), 1 / sqrt(12))
"""U in micrometres of two readings: by a micrometer of 0.005 mm in steps of 0.01 mm (DIN 863), by one of 0.001 mm."""


def test_a_micrometer_could_tell(data: Dataset) -> None:
    assert 11 < CLASS < 12
    text = needed(value("40", 17), limits("20", "60"), data)
    assert text == "an outside micrometer and a bore gauge set on it could tell"


def test_only_a_finer_micrometer_could_tell(data: Dataset) -> None:
    assert 1.7 < FINE < 1.8
    text = needed(value("30", 17), limits("20", "60"), data)
    assert text == "a micrometer reading to 0.001 mm, checked on gauge blocks, and a bore gauge set on it could tell"


def test_no_usual_instrument_could_tell(data: Dataset) -> None:
    text = needed(value("21", 17), limits("20", "60"), data)
    assert text.startswith("it lies on the boundary: no usual instrument can tell")


def test_nothing_coarser_than_what_was_used_is_named(data: Dataset) -> None:
    # U of 6 um, 5 um from the limit: a class micrometer (11.5 um) would be no help
    assert needed(value("25", 3), limits("20", "60"), data).startswith("a micrometer reading to 0.001 mm")


def test_a_shaft_needs_a_micrometer_alone(data: Dataset) -> None:
    # 25 um from the limit: U of a digital caliper of 0.02 mm (DIN 862) is 23 um, more than nine tenths of 1.96 x 12 um
    assert needed(value("45", 12, "shaft"), limits("20", "90"), data) == "an outside micrometer could tell"


def test_a_bore_needs_a_gauge_beside_the_micrometer(data: Dataset) -> None:
    text = needed(value("45", 12, "bore"), limits("20", "90"), data)
    assert text == "an outside micrometer and a bore gauge set on it could tell"


@pytest.mark.parametrize(("way", "tool"), [("shaft", "a micrometer"), ("gap", "a dial indicator")])
def test_a_finer_instrument_alone_could_tell(data: Dataset, way: str, tool: str) -> None:
    # 1.5 um from the limit: more than the U of one reading (1.3 um), less than that of two
    assert FINE / sqrt(2) < 1.5 < FINE
    text = needed(value("21.5", 12, way), limits("20", "90"), data)
    assert text == f"{tool} reading to 0.001 mm, checked on gauge blocks, could tell"
    assert needed(value("21.5", 12), limits("20", "90"), data).startswith("it lies on the boundary")


def test_a_gap_is_told_by_a_dial(data: Dataset) -> None:
    # JIS B 7503: 0.015 mm over the range of 5 to 10 mm and a step of 0.01 mm: U 18 um, 20 um from the limit
    assert needed(value("40", 60, "gap"), limits("20", "200"), data) == "a dial indicator could tell"
