"""The build on a sheet: what it may name, what a blank sheet of it asks for, and that a workbook keeps it."""

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

import runningfits as rf
from runningfits.build import STANDARD, UNKNOWN, Build, Size, parsed, same_size, size_from
from runningfits.cli import main
from runningfits.dataset import Dataset
from runningfits.sheets import blank, build_table, entries, tools
from runningfits.sheets.faults import SheetError
from runningfits.sheets.sheet import load

CUMMINS = "cummins-b-series"


def sheet(engine: str, **build: Any) -> dict[str, Any]:
    return {"engine": engine, "build": build, "instruments": [], "readings": []}


FAULTS: dict[str, tuple[dict[str, Any], str]] = {
    "a model that the family lacks": ({"model": "6bt-turbo"}, 'build.model: "6bt-turbo"'),
    "a question that no row asks": ({"model": "6bt", "fitted": {"paint": "green"}}, 'build.fitted.paint: "paint"'),
    "an answer to another question": ({"fitted": {"aspiration": "steam"}}, 'build.fitted.aspiration: "steam"'),
    "a part that is never machined": ({"size": {"carburettor": "0.25 mm"}}, 'build.size.carburettor: "carburettor"'),
    "a crankpin ground larger": ({"size": {"crankpin": "0.25 mm"}}, "a size below 0 for the crankpin"),
    "a bore smaller than standard": ({"size": {"cylinder": "-0.25 mm"}}, "a size above 0 for the cylinder"),
    "a size without its unit": ({"size": {"crankpin": "-0.25"}}, "build.size.crankpin"),
    "a place that is no single one": (
        {"model": "6bt", "size": {"cylinder": {"1-2": "0.50 mm"}}},
        'build.size.cylinder.1-2: "1-2", expected all, a number such as 3, or a named place',
    ),
    "a number with a nought before it": ({"size": {"cylinder": {"03": "0.50 mm"}}}, 'build.size.cylinder.03: "03"'),
    "two sizes for every place": (
        {"size": {"cylinder": {"all": "0.50 mm", "All": "standard"}}},
        'build.size.cylinder.All: "All" with "standard", expected one answer: "all" has "0.50 mm"',
    ),
    "two answers to one question": (
        {"fitted": {"aspiration": "turbocharged", "Aspiration": {"1": "naturally-aspirated"}}},
        '"Aspiration" with answers of its own, expected one answer: "aspiration" has "turbocharged"',
    ),
    "a seventh cylinder": ({"model": "6bt", "size": {"cylinder": {"7": "0.50 mm"}}}, "a number from 1 to 6"),
    "a part against what the model always has": (
        {"model": "6bt", "fitted": {"aspiration": {"all": "unknown", "3": "naturally-aspirated"}}},
        'build.fitted.aspiration.3: "naturally-aspirated" (naturally aspirated), expected "turbocharged" (turbocharged)'
        ", which 6BT 5.9 always has",
    ),
    "a document of another engine": ({"documents": ["kohler-ch18-745-sm"]}, 'build.documents[0]: "kohler-ch18-745-sm"'),
}


@pytest.mark.parametrize("name", FAULTS)
def test_a_build_that_is_none_of_the_engines(data: Dataset, name: str) -> None:
    build, words = FAULTS[name]
    with pytest.raises(SheetError) as found:
        load(sheet(CUMMINS, **build), data)
    assert words in str(found.value)


def test_a_build_in_every_form_loads(data: Dataset) -> None:
    build = {
        "model": "6bt",
        "size": {"crankpin": "-0.25 mm", "cylinder": {"all": "0.50 mm", "4": "0"}, "main-journal": "unknown"},
        "fitted": {"aspiration": {"all": "turbocharged"}},
        "documents": ["tm-5-3895-369-14"],
    }
    assert load(sheet(CUMMINS, **build), data).values["build"] == build


def test_sizes_are_one_within_two_in_a_hundred(data: Dataset) -> None:
    inch, metric = size_from("-0.010 in", data.units), size_from("-0.25 mm", data.units)
    assert isinstance(inch, Size)
    assert isinstance(metric, Size)
    assert same_size(inch, metric, data.units)
    assert not same_size(metric, Size(metric.value * 2, "mm"), data.units)
    assert not same_size(metric, STANDARD, data.units)
    assert size_from("0", data.units) == size_from("standard", data.units) == STANDARD


