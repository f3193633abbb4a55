"""Words of a sheet as people write them: taken where one is meant, else the nearest named; labels lead back."""

import json
import re
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from click.testing import CliRunner

from runningfits import check
from runningfits.build import Build, parsed
from runningfits.cli import main
from runningfits.dataset import Dataset
from runningfits.degrees import celsius
from runningfits.faces import blank_page
from runningfits.near import Words
from runningfits.sheets import blank, wording
from runningfits.sheets.faults import SheetError
from runningfits.sheets.sheet import load
from runningfits.sheets.vocabulary import Vocabulary

from ..shop import grid

B, DEUTZ, KOHLER = "cummins-b-series", "deutz-912", "kohler-command-ch18-745"


def sheet(engine: str = B, **build: Any) -> dict[str, Any]:
    return {"engine": engine, "build": build, "instruments": [], "readings": []}


def reading(**cells: str) -> dict[str, Any]:
    """A sheet of one reading, some of its cells as people write them."""
    line = {"item": "crankpin-diameter", "position": "1", "part": "shaft", "value": "68.96", "unit": "mm"}
    tool = {"id": "mic-1", "instrument": "outside-micrometer"}
    lines = [line | {"instrument": "mic-1"} | cells]
    return {"engine": B, "instruments": [tool], "readings": lines}


def refusal(values: dict[str, Any], data: Dataset) -> str:
    with pytest.raises(SheetError) as found:
        load(values, data)
    return str(found.value)


@pytest.mark.parametrize(
    ("engine", "said", "model"),
    [
        (B, "6BT", "6bt"),
        (B, "6 bt", "6bt"),
        (KOHLER, "CH23", "ch23"),
        (KOHLER, "CH 23", "ch23"),
        (DEUTZ, "F6L912", "f6l-912"),
        (DEUTZ, "F6L 912", "f6l-912"),
    ],
)
def test_a_model_is_known_by_its_name(data: Dataset, engine: str, said: str, model: str) -> None:
    wanted = {m: d for m, d in data.family(engine).models.items() if wording.key(m) == wording.key(model)}
    assert load(sheet(engine, model=said), data).values["build"]["model"] in wanted


@pytest.mark.parametrize(
    ("said", "size"),
    [
        ("-0.25 mm", "-0.25 mm"),
        ("-0,25 mm", "-0.25 mm"),
        ("-.25mm", "-0.25 mm"),
        ("-0.25MM", "-0.25 mm"),
        ('-.010"', "-0.010 in"),
        ("-0.010 inch", "-0.010 in"),
        ("\u22120.25 mm", "-0.25 mm"),
        ("Standard", "standard"),
        ("0", "0"),
    ],
)
def test_a_size_as_people_write_it(data: Dataset, said: str, size: str) -> None:
    assert load(sheet(size={"Crank Pin": said}), data).values["build"]["size"] == {"crankpin": size}


@pytest.mark.parametrize("said", ["-0.25", "10 under", "-1,250 mm", "ten", "-0.25 mm under", ""])
def test_a_size_that_is_none_is_refused_with_an_example(data: Dataset, said: str) -> None:
    told = refusal(sheet(size={"crankpin": said}), data)
    assert "a repair size with its unit, such as -0.25 mm or -0.010 in" in told
    assert "$ref" not in told
    assert "anyOf" not in told


def test_a_size_typed_as_a_number_in_a_workbook(data: Dataset, tmp_path: Path) -> None:
    path = tmp_path / "sheet.xlsx"
    build = parsed({"model": "6bt", "size": {"crankpin": "-0.25 mm"}}, data.units)
    blank_page.write(data, B, path, build)
    book = openpyxl.load_workbook(path)
    (row,) = [r for r in grid(book, "build") if r[3].value == "-0.25 mm"]
    row[3].value = -0.25
    book.save(path)
    with pytest.raises(SheetError, match=r"such as -0.25 mm or -0.010 in") as found:
        load(path, data)
    assert f"sheet!{row[3].coordinate}" in str(found.value)


@pytest.mark.parametrize(
    ("values", "near"),
    [
        (sheet(size={"rods": "-0.25 mm"}), "crankpin"),
        (sheet(size={"bore": "0.5 mm"}), "cylinder"),
        (sheet(fitted={"pistons": "trunk"}), "aspiration"),
        (sheet(fitted={"aspiration": "turbo"}), "turbocharged"),
        (sheet(size={"cylinder": {"3L": "0.5 mm"}}), "the cylinders are numbered through"),
        (sheet("detroit-8v-71t", model="8V-71T"), "8V-71T, model 7083-7395"),
        (reading(material="steel"), "carbon steel"),
        (reading(item="big-end-clearance"), "Rod bearing oil clearance"),
        (reading(unit="furlong"), "mm"),
        ({"engine": "F4L 912", "instruments": [], "readings": []}, "Deutz"),
    ],
)
def test_a_word_that_is_none_is_refused_with_the_nearest(data: Dataset, values: dict[str, Any], near: str) -> None:
    assert near in refusal(values, data)


def test_words_of_a_reading_as_people_write_them(data: Dataset) -> None:
    said = reading(item="Crankpin diameter", unit="MM", position="1", part="Shaft", instrument="Mic 1")
    found = load(said | {"stage": "Assembled"}, data).values
    assert found["stage"] == "assembled"
    assert found["readings"] == reading()["readings"]


@pytest.mark.parametrize(
    ("said", "unit"), [("inch", "in"), ('"', "in"), ("MM", "mm"), ("Inches", "in"), ("thou", "thou")]
)
def test_a_unit_as_people_write_it(data: Dataset, said: str, unit: str) -> None:
    assert load(reading(unit=said), data).values["readings"][0]["unit"] == unit


