"""What else the readings of a fit give: sizes, forms, the method that counts, temperature."""

import math
from pathlib import Path
from typing import Any

import pytest

from runningfits.dataset import Dataset
from runningfits.judging.coverage import of_largest

from ..shop import HANDS, codes, fit, judge, one, parts, reading, row, shop

MAIN, PLAY, GAP = "main-bearing-clearance", "crank-end-play", "ring-gap"


@pytest.fixture(scope="module")
def engine(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    rows = [row(MAIN, "0.0015", "0.0030", "0.0050"), row(PLAY, "0.004", "0.009", "0.014")]
    return shop(tmp_path_factory.mktemp("shop"), clearances=rows)


@pytest.fixture(scope="module")
def journals(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    sizes = [row("main-journal-diameter", "2.8734", "2.8744", "0.0030", limit_as="wear")]
    return shop(
        tmp_path_factory.mktemp("journals"), sizes=sizes, clearances=[row("main-journal-taper", limit="0.0005")]
    )


def main(result: dict[str, Any]) -> dict[str, Any]:
    return one(result, MAIN)


def test_sizes_and_forms_follow_from_the_readings_of_a_fit(journals: Dataset) -> None:
    readings = [
        reading(MAIN, "shaft", "2.8740", place="front"),
        reading(MAIN, "shaft", "2.8729", place="rear"),
        reading(MAIN, "bore", "2.8760"),
    ]
    found = judge(journals, *readings)
    journal, taper = one(found, "main-journal-diameter"), one(found, "main-journal-taper")
    assert (journal["derived"], journal["value"], journal["verdict"]) == (True, "2.87290", "worn")
    assert (taper["derived"], taper["value"], taper["verdict"]) == (True, "0.00108", "loose")
    assert main(found)["verdict"] == "no-range"


def test_a_form_follows_from_the_readings_of_a_size(journals: Dataset) -> None:
    ends = (("front", "2.8740"), ("rear", "2.8729"))
    found = judge(journals, *(reading("main-journal-diameter", "shaft", v, place=p) for p, v in ends))
    taper = one(found, "main-journal-taper")
    assert (taper["derived"], taper["value"]) == (True, "0.00108")


def test_a_form_that_a_dial_reads_does_not_follow_from_diameters(tmp_path: Path) -> None:
    name = "main-journal-out-of-round"
    across = [reading(MAIN, "shaft", v, direction=d) for d, v in (("vertical", "2.4998"), ("horizontal", "2.4993"))]
    for method, there in (("", True), ("dial-total", False), ("half-dial", False)):
        data = shop(tmp_path / f"by-{method}", clearances=[row(name, "", "", "0.002", method=method)])
        assert [r["item"] for r in judge(data, *across)["results"] if r["derived"]] == [name] * there


def test_a_part_that_no_row_names_is_judged_by_the_plain_row(tmp_path: Path) -> None:
    data = shop(
        tmp_path,
        clearances=[row(MAIN, "0.0015", "0.0030", applies="late-shells")],
        parts=parts("shells", "late-shells"),
        sizes=[row("main-journal-diameter", "2.4990", "2.5000")],
    )
    result = judge(data, *fit(MAIN, "2.5018", "2.4995"), build={"fitted": {"shells": "late-shells"}})
    assert [(r["item"], r["verdict"]) for r in result["results"]] == [(MAIN, "new"), ("main-journal-diameter", "new")]


def test_a_size_that_was_asked_for_is_not_derived_again(journals: Dataset) -> None:
    asked = reading("main-journal-diameter", "shaft", "2.8740")
    found = one(judge(journals, *fit(MAIN, "2.8760", "2.8710"), asked), "main-journal-diameter")
    assert (found["derived"], found["value"]) == (False, "2.87400")


@pytest.mark.parametrize(
    ("value", "verdict"),
    [("40.9700", "tight"), ("40.9800", "new"), ("40.9900", "past-new")],
)
def test_the_bore_of_an_installed_bearing_is_a_size(data: Dataset, value: str, verdict: str) -> None:
    # a maker's service sheet, 24 690 01 Rev. K, p. 17: 40.974 to 40.987 mm at the cover (its two ends are exchanged in
    # print); the bore is made of housing and walls, and read directly
    bore = reading("main-bearing-bore", "bore", value, "cover-end", unit="mm")
    result = judge(data, bore, engine="kohler-command-ch18-745", decision="simple", build={"model": "ch26"})
    assert one(result, "main-bearing-bore", "cover-end")["verdict"] == verdict


def test_a_bearing_bore_is_no_small_housing_bore(tmp_path: Path) -> None:
    sizes = [row("main-housing-bore", "2.7490", "2.7500"), row("main-bearing-bore", "2.5015", "2.5025")]
    result = judge(shop(tmp_path, sizes=sizes), reading("main-bearing-bore", "bore", "2.5020"))
    assert (one(result, "main-bearing-bore")["verdict"], codes(result)) == ("new", [])


def test_the_method_of_rows_that_remain_still_counts(tmp_path: Path) -> None:
    rows = [row(GAP, "0.010", u, applies=a, method="smallest") for u, a in (("0.020", "ring-a"), ("0.012", "ring-b"))]
    gaps = [reading(GAP, "gap", value, place=p) for p, value in (("top", "0.016"), ("bottom", "0.014"))]
    found = one(judge(shop(tmp_path, clearances=rows, parts=parts("ring", "ring-a", "ring-b")), *gaps), GAP)
    assert (found["verdict"], float(found["value"])) == ("which-row", 0.014)


def test_the_smallest_bore_and_the_mean_journal_count(engine: Dataset) -> None:
    bores = [
        reading(MAIN, "bore", v, place=p) for p, v in (("front", "2.5024"), ("centre", "2.5020"), ("rear", "2.5022"))
    ]
    shafts = [reading(MAIN, "shaft", v, place=p) for p, v in (("front", "2.4998"), ("rear", "2.4996"))]
    # 2.5020 - 2.4997 in, and less than what the smallest of three alike reads too small by the scatter
    found = main(judge(engine, *bores, *shafts))
    lift = of_largest(3).lift * math.hypot(HANDS["bore"], 0.0001 / math.sqrt(12))
    assert -lift < float(found["bias"]) < 0
    assert float(found["value"]) == pytest.approx(0.0023 - float(found["bias"]), abs=0.0000051)


def test_temperature_counts_for_sizes_alone(engine: Dataset) -> None:
    def causes(*readings: dict[str, str]) -> set[str]:
        result = judge(engine, *readings, temperature_spread="2 K")["results"][0]
        return {c["cause"] for c in result["components"] if "temperature" in c["cause"]}

    assert causes(*fit(MAIN, "2.5022", "2.4998")) == {"temperature of the bore", "temperature of the shaft"}
    assert causes(reading("main-journal-diameter", "shaft", "2.4998")) == {"temperature of the shaft"}
    assert causes(reading(PLAY, "gap", "0.0060")) == set()
    assert causes(reading("piston-mass-difference", "gap", "2", unit="g", instrument="scale-1")) == set()


def test_temperature_moves_the_value(engine: Dataset) -> None:
    # an aluminium housing 20 K warmer than the steel gauge: the bore of 2.5022 in reads 2.5022 x 21.5e-6 x 20 too big,
    # the steel journal 2.4998 x 11.5e-6 x 20 (aluminium 356.0: Callister, table B.6; steel: ISO 3650)
    bore, shaft = fit(MAIN, "2.5022", "2.4998")
    result = judge(
        engine, bore | {"material": "aluminium-356"}, shaft, part_temperature="40 degC", room_temperature="20 degC"
    )
    expected = 2.5022 * (1 - 430e-6) - 2.4998 * (1 - 230e-6)
    assert float(main(result)["value"]) == pytest.approx(expected, abs=0.000006)
    assert expected < 0.002
