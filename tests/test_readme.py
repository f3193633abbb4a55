"""The README says what is so: its example runs, its row is what the command prints, every command stands in it."""

import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from runningfits.cli import _COMMANDS, main
from runningfits.dataset import Dataset


@pytest.fixture(scope="module")
def text(root: Path) -> str:
    return (root / "README.md").read_text(encoding="utf-8")


def test_the_example_runs_anywhere(text: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (code,) = re.findall(r"```python\n(.*?)```", text, re.DOTALL)
    names: dict[str, object] = {}
    exec(code, names)
    assert {"data", "result", "report", "frame"} <= set(names)
    result = names["result"]
    assert isinstance(result, dict)
    assert [r["verdict"] for r in result["results"]] == ["new"]


def test_the_row_is_what_the_command_prints(text: str) -> None:
    block = text.partition("$ runningfits show")[2].partition("\n\n")[0].splitlines()
    printed = CliRunner().invoke(main, ["show", *block[0].split()], catch_exceptions=False).output
    assert printed.splitlines() == [line.removeprefix("    ") for line in block[1:]]


def test_the_first_command_works_again(text: str, root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its check, as printed, in a folder where an earlier run left its report."""
    shutil.copytree(root / "docs" / "demo", tmp_path / "docs" / "demo")
    monkeypatch.chdir(tmp_path)
    (words,) = re.findall(r"^    python3 -m venv .*bin/runningfits (check .*?) \|\|", text, re.MULTILINE)
    for _ in range(2):
        assert CliRunner().invoke(main, words.split(), catch_exceptions=False).exit_code == 1
    assert (tmp_path / "launch.html").read_text(encoding="utf-8").startswith("<!doctype html>")


def test_every_command_stands_in_it(text: str) -> None:
    assert set(_COMMANDS) == set(re.findall(r"^    runningfits (\w+)", text, re.MULTILINE))
    assert len(re.findall(r"^    python3 -m venv", text, re.MULTILINE)) == 2


def test_every_command_has_help() -> None:
    for name in _COMMANDS:
        shown = CliRunner().invoke(main, [name, "--help"], catch_exceptions=False)
        assert shown.exit_code == 0
        assert len(shown.output.splitlines()) > 4


def test_a_lookup_that_finds_nothing_says_what_there_is() -> None:
    wrong = CliRunner().invoke(main, ["show", "cumins-ntc-4000"], catch_exceptions=False)
    assert wrong.exit_code == 2
    assert "cummins-ntc-400" in wrong.output
    empty = CliRunner().invoke(main, ["show", "cummins-ntc-400", "--item", "valve-lash"], catch_exceptions=False)
    assert empty.exit_code == 0
    assert "no range for Valve lash in this engine; there are:\n  Valve " in empty.output
    none = CliRunner().invoke(main, ["engines", "nothing-like-it"], catch_exceptions=False)
    assert none.exit_code == 2
    assert 'no engine for "nothing-like-it"' in none.output


def test_engines_are_found_by_words(data: Dataset) -> None:
    found = CliRunner().invoke(main, ["engines", "detroit"], catch_exceptions=False).output
    assert [line.split()[0] for line in found.splitlines()] == [e for e in data.engines if e.startswith("detroit-")]
    air = CliRunner().invoke(main, ["engines", "air diesel"], catch_exceptions=False).output
    cooled = [e for e, r in data.engines.items() if (r["cooling"], r["fuel"]) == ("air", "diesel")]
    assert [line.split()[0] for line in air.splitlines()] == cooled
    assert len(cooled) > 2
