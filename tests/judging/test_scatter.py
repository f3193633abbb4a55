"""Scatter of a hand: repeats of a sheet pooled per instrument, with the usual repeatability where they are few."""

from fractions import Fraction
from math import inf, pi, sqrt

import pytest

from runningfits.dataset import Dataset
from runningfits.judging.grid import Reading
from runningfits.judging.scatter import NONE, Scatter, scatters

MM = Fraction(1, 1000)
USUAL = 2e-6
"""Usual repeatability of an outside micrometer in metres: 0.002 mm (instruments.csv)."""


def part(tool: str, *texts: str, place: str = "front") -> list[Reading]:
    """Readings of one place in micrometres above 60 mm, each a repeat."""
    return [
        Reading(n, "shaft", place, "", (60 + Fraction(text) / 1000) * MM, Fraction(0), tool)
        for n, text in enumerate(texts)
    ]


def found(data: Dataset, *groups: list[Reading], kind: str = "outside-micrometer") -> dict[str, Scatter]:
    return scatters({"mic-1": kind, "mic-2": kind}, groups, data)


def test_without_repeats_the_usual_repeatability_stands_alone(data: Dataset) -> None:
    scatter = found(data, part("mic-1", "1"), part("mic-1", "5"))["mic-1"]
    assert (scatter.deviation, scatter.freedom) == (pytest.approx(USUAL), inf)


@pytest.mark.parametrize(
    ("texts", "squares", "freedom"),
    [
        pytest.param(("1", "3"), 2, 1, id="one repeat"),
        pytest.param(("1", "3", "5", "3", "3", "3"), 8, 5, id="five"),
    ],
)
def test_below_six_degrees_the_usual_joins_as_four(
    data: Dataset, texts: tuple[str, ...], squares: float, freedom: int
) -> None:
    scatter = found(data, part("mic-1", *texts))["mic-1"]
    expected = sqrt((squares * 1e-12 + 4 * USUAL**2) / (freedom + 4))
    assert (scatter.deviation, scatter.freedom) == (pytest.approx(expected), freedom + 4)


def test_from_six_degrees_the_sheet_speaks_alone(data: Dataset) -> None:
    scatter = found(data, part("mic-1", "1", "3", "5", "3", "3", "3", "3"))["mic-1"]
    assert (scatter.deviation, scatter.freedom) == (pytest.approx(sqrt(8 / 6) * 1e-6), 6)


def test_repeats_pool_over_the_sheet_by_instrument(data: Dataset) -> None:
    # squares of 2 and 8 over 1 + 1 degrees; the other micrometer's repeats are its own
    groups = (part("mic-1", "1", "3"), part("mic-1", "10", "14"), part("mic-2", "1", "21"))
    one, two = (found(data, *groups)[t] for t in ("mic-1", "mic-2"))
    assert (one.deviation, one.freedom) == (pytest.approx(sqrt((10e-12 + 4 * USUAL**2) / 6)), 6)
    assert (two.deviation, two.freedom) == (pytest.approx(sqrt((200e-12 + 4 * USUAL**2) / 5)), 5)


def test_two_places_are_no_repeats(data: Dataset) -> None:
    both = [*part("mic-1", "1"), *part("mic-1", "30", place="rear")]
    assert found(data, both)["mic-1"].freedom == inf


def test_a_class_without_a_usual_one_has_its_repeats_alone(data: Dataset) -> None:
    alone = found(data, part("mic-1", "1", "3"), kind="setting-ring")["mic-1"]
    assert (alone.deviation, alone.freedom, alone.usual) == (pytest.approx(sqrt(2) * 1e-6), 1, 0.0)
    assert found(data, part("mic-1", "1"), kind="setting-ring")["mic-1"] == NONE


def test_the_hand_without_one_place_is_that_of_the_others(data: Dataset) -> None:
    wild, calm = part("mic-1", "1", "30"), part("mic-1", "1", "3", place="rear")
    scatter = found(data, [*wild, *calm])["mic-1"]
    assert scatter.without([r.value for r in wild]) == pytest.approx(sqrt(2) * 1e-6)
    assert found(data, wild)["mic-1"].without([r.value for r in wild]) is None


STEP = 2.54e-6
"""Distance of the readings of a micrometer in metres."""


def test_few_repeats_are_joined_by_what_the_usual_hand_would_show_in_steps(data: Dataset) -> None:
    scatter = found(data, part("mic-1", "1", "3"))["mic-1"]
    usual = USUAL**2 + STEP**2 / (4 * pi)
    assert scatter.shown(STEP) == pytest.approx(sqrt((2e-12 + 4 * usual) / 5))
    assert scatter.shown(STEP) > scatter.deviation


def test_many_repeats_show_what_they_show(data: Dataset) -> None:
    scatter = found(data, part("mic-1", "1", "3", "5", "3", "3", "3", "3"))["mic-1"]
    assert scatter.shown(STEP) == scatter.deviation == pytest.approx(sqrt(8 / 6) * 1e-6)


def test_nothing_known_shows_nothing() -> None:
    assert NONE.shown(STEP) == 0
    assert Scatter(3e-6, 2, pooled=3e-6, repeats=2).shown(STEP) == 3e-6, "without a class repeats speak alone"
