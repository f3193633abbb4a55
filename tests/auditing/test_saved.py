"""What a spreadsheet made of a table is named as what it is."""

import shutil
from pathlib import Path

import pytest

import runningfits as rf
from runningfits.places import folder


@pytest.fixture
def data(tmp_path: Path) -> Path:
    return Path(shutil.copytree(folder("data"), tmp_path / "data"))


@pytest.mark.parametrize(("between", "words"), [(";", "semicolons"), ("\t", "tabs")])
def test_another_separator(data: Path, between: str, words: str) -> None:
    path = data / "units.csv"
    path.write_text(path.read_text(encoding="utf-8").replace(",", between), encoding="utf-8", newline="\n")
    found = [f for f in rf.audit(data).findings if f.file == "units.csv"]
    assert [f.message for f in found] == [
        f"header with {words} between the cells, as some spreadsheets save a table, expected commas"
    ]


def test_a_date_in_the_form_of_a_spreadsheet(data: Path) -> None:
    path = data / "pages.csv"
    lines = path.read_text(encoding="utf-8").splitlines()
    lines[1] = lines[1][: lines[1].rindex(",")] + ",24.11.2026"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")
    (found,) = [f for f in rf.audit(data).findings if f.line == 2 and f.column == "read_on"]
    assert found.message == '"24.11.2026", a date in the form of a spreadsheet, expected a date such as 2026-11-24'
