"""Drills by command: written, explained, marked."""

import csv
import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from runningfits.cli import main

from ..faces.test_report import safe

DRILL = ("nissan-h20", "--seed", "1")


def run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(main, [*map(str, arguments)], catch_exceptions=False)


def test_a_drill_is_written_filled_and_marked(tmp_path: Path) -> None:
    path = tmp_path / "d.csv"
    assert run("drill", *DRILL, "-o", path).exit_code == 0
    empty = run("drill", *DRILL, "--mark", path)
    assert empty.exit_code == 1
    told = run("drill", *DRILL, "--key").output
    assert max(map(len, told.splitlines())) <= 80
    calls = [line.rpartition(": ")[2] for line in told.splitlines()[1:] if line[:1].isdigit()]
    lines = list(csv.reader(path.read_text(encoding="utf-8-sig").splitlines()))
    filled = [[*x[:6], *(("", "yes") if c == "read again" else (c, ""))] for x, c in zip(lines[1:], calls, strict=True)]
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([lines[0], *filled])
    right = run("drill", *DRILL, "--mark", path)
    assert (right.exit_code, right.output.splitlines()[-1]) == (0, f"{len(calls)} of {len(calls)} right")


@pytest.mark.parametrize("form", ["json", "xlsx"])
def test_the_readings_are_a_bench_sheet_that_check_judges(form: str, tmp_path: Path) -> None:
    path = tmp_path / f"d.{form}"
    assert run("drill", *DRILL, "-o", path).exit_code == 0
    found = json.loads(run("check", path, "--json").output)
    assert found["title"].startswith("Drill 1: ")
    assert sum(not r["derived"] for r in found["results"]) >= 8


def test_the_page_to_print_runs_nothing_and_gives_no_answer_away(tmp_path: Path) -> None:
    one, two = tmp_path / "d.html", tmp_path / "e.html"
    for path in (one, two):
        run("drill", *DRILL, "-o", path)
    html = one.read_text(encoding="utf-8")
    safe(html, set())
    assert html == two.read_text(encoding="utf-8"), "twice the same bytes"
    assert "planted" not in html and "OUT" not in html and "suspected" not in html


def test_what_cannot_be_done_is_said(tmp_path: Path) -> None:
    there = tmp_path / "there.csv"
    there.write_text("x", encoding="utf-8")
    cases = [
        ((), "say one of: -o FILE"),
        (("--key", "--mark", there), "say one of: -o FILE"),
        (("-o", there), "is there already"),
        (("-o", tmp_path / "d.txt"), 'not ".txt"'),
        (("-o", tmp_path / "none" / "d.csv"), "No such file"),
        (("--mark", there), "no column No."),
    ]
    for arguments, told in cases:
        found = run("drill", *DRILL, *arguments)
        assert found.exit_code == 2, arguments
        assert told in found.output
    assert there.read_text(encoding="utf-8") == "x"
    assert "no-such-engine" in run("drill", "no-such-engine", "--seed", "1", "--key").output
    assert run("drill", "nissan-h20", "--seed", "-1", "--key").exit_code == 2
