"""Two ways of measuring one fit, on whole sheets: what a caliper and a strip can decide, and whether they agree."""

import math
from pathlib import Path
from typing import Any

import pytest

from runningfits.dataset import Dataset

from ..shop import HANDS, U_FIT, codes, fit, judge, one, reading, row, shop

MAIN = "main-bearing-clearance"


def main(result: dict[str, Any]) -> dict[str, Any]:
    return one(result, MAIN)


def caliper_and_strip(width: str) -> list[dict[str, str]]:
    """A caliper's 2.450 in bore and 2.447 in journal, and a strip between 0.0015 and the width given."""
    bore, shaft = (r | {"instrument": "caliper-1"} for r in fit(MAIN, "2.450", "2.447"))
    return [bore, shaft, reading(MAIN, "strip", "0.0015", to=width)]


CALIPER = 1.96 * math.sqrt(2 * ((0.02**2 / 3 + 0.01**2 / 12) / 25.4**2 + HANDS["caliper"] ** 2))
"""U in inches of a difference by a digital caliper: DIN 862, limit 0.02 mm, a step of 0.01 mm, the hand, each twice."""


def strip(width: float) -> float:
    """U in inches of a strip read between two marks: limit 0.0003 in, half the width, its usual repeatability."""
    return 1.96 * math.sqrt(0.0003**2 / 3 + ((width - 0.0015) / 2) ** 2 / 3 + HANDS["strip"] ** 2)


@pytest.fixture
def narrow(tmp_path: Path) -> Dataset:
    """An engine whose main bearings run with 0.002 to 0.003 in."""
    return shop(tmp_path, clearances=[row(MAIN, "0.002", "0.003")])


def test_a_caliper_cannot_decide_a_bearing(narrow: Dataset) -> None:
    # common practice: it reads 0.003 in, good to 0.0018 in, on a range of 0.001 in
    result = judge(narrow, *caliper_and_strip("0.002")[:2])
    found = main(result)
    assert float(found["value"]) == pytest.approx(0.003)
    assert 0.0018 < CALIPER < 0.0019
    assert float(found["uncertainty"]) == pytest.approx(CALIPER, abs=0.0001)
    assert 0.003 + CALIPER > 0.003 > 0.003 - CALIPER, "the interval crosses the limit"
    assert found["verdict"] == "cannot-tell"
    assert "B107" in codes(result)


def test_a_strip_within_the_combined_uncertainty_agrees(narrow: Dataset) -> None:
    found = main(judge(narrow, *caliper_and_strip("0.002")))
    difference, allowed = 0.003 - 0.00175, math.hypot(CALIPER, strip(0.002))
    assert difference < allowed
    (other,) = found["agreement"]
    assert other["agrees"] is True
    assert float(other["uncertainty"]) == pytest.approx(CALIPER, abs=0.0001)
    assert other["causes"] == []
    assert float(other["difference"]) == pytest.approx(difference, abs=0.00005001)
    assert float(other["allowed"]) == pytest.approx(allowed, abs=0.0001)


def test_the_less_uncertain_way_decides(narrow: Dataset) -> None:
    found = main(judge(narrow, *caliper_and_strip("0.002")))
    assert strip(0.002) < CALIPER
    assert (found["way"], found["agreement"][0]["way"]) == ("strip", "bore minus shaft")
    assert float(found["value"]) == pytest.approx(0.00175, abs=0.00005001)
    assert 0.00175 + strip(0.002) > 0.002, "it may still be inside"
    assert found["verdict"] == "cannot-tell"


def test_a_strip_beyond_the_combined_uncertainty_disagrees(narrow: Dataset) -> None:
    strips = reading(MAIN, "strip", "0.0015", to="0.002")
    found = main(judge(narrow, *fit(MAIN, "2.4500", "2.4470"), strips))
    difference, allowed = 0.003 - 0.00175, math.hypot(U_FIT, strip(0.002))
    assert difference > allowed
    (other,) = found["agreement"]
    assert (found["way"], other["way"], other["agrees"]) == ("bore minus shaft", "strip", False)
    assert "turned on the strip" in other["causes"][0]
    assert float(other["difference"]) == pytest.approx(-difference, abs=0.00005001)
