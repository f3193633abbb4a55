"""Readings at two places, each in another direction: what they prove of a form that they do not measure."""

from typing import Any

import pytest

from runningfits.dataset import Dataset
from runningfits.judging.against import DOUBTS

from ..shop import judge, one, reading, row, shop

BORE, FIT, TAPER, ROUND = "cylinder-bore", "piston-clearance", "cylinder-taper", "cylinder-out-of-round"
PIN, PIN_TAPER, PIN_ROUND, ROD = (
    "crankpin-diameter",
    "crankpin-taper",
    "crankpin-out-of-round",
    "rod-bearing-clearance",
)
TOP, BOTTOM = {"place": "top", "direction": "along"}, {"place": "bottom", "direction": "across"}


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    """A cylinder that may be tapered by 0.0010 in and out of round by 0.0005 in; a pin of which the page prints no
    out-of-round."""
    sizes = [row(BORE, "4.0000", "4.0030"), row("piston-skirt-diameter", "3.9900", "4.0000"), row(PIN, "2.4900", "2.5")]
    forms = [row(TAPER, limit="0.0010"), row(ROUND, "", "0.0003", "0.0005"), row(PIN_TAPER, limit="0.0002")]
    fits = [row(FIT, "0.0010", "0.0080"), row(ROD, "0.0010", "0.0150")]
    return shop(tmp_path_factory.mktemp("small"), sizes=sizes, clearances=[*forms, *fits])


def cylinder(data: Dataset, *at: tuple[str, dict[str, str]], item: str = BORE, **more: Any) -> dict[str, Any]:
    return judge(data, *(reading(item, "bore", value, **where) for value, where in at), **more)


def test_what_two_forms_together_do_not_allow_passes_no_size(small: Dataset) -> None:
    # 0.0022 in apart, U of the difference 0.0004 in; 0.0015 in are allowed
    found = cylinder(small, ("4.0003", TOP), ("4.0025", BOTTOM))
    assert (one(found, BORE)["verdict"], one(found, BORE)["needs"]) == ("cannot-tell", DOUBTS["shape"])
    assert {m["item"] for m in found["not_judged"]} == {TAPER, ROUND}, "neither form is measured"


@pytest.mark.parametrize("bottom", ["4.0010", "4.0018", "4.0020"])
def test_what_may_be_within_both_passes(small: Dataset, bottom: str) -> None:
    # 0.0017 in apart is more than both together by less than U
    assert one(cylinder(small, ("4.0003", TOP), (bottom, BOTTOM)), BORE)["verdict"] == "new"


def test_by_simple_acceptance_the_difference_counts_as_it_is(small: Dataset) -> None:
    def verdict(bottom: str) -> str:
        return str(one(cylinder(small, ("4.0003", TOP), (bottom, BOTTOM), decision="simple"), BORE)["verdict"])

    assert [verdict("4.0017"), verdict("4.0021")] == ["new", "cannot-tell"]


def test_the_fit_of_such_a_part_does_not_pass_either(small: Dataset) -> None:
    bores = [reading(FIT, "bore", "4.0003", **TOP), reading(FIT, "bore", "4.0025", **BOTTOM)]
    found = judge(small, *bores, reading(FIT, "shaft", "3.9970"))
    assert [one(found, i)["needs"] for i in (FIT, BORE)] == [DOUBTS["shape"]] * 2
    assert one(found, "piston-skirt-diameter")["verdict"] == "new", "the piston is none of it"


def test_two_lines_of_one_cylinder_are_one_grid(small: Dataset) -> None:
    top, bottom = {"direction": "along", "at": "10 mm"}, {"direction": "across", "at": "90 mm"}
    found = cylinder(small, ("4.0003", top), ("4.0025", bottom))
    assert [r["needs"] for r in found["results"] if r["item"] == BORE] == [DOUBTS["shape"]] * 2


def test_where_forms_are_measured_they_speak_for_themselves(small: Dataset) -> None:
    corner = {"place": "top", "direction": "across"}
    found = cylinder(small, ("4.0003", TOP), ("4.0003", corner), ("4.0025", BOTTOM))
    assert (one(found, BORE)["verdict"], one(found, TAPER)["verdict"]) == ("new", "loose")


def test_a_third_place_whose_corners_nobody_read(small: Dataset) -> None:
    corner, middle = {"place": "top", "direction": "across"}, {"place": "middle", "direction": "askew"}
    found = cylinder(small, ("4.0003", TOP), ("4.0003", corner), ("4.0025", middle))
    assert one(found, BORE)["needs"] == DOUBTS["shape"]


def test_where_one_of_the_two_is_not_printed_nothing_is_proven(small: Dataset) -> None:
    pins = [reading(PIN, "shaft", "2.4910", **TOP), reading(PIN, "shaft", "2.4990", **BOTTOM)]
    found = judge(small, *pins)
    assert one(found, PIN)["verdict"] == "new"
    assert [m["item"] for m in found["not_judged"]] == [PIN_TAPER]


def test_the_swing_of_a_dial_is_no_difference_of_diameters(tmp_path: Any) -> None:
    sizes = [row(BORE, "4.0000", "4.0030")]
    forms = [row(TAPER, limit="0.0010"), row(ROUND, limit="0.0005", method="half-dial")]
    data = shop(tmp_path, sizes=sizes, clearances=forms)
    assert one(cylinder(data, ("4.0003", TOP), ("4.0025", BOTTOM)), BORE)["verdict"] == "new"


def test_of_two_documents_the_one_that_allows_more_must_be_exceeded(tmp_path: Any) -> None:
    sizes = [row(BORE, "4.0000", "4.0030")]
    forms = [row(TAPER, limit="0.0010"), row(ROUND, limit="0.0005"), row(ROUND, limit="0.0015", source="example-2")]
    data = shop(tmp_path, sizes=sizes, clearances=forms)
    assert one(cylinder(data, ("4.0003", TOP), ("4.0025", BOTTOM)), BORE)["verdict"] == "new"
    assert one(cylinder(data, ("4.0000", TOP), ("4.0030", BOTTOM), decision="simple"), BORE)["needs"] == DOUBTS["shape"]


def test_a_cylinder_measured_with_its_piston_has_the_forms_of_one_measured_alone(small: Dataset) -> None:
    # a piston's bore is a cylinder's or a liner's: each reading counts once
    at = [("4.0003", TOP), ("4.0005", {"place": "bottom", "direction": "along"})]
    alone = one(cylinder(small, *at), TAPER)
    fitted = one(cylinder(small, *at, item=FIT), TAPER)
    assert fitted["uncertainty"] == alone["uncertainty"]
    assert fitted["components"] == alone["components"]
