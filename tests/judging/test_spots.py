"""Where on a part readings were taken, and what they therefore do not prove."""

from typing import Any

import pytest

from runningfits.dataset import Dataset
from runningfits.judging.against import DOUBTS
from runningfits.sheets.entries import ACROSS, ALONG, OF_PISTON
from runningfits.sheets.faults import SheetError

from ..shop import fit, judge, one, reading, row, shop

PISTON, SKIRT, ROD, HONDA = "piston-clearance", "piston-skirt-diameter", "rod-bearing-clearance", "honda-gx120-160-200"


def honda(data: Dataset, item: str, readings: list[dict[str, str]], **more: Any) -> dict[str, Any]:
    metric = [r | {"unit": "mm"} for r in readings]
    return one(judge(data, *metric, engine=HONDA, build={"model": "gx120"}, part_temperature="20 C", **more), item)


def piston(bore: str, *shafts: tuple[str, str]) -> list[dict[str, str]]:
    read = [reading(PISTON, "shaft", size) | ({"direction": way} if way else {}) for size, way in shafts]
    return [reading(PISTON, "bore", bore), *read]


@pytest.mark.parametrize("stage", ["found", "machined", "assembled"])
@pytest.mark.parametrize(
    "way", ["along-pin", "axial", "Along the pin", "lengthwise", "gudgeon", "bosses", "wrist pin", "fore-and-aft"]
)
def test_a_piston_measured_along_its_pin_alone_proves_neither_fit_nor_skirt(
    data: Dataset, way: str, stage: str
) -> None:
    for item in (PISTON, SKIRT):
        found = honda(data, item, piston("60.008", ("59.975", way)), stage=stage)
        assert (found["verdict"], found["needs"]) == ("cannot-tell", DOUBTS["along-pin"])
        assert found["probability"] is None


@pytest.mark.parametrize("way", ["b", "slanted", "vertical"])
def test_a_piston_measured_in_one_unknown_direction_proves_nothing(data: Dataset, way: str) -> None:
    for item in (PISTON, SKIRT):
        found = honda(data, item, piston("60.008", ("59.975", way)))
        assert (found["verdict"], found["needs"]) == ("cannot-tell", DOUBTS["direction"])
    assert honda(data, PISTON, piston("60.008", ("59.700", way)))["verdict"] == "loose"


@pytest.mark.parametrize("spot", [{"place": "crown"}, {"place": "top land"}, {"place": "top"}, {"direction": "crown"}])
def test_a_piston_measured_at_its_crown_alone_proves_neither_fit_nor_skirt(data: Dataset, spot: dict[str, str]) -> None:
    bore, shaft = piston("60.008", ("59.975", "crosswise"))
    for item in (PISTON, SKIRT):
        found = honda(data, item, [bore, shaft | spot])
        assert (found["verdict"], found["needs"]) == ("cannot-tell", DOUBTS["crown"])
    along = reading(PISTON, "shaft", "59.970") | {"direction": "along-pin"}
    assert honda(data, PISTON, [bore, shaft | spot, along])["needs"] == DOUBTS["crown"]
    assert honda(data, PISTON, [bore, shaft | spot, shaft])["verdict"] == "new", "the skirt across the pin too"


@pytest.mark.parametrize(
    ("at", "verdict", "needs"),
    [("5 mm", "new", None), ("0.1969 in", "new", None), ("", "new", None), ("30 mm", "cannot-tell", DOUBTS["height"])],
)
def test_a_piston_counts_at_the_height_that_its_page_names(data: Dataset, at: str, verdict: str, needs: str) -> None:
    read = [reading(PISTON, "bore", "75.005"), reading(PISTON, "shaft", "74.985") | {"direction": "across-pin"}]
    read = [r | {"unit": "mm"} | ({"at": at} if at else {}) for r in read]
    found = judge(data, *read, engine="honda-d16y", build={}, part_temperature="20 C")
    assert (one(found, PISTON)["verdict"], one(found, PISTON)["needs"]) == (verdict, needs)
    assert (one(found, SKIRT)["needs"] == DOUBTS["height"]) == (at == "30 mm")


def test_where_no_page_prints_its_size_or_a_page_names_no_height_any_height_counts(data: Dataset) -> None:
    bore, shaft = (r | {"at": "30 mm"} for r in piston("60.008", ("59.975", "across-pin")))
    assert honda(data, PISTON, [bore, shaft])["verdict"] == "new"
    sheet = [r | {"unit": "mm"} for r in piston("60.008", ("59.975", "across-pin"))]
    assert one(judge(data, *sheet, engine="nissan-l28", build={}), PISTON)["needs"] != DOUBTS["height"]


