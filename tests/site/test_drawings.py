"""Drawings are to scale: places in the SVG are worked out again from the rows' numbers."""

import math
import re
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import pytest

from runningfits.dataset import Dataset
from runningfits.rows import Row
from runningfits.site import axes, ranges, spread, stages

from ..shop import shop

MAIN = "cummins-ntc-400/main-bearing-clearance/all@tm-9-2815-225-34p:F-2"
SVG = "{http://www.w3.org/2000/svg}"


def row(data: Dataset, name: str) -> Row:
    engine = name.partition("/")[0]
    return next(r for t in ("sizes", "clearances", "torques") for r in data.all_rows(engine, t) if r.id == name)


def svg(text: str) -> ET.Element:
    found = re.search(r'<svg class="rf-svg".*?</svg>', text, re.S)
    assert found
    return ET.fromstring(found[0])


def figure(text: str) -> ET.Element:
    found = re.search(r"<figure.*?</figure>", text, re.S)
    assert found
    return ET.fromstring(found[0])


def share(element: ET.Element, name: str = "x") -> float:
    """A place along a strip, in per cent of its width."""
    return float(element.get(name, "").removesuffix("%"))


def of_class(root: ET.Element, name: str) -> list[ET.Element]:
    return [e for e in root.iter() if name in (e.get("class") or "").split()]


def extent(box: ET.Element) -> tuple[float, float]:
    return share(box), share(box) + share(box, "width")


def test_a_clearance_is_drawn_to_a_logarithmic_scale(data: Dataset) -> None:
    """0.0015 to 0.005 in new, limit 0.007: lengths on the paper go as the logarithms of the printed numbers."""
    drawn = figure(ranges.one(data, row(data, MAIN)))
    (new,), (wear,), (limit,) = (of_class(drawn, c) for c in ("rf-new", "rf-wear", "rf-limit"))
    low, high = extent(new)
    start, end = extent(wear)
    ratio = math.log(0.007 / 0.005) / math.log(0.005 / 0.0015)
    assert (end - start) / (high - low) == pytest.approx(ratio, abs=0.005)
    assert start == pytest.approx(high, abs=0.15)
    assert share(limit) == pytest.approx(end, abs=0.15)


def test_marks_in_both_units_stand_at_their_values(data: Dataset) -> None:
    drawn = figure(ranges.one(data, row(data, MAIN)))
    low, _ = extent(of_class(drawn, "rf-new")[0])
    scales = of_class(drawn, "rf-scale")
    inches, millimetres = (sorted((float(m.text or ""), share(m)) for m in of_class(s, "rf-mark")) for s in scales)
    for found, scale in ((inches, 1.0), (millimetres, 25.4)):
        (v1, x1), (v2, x2) = found[0], found[-1]
        at = x1 + (x2 - x1) * math.log(0.0015 * scale / v1) / math.log(v2 / v1)
        assert low == pytest.approx(at, abs=0.15)


def test_a_size_is_drawn_from_the_middle_of_its_range(data: Dataset) -> None:
    journal = row(data, "cummins-ntc-400/main-journal-diameter/all@tm-9-2815-225-34p:3-166")
    low, high = journal.range()
    limit = journal.limit("lower")
    assert low and high and limit
    drawn = figure(ranges.drawn(data, [journal]))
    start, end = extent(of_class(drawn, "rf-new")[0])
    first, last = extent(of_class(drawn, "rf-wear")[0])
    assert last == pytest.approx(start, abs=0.15)
    assert (last - first) / (end - start) == pytest.approx(float((low - limit) / (high - low)), abs=0.01)
    zero = next(g for g in of_class(drawn, "rf-zero"))
    assert share(zero, "x1") == pytest.approx((start + end) / 2, abs=0.15)


def test_an_open_end_is_broken_off_with_a_zigzag(data: Dataset) -> None:
    twist = row(data, "cummins-ntc-400/rod-twist/all@tm-9-2815-225-34p:F-2")
    assert twist.range()[0] is None
    assert len(of_class(figure(ranges.drawn(data, [twist, row(data, MAIN)])), "rf-zigzag")) == 1
    assert of_class(figure(ranges.drawn(data, [row(data, MAIN)])), "rf-zigzag") == []


