"""Looking up: what is true for a build, in trade words."""

import json
import re

import pytest
from click.testing import CliRunner, Result

from runningfits.cli import main
from runningfits.commands import options
from runningfits.dataset import Dataset

B = "cummins-b-series"


def show(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["show", *arguments], catch_exceptions=False)


def rows(*arguments: str) -> list[dict[str, str]]:
    found: list[dict[str, str]] = json.loads(show(*arguments, "--json").output)
    return found


@pytest.mark.parametrize("model", ["4b", "4bt", "6b", "6bt"])
def test_a_model_sees_no_row_of_another(data: Dataset, model: str) -> None:
    family = data.family(B)
    there = {r.id: r for r in data.rows(B)}
    found = {r["id"] for r in rows(B, "--model", model)}
    assert found
    for name, row in there.items():
        if model not in family.speaks(row).models:
            assert name not in found
        elif not row["applies"] and not row.cells.get("size"):
            assert name in found


def test_without_a_build_every_row_is_shown(data: Dataset) -> None:
    assert {r["id"] for r in rows(B)} == {r.id for r in data.rows(B)}


def test_a_repair_size_shows_its_own_row_or_the_standard_one_moved() -> None:
    own = show(B, "--model", "6bt", "--item", "crankpin-diameter", "--size", "crankpin=-0.25mm").output
    assert "for a crankpin ground by -0.25 mm: at least 68.737 mm" in own
    assert "68.987" not in own and "68.487" not in own
    moved = show(B, "--model", "6bt", "--item", "rod-bearing-wall", "--size", "crankpin=-0.30mm").output
    assert "6BT 5.9: 2.105 to 2.118 mm" in moved
    assert "worked out from the standard size for -0.30 mm" in moved
    assert "worked out" not in show(B, "--model", "6bt", "--item", "rod-bearing-wall").output


def test_a_fitted_part_passes_over_the_others() -> None:
    kohler = "kohler-command-ch18-745"
    found = rows(kohler, "--model", "ch23", "--fitted", "piston=style-b", "--item", "piston-skirt-diameter")
    assert {r["applies"] for r in found} == {"80-mm-bore style-b"}
    assert all("80 mm (674 cc), style B" in r["speaks_of"] for r in found)


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("--model", "7b"), '"7b": expected one of 4B 3.9; 4BT 3.9; 6B 5.9; 6BT 5.9'),
        (("--fitted", "pistn=x"), '"pistn": expected one of aspiration'),
        (("--fitted", "aspiration=steam"), '"steam": expected one of naturally aspirated; turbocharged'),
        (("--fitted", "aspiration"), '--fitted "aspiration": expected NAME=ANSWER'),
        (("--size", "crankpin=+0.25mm"), "below"),
    ],
)
def test_what_the_engine_does_not_have_is_refused_with_what_it_has(arguments: tuple[str, ...], told: str) -> None:
    found = show(B, *arguments)
    assert found.exit_code == 2
    assert told in found.output


def test_what_no_page_says_of_whom_a_row_is_for_is_told() -> None:
    found = show(B, "--item", "crankpin-diameter").output
    assert "the pages name no engine]" in found
    assert "TM 5-3895-370-14&P: the pages name no engine; four rods and five mains" in found


def test_nothing_for_a_model_says_for_whom_there_is_something() -> None:
    found = show(B, "--item", "main-cap", "--model", "4b")
    assert found.exit_code == 0
    first, *lines = found.output.splitlines()
    assert first == "no range for Main bearing cap in this engine; there are:"
    assert "  all, step 1, 6B 5.9 or 6BT 5.9, for a check only" in lines


def test_nothing_names_the_nearest_few_and_the_command_that_lists_all() -> None:
    first, *lines = show("cummins-ntc-400", "--item", "oil-pump-end-play").output.splitlines()
    assert first == "no range for Oil pump shaft end play in this engine; there are:"
    assert lines[0] == "  Crankshaft end play"
    assert 2 <= len(lines) < 9
    assert re.fullmatch(r"  and \d+ more: runningfits show cummins-ntc-400", lines[-1])
    assert max(map(len, (first, *lines))) <= 80


def test_engines_say_how_many_cylinders_their_models_have() -> None:
    found = CliRunner().invoke(main, ["engines", "cummins b3.9"], catch_exceptions=False).output
    assert "inline 4 or 6, 4-stroke, diesel" in found


def test_what_is_missing_is_told() -> None:
    found = CliRunner().invoke(main, ["show", "toyota-2jz", "--missing"])
    assert found.exit_code == 0
    assert "looked for on 2026-11-26, no page found" in found.output
    listed = json.loads(CliRunner().invoke(main, ["show", "cummins-ntc-400", "--missing", "--json"]).output)
    assert {n["need"] for n in listed} >= {"head"}
    assert any(n["sought_on"] == "" for n in listed), "what nobody looked for is told apart"


def test_an_item_is_known_by_its_label(data: Dataset) -> None:
    by_id, by_label = (CliRunner().invoke(main, ["show", "nissan-h20", "--item", i]) for i in ITEM)
    assert (by_id.exit_code, by_id.output) == (0, by_label.output)
    assert by_id.output.startswith("Main bearing oil clearance\n")
    wrong = CliRunner().invoke(main, ["show", "cummins-b-series", "--item", "big-end-clearance"])
    assert wrong.exit_code == 2
    assert "there are rod-bearing-clearance (Rod bearing oil clearance); " in wrong.output


@pytest.mark.parametrize(
    ("said", "first"),
    [("end float", "cam-end-play"), ("big end", "rod-"), ("gudgeon", "pin-"), ("throw", "crankpin-")],
)
def test_what_the_trade_says_proposes_and_chooses_nothing(said: str, first: str) -> None:
    wrong = CliRunner().invoke(main, ["show", "cummins-b-series", "--item", said])
    assert wrong.exit_code == 2
    assert f'no item "{said}"; there are {first}' in wrong.output


ITEM = ("main-bearing-clearance", "Main bearing oil clearance")


def test_a_worked_out_end_has_the_digits_of_the_page() -> None:
    options = ("--model", "6bt", "--size", "cylinder=0.5mm", "--item", "cylinder-bore")
    shown = CliRunner().invoke(main, ["show", "cummins-b-series", *options], catch_exceptions=False).output
    assert "4.0354 to 4.0400 in / 102.5 to 102.616 mm" in shown


def test_a_question_that_is_none_is_told_once() -> None:
    found = CliRunner().invoke(main, ["show", "cummins-b-series", "--fitted", "piston=cross-head piston"])
    assert (found.exit_code, found.stderr) == (2, 'runningfits: "piston": expected one of aspiration\n')


def test_on_a_terminal_lines_are_wrapped_between_words(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whole where a program reads them."""
    asked = ["show", "cummins-b-series", "--item", "main-bearing-clearance"]
    whole = CliRunner().invoke(main, asked, catch_exceptions=False).stdout
    assert max(map(len, whole.splitlines())) > 80
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setattr(options, "on_terminal", lambda err=False: True)
    for command in (asked, ["engines"]):
        told = CliRunner().invoke(main, command, catch_exceptions=False).stdout
        assert max(map(len, told.splitlines())) <= 80
    assert CliRunner().invoke(main, asked, catch_exceptions=False).stdout.split() == whole.split()
    refused = CliRunner().invoke(main, ["show", "cummins-b-series", "--item", "main-clearance"]).stderr
    assert refused.startswith("runningfits: no item ") and len(refused.splitlines()) > 1
    assert max(map(len, refused.splitlines())) <= 80