@pytest.mark.parametrize(
    ("given", "place", "found"),
    [
        ({"1": "-0.25 mm"}, "1-2", UNKNOWN),
        ({"1": "-0.25 mm", "2": "-0.50 mm"}, "1,2", UNKNOWN),
        ({"1": "-0.25 mm", "2": "-0.25 mm"}, "1-2", Size(Decimal("-0.25"), "mm")),
        ({"all": "-0.25 mm", "4": "0"}, "1-3", Size(Decimal("-0.25"), "mm")),
        ({"all": "-0.25 mm", "4": "0"}, "1-4", UNKNOWN),
        ({}, "1-4", STANDARD),
    ],
)
def test_places_of_several_sizes_have_no_one_size(
    data: Dataset, given: dict[str, str], place: str, found: Size | str
) -> None:
    assert parsed({"size": {"crankpin": given}}, data.units).size_of("crankpin", place) == found


def test_an_answer_of_one_place_stands_before_that_of_all(data: Dataset) -> None:
    build = parsed({"size": {"cylinder": {"all": "0.50 mm", "4": "0"}}}, data.units)
    assert build.size_of("cylinder", "4") == STANDARD
    assert build.size_of("cylinder", "4/top-ring") == STANDARD
    found = build.size_of("cylinder", "3")
    assert isinstance(found, Size)
    assert found.text == "+0.50 mm"


def of(data: Dataset, engine: str, **values: Any) -> dict[str, Any]:
    return blank.blank(data, engine, parsed(values, data.units))


def test_a_blank_sheet_has_the_places_of_its_model(data: Dataset) -> None:
    for model, cylinders, mains in (("4bt", 4, 5), ("6bt", 6, 7)):
        found = of(data, CUMMINS, model=model)
        places = {i: {r["position"] for r in found["readings"] if r["item"] == i} for i in ("crankpin-diameter",)}
        assert places == {"crankpin-diameter": {str(n) for n in range(1, cylinders + 1)}}
        asked = {r["position"] for r in found["readings"] if r["item"] == "main-journal-diameter"}
        assert asked == {str(n) for n in range(1, mains + 1)}


def test_a_blank_sheet_has_the_rows_of_its_sizes(data: Dataset) -> None:
    found = of(data, CUMMINS, model="6bt", size={"crankpin": "-0.25 mm", "cylinder": {"all": "0.50 mm", "4": "0"}})
    notes = {(r["item"], r["position"]): r["note"] for r in found["readings"]}
    assert "68.737 mm" in notes["crankpin-diameter", "1"]
    assert notes["cylinder-bore", "4"] != notes["cylinder-bore", "1"]
    assert "worked out from the standard size for +0.50 mm" in notes["cylinder-bore", "1"]


def test_a_blank_sheet_asks_for_two_readings(data: Dataset) -> None:
    lines = of(data, CUMMINS)["readings"]
    spots = [(r["item"], r["position"], r["part"], r.get("which"), r.get("at"), r.get("method")) for r in lines]
    assert all(spots.count(spot) >= entries.TWICE for spot in spots)


def test_what_the_builder_cannot_tell_is_the_models(data: Dataset) -> None:
    whole = of(data, "kohler-command-ch18-745")
    assert whole["build"]["fitted"]["bore"] == "unknown"
    sheet = whole | {"build": whole["build"] | {"model": "ch18"}}
    line = next(r for r in sheet["readings"] if (r["item"], r["position"]) == ("cylinder-bore", "1"))
    line["value"] = "77.010" if line["unit"] == "mm" else "3.0319"
    (found,) = [r for r in rf.check(sheet, data).as_dict()["results"] if r["item"] == "cylinder-bore"]
    assert found["questions"] == []


@pytest.mark.parametrize(("document", "other"), [("tm-10-3930-664-24", False), ("tm-5-3895-370-14p", True)])
def test_a_document_of_the_model_is_no_document_for_others(data: Dataset, document: str, other: bool) -> None:
    whole = blank.blank(data, CUMMINS, parsed({"model": "6bt", "documents": [document]}, data.units))
    line = next(r for r in whole["readings"] if r["item"] == "cylinder-bore")
    line["value"] = "102.05" if line["unit"] == "mm" else "4.0177"
    result = rf.check(whole, data).as_dict()
    (words,) = [w for w in result["build_words"] if w.startswith("judged by")]
    assert words.endswith("for other models") == other


