"""Files written whole or not at all, whenever a run ends."""

import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from runningfits.cli import main
from runningfits.files import UNFINISHED, folder_beside, write_whole

from .broken import dataset

ENDS = """
import os, sys
from pathlib import Path
from runningfits.cli import main
left = {after}
def end(self, *more, **named):
    global left
    left -= 1
    if left < 0:
        os._exit(9)
    return there(self, *more, **named)
there = Path.{call}
Path.{call} = end
main({arguments})
"""


def ended(call: str, after: int, *arguments: str) -> int:
    """Status of a command that ends without a word at a call to write a file."""
    code = ENDS.format(call=call, after=after, arguments=list(arguments))
    return subprocess.run([sys.executable, "-c", code], capture_output=True, check=False).returncode


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, arguments, catch_exceptions=False)


@pytest.fixture
def data(tmp_path: Path) -> Path:
    return dataset.make(tmp_path / "data")


def names(folder: Path) -> list[str]:
    return sorted(p.relative_to(folder).as_posix() for p in folder.rglob("*"))


@pytest.mark.parametrize("after", [0, 1, 2])
def test_tidy_that_is_killed_leaves_what_the_next_one_clears(after: int, data: Path) -> None:
    before = {n: (data / n).read_bytes() for n in names(data) if (data / n).is_file()}
    for name in (dataset.path_of("sizes"), "units.csv", "datapackage.json"):
        (data / name).write_bytes((data / name).read_bytes().replace(b"\n", b"\r\n"))
    assert ended("replace", after, "tidy", str(data)) == 9
    assert any(n.endswith(UNFINISHED) for n in names(data))
    assert "stray-file" in run("audit", str(data)).output
    assert run("tidy", str(data)).exit_code == 0
    assert {n: (data / n).read_bytes() for n in names(data) if (data / n).is_file()} == before


@pytest.mark.parametrize(("call", "after"), [("write_text", 0), ("write_text", 9), ("write_bytes", 20), ("rename", 0)])
def test_publish_that_is_killed_leaves_what_the_next_one_clears(call: str, after: int, data: Path) -> None:
    target = data.parent / "out" / "site"
    target.parent.mkdir()
    (target.parent / ".site.notes").mkdir()
    assert ended(call, after, "publish", str(target), "--data", str(data)) == 9
    assert [n for n in names(target.parent) if UNFINISHED in n]
    assert run("publish", str(target), "--data", str(data)).exit_code == 0
    assert sorted(p.name for p in target.parent.iterdir()) == [".site.notes", "site"]


def test_what_others_left_stays(tmp_path: Path) -> None:
    others = [f".other.csv.abcdefgh{UNFINISHED}", ".a.csv.swp", f"a.csv.abcdefgh{UNFINISHED}", f".a.csv{UNFINISHED}"]
    for name in (*others, f".a.csv.abcdefgh{UNFINISHED}"):
        (tmp_path / name).write_bytes(b"")
    write_whole(tmp_path / "a.csv", "text\n")
    assert names(tmp_path) == sorted([*others, "a.csv"])
    assert (tmp_path / "a.csv").read_bytes() == b"text\n"


def test_a_folder_left_unfinished_goes(tmp_path: Path) -> None:
    (folder_beside(tmp_path / "site") / "v1").mkdir()
    assert len(names(tmp_path)) == 2
    folder_beside(tmp_path / "site")
    assert len(names(tmp_path)) == 1


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "there").mkdir()
    (tmp_path / "there" / "a.csv").write_bytes(b"before")
    (tmp_path / "a.csv").symlink_to(tmp_path / "there" / "a.csv")
    write_whole(tmp_path / "a.csv", "after")
    assert (tmp_path / "a.csv").is_symlink()
    assert (tmp_path / "there" / "a.csv").read_bytes() == b"after"