@pytest.mark.parametrize("engine", ["amc-242", "detroit-53-inline", "deutz-912", "kohler-command-ch18-745"])
def test_every_shape_lies_on_the_paper(data: Dataset, engine: str) -> None:
    rows = [r for t in ("sizes", "clearances") for r in data.all_rows(engine, t)]
    for text in re.findall(r"<figure.*?</figure>", ranges.drawn(data, rows), re.S):
        root = ET.fromstring(text)
        boxes = [*of_class(root, "rf-new"), *of_class(root, "rf-wear")]
        assert boxes
        assert all(0 <= extent(b)[0] <= extent(b)[1] <= 100.11 for b in boxes)
        assert all(0 <= share(t) <= 100 for t in of_class(root, "rf-mark"))


def test_a_bar_has_its_words_beside_it(data: Dataset) -> None:
    """Name, bar and numbers are three cells: nothing lies on a word."""
    (line,) = figure(ranges.one(data, row(data, MAIN))).iter("li")
    assert [e.tag for e in line] == ["span", "svg", "b"]
    assert list(line.iter("text")) == []


def test_a_limit_alone_is_told_beside_its_bar(data: Dataset) -> None:
    taper = next(r for r in data.rows("cummins-ntc-400", "main-journal-out-of-round") if r["page"] == "3-154")
    assert "<b>limit 0.002 in</b>" in ranges.one(data, taper)


def test_what_is_drawn_twice_is_drawn_once(data: Dataset) -> None:
    once = ranges.drawn(data, [row(data, MAIN)])
    assert ranges.drawn(data, [row(data, MAIN)] * 2) == once


def mark(number: int, across: float, **values: float) -> spread.Mark:
    known: dict[str, Any] = dict.fromkeys(("low", "high", "one", "limit")) | values
    return spread.Mark(number=number, across=across, words="words", address="#", **known)


def test_a_rule_of_thumb_passes_where_its_numbers_say() -> None:
    """A rule of 0.001 per unit of diameter touches the upper end of a mark that follows it to the letter."""
    marks = [mark(1, 40.0, low=0.01, high=0.04), mark(2, 80.0, low=0.02, high=0.08), mark(3, 60.0, low=0.02, high=0.05)]
    drawn = svg(spread.drawn(spread.Plot("t", "x", "mm", marks, [spread.Line(0.001, 0.0, "rule")])))
    (line,) = of_class(drawn, "rf-rule")
    x1, y1, x2, y2 = map(float, re.findall(r"[\d.]+", line.get("d", "")))
    for box, touches in zip(of_class(drawn, "rf-new"), (True, True, False), strict=True):
        x = float(box.get("x", "")) + 3.5
        on_line = y1 + (y2 - y1) * (x - x1) / (x2 - x1)
        assert (abs(float(box.get("y", "")) - on_line) < 0.2) is touches


def test_a_rule_beyond_the_drawing_is_said_and_not_drawn() -> None:
    marks = [mark(n, 40.0 + n, low=0.01, high=0.04) for n in range(3)]
    drawn = spread.drawn(spread.Plot("t", "x", "mm", marks, [spread.Line(0.0, 5.0, "rule")]))
    assert of_class(svg(drawn), "rf-rule") == []
    assert "rule; beyond the drawing" in drawn


def test_a_number_covers_no_mark_and_is_left_out_where_it_has_no_room() -> None:
    """Fifty bars side by side: those whose number has no room lead to their rows, and the figure says so."""
    crowd = [mark(n, 60 + n / 4, low=0.02, high=0.05 + n % 5 / 100) for n in range(50)]
    figure = spread.drawn(spread.Plot("t", "x", "mm", [mark(90, 20.0, low=0.02, high=0.05), *crowd]))
    drawn = svg(figure)
    numbers = [(float(t.get("x", "")), float(t.get("y", ""))) for t in of_class(drawn, "rf-name")]
    bars = [tuple(float(b.get(c, "")) for c in ("x", "y", "width", "height")) for b in of_class(drawn, "rf-new")]
    assert len(bars) == 51 and 1 < len(numbers) < 51
    assert spread.CROWDED in figure
    covered = [(n, b) for n in numbers for b in bars if b[0] - 4 < n[0] < b[0] + b[2] + 4 and b[1] < n[1] < b[1] + b[3]]
    assert covered == []
    few = spread.drawn(spread.Plot("t", "x", "mm", [mark(n, 20.0 * n, low=0.02, high=0.05) for n in (1, 2, 3)]))
    assert len(of_class(svg(few), "rf-name")) == 3 and spread.CROWDED not in few


