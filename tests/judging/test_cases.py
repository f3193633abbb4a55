"""A sheet resolved: misprints, choices, rows that must hold together, the stage, places without a reading."""

from pathlib import Path
from typing import Any

import pytest

from runningfits import check
from runningfits.dataset import Dataset

from ..shop import codes, fit, judge, one, reading, row, sheet, shop

MAIN, PLAY, GAP = "main-bearing-clearance", "crank-end-play", "ring-gap"


def at(data: Dataset, item: str, position: str, value: str = "0.0150", **more: Any) -> dict[str, Any]:
    """Result of one direct reading."""
    return one(judge(data, reading(item, "gap", value, position), **more), item, position)


def two(base: Path, first: dict[str, str], second: dict[str, str], value: str) -> dict[str, Any]:
    """End play by the rows of two documents."""
    return at(shop(base, clearances=[first, second | {"source": "example-2"}]), PLAY, "thrust", value)


@pytest.mark.parametrize(
    ("value", "verdict"),
    [
        ("0.0060", "new"),
        ("0.0030", "cannot-tell"),
        ("0.0085", "cannot-tell"),
        ("0.0010", "tight"),
        ("0.0200", "past-new"),
    ],
)
def test_two_documents_must_both_hold(tmp_path: Path, value: str, verdict: str) -> None:
    found = two(tmp_path, row(PLAY, "0.004", "0.009"), row(PLAY, "0.002", "0.008"), value)
    assert found["verdict"] == verdict
    shown = {found["cite"]["source"], *(o["cite"]["source"] for o in found["others"])}
    assert shown == {"example", "example-2"}, "neither document is hidden"
    assert bool(found["needs"]) == (verdict == "cannot-tell")


@pytest.mark.parametrize(("value", "verdict"), [("0.0060", "new"), ("0.0140", "cannot-tell"), ("0.0200", "loose")])
def test_a_limit_of_another_document_is_a_second_row(tmp_path: Path, value: str, verdict: str) -> None:
    # 0.0140 in: out of new by the one, which prints no limit, inside the other's, which prints no range: not joined
    found = two(tmp_path, row(PLAY, "0.004", "0.009"), row(PLAY, "", "", "0.015"), value)
    assert (found["verdict"], found["range"]["limit"] if found["verdict"] == "new" else None) == (verdict, None)


@pytest.mark.parametrize(
    ("taken", "passed", "verdict"), [("example", "example-2", "tight"), ("example-2", "example", "new")]
)
def test_a_choice_decides_between_two_documents(tmp_path: Path, taken: str, passed: str, verdict: str) -> None:
    names = {s: f"example-engine/{PLAY}/all@{s}:1" for s in ("example", "example-2")}
    rows = [row(PLAY, "0.004", "0.009"), row(PLAY, "0.002", "0.009", source="example-2")]
    data = shop(tmp_path, clearances=rows, choices=[{"row": names[taken], "over": names[passed]}])
    found = at(data, PLAY, "thrust", "0.0030")
    assert (found["verdict"], found["range"]["id"]) == (verdict, names[taken])
    assert [p["id"] for p in found["passed_over"]] == [names[passed]], "the second document is not hidden"


def misprinted(base: Path, corrected: str) -> Dataset:
    """Side clearance whose limit is printed ten times too large: 0.276 in beside 0.7 mm."""
    side = row("rod-side-clearance", "0.004", "0.012", "0.276")
    name = "example-engine/rod-side-clearance/all@example:1"
    wrong = {"row": name, "column": "limit", "printed": "0.276", "corrected": corrected, "why": "a decade is lost"}
    return shop(base, clearances=[side], misprints=[wrong])


def test_a_misprint_is_judged_by_the_corrected_value(tmp_path: Path) -> None:
    found = at(misprinted(tmp_path, "0.0276"), "rod-side-clearance", "1", "0.0300")
    assert found["verdict"] == "loose"
    assert (found["range"]["limit"], found["range"]["printed"]["limit"]) == ("0.0276", "0.276")
    assert [(m["column"], m["printed"], m["corrected"]) for m in found["range"]["misprints"]] == [
        ("limit", "0.276", "0.0276")
    ]


