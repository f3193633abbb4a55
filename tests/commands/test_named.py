"""Engines by the names that people say, and what a shell completes."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from runningfits.cli import main
from runningfits.commands.named import engine_meant
from runningfits.dataset import Dataset
from runningfits.shared_tables import NotInDatasetError

SHELL = [sys.executable, "-c", "from runningfits.cli import main; main(prog_name='runningfits')"]


@pytest.mark.parametrize("said", ["NTC 400", "ntc400", "cummins ntc 400", "Cummins NTC-400", "cummins-ntc-400"])
def test_a_name_or_a_part_of_it_is_the_engine(data: Dataset, said: str) -> None:
    assert engine_meant(said, data) == "cummins-ntc-400"


def test_a_model_is_its_family(data: Dataset) -> None:
    assert engine_meant("6bt 5.9", data) == "cummins-b-series"


@pytest.mark.parametrize("said", ["perkins", "deutz diesel xyz", "", " ", "-"])
def test_what_several_or_none_bear_is_refused(data: Dataset, said: str) -> None:
    with pytest.raises(NotInDatasetError):
        engine_meant(said, data)


def test_several_are_told() -> None:
    result = CliRunner().invoke(main, ["show", "perkins"])
    assert result.exit_code == 2
    assert "perkins-4-108 (Perkins 4.108)" in result.stderr
    assert "say which" in result.stderr


def test_what_a_name_was_taken_for_is_told_beside_the_answer() -> None:
    asked = ["--item", "main-bearing-clearance", "--json"]
    by_name = CliRunner().invoke(main, ["show", "ntc400", *asked])
    assert by_name.stderr == '"ntc400" is taken as Cummins NTC-400 (cummins-ntc-400)\n'
    assert by_name.stdout == CliRunner().invoke(main, ["show", "cummins-ntc-400", *asked]).stdout


def completed(*words: str) -> list[str]:
    asked = {"COMP_WORDS": " ".join(("runningfits", *words)), "COMP_CWORD": str(len(words))}
    env = os.environ | asked | {"_RUNNINGFITS_COMPLETE": "bash_complete"}
    done = subprocess.run(SHELL, env=env, capture_output=True, text=True, check=True)
    assert done.stderr == ""
    return [line.partition(",")[2] for line in done.stdout.splitlines()]


@pytest.mark.parametrize(
    ("words", "there", "absent"),
    [
        (("show", "cummins-n"), "cummins-ntc-400", "cummins-b-series"),
        (("show", "cummins-b-series", "--model", "6"), "6bt", "4b"),
        (("sheet", "cummins-b-series", "--model", ""), "4b", "cummins-b-series"),
        (("show", "cummins-ntc-400", "--item", "main-b"), "main-bearing-clearance", "rod-bearing-clearance"),
        (("stack", "cummins-ntc-400", "--item", "main-bearing-c"), "main-bearing-clearance", "piston-clearance"),
    ],
)
def test_a_shell_completes(words: tuple[str, ...], there: str, absent: str) -> None:
    found = completed(*words)
    assert there in found
    assert absent not in found


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_line_that_switches_completion_on_is_in_readme_and_guide(shell: str, root: Path) -> None:
    """It sets what click looks for, and what comes back is a script for that shell that asks this command."""
    found = {re.findall(rf"^ +(.*\b_(\w+)={shell}_source runningfits.*?) +#", text(root, n), re.M)[0] for n in GUIDES}
    ((_, name),) = found
    env = os.environ | {f"_{name}": f"{shell}_source"}
    script = subprocess.run(SHELL, env=env, capture_output=True, text=True, check=True).stdout
    assert f"_{name}={shell}_complete" in script
    assert "runningfits" in script.splitlines()[-1 if shell != "zsh" else 0]


GUIDES = ("README.md", "DEVELOPERS.md")


def text(root: Path, name: str) -> str:
    return (root / name).read_text(encoding="utf-8")
