"""Blank bench sheets: they load, have no readings yet, and ask for what the engine's rows need."""

import json
from html import escape
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

import runningfits as rf
from runningfits import tables
from runningfits.build import Build
from runningfits.cli import main
from runningfits.dataset import Dataset
from runningfits.faces import blank_page
from runningfits.places import folder
from runningfits.shared_tables import NotInDatasetError
from runningfits.sheets import blank, entries, measuring
from runningfits.sheets.faults import SheetError
from runningfits.sheets.sheet import load

from ..faces.test_report import read, safe
from ..shop import row, shop, step

ENGINES = [r["engine"] for r in tables.rows(folder("data") / "engines.csv")]


@pytest.mark.parametrize(("engine", "ending"), [(e, ("json", "xlsx")[n % 2]) for n, e in enumerate(ENGINES)])
def test_a_blank_sheet_loads_and_has_no_readings(data: Dataset, tmp_path: Path, engine: str, ending: str) -> None:
    path = tmp_path / f"blank.{ending}"
    blank_page.write(data, engine, path)
    values = load(path, data).values
    assert values["engine"] == engine
    assert values["readings"] == []
    assert values.get("torques", []) == []
    with pytest.raises(SheetError, match="holds no reading"):
        rf.check(path, data)


@pytest.mark.parametrize("engine", ENGINES)
def test_it_asks_for_something(data: Dataset, engine: str) -> None:
    sheet = blank.blank(data, engine)
    assert len(sheet["readings"]) >= 10
    tools = {t["id"] for t in sheet["instruments"]}
    assert {r["instrument"] for r in (*sheet["readings"], *sheet["torques"])} <= tools
    order = [int(data.quantities[r["item"]]["order"]) for r in sheet["readings"]]
    assert order == sorted(order), "in measuring order"
    assert all(r["note"] for r in sheet["readings"]), "range and page stand beside each line"


def small(base: Path) -> Dataset:
    """Two mains, a middle-printed end play, two rings and a step that loosens."""
    clearances = [
        row("main-bearing-clearance", "0.0015", "0.0030", "0.0050"),
        row("crank-end-play", "0.004", "0.009", position="thrust"),
        row("ring-gap", "0.010", "0.020", position="top-ring"),
        row("valve-lash", "0.010", "0.014"),
        row("rod-bearing-clearance", "0.001", "0.003", **{"class": "desired"}),
    ]
    sizes = [row("main-journal-diameter", "2.4990", "2.5000"), row("cylinder-bore", "4.0000", "4.0020", position="1,4")]
    torques = [step("main-cap", "1", "30", "35"), step("main-cap", "2", action="loosen", unit="")]
    return shop(base, {"mains": "2"}, clearances=clearances, sizes=sizes, torques=torques)


def test_a_line_for_every_reading(tmp_path: Path) -> None:
    sheet = blank.blank(small(tmp_path), "example-engine")
    assert [(r["item"], r["position"], r["part"]) for r in sheet["readings"][:: entries.TWICE]] == [
        ("cylinder-bore", "1", "bore"),
        ("cylinder-bore", "4", "bore"),
        ("main-journal-diameter", "1", "shaft"),
        ("main-journal-diameter", "2", "shaft"),
        ("main-bearing-clearance", "1", "bore"),
        ("main-bearing-clearance", "1", "shaft"),
        ("main-bearing-clearance", "2", "bore"),
        ("main-bearing-clearance", "2", "shaft"),
        ("crank-end-play", "thrust", "gap"),
        *(("rod-bearing-clearance", str(n), part) for n in (1, 2, 3, 4) for part in ("bore", "shaft")),
        *(("ring-gap", f"{n}/top-ring", "gap") for n in (1, 2, 3, 4)),
        ("valve-lash", "all", "gap"),
    ]
    lines = [(t["joint"], t["step"], t["unit"]) for t in sheet["torques"]]
    assert lines == [("main-cap", 1, "lbf.ft"), ("main-cap", 2, "N.m")]
    tools = {t["id"]: t["set_on"] for t in sheet["instruments"]}
    by = {(r["item"], r["part"]): r["instrument"] for r in sheet["readings"]}
    assert tools[by["cylinder-bore", "bore"]] == "outside-micrometer-100-125-1"
    assert tools[by["main-bearing-clearance", "bore"]] == by["main-bearing-clearance", "shaft"]
    assert tools[by["main-bearing-clearance", "shaft"]] == ""
    assert {r["class"] for r in sheet["readings"] if r["item"] == "rod-bearing-clearance"} == {"desired"}
    assert "0.0015 to 0.0030 in; limit 0.0050 in" in sheet["readings"][8]["note"]
    assert "loosen: write 0" in sheet["torques"][1]["note"]