@pytest.mark.parametrize("engine", [r["engine"] for r in rf.load().table("engines")])
def test_instruments_have_the_engines_unit(data: Dataset, engine: str) -> None:
    unit = blank.engine_unit(data, engine)
    found = blank.blank(data, engine)["instruments"]
    scaled = [t for t in found if data.units[t["unit"]].dimension == "length"]
    assert scaled
    assert {t["unit"] for t in scaled} == {unit}


def test_the_micrometer_is_of_the_size_of_the_part(data: Dataset) -> None:
    mm = data.units["mm"].factor
    assert tools.of_size("outside-micrometer", 69 * mm, data) == "outside-micrometer-50-75"
    assert tools.of_size("outside-micrometer", 24 * mm, data) == "outside-micrometer-0-25"
    assert tools.of_size("outside-micrometer", 25 * mm, data) == "outside-micrometer-25-50"
    assert tools.of_size("outside-micrometer", 900 * mm, data) == "outside-micrometer"
    assert tools.of_size("outside-micrometer", None, data) == "outside-micrometer"


@pytest.mark.parametrize("engine", [r["engine"] for r in rf.load().table("engines")])
def test_a_workbook_keeps_the_build(data: Dataset, tmp_path: Path, engine: str) -> None:
    family = data.family(engine)
    model = next(iter(family.models))
    open_ones = {q: a for q, a in family.questions.items() if q not in family.answers(model)}
    fitted = {q: {"all": a[0], "1": a[-1]} for q, a in open_ones.items()}
    build = Build(model=model, fitted=fitted)
    from runningfits.faces import blank_page

    path = tmp_path / "sheet.xlsx"
    blank_page.write(data, engine, path, build)
    assert parsed(load(path, data).values["build"], data.units).fitted == fitted


def test_a_line_of_a_build_that_is_no_kind_is_found() -> None:
    lines = [{"kind": "colour", "of": "", "place": "", "answer": "red"}]
    told = build_table.build(lines, {("build", 0): "build!2"}, pytest.fail)
    assert told == {"colour": "red"}


@pytest.mark.parametrize(("kind", "of"), [("size", "crankpin"), ("fitted", "crankpin-mark"), ("model", "")])
def test_two_lines_that_answer_one_question_differently_are_a_fault(kind: str, of: str) -> None:
    lines = [{"kind": kind, "of": of, "place": p, "answer": a} for p, a in (("", "x"), ("all", "x"), ("all", "y"))]
    faults: list[tuple[str, str, str]] = []
    build_table.build(lines, {("build", n): f"build!{n + 2}" for n in range(3)}, lambda *told: faults.append(told))
    assert faults == [("build!4", f'"y" for {of or kind}, all', 'one answer: a line before has "x"')]


PARTS: dict[str, tuple[dict[str, Any], str, dict[str, str], str]] = {
    "standard shells on a ground pin": (
        {"crankpin": "-0.25 mm"},
        "assembled",
        {"part": "rod bearing shells", "number": "R330A-STD"},
        'parts[0].number: "STD", expected -0.25 mm, as the build says of the crankpin: mend the one that is wrong',
    ),
    "undersize shells without a size": (
        {},
        "assembled",
        {"part": "Main bearing shells", "note": "0.010 under shells"},
        'parts[0].note: "0.010 under", expected standard, as the build says of the main journal',
    ),
    "pistons of another oversize": (
        {"cylinder": {"all": "0.50 mm", "1": "0.75 mm"}},
        "machined",
        {"part": "pistons, oversize 1.00 mm"},
        'parts[0].part: "oversize 1.00 mm", expected +0.50 mm or +0.75 mm, as the build says of the cylinder',
    ),
    "the same size in inches": (
        {"crankpin": "-0.25 mm"},
        "assembled",
        {"part": "big end shells", "note": "10 thou u/s"},
        "",
    ),
    "a place that has it": (
        {"cylinder": {"all": "0.50 mm", "1": "0.75 mm"}},
        "assembled",
        {"part": "pistons", "note": ".030 over"},
        "",
    ),
    "a size that is not known": (
        {"crankpin": "unknown"},
        "assembled",
        {"part": "rod bearing shells", "note": "STD"},
        "",
    ),
    "a part of no such size": (
        {"crankpin": "-0.25 mm"},
        "assembled",
        {"part": "rod bearing cap bolts", "note": "STD"},
        "",
    ),
    "no repair size": (
        {"crankpin": "-0.25 mm"},
        "assembled",
        {"part": "rod bearing shells", "note": "0.06 mm over"},
        "",
    ),
    "what was there, and what goes in": (
        {"crankpin": "-0.25 mm"},
        "assembled",
        {"part": "rod bearing shells", "note": "STD came out, 0.25 under goes in"},
        "",
    ),
    "what is to be bought": ({}, "found", {"part": "rod bearing shells", "note": "0.010 under"}, ""),
}