@pytest.mark.parametrize(("way", "told"), [("", 1), ("across-pin", 0), ("along-pin", 0), ("crosswise", 0)])
def test_a_piston_whose_direction_is_not_told_is_taken_as_square_to_its_pin(data: Dataset, way: str, told: int) -> None:
    read = [r | {"unit": "mm"} for r in piston("60.008", ("59.975", way))]
    found = judge(data, *read, engine=HONDA, build={"model": "gx120"}, part_temperature="20 C")
    assert sum("square to its pin" in a for a in found["assumed"]) == told


def test_along_the_pin_a_piston_is_not_proven_too_small_but_too_large(data: Dataset) -> None:
    assert honda(data, PISTON, piston("60.008", ("59.700", "along-pin")))["verdict"] == "cannot-tell"
    assert honda(data, SKIRT, piston("60.008", ("59.200", "along-pin")))["verdict"] == "cannot-tell"
    assert honda(data, PISTON, piston("60.008", ("60.050", "along-pin")))["verdict"] == "tight"


@pytest.mark.parametrize(
    "shafts", [[("59.975", "across-pin")], [("59.975", "")], [("59.975", "thrust"), ("59.970", "axial")]]
)
def test_a_piston_measured_across_its_pin_too_is_judged(data: Dataset, shafts: list[tuple[str, str]]) -> None:
    assert honda(data, PISTON, piston("60.008", *shafts))["verdict"] == "new"


def rods(bore: dict[str, str], shaft: dict[str, str]) -> list[dict[str, str]]:
    return [reading(ROD, "bore", "26.026") | bore, reading(ROD, "shaft", "25.975") | shaft]


@pytest.mark.parametrize(
    ("bore", "shaft", "doubt"),
    [
        ({"direction": "at-split"}, {"direction": "vertical"}, DOUBTS["split"]),
        ({"direction": "at the split"}, {}, DOUBTS["split"]),
        ({"direction": "horizontal"}, {"direction": "horizontal"}, DOUBTS["split"]),
        ({"direction": "crosswise", "place": "top"}, {"direction": "horizontal", "place": "front"}, DOUBTS["split"]),
        *(({"direction": word}, {"direction": word}, DOUBTS["split"]) for word in ("parting", "cap joint", "9-3")),
        *(({"direction": word}, {"direction": word}, DOUBTS["direction"]) for word in ("a", "b-b", "x", "slanted")),
        ({"direction": "vertical"}, {"direction": "horizontal"}, DOUBTS["elsewhere"]),
        ({"place": "front"}, {"place": "rear"}, DOUBTS["elsewhere"]),
    ],
)
def test_a_bearing_read_off_the_load_is_not_proven(
    data: Dataset, bore: dict[str, str], shaft: dict[str, str], doubt: str
) -> None:
    found = honda(data, ROD, rods(bore, shaft))
    assert (found["verdict"], found["needs"]) == ("cannot-tell", doubt)


@pytest.mark.parametrize(
    ("bore", "shaft"),
    [
        ({}, {}),
        ({"direction": "vertical"}, {"direction": "vertical"}),
        ({"direction": "square-to-split"}, {"direction": "vertical"}),
        ({"direction": "square-to-split", "place": "top"}, {"direction": "horizontal", "place": "front"}),
        ({"direction": "load"}, {}),
        ({"place": "front"}, {"place": "front"}),
    ],
)
def test_a_bearing_read_where_the_load_is_or_nobody_says_is_judged(
    data: Dataset, bore: dict[str, str], shaft: dict[str, str]
) -> None:
    assert honda(data, ROD, rods(bore, shaft))["verdict"] == "new"


def test_at_the_split_a_bearing_is_proven_tight_and_not_loose(data: Dataset) -> None:
    at = {"direction": "at-split"}
    assert honda(data, ROD, rods(at, {"value": "26.020"}))["verdict"] == "tight"
    assert honda(data, ROD, rods(at, {"value": "25.800"}))["verdict"] == "cannot-tell"


@pytest.mark.parametrize(("layout", "proven"), [("inline", "vertical"), ("opposed", "horizontal")])
def test_which_way_the_split_lies_goes_by_the_layout(tmp_path: Any, layout: str, proven: str) -> None:
    rows = {"clearances": [row("main-bearing-clearance", "0.0010", "0.0040")]}
    data = shop(tmp_path, {"layout": layout}, **rows)
    for way in ("vertical", "horizontal"):
        read = fit("main-bearing-clearance", "2.5025", "2.5000", direction=way)
        found = one(judge(data, *read), "main-bearing-clearance")
        assert found["verdict"] == ("new" if way == proven else "cannot-tell")


