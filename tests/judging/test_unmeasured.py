"""What a sheet leaves unmeasured: places without a reading, and lines left empty."""

from pathlib import Path

from runningfits import check
from runningfits.dataset import Dataset
from runningfits.judging.thin import WHY

from ..shop import judge, reading, row, sheet, shop

MODEL = {"cylinders": "2", "mains": "3"}


def small(base: Path) -> Dataset:
    clearances = [row("ring-gap", "0.010", "0.020", position="top-ring"), row("crank-end-play", "0.004", "0.009")]
    sizes = [
        row("main-journal-diameter", "2.4990", "2.5000"),
        row("main-bearing-width", "1.0", "1.1", position="thrust"),
    ]
    return shop(base, MODEL, clearances=clearances, sizes=sizes)


def missing(data: Dataset, *readings: dict[str, str], stage: str = "assembled") -> list[tuple[str, str]]:
    found = judge(data, *readings, stage=stage)
    return [(m["item"], m["position"]) for m in found["not_measured"]]


def journal(position: str, value: str = "2.4995") -> dict[str, str]:
    return reading("main-journal-diameter", "shaft", value, position)


def test_a_reading_for_all_places_is_none_of_those_that_are_counted(tmp_path: Path) -> None:
    journals = [("main-journal-diameter", str(n)) for n in (1, 2, 3)]
    assert missing(small(tmp_path), journal("all")) == journals


def test_a_ring_without_its_cylinder_is_none_of_those_that_are_counted(tmp_path: Path) -> None:
    data = small(tmp_path)
    assert missing(data, reading("ring-gap", "gap", "0.015", "top-ring")) == [
        ("ring-gap", "1/top-ring"),
        ("ring-gap", "2/top-ring"),
    ]
    assert missing(data, *(reading("ring-gap", "gap", "0.015", f"{n}/top-ring") for n in (1, 2))) == []


def test_a_bearing_that_is_a_place_of_its_own_and_what_is_there_once(tmp_path: Path) -> None:
    width = reading("main-bearing-width", "shaft", "1.05", "thrust")
    assert missing(small(tmp_path), width, reading("crank-end-play", "gap", "0.006", "all")) == []


def test_lines_left_empty_are_listed_once_and_only_where_nothing_was_read(tmp_path: Path) -> None:
    empty = reading("crank-end-play", "gap", "", "all")
    readings = [journal("1"), journal("1", ""), journal("2"), journal("3", ""), journal("3", ""), empty]
    found = missing(small(tmp_path), *readings)
    assert found == [("main-journal-diameter", "3"), ("crank-end-play", "all")]


SECOND = row("ring-gap", "0.010", "0.020", position="second-ring")
EXHAUST = [row("valve-lash", "0.010", "0.014", position=p) for p in ("intake", "exhaust")]


def test_the_second_ring_and_the_exhaust_are_missing_where_only_the_first_was_measured(tmp_path: Path) -> None:
    rings = [row("ring-gap", "0.010", "0.020", position="top-ring"), SECOND]
    data = shop(tmp_path, MODEL, clearances=[*rings, *EXHAUST])
    gaps = [reading("ring-gap", "gap", "0.015", f"{n}/top-ring") for n in (1, 2)]
    lash = reading("valve-lash", "gap", "0.012", "1/intake")
    second = [("ring-gap", "1/second-ring"), ("ring-gap", "2/second-ring")]
    assert missing(data, *gaps) == second
    assert missing(data, lash) == [("valve-lash", "exhaust"), ("valve-lash", "2/intake")]
    both = [reading("ring-gap", "gap", "0.015", f"{n}/second-ring") for n in (1, 2)]
    lashes = [reading("valve-lash", "gap", "0.012", f"{n}/{v}") for n in (1, 2) for v in ("intake", "exhaust")]
    assert missing(data, *gaps, *both, *lashes) == []
    assert missing(data, *gaps, *both, *lashes[:-1]) == [("valve-lash", "2/exhaust")]
    assert missing(data, *gaps, *both, reading("valve-lash", "gap", "0.012", "all")) == []


def test_what_a_group_of_rings_has_a_row_for_is_measured_by_one_of_them(tmp_path: Path) -> None:
    data = shop(tmp_path, MODEL, clearances=[row("ring-gap", "0.010", "0.020", position="compression-rings")])
    assert missing(data, *(reading("ring-gap", "gap", "0.015", f"{n}/top-ring") for n in (1, 2))) == []


def test_where_nobody_counts_the_places_a_line_for_all_is_asked_for(tmp_path: Path) -> None:
    facts = {"model": "example-model", "label": "Example", "reading": "once", "mains": ""}
    data = shop(tmp_path, models=[facts], sizes=[row("main-journal-diameter", "2.4990", "2.5000")])
    assert missing(data, journal("1"), journal("2")) == [("main-journal-diameter", "all")]
    assert missing(data, journal("all")) == []


def test_a_sheet_of_the_last_stage_that_leaves_something_unmeasured_is_not_done(tmp_path: Path) -> None:
    data = shop(tmp_path, MODEL, clearances=EXHAUST)
    lines = [reading("valve-lash", "gap", "0.012", f"{n}/{v}") for n in (1, 2) for v in ("intake", "exhaust")]
    assert not check(sheet(*lines[:-1], stage="assembled"), data).clean
    assert check(sheet(*lines, stage="assembled"), data).clean


BORE = "cylinder-bore"


def bores(*cells: tuple[str, str]) -> list[dict[str, str]]:
    return [reading(BORE, "bore", "3.5005", place=p, direction=d) for p, d in cells]


def test_one_reading_of_a_bore_proves_no_largest_at_the_last_stage(tmp_path: Path) -> None:
    data = shop(tmp_path, {"cylinders": "1"}, sizes=[row(BORE, "3.5000", "3.5010")])

    def found(*readings: dict[str, str], stage: str = "assembled") -> tuple[list[str], bool]:
        made = check(sheet(*readings, stage=stage), data)
        return [m["why"] for m in made.as_dict()["not_judged"]], made.clean

    assert found(*bores(("top", "thrust"))) == ([WHY.format("largest")], False)
    assert found(*bores(("top", "thrust")), stage="found") == ([], True)
    assert found(*bores(("top", "thrust")), stage="machined")[0] == [WHY.format("largest")]
    assert found(*bores(("top", "thrust"), ("bottom", "thrust"))) == ([], True)
    heights = [reading(BORE, "bore", "3.5005", at=f"{n} in") for n in (1, 2)]
    assert found(*heights) == ([], True), "two heights are two places of one bore"


def test_a_form_that_a_page_limits_and_the_readings_do_not_show_is_not_done_at_the_last_stage(tmp_path: Path) -> None:
    rows = [row("cylinder-taper", "", "0.0010"), row("cylinder-wear", "", "0.0100")]
    data = shop(tmp_path, {"cylinders": "1"}, sizes=[row(BORE, "3.5000", "3.5010")], clearances=rows)
    across = check(sheet(*bores(("top", "thrust"), ("top", "axial")), stage="assembled"), data)
    assert ([c.item for c, _ in across.bench.unjudged], across.clean) == (["cylinder-taper", "cylinder-wear"], False)
    whole = check(sheet(*bores(("top", "thrust"), ("bottom", "thrust")), stage="assembled"), data)
    assert ([c.item for c, _ in whole.bench.unjudged], whole.clean) == (["cylinder-wear"], True), "no reading mends it"
