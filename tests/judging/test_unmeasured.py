"""What a sheet leaves unmeasured: places without a reading, and lines left empty."""

from pathlib import Path

from runningfits.dataset import Dataset

from ..shop import judge, reading, row, shop

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
