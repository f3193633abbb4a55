"""Blank sheets filled in: every line is judged by its own row, and the sheet's own tools give no finding."""

from fractions import Fraction
from typing import Any

import pytest

import runningfits as rf
from runningfits.build import Build, parsed
from runningfits.choosing import true_for
from runningfits.dataset import Dataset
from runningfits.rows import Row
from runningfits.sheets import blank
from runningfits.sheets.entries import asked, middle
from runningfits.sheets.measuring import measured, torque_lines

from ..judging.test_builders import BUILDERS
from ..shop import codes, row, shop

ENGINES = [r["engine"] for r in rf.load().table("engines")]


@pytest.mark.parametrize("engine", ENGINES)
def test_every_item_and_joint_of_a_build_has_its_line(data: Dataset, engine: str) -> None:
    for model in ("", *data.family(engine).models):
        build = Build(model=model)
        there = {r.item for r in true_for(data.rows(engine), data, build) if r.cells.get("class") != "repair"}
        lines = asked(measured(data, engine, build), data, build)
        given = {form.item for line in lines for form in line.gives}
        on = {a.line.item for a in lines if a.entries} | given | {j.item for j in torque_lines(data, engine, build)}
        assert there - on == set(), model


def size_of(item: str, row: Row, data: Dataset, build: Build) -> Fraction:
    """A middling size of what a fit or form measures in metres, of the shaft first, 50 mm where no page tells."""
    quantity = data.quantities[item]
    names = [*quantity["inner"].split(), *quantity["outer"].split(), *quantity["of"].split()]
    for name in names:
        rows = sorted(data.rows(row.engine, name), key=lambda r: r["position"] != row["position"])
        if size := next((m for r in true_for(rows, data, build) if (m := middle(r, data))), None):
            return size
    return Fraction(50, 1000)


def filled(sheet: dict[str, Any], data: Dataset, build: Build) -> dict[str, Any]:
    """A blank sheet with a middling value in every line; the shaft of a fit is a middling clearance below its bore."""
    rows = {}
    for line in measured(data, sheet["engine"], build):
        rows.setdefault((line.item, line.place, tuple(sorted(line.said.items()))), line.rows[0])
    for r in sheet["readings"]:
        said = {k: r[k] for k in ("which", "state", "method", "at", "class") if k in r}
        own = rows[r["item"], r["position"], tuple(sorted(said.items()))]
        quantity, unit = data.quantities[r["item"]], data.units[r["unit"]]
        fit = bool(quantity["outer"] and quantity["kind"] == "clearance")
        if r["part"] == "gap" or quantity["kind"] == "size":
            value = middle(own, data) or Fraction(0)
        else:
            value = size_of(r["item"], own, data, build)
            value += (middle(own, data) or 0) if fit and r["part"] == "bore" else 0
        r["value"] = f"{float(value / unit.factor):.4f}"
    for t, line in zip(sheet["torques"], torque_lines(data, sheet["engine"], build), strict=True):
        t["value"] = f"{float((middle(line.rows[0], data) or 0) / data.units[t['unit']].factor):.1f}"
    return sheet


OWN_TOOLS = {"B108", "B109", "B110", "B111", "B206"}


@pytest.mark.parametrize(
    ("engine", "values"),
    [
        *BUILDERS,
        ("continental-avds-1790", {"model": "2da"}),
        ("kohler-command-ch18-745", {"model": "ch23"}),
        ("detroit-71-inline", {"model": "4-71"}),
        ("land-rover-300tdi", {}),
        ("toyota-4a-fe", {}),
        ("wisconsin-mvg4d", {"model": "vg4d"}),
    ],
)
def test_a_filled_sheet_is_judged_whole(data: Dataset, engine: str, values: dict[str, Any]) -> None:
    build = parsed(values, data.units)
    sheet = filled(blank.blank(data, engine, build), data, build)
    result = rf.check(sheet, data).as_dict()
    assert OWN_TOOLS & set(codes(result)) == set()
    judged = {(r["item"], r["position"]) for r in result["results"] if r["value"]}
    for line in asked(measured(data, engine, build), data, build):
        assert (line.line.item, line.line.place) in judged, (line.line.item, line.line.place)
    assert result["not_measured"] == []


def forms(base: Any, *more: dict[str, str]) -> Dataset:
    """A crank whose journals' out-of-round and taper are printed, with sizes as given."""
    clearances = [
        row("main-journal-out-of-round", "", "0.001"),
        row("main-journal-taper", "", "0.0005"),
        row("crankpin-out-of-round", "", "0.001", method="dial-total"),
        row("rod-twist", "", "0.004"),
    ]
    return shop(base, {"mains": "2", "crankpins": "1", "cylinders": "1"}, clearances=clearances, sizes=list(more))


def cells(sheet: dict[str, Any], item: str) -> list[tuple[str, ...]]:
    found = [r for r in sheet["readings"] if r["item"] == item and r["position"] == "1"]
    return [(r["part"], r.get("place", ""), r.get("direction", ""), r["instrument"]) for r in found]


def test_a_form_asks_for_the_readings_that_it_needs(tmp_path: Any) -> None:
    sheet = blank.blank(forms(tmp_path), "example-engine")
    mic = "outside-micrometer-1"
    across = [("shaft", "", d, mic) for d in ("vertical", "vertical", "horizontal")]
    along = [("shaft", p, "", mic) for p in ("front", "front", "rear")]
    assert cells(sheet, "main-journal-out-of-round") == across
    assert cells(sheet, "main-journal-taper") == along
    assert cells(sheet, "crankpin-out-of-round") == [("gap", "", "", "dial-indicator-1")] * 2
    assert [c[:2] for c in cells(sheet, "rod-twist")] == [("gap", "first"), ("gap", "first"), ("gap", "second")]


