"""What to do about a shell bearing: the arithmetic of each remedy by hand. Common practice where no page is named."""

from pathlib import Path
from typing import Any

import pytest

from runningfits.dataset import Dataset

from ...shop import fit, judge, one, parts, reading, row, shop
from .told import Json, ends, near, option, options

MAIN, ROD, WALL, JOURNAL = (
    "main-bearing-clearance",
    "rod-bearing-clearance",
    "main-bearing-wall",
    "main-journal-diameter",
)
REPAIR = {"class": "repair"}


@pytest.fixture(scope="module")
def engine(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    clearances = [row(MAIN, "0.0010", "0.0030", "0.0050"), row(ROD, "0.0010", "0.0030")]
    sizes = [
        row(JOURNAL, "2.4990", "2.5000"),
        row(JOURNAL, "2.4790", "2.4800", size="-0.020", **REPAIR),
        row(JOURNAL, "2.4890", "2.4900", size="-0.010", **REPAIR),
        row(JOURNAL, "2.4995", "2.5005", position="front", applies="wide-crank", **REPAIR),
        row("main-bearing-bore", "2.5010", "2.5020"),
    ]
    base = tmp_path_factory.mktemp("bearings")
    return shop(base, clearances=clearances, sizes=sizes, parts=parts("crank", "wide-crank"))


def all_mains(journals: dict[str, str], bore: str = "2.5070") -> list[dict[str, str]]:
    return [r for place, shaft in journals.items() for r in fit(MAIN, bore, shaft, place)]


def loose(engine: Dataset, **more: Any) -> Json:
    """A bore of 2.5070 and a journal of 2.4995 in at every place: 0.0075 in where 0.0010 to 0.0030 in is wanted."""
    readings = all_mains(dict.fromkeys("12345", "2.4995"))
    found = one(judge(engine, *readings, **more), MAIN)
    assert (found["verdict"], float(found["value"])) == ("loose", 0.0075)
    return found


def test_new_shells_come_first(engine: Dataset) -> None:
    # bore of new shells 2.5010 to 2.5020 less the measured journal of 2.4995
    first = loose(engine)["remedies"][0]
    assert first["action"] == "new shells" and "measure again" in first["text"]
    assert ends(first["result"]) == near(0.0015, 0.0025)
    assert (first["result"]["meets"], first["pages"][0]["text"]) == ("new", "1, p. 1")


def test_the_uncertainty_is_that_of_the_part_that_stays(engine: Dataset) -> None:
    found = loose(engine)
    kept = option(found, "new shells")["result"]["uncertainty"]
    assert 0 < float(kept) < float(found["uncertainty"])


def test_a_good_journal_under_a_large_bore_points_at_the_housing(engine: Dataset) -> None:
    assert "without shells" in option(loose(engine), "check the housing")["text"]
    worn = one(judge(engine, *fit(MAIN, "2.5040", "2.4970")), MAIN)
    assert options(worn, "check the housing") == []


def test_grinding_is_to_the_printed_range_of_the_undersize(engine: Dataset) -> None:
    # not the bore read in the worn shells (2.5070) less 0.010 in and the clearance
    first, second = options(loose(engine), "grind")
    assert [ends(o["parts"][0]) for o in (first, second)] == [near(2.4890, 2.4900), near(2.4790, 2.4800)]
    assert [o["size"] for o in (first, second)] == [
        {"part": "main-journal", "value": f"{s} in"} for s in ("-0.010", "-0.020")
    ]
    assert ends(first["result"]) == near(0.0010, 0.0030)
    assert (first["result"]["meets"], first["result"]["uncertainty"], first["permitted"]) == ("new", "0", True)
    assert "all main journals of the shaft together" in first["drags"]


def test_the_smallest_undersize_that_cleans_the_worst_journal(engine: Dataset) -> None:
    # the worst of five, 2.4885 in, lies below the window of the first undersize: only the second is left
    found = one(judge(engine, *all_mains(dict.fromkeys("1234", "2.4995") | {"5": "2.4885"})), MAIN)
    first, second = options(found, "grind")
    assert (first["size"]["value"], first["permitted"]) == ("-0.020 in", True)
    assert (second["size"]["value"], second["permitted"], second["result"]) == ("-0.010 in", False, None)
    assert "no metal left" in second["why"] and "at 5" in second["why"]


def test_out_of_round_counts_by_its_smallest_diameter(engine: Dataset) -> None:
    # 2.4995 one way, 2.4896 the other: the first undersize has from 2.4890 in to that less U
    oval = [reading(MAIN, "shaft", "2.4896", "5", direction="across")]
    readings = [*all_mains(dict.fromkeys("12345", "2.4995")), *oval]
    first = options(one(judge(engine, *readings), MAIN), "grind")[0]
    low, high = ends(first["parts"][0])
    assert low == pytest.approx(2.4890) and 2.4890 < high < 2.4896


def test_a_journal_that_was_not_measured_is_asked_for(engine: Dataset) -> None:
    strip = one(judge(engine, reading(MAIN, "strip", "0.0070", to="0.0080")), MAIN)
    assert strip["verdict"] == "loose"
    grind = options(strip, "grind")
    assert {o["permitted"] for o in grind} == {None}
    assert all("measure every place" in o["why"] for o in grind)
    lone = options(one(judge(engine, *fit(MAIN, "2.5070", "2.4995")), MAIN), "grind")[0]
    assert lone["permitted"] is None and "other places were not measured" in lone["why"]


def test_sizes_already_ground_to_are_not_offered_again(engine: Dataset) -> None:
    found = judge(engine, *fit(MAIN, "2.4970", "2.4895"), build={"size": {"main-journal": "-0.010 in"}})
    assert [o["size"]["value"] for o in options(one(found, MAIN), "grind")] == ["-0.020 in"]


def test_no_undersize_in_the_data_is_said_so(engine: Dataset) -> None:
    found = option(one(judge(engine, *fit(ROD, "2.0070", "1.9995")), ROD), "grind")
    assert found["general"] and found["result"] is None and "none is in the data" in found["text"]
    assert "bore of the new undersize shells" in found["text"] and "none printed" not in found["text"]


def test_mixed_halves_are_a_general_possibility(engine: Dataset) -> None:
    # 2.0033 - 1.9998 = 0.0035 in, less half of a 0.001 in set
    found = option(one(judge(engine, *fit(ROD, "2.0033", "1.9998", "2")), ROD, "2"), "mixed halves")
    assert found["general"] and "only where the maker allows" in found["text"]
    assert ends(found["result"]) == near(0.0030, 0.0030)
    assert options(loose(engine), "mixed halves") == [], "it would be far from enough"


def test_a_journal_for_new_undersize_shells_from_the_bore_read_in_them(tmp_path: Path) -> None:
    # -0.010 in shells fitted, bore 2.4915 in: 2.4915 - 0.0030 to 2.4915 - 0.0010, inside the printed 2.4880 to 2.4910
    rows = [row(JOURNAL, "2.4990", "2.5000"), row(JOURNAL, "2.4880", "2.4900", size="-0.010", **REPAIR)]
    data = shop(tmp_path, clearances=[row(MAIN, "0.0010", "0.0030")], sizes=rows)
    readings, build = fit(MAIN, "2.4915", "2.4995"), {"size": {"main-journal": "-0.010 in"}}
    found = option(one(judge(data, *readings, build=build), MAIN), "target journal")
    assert ends(found["parts"][0]) == near(2.4885, 2.4900)
    assert (found["permitted"], found["result"]["meets"]) == (True, "new")


def test_a_journal_beyond_its_own_page_is_forbidden(engine: Dataset) -> None:
    # in shells of 2.4995 in the fit wants a journal of 2.4965 to 2.4985, the page's standard one is 2.4990 at least
    found = one(judge(engine, *fit(MAIN, "2.4995", "2.4992")), MAIN)
    (target,) = options(found, "target journal")
    assert found["verdict"] == "tight" and found["remedies"][-1] == target
    assert (target["permitted"], target["result"]) == (False, None)
    assert "forbids" in target["why"] and target["pages"]


def test_a_tight_bearing_is_never_scraped(engine: Dataset) -> None:
    found = one(judge(engine, *fit(MAIN, "2.5000", "2.4999")), MAIN)
    assert "never scrape or shim a shell" in option(found, "check the shells")["text"]


def test_small_undersize_shells_on_the_journal_as_it_is(tmp_path: Path) -> None:
    rows = [row(WALL, "0.1250", "0.1255"), row(WALL, "0.1260", "0.1265", size="-0.002", **REPAIR)]
    data = shop(tmp_path, clearances=[row(MAIN, "0.0010", "0.0030")], sizes=rows)
    found = option(one(judge(data, *fit(MAIN, "2.5035", "2.4995")), MAIN), "undersize shells")
    assert ends(found["result"]) == near(0.0020, 0.0020) and "present shells" in found["why"]


def test_shells_by_wall_in_the_measured_housing(tmp_path: Path) -> None:
    # 2.7520 - 2 x 0.1250 - 2.4995 = 0.0025 and, with 0.1252, 0.0021 in; 0.0045 and 0.0005 by the others
    thick = [row(WALL, f"0.12{n}0", f"0.12{n}2", applies=f"grade-{n}", **{"class": "selective"}) for n in (4, 5, 6)]
    data = shop(
        tmp_path,
        clearances=[row(MAIN, "0.0010", "0.0030")],
        sizes=thick,
        parts=parts("main-bearing-grade", "grade-4", "grade-5", "grade-6"),
    )
    readings = [*fit(MAIN, "2.5045", "2.4995"), reading("main-housing-bore", "bore", "2.7520")]
    found = option(one(judge(data, *readings), MAIN), "shells by their wall")
    assert "grade 5, wall 0.1250 to 0.1252 in" in found["text"] and found["result"]["meets"] == "new"
    assert ends(found["result"]) == near(0.0021, 0.0025)


def test_shells_by_wall_from_the_grade_that_is_fitted(tmp_path: Path) -> None:
    # 0.0048 in with walls of 0.1240 to 0.1242: 2 x 0.0008 to 2 x 0.0012 less with walls of 0.1250 to 0.1252
    walls = [row(WALL, f"0.12{n}0", f"0.12{n}2", applies=f"grade-{n}", **{"class": "selective"}) for n in (4, 5)]
    asked = parts("main-bearing-grade", "grade-4", "grade-5")
    data = shop(tmp_path, clearances=[row(MAIN, "0.0010", "0.0030")], sizes=walls, parts=asked)
    build = {"fitted": {"main-bearing-grade": "grade-4"}}
    found = option(one(judge(data, *fit(MAIN, "2.5043", "2.4995"), build=build), MAIN), "shells by their wall")
    assert ends(found["result"]) == near(0.0024, 0.0032) and "present shells, grade 4" in found["why"]


def test_simple_acceptance_has_the_same_remedies(engine: Dataset) -> None:
    actions = [o["action"] for o in loose(engine)["remedies"]]
    assert [o["action"] for o in loose(engine, decision="simple")["remedies"]] == actions


@pytest.mark.parametrize(("bore", "verdict"), [("2.5020", "new"), ("2.5040", "worn"), ("2.5025", "serviceable")])
def test_nothing_to_do_unless_it_is_out(engine: Dataset, bore: str, verdict: str) -> None:
    found = one(judge(engine, *fit(MAIN, bore, "2.4995")), MAIN)
    assert (found["verdict"], found["remedies"]) == (verdict, [])


def test_undersizes_of_a_published_manual(data: Dataset) -> None:
    # TM 10-3930-653-14&P, 4-38: journals 62.692 to 62.705 mm for -0.25 mm, 0.020 to 0.062 mm clearance
    readings = [r | {"unit": "mm"} for r in fit(MAIN, "63.060", "62.900")]
    grind = options(one(judge(data, *readings, engine="nissan-h20"), MAIN), "grind")
    assert [ends(o["parts"][0]) for o in grind] == [
        (62.692, 62.705),
        (62.442, 62.455),
        (62.192, 62.205),
        (61.943, 61.955),
    ]
    assert ends(grind[0]["result"]) == (0.020, 0.062)
    assert grind[0]["pages"][0]["text"] == "TM 10-3930-653-14&P, p. 4-38"


def test_a_published_table_pairs_shells_with_block_and_shaft(data: Dataset) -> None:
    # 6A-75: bore 73.992 to 74.000 mm is mark 1, journal 69.927 to 69.932 mm mark 1: shells of grade 4
    housing = reading("main-housing-bore", "bore", "73.995", unit="mm")
    readings = [r | {"unit": "mm"} for r in fit(MAIN, "70.080", "69.930")]
    found = option(one(judge(data, *readings, housing, engine="isuzu-4jx1"), MAIN), "maker's table")
    assert "grade 4" in found["text"] and "grade 5" not in found["text"]
    assert found["result"]["meets"] == "new" and "p. 6A-75" in found["pages"][0]["text"]