def test_too_few_or_equal_diameters_are_not_plotted() -> None:
    two = [mark(1, 40.0, low=0.01, high=0.04), mark(2, 80.0, low=0.02, high=0.08)]
    assert spread.drawn(spread.Plot("t", "x", "mm", two)) == ""
    same = [mark(n, 40.0, low=0.01, high=0.04) for n in range(3)]
    assert spread.drawn(spread.Plot("t", "x", "mm", same)) == ""


def test_stages_are_as_high_as_their_torque(data: Dataset) -> None:
    steps = [r for r in data.all_rows("continental-avds-1790", "torques") if r["page"] == "WP-0139-00-22"]
    assert [r["nominal"] for r in steps[:2]] == ["42", "58"]
    drawn = figure(stages.staged(data, steps))
    tops = [float(re.findall(r"V([\d.]+)", e.get("d", ""))[0]) for e in of_class(drawn, "rf-new")]
    assert (stages.BASE - tops[0]) / (stages.BASE - tops[1]) == pytest.approx(42 / 58, abs=0.002)
    assert "step 3 stretch 0.019 to 0.024 in" in [e.get("aria-label") for e in of_class(drawn, "rf-svg")]


def test_a_range_of_a_stage_stands_above_its_unit(data: Dataset) -> None:
    steps = [r for r in data.all_rows("cummins-ntc-400", "torques") if r["page"] == "3-556"]
    told = [t.text for t in of_class(figure(stages.staged(data, steps)), "rf-stage")]
    assert told[:5] == ["lbf·ft", "70 to 75", "lbf·ft", "140 to 150", "loosen"]


def test_a_pattern_of_stages_stands_once_with_all_its_joints(data: Dataset) -> None:
    steps = data.all_rows("land-rover-td5", "torques")
    several = [of for _, of in stages.joints(steps) if len(of) > 1]
    drawn = re.findall(r"<figure.*?</figure>", stages.staged(data, steps), re.S)
    assert len(drawn) < len(several)
    told = "".join(drawn)
    assert [of[0].id for of in several if of[0].cite.text.replace("&", "&amp;") not in told] == []


def test_the_order_of_tightening_is_drawn_where_the_page_has_it(data: Dataset) -> None:
    drawn = svg(stages.orders(data, "continental-avds-1790"))
    placed = sorted((float(t.get("x", "")), t.text) for t in of_class(drawn, "rf-order"))
    assert [name for _, name in placed] == ["6", "4", "2", "1", "3", "5", "7"]


def test_fasteners_of_one_turn_are_drawn_with_one_number(tmp_path: Path) -> None:
    cited = {"joint": "main-cap", "column": "1", "source": "example", "page": "1"}
    order = [cited | {"order": str(n), "row": places} for n, places in enumerate(("3", "2,4", "1,5"), 1)]
    made = stages.orders(shop(tmp_path, sequences=order), "example-engine")
    placed = sorted((float(t.get("x", "")), t.text) for t in of_class(svg(made), "rf-order"))
    assert [name for _, name in placed] == ["3", "2", "1", "2", "3"]
    assert "1 is place 3 from the front; 2 is places 2 and 4, in any order, from the front" in made
    assert "order 3, then 2 and 4, then 1 and 5, counted from the front" in made


def test_round_marks() -> None:
    assert axes.Axis(0, 1, 0, 1).marks(most=5) == pytest.approx([0, 0.2, 0.4, 0.6, 0.8, 1.0])
    assert axes.Axis(0.008, 0.9, 0, 1, log=True).marks() == pytest.approx([0.01, 0.02, 0.05, 0.1, 0.2, 0.5])
    assert [axes.number(v) for v in (0.1 + 0.2, 0.0005, -0.0, 20.0)] == ["0.3", "0.0005", "0", "20"]


def test_a_mark_is_drawn_once() -> None:
    twin = mark(1, 20.0, low=0.02, high=0.05)
    figure = spread.drawn(spread.Plot("t", "x", "mm", [twin, twin, twin, mark(2, 40.0, low=0.02, high=0.05)]))
    assert len(of_class(svg(figure), "rf-new")) == 2
    assert "words; 2 more alike" in figure
