"""Broken datasets: the audit names file, line and column, what was found and what was expected."""

import json
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from runningfits.cli import main

from . import dataset
from .dataset import ENGINE
from .dataset_cases import CASES, MANIFEST, SIZES, folder_for, without


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return dataset.make(tmp_path_factory.mktemp("good") / "data")


@pytest.fixture
def broken(good: Path, tmp_path: Path) -> Iterator[Path]:
    data = tmp_path / "data"
    shutil.copytree(good, data)
    yield data
    while (data / "a" / "a").is_dir():
        flatten(data)


def flatten(data: Path) -> None:
    """Take one level out of the deep folder, which is too deep for the cleaning of temporary folders."""
    (data / "a" / "a").rename(data / "b")
    (data / "a").rmdir()
    (data / "b").rename(data / "a")


def run(command: str, data: Path) -> Result:
    more = ["--remarks"] if command == "audit" else []
    return CliRunner().invoke(main, [command, str(data), *more], catch_exceptions=False)


def test_the_unbroken_dataset_has_one_remark(good: Path) -> None:
    result = run("audit", good)
    assert (result.exit_code, result.output) == (0, result.output)
    assert result.output.endswith(" rows: 0 errors, 0 warnings, 1 remark\n")
    assert "U110 last-digit-out-of-habit: 63.424 mm" in result.output


@pytest.mark.parametrize("name", CASES)
def test_the_audit_names_place_and_fault(name: str, broken: Path) -> None:
    edit, expected = CASES[name]
    edit(broken)
    result = run("audit", broken)
    assert expected in result.output
    assert "Traceback" not in result.output
    assert result.exit_code == 1


MORE_THAN_ONE = (
    "header-alone-in-units",
    "more-faults-than-can-be-shown",
    "unit-of-another-dimension",
    "nothing-at-all",
)
"""Cases that break several things: all units, a thousand lines, a size that other rows are judged by."""


@pytest.mark.parametrize("name", [n for n in CASES if n not in MORE_THAN_ONE])
def test_one_slip_is_one_finding(name: str, broken: Path) -> None:
    CASES[name][0](broken)
    findings = json.loads(CliRunner().invoke(main, ["audit", "--json", str(broken)], catch_exceptions=False).output)
    assert len([f for f in findings["findings"] if f["severity"] != "remark"]) == 1


@pytest.mark.parametrize("name", CASES)
def test_tidy_loses_nothing(name: str, broken: Path) -> None:
    CASES[name][0](broken)
    before = contents(broken)
    result = run("tidy", broken)
    assert "Traceback" not in result.output
    after = contents(broken)
    assert after.keys() == before.keys()
    left = [
        line.removeprefix("left ").partition(": ")[0] for line in result.stderr.splitlines() if result.exit_code == 1
    ]
    assert all(after[file] == before[file] for file in left)
    assert all(
        words(after[file]) == words(before[file]) for file in after if file.endswith(".csv") and file not in left
    )


def contents(data: Path) -> dict[str, bytes]:
    files = [p for p in (*data.iterdir(), *(data / "engines" / ENGINE).iterdir()) if p.is_file()]
    return {p.relative_to(data).as_posix(): p.read_bytes() for p in files}


def words(raw: bytes) -> list[str]:
    """Words of the cells in no order, which is what tidying keeps."""
    return sorted(raw.decode("utf-8-sig", "surrogateescape").replace(",", " ").replace('"', " ").split())


TIDIED = ("byte-order-mark", "blank-line", "blank-last-line", "crlf", "no-final-newline", "one-carriage-return")


@pytest.mark.parametrize("name", TIDIED)
def test_tidy_mends_the_form(name: str, broken: Path, good: Path) -> None:
    CASES[name][0](broken)
    assert run("tidy", broken).exit_code == 0
    assert (broken / SIZES).read_bytes() == (good / SIZES).read_bytes()


def test_tidy_lists_every_table_again(broken: Path, good: Path) -> None:
    CASES["manifest-without-a-table"][0](broken)
    assert run("tidy", broken).exit_code == 0
    assert (broken / MANIFEST).read_bytes() == (good / MANIFEST).read_bytes()


def test_tidy_of_an_empty_manifest_is_json(broken: Path) -> None:
    (broken / MANIFEST).write_text("{}", encoding="utf-8")
    assert run("tidy", broken).exit_code == 0
    assert list(json.loads((broken / MANIFEST).read_text(encoding="utf-8"))) == ["resources"]


NO_MANIFEST = f"no {MANIFEST}; expected the data folder of a dataset"


@pytest.mark.parametrize(
    ("command", "name", "expected"),
    [
        ("audit", "none", "no such folder"),
        ("audit", "units.csv", "no such folder"),
        ("audit", "engines", NO_MANIFEST),
        ("tidy", "none", NO_MANIFEST),
        ("tidy", "units.csv", NO_MANIFEST),
        ("tidy", "engines", NO_MANIFEST),
    ],
)
def test_a_folder_that_is_no_dataset(command: str, name: str, expected: str, broken: Path) -> None:
    result = run(command, broken / name)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == f"runningfits: {broken / name}: {expected}\n"


@pytest.mark.parametrize("command", ["audit", "tidy"])
@pytest.mark.parametrize("name", ["no-manifest", "folder-for-manifest"])
def test_a_dataset_without_manifest(command: str, name: str, broken: Path) -> None:
    {"no-manifest": without, "folder-for-manifest": folder_for}[name](MANIFEST)(broken)
    result = run(command, broken)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == f"runningfits: {broken}: {NO_MANIFEST}\n"


@pytest.mark.parametrize("command", ["audit", "tidy"])
def test_a_table_that_may_not_be_read(command: str, broken: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(path: Path) -> bytes:
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(Path, "read_bytes", refuse)
    result = run(command, broken)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == f"runningfits: [Errno 13] Permission denied: '{broken / 'units.csv'}'\n"


def test_findings_as_json_have_place_and_words(broken: Path) -> None:
    CASES["decimal-comma"][0](broken)
    result = CliRunner().invoke(main, ["audit", "--json", str(broken)], catch_exceptions=False)
    found = json.loads(result.output)
    first = {k: found["findings"][0][k] for k in ("file", "line", "column", "code", "name", "severity")}
    assert first == {
        "file": SIZES,
        "line": 4,
        "column": "lower",
        "code": "F111",
        "name": "wrong-type",
        "severity": "error",
    }
    assert (result.exit_code, found["counts"]["error"]) == (1, 1)