@pytest.mark.parametrize("name", PARTS)
def test_a_part_has_the_size_that_the_build_says(data: Dataset, name: str) -> None:
    size, stage, part, words = PARTS[name]
    told = sheet(CUMMINS, size=size) | {"stage": stage, "parts": [part]}
    if not words:
        assert load(told, data).values["parts"] == [part]
        return
    with pytest.raises(SheetError) as found:
        load(told, data)
    assert words in str(found.value)


def run(*words: str) -> tuple[int, str]:
    found = CliRunner().invoke(main, ["sheet", *words])
    return found.exit_code, found.output


def test_the_command_writes_a_build_and_never_over_a_file(tmp_path: Path) -> None:
    path = tmp_path / "sheet.json"
    words = (CUMMINS, "--model", "6bt", "--size", "crankpin=-0.25mm", "--size", "cylinder@4=0", "-o", str(path))
    assert run(*words)[0] == 0
    written = path.read_bytes()
    assert json.loads(written)["build"]["size"] == {"crankpin": "-0.25 mm", "cylinder": {"4": "0"}}
    code, output = run(*words)
    assert code != 0
    assert "is there already" in output
    assert path.read_bytes() == written
    assert run(*words, "--force")[0] == 0


@pytest.mark.parametrize("words", [("--model", "8bt"), ("--fitted", "aspiration"), ("--size", "crankpin=0.25mm")])
def test_the_command_says_what_it_cannot_use(tmp_path: Path, words: tuple[str, str]) -> None:
    code, output = run(CUMMINS, *words, "-o", str(tmp_path / "sheet.json"))
    assert code == 2
    assert "expected" in output
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("mpe", ["0.0001", "0.3"])
def test_a_limit_of_error_that_no_such_instrument_has(data: Dataset, mpe: str) -> None:
    tool = {"id": "mic-1", "instrument": "outside-micrometer", "unit": "mm", "resolution": "0.01", "mpe": mpe}
    with pytest.raises(SheetError, match=r"a limit of such instruments, from 0\.00025 to 0\.05 mm"):
        load({"engine": CUMMINS, "instruments": [tool], "readings": []}, data)
    assert load({"engine": CUMMINS, "instruments": [{**tool, "mpe": "0.004"}], "readings": []}, data)


def test_a_usual_limit_counts_and_a_correction_is_added(data: Dataset) -> None:
    def value(**more: str) -> dict[str, Any]:
        tool = {"id": "bore-1", "instrument": "bore-gauge", "unit": "mm", "resolution": "0.001", **more}
        line = {"item": "cylinder-bore", "position": "1", "part": "bore", "value": "102.050", "unit": "mm"}
        asked = {"engine": CUMMINS, "build": {"model": "6bt"}, "instruments": [tool]}
        asked["readings"] = [{**line, "instrument": "bore-1"}]
        return next(r for r in rf.check(asked, data).as_dict()["results"] if not r["derived"])

    plain, given, corrected = value(), value(mpe="0.005"), value(correction="-0.010")
    assert float(plain["uncertainty"]) > 0
    assert plain["uncertainty"] == given["uncertainty"], "the class's usual limit"
    assert (float(plain["value"]) - float(corrected["value"])) * 25.4 == pytest.approx(0.010, abs=0.003)


