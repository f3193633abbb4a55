"""Two ways of measuring one fit: agreement within the combined uncertainty, and the causes that are named."""

from fractions import Fraction
from pathlib import Path

import pytest

from runningfits.dataset import Dataset
from runningfits.judging.coverage import NORMAL
from runningfits.judging.two_ways import CAUSES, compare
from runningfits.judging.uncertainty import Component
from runningfits.judging.values import Value

from ..shop import codes, judge, one, reading, row, shop


def value(number: str, expanded: float, way: str = "bore minus shaft") -> Value:
    """A value with its expanded uncertainty."""
    return Value(Fraction(number), (Component(way, expanded / NORMAL),), way, "largest", (0,))


@pytest.mark.parametrize(
    ("first", "second", "score", "agrees"),
    [
        # E_n = (x - X) / sqrt(U1^2 + U2^2), satisfactory up to 1: ISO 13528 and ISO/IEC 17043
        (("50.0008", 0.001), ("50.0002", 0.0006), 0.5145, True),
        (("59.984", 0.002), ("59.980", 0.003), 1.1094, False),
        (("60.010", 0.002), ("60.000", 0.004), 2.2361, False),
    ],
)
def test_normalised_error(first: tuple[str, float], second: tuple[str, float], score: float, agrees: bool) -> None:
    found = compare(value(*second), value(*first, "strip"))
    assert found.difference / found.expanded == pytest.approx(score, abs=0.00005)
    assert found.agrees is agrees


def test_the_difference_is_that_of_the_other_from_the_deciding() -> None:
    found = compare(value("0.003", 0.0001), value("0.002", 0.0001, "strip"))
    assert found.difference == pytest.approx(-0.001)


@pytest.mark.parametrize(("off", "agrees"), [("5", True), ("5.001", False), ("-5", True), ("-5.001", False)])
def test_exactly_the_combined_uncertainty_still_agrees(off: str, agrees: bool) -> None:
    assert compare(value("0", 3), value(off, 4, "strip")).agrees is agrees


def test_no_causes_where_they_agree() -> None:
    assert compare(value("0.003", 0.001), value("0.003", 0.001, "strip")).causes == ()


@pytest.mark.parametrize(
    ("deciding", "other", "cause"),
    [
        # common practice: what makes a strip or a feeler read large or small
        (value("0.003", 1e-4), value("0.005", 1e-4, "strip"), "full torque"),
        (value("0.003", 1e-4), value("0.001", 1e-4, "strip"), "turned on the strip"),
        (value("0.001", 1e-4, "strip"), value("0.003", 1e-4), "turned on the strip"),
        (value("0.005", 1e-4, "strip"), value("0.003", 1e-4), "full torque"),
        (value("0.003", 1e-4), value("0.005", 1e-4, "gap"), "forced"),
        (value("0.003", 1e-4), value("0.001", 1e-4, "gap"), "oil or dirt"),
    ],
)
def test_the_likeliest_cause_comes_first(deciding: Value, other: Value, cause: str) -> None:
    found = compare(deciding, other)
    assert not found.agrees
    assert cause in found.causes[0]


def test_every_set_of_causes_differs() -> None:
    assert len(set(CAUSES.values())) == len(CAUSES) == 4


ROD, BORE, PIN = "rod-bearing-clearance", "rod-bearing-bore", "crankpin-diameter"


@pytest.fixture(scope="module")
def rods(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    base: Path = tmp_path_factory.mktemp("rods")
    return shop(base, sizes=[row(PIN, "1.9990", "2.0000")], clearances=[row(ROD, "0.0010", "0.0030")])


@pytest.mark.parametrize(
    ("shaft", "strip", "verdict", "agrees"),
    [
        ("1.9995", "0.0020", "new", True),
        ("1.9995", "0.0090", "cannot-tell", False),
        ("1.9900", "0.0020", "loose", False),
    ],
)
def test_a_strip_beside_a_bore_and_a_shaft_of_their_own_is_one_fit(
    rods: Dataset, shaft: str, strip: str, verdict: str, agrees: bool
) -> None:
    read = [reading(BORE, "bore", "2.0015"), reading(PIN, "shaft", shaft), reading(ROD, "strip", strip)]
    result = judge(rods, *read)
    found = one(result, ROD)
    assert (found["verdict"], found["way"]) == (verdict, "bore minus shaft")
    assert [(a["way"], a["agrees"]) for a in found["agreement"]] == [("strip", agrees)]
    assert [r["item"] for r in result["results"] if r["derived"]] == []


def test_readings_of_a_fit_that_was_put_together_are_looked_at_once(rods: Dataset) -> None:
    turned = [reading(BORE, "bore", "2.0015"), reading(PIN, "shaft", "2.0245"), reading(ROD, "strip", "0.0020")]
    alone = [r for r in turned if r["part"] != "strip"]
    assert codes(judge(rods, *turned)) == codes(judge(rods, *alone)) == ["B103", "B104"]
