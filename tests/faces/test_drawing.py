"""Fits drawn to scale."""

import re
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

import runningfits as rf
from runningfits.dataset import Dataset
from runningfits.faces.drawing import EDGE, WIDTH, fit

from .. import shop

MAIN = "main-bearing-clearance"


@pytest.fixture(scope="module")
def engine(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    rows = [
        shop.row(MAIN, "0.0020", "0.0040", "0.0060"),
        shop.row("cylinder-taper", "", "0.0010"),
        shop.row("cam-end-play", "", "", "0.010"),
        shop.row("rod-side-clearance", nominal="0.009"),
        shop.row("ring-gap", "0.010", ""),
    ]
    sizes = [
        shop.row("main-journal-diameter", "2.4990", "2.5000", "2.4970"),
        shop.row("cam-thrust-plate-thickness", limit="0.083"),
    ]
    return shop.shop(tmp_path_factory.mktemp("drawing"), clearances=rows, sizes=sizes)


def drawn(engine: Dataset, item: str, *readings: dict[str, str]) -> tuple[ElementTree.Element, dict[str, Any]]:
    """The drawing of an item, and its result."""
    found = shop.one(shop.judge(engine, *readings), item)
    return ElementTree.fromstring(fit(found)), found


def box(drawing: ElementTree.Element, kind: str) -> tuple[float, float]:
    """Left and right of the one rectangle of a kind."""
    (rectangle,) = [r for r in drawing.iter("rect") if r.get("class") == kind]
    left = float(rectangle.get("x", "nan"))
    return left, left + float(rectangle.get("width", "nan"))


def mark(drawing: ElementTree.Element, kind: str) -> float:
    """Middle of the mark of the value that decides, or of another way."""
    (group,) = [g for g in drawing.iter("g") if g.get("class") == kind]
    path = group.find("path")
    assert path is not None
    return float(re.findall(r"[-\d.]+", path.get("d", ""))[0])


def test_new_range_wear_and_value_stand_to_scale(engine: Dataset) -> None:
    # 0.0030 in the middle of 0.0020 to 0.0040, wear up to 0.0060
    drawing, _ = drawn(engine, MAIN, *shop.fit(MAIN, "2.5025", "2.4995"))
    low, high = box(drawing, "new")
    start, end = box(drawing, "wear")
    assert start == pytest.approx(high, abs=0.11)
    assert end - start == pytest.approx(high - low, abs=0.21)
    assert mark(drawing, "decides") == pytest.approx((low + high) / 2, abs=0.11)


def test_a_shaft_wears_to_the_left(engine: Dataset) -> None:
    size = "main-journal-diameter"
    drawing, _ = drawn(engine, size, shop.reading(size, "shaft", "2.4980"))
    low, high = box(drawing, "new")
    start, end = box(drawing, "wear")
    assert end == pytest.approx(low, abs=0.11)
    assert end - start == pytest.approx(2 * (high - low), abs=0.21)
    assert mark(drawing, "decides") == pytest.approx((start + end) / 2, abs=0.11)


def test_the_interval_has_the_width_of_the_uncertainty(engine: Dataset) -> None:
    drawing, found = drawn(engine, MAIN, *shop.fit(MAIN, "2.5025", "2.4995"))
    low, high = box(drawing, "new")
    (group,) = [g for g in drawing.iter("g") if g.get("class") == "decides"]
    bar = next(iter(group.iter("line")))
    width = float(bar.get("x2", "")) - float(bar.get("x1", ""))
    assert width / (high - low) == pytest.approx(2 * float(found["uncertainty"]) / 0.0020, rel=0.03)


@pytest.mark.parametrize(("bore", "edge", "side"), [("2.6025", WIDTH - EDGE, 1), ("2.4025", EDGE, -1)])
def test_a_value_far_off_points_beyond_the_edge(engine: Dataset, bore: str, edge: float, side: int) -> None:
    drawing, _ = drawn(engine, MAIN, *shop.fit(MAIN, bore, "2.4995"))
    (group,) = [g for g in drawing.iter("g") if g.get("class") == "decides"]
    path = group.find("path")
    assert path is not None
    start, _, tip, *_ = (float(n) for n in re.findall(r"[-\d.]+", path.get("d", "")))
    assert start == pytest.approx(edge)
    assert (tip - start) * side > 0
    low, high = box(drawing, "new")
    assert high - low > 50, "the range stays readable"


def test_another_way_of_measuring_stands_beside_it(engine: Dataset) -> None:
    strip = shop.reading(MAIN, "strip", "0.0050", to="0.0054")
    drawing, _ = drawn(engine, MAIN, *shop.fit(MAIN, "2.5025", "2.4995"), strip)
    assert mark(drawing, "other") > box(drawing, "new")[1] > mark(drawing, "decides")


@pytest.mark.parametrize(
    ("item", "part", "value", "kind", "side"),
    [
        ("cam-end-play", "gap", "0.004", "wear", "left"),
        ("cam-end-play", "gap", "0.020", "wear", "left"),
        ("cam-thrust-plate-thickness", "shaft", "0.085", "wear", "right"),
        ("cam-thrust-plate-thickness", "shaft", "0.080", "wear", "right"),
        ("ring-gap", "gap", "0.015", "new", "right"),
    ],
)
def test_open_sides_reach_the_edge(engine: Dataset, item: str, part: str, value: str, kind: str, side: str) -> None:
    drawing, _ = drawn(engine, item, shop.reading(item, part, value))
    assert [r.get("class") for r in drawing.iter("rect")] == [kind]
    left, right = box(drawing, kind)
    assert (left == pytest.approx(EDGE)) == (side == "left")
    assert (right == pytest.approx(WIDTH - EDGE)) == (side == "right")


def test_the_limits_bear_their_numbers(engine: Dataset) -> None:
    drawing, _ = drawn(engine, MAIN, *shop.fit(MAIN, "2.5025", "2.4995"))
    texts = [t.text for t in drawing.iter("text")]
    assert {"0.0020", "0.0040", "limit 0.0060"} <= set(texts)


def test_it_says_the_same_in_words(engine: Dataset) -> None:
    drawing, found = drawn(engine, MAIN, *shop.fit(MAIN, "2.5025", "2.4995"))
    label = drawing.get("aria-label") or ""
    assert drawing.get("role") == "img"
    assert all(w in label for w in (found["label"], found["value"], found["uncertainty"], "0.0020 to 0.0040"))
    assert label.endswith("in the new range")


def test_nothing_is_drawn_without_a_range(engine: Dataset) -> None:
    result = shop.judge(
        engine, shop.reading("rod-side-clearance", "gap", "0.009"), shop.reading("valve-lash", "gap", "1")
    )
    assert [fit(r) for r in result["results"]] == ["", ""]


def test_every_number_is_finite(data: Dataset, root: Path) -> None:
    shown = rf.check(root / "docs" / "demo" / "launch.json", data).as_dict()["results"]
    drawings = [d for d in map(fit, shown) if d]
    assert len(drawings) > 20
    for drawing in drawings:
        numbers = re.findall(r' (?:x|y|x1|x2|y1|y2|width|height)="([^"]*)"', drawing)
        assert all(0 <= float(n) <= WIDTH for n in numbers)