TIGHTENED = {"joint": "blower-thrust-washer", "position": "all", "step": 1, "value": "28", "unit": "lbf.ft"}


def tightened(thread: str) -> dict[str, Any]:
    wrench = {"id": "wrench-1", "instrument": "torque-wrench"}
    line = TIGHTENED | {"instrument": "wrench-1", "thread": thread}
    return {"engine": "detroit-53-inline", "title": "x", "instruments": [wrench], "readings": [], "torques": [line]}


@pytest.mark.parametrize("said", ["5/16-24", "5/16 24", "m10 x 1.5", "M10", "none"])
def test_a_thread_as_people_write_it(data: Dataset, said: str) -> None:
    assert check(tightened(said), data).torques


@pytest.mark.parametrize(
    ("said", "near"),
    [
        ("5/16-25", 'thread: "5/16-25", expected perhaps 5/16-24; 5/16-18'),
        ("M99", 'thread: "M99", expected one of the list, such as 1/4-28; 3/8-16'),
        ("M24x9", "expected perhaps M24x2"),
    ],
)
def test_a_thread_that_is_none_is_refused_with_the_nearest(data: Dataset, said: str, near: str) -> None:
    with pytest.raises(SheetError, match=re.escape(near)):
        check(tightened(said), data)


def test_each_thread_of_the_dataset_is_taken(data: Dataset) -> None:
    for engine in data.engines:
        printed = {r["thread"] for r in data.all_rows(engine, "torques") if r["thread"]}
        words = Vocabulary(data, engine).words("screw")
        assert words and all(words.meant(t) == t for t in printed)


@pytest.mark.parametrize(
    ("said", "degrees"),
    [("21,5 °C", 21.5), ("+20 degC", 20), ("20 C", 20), ("68 °F", 20), ("20 deg C", 20), ("-5", -5)],
)
def test_a_temperature_as_people_write_it(data: Dataset, said: str, degrees: float) -> None:
    found = load(reading() | {"part_temperature": said}, data).values["part_temperature"]
    assert celsius(found, data) == pytest.approx(degrees)


@pytest.mark.parametrize("said", ["warm", "1,2,3 C", "21.5.1", "+-3 C"])
def test_what_is_no_temperature_is_refused(data: Dataset, said: str) -> None:
    assert "a temperature such as 21 C or 70 F" in refusal(reading() | {"part_temperature": said}, data)


def test_two_words_of_one_name_are_not_chosen_between() -> None:
    words = Words({"a-1": ("style A",), "a1": ("first A",)})
    assert words.meant("A 1") is None
    assert words.meant("a-1") == "a-1"
    assert words.meant("STYLE-A") == "a-1"


@pytest.mark.parametrize("engine", [B, KOHLER, "continental-avds-1790", "nissan-h20"])
def test_labels_lead_back(data: Dataset, engine: str) -> None:
    before = blank.blank(data, engine, Build())
    labelled = wording.labelled(before, data)
    assert labelled != before
    assert wording.in_words(labelled, data) == before


def test_the_command_takes_names(data: Dataset, tmp_path: Path) -> None:
    path = tmp_path / "sheet.json"
    options = ("--model", "6BT", "--size", "crankpin=-,25mm".replace(",", "."), "--stage", "Machined")
    result = CliRunner().invoke(main, ["sheet", B, *options, "-o", str(path)], catch_exceptions=False)
    assert (result.exit_code, result.stderr) == (0, "")
    made = json.loads(path.read_text(encoding="utf-8"))
    assert (made["build"]["model"], made["build"]["size"], made["stage"]) == (
        "6bt",
        {"crankpin": "-0.25 mm"},
        "machined",
    )


@pytest.mark.parametrize("said", ["Cummins B-series", "6BT 5.9", "6bt5.9"])
def test_a_sheet_names_its_engine_by_any_of_its_names(data: Dataset, said: str) -> None:
    assert load(sheet(said), data).values["engine"] == B


def test_an_engine_that_is_not_there_has_near_ones() -> None:
    for said, near in (("F4L 912", "Deutz"), ("detroyt", "Detroit")):
        result = CliRunner().invoke(main, ["engines", said], catch_exceptions=False)
        assert result.exit_code == 2
        assert near in result.stderr
        assert result.stderr.count(";") < 7


@pytest.mark.parametrize("said", ["F6L 912", "F6L912", "f6l-912", "8v71t"])
def test_an_engine_is_found_by_the_name_of_a_model(said: str) -> None:
    result = CliRunner().invoke(main, ["engines", said], catch_exceptions=False)
    assert (result.exit_code, len(result.stdout.splitlines())) == (0, 1)


def test_near_words_of_a_pasted_page_are_those_of_its_beginning() -> None:
    words = Words({f"end-play-{n}": (f"end play {n}",) for n in range(20)})
    begun = "end play 7" + " " * 90
    assert words.nearest(begun + "\u2028" * 900_000) == words.nearest(begun) != []
    assert words.nearest(begun + "end play 8") == words.nearest(begun)


@pytest.mark.parametrize(
    ("item", "told"),
    [
        ("bearing-strip-taper", "one of main bearing; connecting rod bearing"),
        ("crank-end-play", "name none of it apart"),
    ],
)
def test_which_of_several_is_asked_in_words_of_the_line_itself(data: Dataset, item: str, told: str) -> None:
    line = {"item": item, "position": "all", "part": "gap", "value": "0.001", "unit": "in", "instrument": "dial-1"}
    made = {"engine": "gm-6-2-diesel", "instruments": [{"id": "dial-1", "instrument": "dial-indicator"}]}
    assert told in refusal(made | {"readings": [line | {"which": "nuts"}]}, data)