def bored(*readings: dict[str, str], **build: Any) -> dict[str, Any]:
    tools = [{"id": "bore-1", "instrument": "bore-gauge"}, {"id": "feeler-1", "instrument": "feeler-gauge"}]
    return {"engine": CUMMINS, "build": {"model": "6bt", **build}, "instruments": tools, "readings": list(readings)}


BORE = {"item": "cylinder-bore", "part": "bore", "value": "102.55", "unit": "mm", "instrument": "bore-1"}
UNEVEN = {"cylinder": {"all": "0.50 mm", "4": "0"}}


def test_a_reading_for_all_places_of_an_uneven_build_is_refused(data: Dataset) -> None:
    with pytest.raises(
        SheetError, match=r'position: "all", expected a place such as 1: the size of the cylinder is not'
    ):
        load(bored(BORE | {"position": "all"}, size=UNEVEN), data)
    assert load(bored(BORE | {"position": "all"}, size={"cylinder": "0.50 mm"}), data)
    assert load(bored(BORE | {"position": "4"}, size=UNEVEN), data)
    deck = BORE | {"item": "deck-flatness", "part": "gap", "value": "0.02", "position": "all", "instrument": "feeler-1"}
    assert load(bored(deck, size=UNEVEN), data)


def test_rings_of_unlike_pistons_and_forms_of_unlike_liners_are_named_by_place(data: Dataset) -> None:
    gap = BORE | {"item": "ring-gap", "part": "gap", "value": "0.6", "position": "top-ring", "instrument": "feeler-1"}
    liner = BORE | {"item": "liner-bore", "position": "all", "value": "107.95"}
    for question, answer, reading in (
        ("piston", {"all": "cross-head-piston", "3": "trunk-piston"}, gap),
        ("liner", {"all": "used-liner", "3": "new-liner"}, liner),
    ):
        whole = bored(reading) | {"engine": "detroit-8v-71t", "build": {"fitted": {question: answer}}}
        with pytest.raises(SheetError, match=f"a place such as 1: the {question} is not the same at every place"):
            load(whole, data)
        assert load(whole | {"build": {"fitted": {question: answer["all"]}}}, data)


@pytest.mark.parametrize(("joint", "last"), [("main-cap", 7), ("rod-cap", 12)])
def test_a_torque_at_a_place_that_the_engine_lacks_is_refused(data: Dataset, joint: str, last: int) -> None:
    wrench = {"id": "wrench-1", "instrument": "torque-wrench"}
    line = {"joint": joint, "step": 1, "value": "100", "unit": "lbf.ft", "instrument": "wrench-1"}
    whole = {"engine": "continental-avds-1790", "build": {"model": "2da"}, "instruments": [wrench], "readings": []}
    with pytest.raises(SheetError, match=rf"torques\[0\].position: place {last + 1} of {last}, expected 1 to {last}"):
        load(whole | {"torques": [line | {"position": str(last + 1)}]}, data)
    assert load(whole | {"torques": [line | {"position": str(last)}]}, data)


def test_materials_are_asked_for_and_a_workbook_keeps_them(data: Dataset, tmp_path: Path) -> None:
    from runningfits.faces import blank_page
    from runningfits.sheets import sheet_form, workbook

    found = of(data, CUMMINS, model="6bt")
    assert found["materials"] == {"cylinder-bore": "", "piston-skirt-diameter": "", "piston-pin-bore": ""}
    assert found["room_temperature"] == ""
    path = tmp_path / "sheet.xlsx"
    blank_page.write(data, CUMMINS, path, parsed({"model": "6bt"}, data.units))
    assert "materials" not in load(path, data).values or load(path, data).values["materials"] == {}
    told = found | {"materials": {"cylinder-bore": "grey-iron", "piston-skirt-diameter": ""}}
    workbook.write(told, path, sheet_form.fields())
    assert load(path, data).values["materials"] == {"cylinder-bore": "grey-iron"}
    workbook.write(found | {"materials": {"cylinder-bore": "chalk"}}, path, sheet_form.fields())
    with pytest.raises(SheetError, match=r"sheet!B\d+: \"chalk\""):
        load(path, data)
