"""The printed blank sheet: a range stands by the places that it is for, every reading has its box."""

import re
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from runningfits.build import Build, parsed
from runningfits.cli import main
from runningfits.dataset import Dataset
from runningfits.faces import blank_page
from runningfits.sheets import blank

from ..judging.test_builders import B6BT
from ..shop import shop, step

CUMMINS = "cummins-b-series"


def lines(data: Dataset, engine: str, build: Build, tmp_path: Path) -> list[list[str]]:
    """Cells of the printed lines as text, boxes as []."""
    path = tmp_path / "blank.html"
    blank_page.write(data, engine, path, build)
    text = path.read_text(encoding="utf-8").replace(blank_page.BOX, "[]")
    rows = re.findall(r"<tr>(.*?)</tr>", text, re.DOTALL)
    return [
        [re.sub(r"<[^>]+>", " ", c).strip() for c in re.findall(r"<td[^>]*>(.*?)</td>", r, re.DOTALL)] for r in rows
    ]


def of(found: list[list[str]], label: str) -> list[list[str]]:
    return [[" ".join(c.split()) for c in cells] for cells in found if cells and cells[0].startswith(label)]


@pytest.mark.parametrize("label", ["Cylinder bore", "Piston skirt diameter"])
def test_a_standard_cylinder_has_its_own_range(data: Dataset, tmp_path: Path, label: str) -> None:
    found = of(lines(data, CUMMINS, parsed(B6BT, data.units), tmp_path), label)
    ranges = {re.match(r"[^;]*", c[1])[0]: set(re.findall(r"(\d) (?:\w+ \w+ )?\[\]", c[2])) for c in found}  # type: ignore[index]
    assert list(ranges.values()) == [{"1", "2", "3", "5", "6"}, {"4"}]
    assert len(ranges) == 2


def test_both_parts_of_a_fit_have_their_boxes_and_each_ring_its_own(data: Dataset, tmp_path: Path) -> None:
    found = lines(data, CUMMINS, parsed(B6BT, data.units), tmp_path)
    ((_, _, places),) = of(found, "Rod bearing oil clearance")
    assert places.startswith("1 bore [][] 1 shaft [][] 2 bore [][]")
    gaps = [c[2] for c in of(found, "Ring end gap")]
    assert len(gaps) == 3
    assert all(p.count("[][]") == 6 for p in gaps)
    assert gaps[0].startswith("1, oil ring [][] 2, oil ring [][]")


def test_the_doubt_of_a_document_stands_once(data: Dataset, tmp_path: Path) -> None:
    doubt = "TM 5-3895-369-14: the pages do not tell for which of 6B 5.9, 6BT 5.9"
    path = tmp_path / "blank.html"
    blank_page.write(data, CUMMINS, path, parsed(B6BT, data.units))
    assert path.read_text(encoding="utf-8").count(doubt) == 1
    sheet = blank.blank(data, CUMMINS, parsed(B6BT, data.units))
    assert doubt in sheet["note"]
    assert not any(doubt in r["note"] for r in (*sheet["readings"], *sheet["torques"]))
    assert max(len(r["note"]) for r in sheet["readings"]) <= 500


def screws(base: Path) -> Dataset:
    """Rod caps that go by the screws, in one step or two, and a dry thread."""
    torques = [
        step("rod-cap", "1", "8", "9", applies="screw-6"),
        step("rod-cap", "1", "12", "13", applies="screw-8", thread_state="dry"),
        step("rod-cap", "2", "16", "17", applies="screw-8"),
        step("head", "1", "30", "33", which="long-bolts"),
        step("head", "1", "20", "22"),
    ]
    answers = [
        {"question": "rod-screws", "part": p, "label": p, "source": "example", "page": "1"}
        for p in ("screw-6", "screw-8")
    ]
    return shop(base, {}, torques=torques, parts=answers)


def test_torque_lines_are_told_apart_and_a_question_has_values_and_pages(tmp_path: Path) -> None:
    data = screws(tmp_path)
    found: list[dict[str, Any]] = blank.blank(data, "example-engine")["torques"]
    by = {(t["joint"], t["step"], t.get("which", "")): t["note"] for t in found}
    assert list(by) == [("head", 1, "none"), ("head", 1, "long-bolts"), ("rod-cap", 1, ""), ("rod-cap", 2, "")]
    assert len(found) == 4
    assert "screw-6: 8 to 9 lbf.ft; " in by["rod-cap", 1, ""]
    assert " · screw-8: 12 to 13 lbf.ft; dry; " in by["rod-cap", 1, ""]
    assert "screw-6: no range · screw-8: 16 to 17 lbf.ft; " in by["rod-cap", 2, ""]
    told = blank.blank(data, "example-engine", Build(fitted={"rod-screws": {"all": "screw-6"}}))["torques"]
    assert [(t["joint"], t["step"]) for t in told] == [("head", 1), ("head", 1), ("rod-cap", 1)]
    printed = lines(data, "example-engine", Build(), tmp_path)
    assert len(of(printed, "Connecting rod cap")) == 2
    assert [c[1] for c in of(printed, "Cylinder head")] == ["the others", "long bolts"]
    assert by["head", 1, "long-bolts"].startswith("long bolts: 30 to 33 lbf.ft; ")


def shown(*words: str) -> str:
    found = CliRunner().invoke(main, ["show", CUMMINS, *words])
    assert found.exit_code == 0
    return found.output


def test_show_tells_a_place_that_is_machined_otherwise(data: Dataset) -> None:
    build = ("--model", "6bt", "--size", "cylinder=0.50mm", "--size", "cylinder@4=0")
    whole = shown(*build, "--item", "cylinder-bore")
    assert "all, 6B 5.9 or 6BT 5.9: 4.0354 to 4.0400 in" in whole
    assert "not at 4" in whole
    assert "  4, 6B 5.9 or 6BT 5.9: 4.0157 to 4.0203 in" in whole
    assert "4.03539" not in shown(*build, "--item", "cylinder-bore", "--position", "4")
    assert "4.0157" not in shown(*build, "--item", "cylinder-bore", "--position", "3")


def test_every_place_has_two_readings_and_one_field_for_initials(data: Dataset) -> None:
    """Places that are read, not those that come out of the readings of a size; one direction at least is read twice."""
    build = Build("big-cam-i")
    todo = blank.work(data, "cummins-ntc-400", build)
    made = blank_page.page(blank.blank(data, "cummins-ntc-400", build, todo=todo), data, todo)
    read = [found for found in todo.lines if found.entries]
    assert len(read) > 100
    assert made.count(blank_page.INITIALS) == len(read)
    assert [f.line.item for f in read if len(f.entries) < 2] == []
    spots = made.split(blank_page.INITIALS)[:-1]
    assert min(spot.rpartition("</tr>")[2].count(blank_page.BOX) for spot in spots) >= 2
