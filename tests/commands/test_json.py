"""Every command can be read by a program: what it prints with --json is JSON, and says what was written."""

import csv
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click
import pytest
from click.testing import CliRunner

from runningfits.cli import main

from ..broken import dataset


def commands(group: click.Group, *words: str) -> Iterator[tuple[tuple[str, ...], click.Command]]:
    """Commands by the words that call them, those of groups too."""
    context = click.Context(group)
    for name in group.list_commands(context):
        found = group.get_command(context, name)
        if isinstance(found, click.Group):
            yield from commands(found, *words, name)
        elif found:
            yield (*words, name), found


COMMANDS = dict(commands(main))


def test_commands_of_groups_are_among_them() -> None:
    assert {("check",), ("torque", "span")} <= set(COMMANDS)


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_a_command_has_it(words: tuple[str, ...]) -> None:
    assert "--json" in {o for p in COMMANDS[words].params for o in p.opts}


def told(*arguments: object, status: int = 0) -> Any:
    """What a command prints with --json."""
    done = CliRunner().invoke(main, [*map(str, arguments), "--json"], catch_exceptions=False)
    assert done.exit_code == status, done.output
    return json.loads(done.stdout)


@pytest.mark.parametrize("form", ["json", "xlsx", "csv", "html"])
def test_a_blank_sheet_says_where_and_of_what_it_is(form: str, tmp_path: Path) -> None:
    path = tmp_path / f"blank.{form}"
    found = told("sheet", "nissan-h20", "-o", path)
    assert path.is_file()
    assert found == {"wrote": str(path), "engine": "nissan-h20", "lines": found["lines"], "filled": 0} | {
        "empty": found["lines"]
    }
    if form == "json":
        sheet = json.loads(path.read_text(encoding="utf-8"))
        assert found["lines"] == len(sheet["readings"]) + len(sheet["torques"]) > 50


def test_a_resumed_sheet_says_what_is_filled(root: Path, tmp_path: Path) -> None:
    demo = json.loads((root / "docs" / "demo" / "launch.json").read_text(encoding="utf-8"))
    found = told("sheet", "--resume", root / "docs" / "demo" / "launch.json", "-o", tmp_path / "next.json")
    assert found["engine"] == demo["engine"]
    assert found["filled"] == len(demo["readings"]) + len(demo.get("torques", []))
    assert found["lines"] == found["filled"] + found["empty"]


def test_a_note_says_how_many_places_are_on_it(root: Path, tmp_path: Path) -> None:
    found = told("note", root / "docs" / "demo" / "launch.json", "-o", tmp_path / "note.html")
    page = (tmp_path / "note.html").read_text(encoding="utf-8")
    assert found["wrote"] == str(tmp_path / "note.html")
    places = [line for line in page.split("<tr>")[1:] if "<td" in line]
    assert found["lines"] == len(places) > 0


def test_a_drill_says_its_places_key_and_marks(tmp_path: Path) -> None:
    path, drill = tmp_path / "d.csv", ("drill", "nissan-h20", "--seed", 1)
    written = told(*drill, "-o", path)
    key = told(*drill, "--key")
    assert (written["wrote"], written["engine"]) == (str(path), "nissan-h20")
    assert (written["title"], written["lines"]) == (key["title"], len(key["places"]))
    assert all(p["reasons"] for p in key["places"])
    empty = told(*drill, "--mark", path, status=1)
    assert [p["said"] for p in empty["places"]] == [None] * written["lines"]
    head, *lines = csv.reader(path.read_text(encoding="utf-8-sig").splitlines())
    answers = [p["answer"] for p in key["places"]]
    filled = [[*x[:6], a["call"], "yes" if a["read_again"] else ""] for x, a in zip(lines, answers, strict=True)]
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([head, *filled])
    marks = told(*drill, "--mark", path)
    assert marks["right"] == written["lines"]
    assert all(p["right"] and p["said"]["read_again"] == p["answer"]["read_again"] for p in marks["places"])


def test_a_rule_s_page_comes_as_json_too() -> None:
    found = told("audit", "--about", "C101")
    assert found["rule"] == "C101"
    assert "lower" in found["page"]


def test_tidy_and_audit_say_it_of_a_folder(tmp_path: Path) -> None:
    data = dataset.make(tmp_path / "data")
    assert told("audit", data)["counts"]["error"] == 0
    assert told("tidy", data) == {"tidied": [], "left": []}


@pytest.mark.parametrize("more", [[], ["--json"]])
def test_a_check_says_where_its_report_went(more: list[str], root: Path, tmp_path: Path) -> None:
    """On standard error beside a result as JSON."""
    report = tmp_path / "r.html"
    asked = ["check", str(root / "docs" / "demo" / "launch.json"), "--report", str(report), *more]
    done = CliRunner().invoke(main, asked, catch_exceptions=False)
    assert f"wrote {report}\n" in (done.stderr if more else done.stdout)
    assert not more or json.loads(done.stdout)["results"]
