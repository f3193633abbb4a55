"""Repeats of one place that lie farther apart than instrument and hand can bring them."""

import pytest

from runningfits.dataset import Dataset
from runningfits.judging.against import DOUBTS

from ..shop import codes, judge, one, reading, row, shop

GAP, PIN = "ring-gap", "crankpin-diameter"
MM = {"unit": "mm"}


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    sizes = [row(PIN, "54.90", "55.10", **MM)]
    return shop(tmp_path_factory.mktemp("small"), sizes=sizes, clearances=[row(GAP, "", "0.60", **MM)])


def repeats(item: str, part: str, *values: str, position: str = "1", **more: str) -> list[dict[str, str]]:
    return [reading(item, part, v, position, **MM, **more) for v in values]


@pytest.mark.parametrize(
    ("values", "wild"),
    [
        (("0.26", "0.02"), True),
        (("0.26", "0.26", "0.26", "0.26", "0.02"), True),
        (("0.26", "0.235"), True),
        (("0.26", "0.245"), False),
    ],
)
def test_repeats_that_no_hand_reads_at_one_place(small: Dataset, values: tuple[str, ...], wild: bool) -> None:
    # a dial of 0.0001 in in a hand of 0.003 mm: six times that and a step are 0.0205 mm
    result = judge(small, *repeats(GAP, "gap", *values))
    found = one(result, GAP)
    assert (found["verdict"], found["needs"]) == (("cannot-tell", DOUBTS["repeats"]) if wild else ("new", None))
    assert ("B112" in codes(result)) == wild


def test_good_repeats_elsewhere_do_not_thin_bad_ones(small: Dataset) -> None:
    good = [r for n in "234" for r in repeats(PIN, "shaft", "55.000", "55.001", "55.000", "55.001", position=n)]
    result = judge(small, *good, *repeats(PIN, "shaft", "54.990", "55.010"))
    assert [one(result, PIN, n)["verdict"] for n in "1234"] == ["cannot-tell", "new", "new", "new"]
    assert codes(result) == ["B112"]


def test_a_hand_that_scatters_everywhere_is_known_and_counts_in_u(small: Dataset) -> None:
    # four times as wide as usual at every place: U says so, and nothing is suspected
    all_of = [r for n in "1234" for r in repeats(PIN, "shaft", "54.992", "55.008", "55.000", position=n)]
    result = judge(small, *all_of)
    assert codes(result) == []
    assert float(one(result, PIN)["uncertainty"]) > 0.01


def test_no_hand_is_worse_than_five_times_the_usual_one(small: Dataset) -> None:
    # two places that scatter by 0.2 mm do not excuse each other
    both = [r for n in "12" for r in repeats(PIN, "shaft", "54.920", "55.080", position=n)]
    assert codes(judge(small, *both)) == ["B112", "B112"]


def test_two_instruments_at_one_place_may_differ_by_their_limits(small: Dataset) -> None:
    def both(first: str, second: str) -> list[str]:
        other = repeats(PIN, "shaft", second, instrument="mic-2")
        return codes(judge(small, *repeats(PIN, "shaft", first), *other))

    assert both("55.000", "55.018") == []
    assert both("55.000", "55.030") == ["B112", "B112"]


def test_places_that_are_named_are_no_repeats(small: Dataset) -> None:
    named = [reading(GAP, "gap", v, place=p, **MM) for v, p in (("0.26", "front"), ("0.30", "rear"))]
    result = judge(small, *named)
    assert (codes(result), one(result, GAP)["verdict"]) == ([], "new")


def test_marks_of_a_strip_or_leaves_of_a_feeler_are_no_scatter(small: Dataset) -> None:
    leaves = [("0.20", "0.25"), ("0.25", "0.30")]
    read = [reading(GAP, "gap", a, to=b, instrument="feeler-1", **MM) for a, b in leaves]
    assert codes(judge(small, *read)) == []