def test_a_passed_over_row_is_not_asked_for(tmp_path: Path) -> None:
    rows = [row("crank-end-play", "0.004", "0.009"), row("crank-end-play", "0.002", "0.009", source="example-2")]
    names = [f"example-engine/crank-end-play/all@{s}:1" for s in ("example", "example-2")]
    data = shop(tmp_path, clearances=rows, choices=[{"row": names[0], "over": names[1]}])
    (line,) = measuring.measured(data, "example-engine", Build())
    assert [r.id for r in line.rows] == [names[0]]


def filled(sheet: dict[str, Any]) -> dict[str, Any]:
    """A blank sheet with middling values, and the limits that no standard gives."""
    middle = {
        "cylinder-bore": "4.0010",
        "main-journal-diameter": "2.4995",
        "main-bearing-clearance": {"bore": "2.5018", "shaft": "2.4995"},
        "rod-bearing-clearance": {"bore": "2.2520", "shaft": "2.2500"},
        "crank-end-play": "0.0065",
        "ring-gap": "0.015",
        "valve-lash": "0.012",
    }
    for tool in sheet["instruments"]:
        if tool["instrument"] != "torque-wrench":
            tool.update(unit="in", resolution="0.0001", mpe="0.0001")
    for r in sheet["readings"]:
        value = middle[r["item"]]
        r["value"] = value if isinstance(value, str) else value[r["part"]]
        if "to" in r:
            r["to"] = f"{float(r['value']) + 0.001:.3f}"
    for t in sheet["torques"]:
        t["value"] = {1: "44", 2: "0"}[t["step"]]
        t["unit"] = "N.m"
    return sheet


def test_a_filled_sheet_is_judged(tmp_path: Path) -> None:
    data = small(tmp_path)
    result = rf.check(filled(blank.blank(data, "example-engine")), data).as_dict()
    asked = [r for r in result["results"] if not r["derived"]]
    assert {r["verdict"] for r in asked} == {"new"}
    assert len(asked) == 16
    assert [t["verdict"] for t in result["torques"]] == ["followed", "followed"]


def test_a_sheet_is_filled_step_by_step(data: Dataset) -> None:
    sheet = blank.blank(data, "cummins-ntc-400")
    line = next(r for r in sheet["readings"] if r["item"] == "pin-diameter")
    line["value"] = "1.9989"
    (found,) = [r for r in rf.check(sheet, data).as_dict()["results"] if not r["derived"]]
    assert (found["item"], found["position"]) == ("pin-diameter", line["position"])


def test_a_page_to_print(data: Dataset, tmp_path: Path) -> None:
    path = tmp_path / "blank.html"
    blank_page.write(data, "cummins-ntc-400", path)
    html = path.read_text(encoding="utf-8")
    safe(html, set())
    text = "".join(read(html).text)
    assert "0.0015 to 0.005 in" in text
    lines = measuring.measured(data, "cummins-ntc-400", Build())
    assert all(escape(line.rows[0].cite.text) in html for line in lines if not line.choice.asked)


def test_an_unknown_engine(data: Dataset, tmp_path: Path) -> None:
    with pytest.raises(NotInDatasetError, match="cummins-ntc-400"):
        blank_page.write(data, "cummins-ntc", tmp_path / "blank.json")
    assert list(tmp_path.iterdir()) == []


def test_json_is_readable_by_any_tool(data: Dataset, tmp_path: Path) -> None:
    path = tmp_path / "blank.json"
    blank_page.write(data, "nissan-h20", path)
    raw = path.read_bytes()
    assert raw.endswith(b"}\n") and b"\r" not in raw
    assert json.loads(raw)["engine"] == "nissan-h20"


@pytest.mark.parametrize("ending", ["XLSX", "Csv", "JSON", "HTML"])
def test_the_ending_of_a_name_may_have_capitals(tmp_path: Path, ending: str) -> None:
    made, small = tmp_path / f"sheet.{ending}", tmp_path / f"small.{ending.lower()}"
    for path in (made, small):
        assert CliRunner().invoke(main, ["sheet", "cummins-ntc-400", "-o", str(path)]).exit_code == 0
    first = slice(0, 4)
    assert made.read_bytes()[first] == small.read_bytes()[first]
    assert CliRunner().invoke(main, ["sheet", "cummins-ntc-400", "-o", str(tmp_path / "sheet.ODS")]).exit_code == 2