def test_a_misprint_that_cannot_be_corrected_is_not_used(tmp_path: Path) -> None:
    found = at(misprinted(tmp_path, ""), "rod-side-clearance", "1", "0.0150")
    assert (found["range"]["limit"], found["range"]["printed"]["limit"]) == (None, "0.276")
    assert found["verdict"] == "past-new", "no limit is left"


def test_a_misprint_of_the_real_dataset(data: Dataset) -> None:
    # TM 9-2815-225-34&P, F-2 prints a taper of 0.005 in; 0.0005 in is registered
    ends = [
        reading("main-journal-taper", "shaft", value, place=place)
        for place, value in (("front", "4.4990"), ("rear", "4.4980"))
    ]
    found = one(judge(data, *ends, engine="cummins-ntc-400", build={"model": "big-cam-iii"}), "main-journal-taper")
    assert (found["value"], found["verdict"]) == ("0.0010", "loose")
    assert (found["range"]["limit"], found["range"]["printed"]["limit"]) == ("0.0005", "0.005")


def test_a_choice_of_the_real_dataset(data: Dataset) -> None:
    # TM 55-1930-209-14&P-9-4 prints 0.004 to 0.015 in on p. H.2 and 0.002 to 0.015 in on p. H.4; H.4 is chosen
    found = one(judge(data, reading(PLAY, "gap", "0.0030", "thrust"), engine="perkins-4-236"), PLAY, "thrust")
    assert (found["verdict"], found["cite"]["page"]) == ("new", "H.4")


def test_what_a_reading_says_makes_a_case_of_its_own(tmp_path: Path) -> None:
    loads = [row("spring-load", "50", "60", which=w, unit="lbf") for w in ("inner-spring", "outer-spring")]
    data = shop(tmp_path, sizes=loads)
    more = {"unit": "lbf", "instrument": "load-1"}
    both = [reading("spring-load", "gap", "55", which=w, **more) for w in ("inner-spring", "outer-spring")]
    found = judge(data, *both)["results"]
    assert [(r["says"], r["says_words"]) for r in found] == [
        ({"which": "inner-spring"}, ["inner spring"]),
        ({"which": "outer-spring"}, ["outer spring"]),
    ]


@pytest.mark.parametrize(("stage", "clean"), [("found", True), ("machined", False), ("assembled", False)])
def test_worn_counts_by_the_stage(tmp_path: Path, stage: str, clean: bool) -> None:
    data = shop(tmp_path, {"mains": "1"}, clearances=[row(MAIN, "0.0015", "0.0030", "0.0050")])
    worn = check(sheet(*fit(MAIN, "2.5040", "2.4998"), stage=stage), data)
    assert ([j.verdict for j in worn.judged], worn.clean) == (["worn"], clean)
    new = [r | {"direction": d} for d in ("vertical", "square-to-split") for r in fit(MAIN, "2.5022", "2.4998")]
    assert check(sheet(*new, stage=stage), data).clean


def test_places_without_a_reading_are_listed(tmp_path: Path) -> None:
    data = shop(tmp_path, clearances=[row(MAIN, "0.0015", "0.0030"), row(GAP, "0.010", "0.020", position="top-ring")])
    readings = [*fit(MAIN, "2.5022", "2.4998", "2"), *fit(MAIN, "2.5022", "2.4998", "rear")]
    readings += [reading(GAP, "gap", "0.015", f"{n}/top-ring") for n in (1, 2, 4)]
    found = judge(data, *readings)
    assert [(m["item"], m["place"]) for m in found["not_measured"]] == [
        *((MAIN, p) for p in ("1", "3", "4")),
        (GAP, "3, top ring"),
    ]
    assert check(sheet(*readings), data).clean
    assert not check(sheet(*readings, stage="assembled"), data).clean
    assert codes(found) == []