def test_two_directions_by_unknown_words_are_judged_and_both_at_the_split_are_not(data: Dataset) -> None:
    def both(one_word: str, other: str) -> dict[str, Any]:
        lines = [*rods({"direction": one_word}, {}), *rods({"direction": other}, {})]
        return honda(data, ROD, lines)

    assert both("a", "b")["verdict"] == "new"
    assert both("joint", "lateral")["needs"] == DOUBTS["split"]


def test_a_strip_at_the_split_proves_nothing(data: Dataset) -> None:
    fine = {"strip_1": {"mpe": "0.0001", "resolution": "0.0001"}}
    at, beside = (
        honda(data, ROD, [reading(ROD, "strip", "0.050", **where)], **fine)
        for where in ({"direction": "split"}, {"direction": "lengthwise"})
    )
    assert (at["verdict"], at["needs"], beside["verdict"]) == ("cannot-tell", DOUBTS["split"], "new")


def test_a_cylinder_read_below_the_rings_alone_is_not_proven(data: Dataset) -> None:
    def bore(*places: str) -> dict[str, Any]:
        lines = [reading("cylinder-bore", "bore", "60.008", place=p) for p in places]
        return honda(data, "cylinder-bore", lines)

    assert bore("bottom", "skirt")["needs"] == DOUBTS["below-rings"]
    assert bore("top", "bottom")["verdict"] == "new"


def test_a_strip_tells_what_the_split_does_not(data: Dataset) -> None:
    strip = {"strip_1": {"mpe": "0.0001", "resolution": "0.0001"}, "bore_1": {"mpe": "0.0004"}}
    found = honda(data, ROD, [*rods({"direction": "at-split"}, {}), reading(ROD, "strip", "0.050")], **strip)
    assert (found["way"], found["verdict"]) == ("strip", "new")


@pytest.mark.parametrize("ways", [("slanted", "oblong"), ("slanted", "along-pin"), ("slanted", "slanted")])
def test_a_piston_measured_in_directions_that_nobody_knows_proves_nothing(data: Dataset, ways: tuple[str, ...]) -> None:
    found = honda(data, PISTON, piston("60.008", *(("59.975", way) for way in ways)))
    assert (found["verdict"], found["needs"]) == ("cannot-tell", DOUBTS["direction"])
    known = honda(data, PISTON, piston("60.008", *(("59.975", way) for way in ("a", "b"))))
    assert known["verdict"] == "new", "letters of a manual lie across each other"


def test_a_bearing_measured_in_directions_that_nobody_knows_proves_nothing(data: Dataset) -> None:
    bores = [reading(ROD, "bore", "26.026", direction=way) for way in ("slanted", "oblong")]
    found = honda(data, ROD, [*bores, reading(ROD, "shaft", "25.975", direction="slanted")])
    assert (found["verdict"], found["needs"]) == ("cannot-tell", DOUBTS["direction"])


@pytest.mark.parametrize(
    ("ways", "verdict"), [(("vertical", "horizontal"), "new"), (("vertical", "slanted"), "cannot-tell")]
)
def test_out_of_round_is_proven_by_known_directions_alone(tmp_path: Any, ways: tuple[str, str], verdict: str) -> None:
    form, size = "crankpin-out-of-round", "crankpin-diameter"
    data = shop(tmp_path, clearances=[row(form, "", "0.0010")], sizes=[row(size, "2.4990", "2.5000")])
    result = judge(data, *(reading(size, "shaft", "2.4995", direction=way) for way in ways))
    found = one(result, form)
    assert (found["verdict"], found["needs"]) == (verdict, DOUBTS["across"] if verdict == "cannot-tell" else None)


@pytest.mark.parametrize(
    ("word", "near"),
    [("verticl", "vertical"), ("acros-pin", "across-pin"), ("lenghtwise", "lengthwise"), ("splix", "split")],
)
def test_a_known_direction_misspelled_is_refused_with_its_word(data: Dataset, word: str, near: str) -> None:
    with pytest.raises(SheetError, match=f"expected a direction of the list, perhaps {near}"):
        honda(data, PISTON, piston("60.008", ("59.975", word)))


def test_every_direction_that_a_blank_sheet_asks_for_is_known(data: Dataset) -> None:
    asked = {w for pair in (*ALONG.values(), *ACROSS.values(), OF_PISTON) for w in pair}
    assert asked <= set(data.keyed("directions"))
