"""Sizes, forms and differences that the readings of other lines give, and those that they do not, with why."""

from typing import Any

import pytest

from runningfits import check
from runningfits.dataset import Dataset

from ..shop import fit, judge, one, reading, row, shop

PIN, TAPER, ROD, BORES = "crankpin-diameter", "crankpin-taper", "rod-bearing-clearance", "cylinder-bore-difference"
OUT, OFF, WEAR, MASSES = "liner-protrusion", "liner-protrusion-difference", "cylinder-wear", "piston-mass-difference"
MM = {"unit": "mm"}


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    return _shop(tmp_path_factory, "inline")


@pytest.fixture(scope="module")
def vee(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    return _shop(tmp_path_factory, "v")


def _shop(base: pytest.TempPathFactory, layout: str) -> Dataset:
    sizes = [row(PIN, "54.90", "55.00", **MM), row("cylinder-bore", "87.50", "87.60", **MM)]
    sizes += [row("piston-mass", "500", "520", unit="g"), row(MASSES, "", "5", unit="g")]
    fits = [
        row(TAPER, "", "0.01", **MM),
        row(ROD, "0.03", "0.07", **MM),
        row(BORES, "", "0.05", **MM),
        row(WEAR, "", "", "0.15", **MM),
        row(OUT, "0.05", "0.15", **MM),
        row(OFF, "", "0.03", method="spread", **MM),
        row(OFF, "", "0.04", method="neighbour-difference", **MM),
    ]
    return shop(base.mktemp(layout), {"layout": layout}, sizes=sizes, clearances=fits)


def whys(result: dict[str, Any], item: str) -> list[tuple[str, str]]:
    return [(m["position"], m["why"]) for m in result["not_judged"] if m["item"] == item]


SPLIT = [
    pytest.param({"at": "10 mm"}, {"at": "40 mm"}, id="at two heights"),
    pytest.param({"method": "smallest"}, {"method": "mean"}, id="by two methods"),
    pytest.param({"at": "10 mm", "place": "front"}, {"place": "rear"}, id="one with its height"),
    pytest.param({"place": "front"}, {"place": "rear", "method": "largest"}, id="one with its method"),
]


@pytest.mark.parametrize(("first", "second"), SPLIT)
def test_a_journal_in_two_lines_is_one_grid_for_its_form(
    small: Dataset, first: dict[str, str], second: dict[str, str]
) -> None:
    where = [{"place": "front"} | first, {"place": "rear"} | second]
    if "at" in first and "at" in second:
        where = [first, second]
    result = judge(
        small, *(reading(PIN, "shaft", v, **MM, **w) for v, w in zip(("54.98", "54.93"), where, strict=True))
    )
    assert (one(result, TAPER)["verdict"], one(result, TAPER)["value"]) == ("past-new", "0.049")


def test_the_size_and_the_fit_are_one_grid_for_the_form(small: Dataset) -> None:
    size = reading(PIN, "shaft", "54.98", place="front", **MM)
    result = judge(small, size, *(r | MM for r in fit(ROD, "54.98", "54.93", place="rear")))
    assert one(result, TAPER)["verdict"] == "past-new"


def test_what_is_said_to_be_in_two_states_is_two_grids_and_both_are_told(small: Dataset) -> None:
    two = [reading(PIN, "shaft", "54.98", place=p, state=s, **MM) for p, s in (("front", "cold"), ("rear", "hot"))]
    assert whys(judge(small, *two), TAPER) == [("1", "it needs readings at two places in one direction")]


def test_both_parts_of_two_alike_are_judged(small: Dataset) -> None:
    pairs = [
        fit(ROD, "55.00", shaft, which=word) for shaft, word in (("54.95", "inner-spring"), ("54.80", "outer-spring"))
    ]
    result = judge(small, *(r | MM for pair in pairs for r in pair))
    assert sorted(r["verdict"] for r in result["results"] if r["item"] == PIN) == ["new", "past-new"]


def test_a_shaft_of_a_fit_is_judged_beside_an_entry_of_its_size(small: Dataset) -> None:
    def verdicts(shaft: str) -> list[tuple[bool, str]]:
        entry = reading(PIN, "shaft", "54.95", **MM)
        result = judge(small, entry, *(r | MM for r in fit(ROD, f"{float(shaft) + 0.05:.2f}", shaft)))
        return [(r["derived"], r["verdict"]) for r in result["results"] if r["item"] == PIN]

    assert verdicts("54.95") == [(False, "new")]
    assert verdicts("54.70") == [(False, "new"), (True, "cannot-tell")], "it may be ground"
    assert verdicts("54.85") == [(False, "new"), (True, "past-new")]


def test_a_form_that_was_entered_hides_none_that_the_diameters_show(small: Dataset) -> None:
    entry = [reading(TAPER, "shaft", "54.98", place=p, **MM) for p in ("front", "rear")]
    ends = [reading(PIN, "shaft", v, place=p, **MM) for v, p in (("54.98", "front"), ("54.93", "rear"))]
    result = judge(small, *entry, *ends)
    assert sorted(r["verdict"] for r in result["results"] if r["item"] == TAPER) == ["new", "past-new"]


def stand_outs(*values: tuple[str, str, str]) -> list[dict[str, str]]:
    return [reading(OUT, "gap", v, n, place=p, **MM) for n, p, v in values]


def test_a_difference_of_stand_out_is_taken_at_each_liner_and_between_neighbours(small: Dataset) -> None:
    result = judge(small, *stand_outs(("1", "a", "0.06"), ("1", "b", "0.12"), ("2", "a", "0.14"), ("2", "b", "0.14")))
    assert [one(result, OFF, p)["verdict"] for p in ("1", "2", "all")] == ["past-new", "new", "past-new"]
    assert one(result, OFF, "all")["value"] == "0.050"
    assert {r["verdict"] for r in result["results"] if r["item"] == OUT} == {"new"}


@pytest.mark.parametrize(
    ("places", "why"),
    [
        (("1",), "it needs readings at two places"),
        (("1", "3"), "it needs readings at every place between the first and the last that was read"),
    ],
)
def test_a_difference_of_neighbours_that_is_not_judged_says_why(
    small: Dataset, places: tuple[str, ...], why: str
) -> None:
    assert ("all", why) in whys(judge(small, *stand_outs(*((n, "a", "0.10") for n in places))), OFF)


def test_numbers_do_not_tell_neighbours_in_a_vee(vee: Dataset) -> None:
    result = judge(vee, *stand_outs(("1", "a", "0.10"), ("2", "a", "0.14")))
    assert ("all", "which places are neighbours their numbers do not tell") in whys(result, OFF)


def bores(*values: str) -> list[dict[str, str]]:
    return [reading("cylinder-bore", "bore", v, str(n), **MM) for n, v in enumerate(values, 1)]


@pytest.mark.parametrize(("values", "verdict"), [(("87.52", "87.58"), "past-new"), (("87.52", "87.54"), "new")])
def test_cylinders_are_compared_by_their_bores(small: Dataset, values: tuple[str, ...], verdict: str) -> None:
    assert one(judge(small, *bores(*values)), BORES, "all")["verdict"] == verdict


def test_cylinders_of_different_sizes_are_not_compared(small: Dataset) -> None:
    build = {"size": {"cylinder": {"all": "0", "2": "0.50 mm"}}}
    result = judge(small, *bores("87.55", "88.05"), build=build)
    assert whys(result, BORES) == [("all", "the places are of different sizes")]


def test_pistons_are_compared_by_their_masses(small: Dataset) -> None:
    def weighed(*values: str) -> dict[str, Any]:
        raws = [{"item": "piston-mass", "position": str(n), "part": "gap", "value": v} for n, v in enumerate(values, 1)]
        scale = [{"id": "scale-1", "instrument": "mass-scale"}]
        given = {"engine": "example-engine", "instruments": scale}
        readings = [r | {"unit": "g", "instrument": "scale-1"} for r in raws]
        return check(given | {"readings": readings}, small).as_dict()

    assert one(weighed("505", "513"), MASSES, "all")["verdict"] == "past-new"
    assert one(weighed("509", "510"), MASSES, "all")["verdict"] == "new"


def test_wear_over_the_unworn_size_is_not_judged_by_the_size(small: Dataset) -> None:
    why = "it counts from the size that the part had when it was new, which the readings do not name"
    assert whys(judge(small, *bores("87.55")), WEAR) == [("1", why)]
