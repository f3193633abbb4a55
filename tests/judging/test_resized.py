"""A part that was ground or bored and is called standard does not pass as a used one."""

from pathlib import Path
from typing import Any

import pytest

from runningfits import check
from runningfits.build import Build
from runningfits.dataset import Dataset
from runningfits.faces.row_words import range_words
from runningfits.judging import resized
from runningfits.judging.against import DOUBTS
from runningfits.judging.bounds import bounds
from runningfits.judging.case import case
from runningfits.positions import numbers

from ..shop import judge, one, reading, row, sheet, shop

PIN, BORE, STEM, WALL = "crankpin-diameter", "cylinder-bore", "valve-stem-diameter", "rod-bearing-wall"
MM = {"unit": "mm"}


@pytest.fixture(scope="module")
def ground(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    sizes = [row(PIN, "54.98", "55.00", **MM), row(PIN, "54.61", "54.63", size="-0.37", **MM | {"class": "repair"})]
    sizes += [row(BORE, "100.00", "100.02", **MM), row(STEM, "6.98", "7.00", **MM)]
    return shop(tmp_path_factory.mktemp("ground"), sizes=sizes)


@pytest.mark.parametrize(
    ("item", "part", "value", "size", "verdict"),
    [
        pytest.param(PIN, "shaft", "54.95", {}, "past-new", id="worn as journals wear"),
        pytest.param(PIN, "shaft", "54.74", {}, "cannot-tell", id="ground by a common step"),
        pytest.param(PIN, "shaft", "54.69", {}, "cannot-tell", id="ground, and worn since"),
        pytest.param(PIN, "shaft", "54.62", {}, "cannot-tell", id="ground by a printed size"),
        pytest.param(PIN, "shaft", "54.74", {"crankpin": "0"}, "cannot-tell", id="said to be standard"),
        pytest.param(PIN, "shaft", "54.62", {"crankpin": "-0.37 mm"}, "new", id="said to be ground"),
        pytest.param(PIN, "shaft", "54.74", {"crankpin": {"2": "-0.25 mm"}}, "cannot-tell", id="another was ground"),
        pytest.param(PIN, "shaft", "54.49", {"crankpin": "-0.37 mm"}, "cannot-tell", id="ground by more than is said"),
        pytest.param(BORE, "bore", "100.12", {}, "past-new", id="worn as cylinders wear"),
        pytest.param(BORE, "bore", "100.26", {}, "cannot-tell", id="bored"),
        pytest.param(BORE, "bore", "100.26", {"cylinder": "0.25 mm"}, "new", id="said to be bored"),
        pytest.param(STEM, "shaft", "6.85", {}, "past-new", id="made for no repair size"),
    ],
)
def test_what_lies_where_a_repair_size_would_put_it(
    ground: Dataset, item: str, part: str, value: str, size: dict[str, Any], verdict: str
) -> None:
    found = check(sheet(reading(item, part, value, **MM), build={"size": size}), ground)
    told = one(found.as_dict(), item)
    assert (told["verdict"], found.clean) == (verdict, verdict != "cannot-tell")
    assert told["needs"] == (DOUBTS["resized"] if verdict == "cannot-tell" else None)


def test_a_printed_range_of_a_repair_size_is_told_as_one(ground: Dataset) -> None:
    build = {"size": {"crankpin": "-0.37 mm"}}
    told = one(check(sheet(reading(PIN, "shaft", "54.62", **MM), build=build), ground).as_dict(), PIN)
    assert (told["range"]["size"], range_words(told["range"])) == ("-0.37 mm", "54.61 to 54.63 mm for -0.37 mm")
    plain = one(check(sheet(reading(PIN, "shaft", "54.99", **MM)), ground).as_dict(), PIN)
    assert (plain["range"]["size"], range_words(plain["range"])) == (None, "54.98 to 55.00 mm")


def test_no_printed_limit_reaches_a_size_of_its_engine(data: Dataset, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(resized, "common_sizes", lambda part, data: [])
    seen = 0
    for r in (r for e in data.engines for r in data.rows(e) if r.table == "sizes" and r["class"] == "new"):
        b, quantity = bounds(r, data), data.quantities[r.item]
        if not quantity["repair"] or quantity["kind"] != "size" or r.cells.get("size") or not (b.limit and b.fresh):
            continue
        counted = r["position"] == "all" or numbers(r["position"])
        there = case(data, r.engine, Build(), r.item, "1" if counted else r["position"], {}, {})
        for low, high in resized.windows(there, b, r.engine, Build(), data):
            seen += 1
            limit = float(b.limit.loose)
            assert (low > limit) if b.wears_up else (high < limit), r.id
    assert seen > 30


def test_one_printed_end_moves_too(tmp_path: Path) -> None:
    data = shop(tmp_path, sizes=[row(PIN, "54.98", **MM)])
    for value, verdict in (("54.94", "past-new"), ("54.73", "cannot-tell"), ("54.745", "cannot-tell")):
        assert one(judge(data, reading(PIN, "shaft", value, **MM)), PIN)["verdict"] == verdict


def test_what_to_do_with_such_a_part_is_told_all_the_same(ground: Dataset) -> None:
    found = one(judge(ground, reading(PIN, "shaft", "54.74", **MM)), PIN)
    assert "grind" in [r["action"] for r in found["remedies"]]
