"""A half-filled sheet taken up again: nothing that is filled is lost, nothing that is answered is asked again."""

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

import runningfits as rf
from runningfits.build import Build
from runningfits.cli import main
from runningfits.dataset import Dataset
from runningfits.sheets import blank
from runningfits.sheets.resuming import Resumed, resumed
from runningfits.sheets.sheet import load

from ..shop import fit, reading, row, sheet, shop, step, torque

Json = dict[str, Any]

ENGINE = "nissan-h20"
MAIN, JOURNAL, PLAY = "main-bearing-clearance", "main-journal-diameter", "crank-end-play"


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    return shop(
        tmp_path_factory.mktemp("shop"),
        {"mains": "2"},
        clearances=[row(MAIN, "0.0015", "0.0030"), row(PLAY, "0.004", "0.009")],
        torques=[step("main-cap", "1", "30", "35"), step("main-cap", "2", "70", "75")],
    )


def again(values: Json, data: Dataset) -> Resumed:
    return resumed(load(values, data), data)


def empty(found: Resumed) -> list[tuple[str, str, str]]:
    return [(r["item"], r["position"], r["part"]) for r in found.values["readings"] if r["value"] == ""]


def test_an_empty_sheet_is_the_blank_one(data: Dataset) -> None:
    whole = blank.blank(data, ENGINE, Build())
    found = again(whole, data)
    assert found.values["readings"] == whole["readings"]
    assert found.values["torques"] == whole["torques"]
    assert (found.kept, found.empty) == (0, len(whole["readings"]) + len(whole["torques"]))


def test_what_is_filled_stays_and_the_rest_is_asked_in_order(data: Dataset) -> None:
    whole = blank.blank(data, ENGINE, Build())
    filled = [r | {"value": "1.234"} if n % 3 == 0 and "to" not in r else r for n, r in enumerate(whole["readings"])]
    found = again(whole | {"readings": filled, "serial": "1041"}, data)
    assert [r["value"] for r in found.values["readings"] if r["value"]] == ["1.234"] * found.kept
    assert found.kept + found.empty == len(whole["readings"]) + len(whole["torques"])
    orders = [int(data.quantities[r["item"]]["order"]) for r in found.values["readings"]]
    assert orders == sorted(orders)
    assert found.values["serial"] == "1041"


def test_resumed_twice_is_the_same(data: Dataset, root: Path) -> None:
    once = again(json.loads((root / "docs" / "demo" / "launch.json").read_text(encoding="utf-8")), data)
    twice = again(once.values, data)
    assert twice.values == once.values
    assert (twice.kept, twice.empty) == (once.kept, once.empty)


def test_a_verdict_is_the_same_before_and_after(data: Dataset, root: Path) -> None:
    given = json.loads((root / "docs" / "demo" / "launch.json").read_text(encoding="utf-8"))
    one, other = (rf.check(s, data).as_dict()["results"] for s in (given, again(given, data).values))
    told = [
        {(r["item"], r["place"], r["derived"], r["value"], r["uncertainty"], r["verdict"]) for r in x}
        for x in (one, other)
    ]
    assert told[0] == told[1]


def test_one_of_two_repeats_asks_for_the_other(small: Dataset) -> None:
    found = again(sheet(*fit(MAIN, "2.5022", "2.4998")), small)
    first = [(r["part"], r["value"]) for r in found.values["readings"] if (r["item"], r["position"]) == (MAIN, "1")]
    assert first == [("bore", "2.5022"), ("shaft", "2.4998"), ("bore", ""), ("shaft", "")]


def test_a_fit_that_was_read_itself_asks_for_no_bore(small: Dataset) -> None:
    found = again(sheet(reading(MAIN, "strip", "0.0020", to="0.0025")), small)
    assert {(i, p) for i, p, _ in empty(found)} == {(MAIN, "2"), (PLAY, "all")}


def test_readings_at_places_of_ones_own_count(small: Dataset) -> None:
    own = [reading(MAIN, p, v, place="front") for p, v in (("bore", "2.5022"), ("shaft", "2.4998")) for _ in range(2)]
    assert (MAIN, "1") not in {(i, p) for i, p, _ in empty(again(sheet(*own), small))}


def test_ones_own_instrument_is_taken_for_what_is_missing(small: Dataset) -> None:
    given = sheet(*fit(MAIN, "2.5022", "2.4998"))
    found = again(given, small)
    own = {t["id"] for t in given["instruments"]}
    ids = [t["id"] for t in found.values["instruments"]]
    assert len(ids) == len(set(ids)) and own <= set(ids)
    assert {r["instrument"] for r in found.values["readings"]} <= set(ids)
    play = next(r for r in found.values["readings"] if r["item"] == PLAY)
    assert play["instrument"] == "dial-1"


def test_steps_that_were_done_are_not_asked_again(small: Dataset) -> None:
    found = again(sheet(*fit(MAIN, "2.5022", "2.4998"), torques=[torque("main-cap", 1, "32")]), small)
    assert [(t["step"], t["value"]) for t in found.values["torques"]] == [(1, "32"), (2, "")]
    assert [line.said["step"] for line in found.left.joints] == ["2"]


def test_what_the_blank_sheet_does_not_ask_is_kept(small: Dataset) -> None:
    found = again(sheet(reading("cam-end-play", "gap", "0.005")), small)
    assert found.values["readings"][-1]["item"] == "cam-end-play"


def run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(main, ["sheet", *map(str, arguments)], catch_exceptions=False)


def test_by_command_in_every_form(tmp_path: Path, root: Path, data: Dataset) -> None:
    first = run("--resume", root / "docs" / "demo" / "launch.json", "-o", tmp_path / "a.json")
    assert first.exit_code == 0
    assert "67 filled" in first.output and "still to take, first block height" in first.output
    assert run("--resume", tmp_path / "a.json", "-o", tmp_path / "a.xlsx").exit_code == 0
    assert run("--resume", tmp_path / "a.xlsx", "-o", tmp_path / "b.json").exit_code == 0
    one, two = (json.loads((tmp_path / f"{n}.json").read_text(encoding="utf-8")) for n in "ab")
    assert [r["value"] for r in one["readings"]] == [r["value"] for r in two["readings"]]
    assert run("--resume", tmp_path / "a.json", "-o", tmp_path / "a.html").exit_code == 0
    page = (tmp_path / "a.html").read_text(encoding="utf-8")
    assert data.quantities["block-height"]["label"] in page
    assert f"<strong>{data.quantities[MAIN]['label']}</strong>" in page
    assert page.count('class="box"') < 515 * 2


def test_what_cannot_be_resumed_is_said(tmp_path: Path, root: Path) -> None:
    demo = root / "docs" / "demo" / "launch.json"
    wrong = tmp_path / "wrong.json"
    wrong.write_text("{", encoding="utf-8")
    cases: list[tuple[tuple[str | Path, ...], str]] = [
        ((), "name the ENGINE"),
        ((ENGINE, "--resume", demo), "name the ENGINE"),
        (("--resume", demo, "--model", "x"), "those of the sheet"),
        (("--resume", demo, "--stage", "found"), "those of the sheet"),
        (("--resume", tmp_path / "none.json"), "no such file"),
        (("--resume", wrong), "wrong.json:1"),
    ]
    for arguments, told in cases:
        found = run(*arguments, "-o", tmp_path / "next.json")
        assert found.exit_code == 2, arguments
        assert told in found.output
    assert not (tmp_path / "next.json").exists()
    kept = demo.read_bytes()
    assert "is there already" in run("--resume", demo, "-o", demo).output
    assert demo.read_bytes() == kept