def test_a_form_of_a_size_on_the_sheet_is_not_asked_for_again(tmp_path: Any) -> None:
    data = forms(tmp_path, row("main-journal-diameter", "2.4990", "2.5000"))
    sheet = blank.blank(data, "example-engine")
    assert cells(sheet, "main-journal-out-of-round") == cells(sheet, "main-journal-taper") == []
    grid = [(p, d) for p in ("front", "rear") for d in ("vertical", "horizontal")]
    assert [c[1:3] for c in cells(sheet, "main-journal-diameter")] == [grid[0], *grid]
    for r in sheet["readings"]:
        base = "2.4995" if r.get("direction") != "horizontal" else "2.4981"
        r["value"] = base if r["part"] == "shaft" else "0.0005"
    found = {(r["item"], r["position"]): r for r in rf.check(sheet, data).as_dict()["results"]}
    assert found["main-journal-out-of-round", "2"]["value"] == "0.0014"
    assert found["main-journal-out-of-round", "2"]["verdict"] == "past-new"
    assert found["main-journal-taper", "2"]["value"].strip("0.") == ""


def test_a_form_alone_is_judged_as_filled_without_a_finding(tmp_path: Any) -> None:
    data = forms(tmp_path)
    sheet = blank.blank(data, "example-engine")
    for r in sheet["readings"]:
        r["value"] = {"vertical": "2.4995", "horizontal": "2.4991"}.get(r.get("direction", ""), "2.4995")
        if r["part"] == "gap":
            r["value"] = "0.0004"
    result = rf.check(sheet, data).as_dict()
    found = {(r["item"], r["position"]): r for r in result["results"]}
    assert found["main-journal-out-of-round", "1"]["value"] == "0.0004"
    assert found["rod-twist", "1"]["value"].strip("0.") == ""
    assert codes(result) == []


def test_a_play_that_a_feeler_reads_is_asked_for_directly(tmp_path: Any) -> None:
    clearances = [
        row("ring-side-clearance", "0.002", "0.004", position="top-ring"),
        row("valve-stem-clearance", "0.001", "0.003", method="total-travel"),
    ]
    sizes = [row("head-bolt-length", "", "4.750"), row("ring-groove-width", "", "0.096", position="top-ring")]
    data = shop(tmp_path, {"cylinders": "2"}, clearances=clearances, sizes=sizes)
    found = {
        (r["item"], r["position"]): (r["part"], r["instrument"])
        for r in blank.blank(data, "example-engine")["readings"]
    }
    feeler = ("gap", "feeler-gauge-1")
    assert found["ring-side-clearance", "1/top-ring"] == found["ring-side-clearance", "2/top-ring"] == feeler
    assert found["ring-groove-width", "2/top-ring"] == feeler
    assert found["valve-stem-clearance", "all"] == ("gap", "dial-indicator-1")
    assert found["head-bolt-length", "all"] == ("shaft", "caliper-1")


def test_a_bore_gauge_is_set_on_a_micrometer_of_the_bore(tmp_path: Any) -> None:
    sizes = [
        row("cylinder-bore", "4.0000", "4.0020"),
        row("main-journal-diameter", "2.9490", "2.9500"),
        row("pin-diameter", "0.9990", "1.0000"),
        row("main-bearing-bore", "2.9540", "2.9550"),
    ]
    clearances = [
        row("main-bearing-clearance", "0.001", "0.003"),
        row("pin-in-piston-clearance", "0.0002", "0.0006"),
        row("rod-bearing-clearance", "0.001", "0.003"),
    ]
    data = shop(tmp_path, {"cylinders": "1", "mains": "1", "crankpins": "1"}, clearances=clearances, sizes=sizes)
    sheet = blank.blank(data, "example-engine")
    tools = {t["id"]: (t["instrument"], t["set_on"]) for t in sheet["instruments"]}
    by = {(r["item"], r["part"]): r["instrument"] for r in sheet["readings"]}
    assert tools[by["cylinder-bore", "bore"]] == ("bore-gauge", "outside-micrometer-100-125-1")
    # the journal is 74.9 mm, its bore 75.0 mm: one micrometer for both, so that its scale error drops out
    assert by["main-bearing-clearance", "shaft"] == "outside-micrometer-50-75-1"
    assert tools[by["main-bearing-clearance", "bore"]] == ("bore-gauge", "outside-micrometer-50-75-1")
    assert tools[by["main-bearing-bore", "bore"]] == ("bore-gauge", "outside-micrometer-75-100-1")
    # no page tells the size of the crankpin: a micrometer of no band
    assert by["rod-bearing-clearance", "shaft"] == "outside-micrometer-1"
    assert tools["outside-micrometer-1"] == ("outside-micrometer", "")


@pytest.mark.parametrize(
    ("engine", "item", "value"),
    [("kubota-wg972", "spring-squareness", "0.9"), ("nissan-td27", "block-height", "550.0")],
)
def test_a_row_whose_every_number_is_a_misprint_is_no_range(data: Dataset, engine: str, item: str, value: str) -> None:
    sheet = blank.blank(data, engine)
    for line in sheet["readings"]:
        if line["item"] == item:
            line |= {"value": value, "unit": "mm"}
    found = [r for r in rf.check(sheet, data).as_dict()["results"] if r["item"] == item]
    assert {r["verdict"] for r in found} == {"no-range"}
