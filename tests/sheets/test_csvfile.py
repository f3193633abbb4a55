"""Sheets as CSV: the same sheet as JSON and as a workbook, from a file or a pipe; what other books are is named."""

import json
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from click.testing import CliRunner, Result

from runningfits.build import Build
from runningfits.cli import main
from runningfits.dataset import Dataset
from runningfits.sheets import blank, csvfile, grids, wording, workbook
from runningfits.sheets.sheet_form import fields

from ..shop import grid

ENGINE = "cummins-ntc-400"


@pytest.fixture(scope="module")
def sheet(data: Dataset) -> dict[str, Any]:
    """A blank sheet with the first strip of the mains read."""
    made = blank.blank(data, ENGINE, Build())
    first = next(r for r in made["readings"] if r["item"] == "main-bearing-clearance")
    first["value"] = "0.00371"
    return made


@pytest.fixture(scope="module")
def written(data: Dataset, sheet: dict[str, Any], tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """The sheet in each form, in people's words but for JSON."""
    there = tmp_path_factory.mktemp("forms")
    said = wording.labelled(sheet, data)
    forms = {e: there / f"sheet.{e}" for e in ("json", "xlsx", "csv")}
    forms["json"].write_text(json.dumps(sheet), encoding="utf-8")
    workbook.write(said, forms["xlsx"], fields())
    forms["csv"].write_text(csvfile.write(said, fields()), encoding="utf-8")
    return forms


def check(*arguments: str, given: str | None = None) -> Result:
    return CliRunner().invoke(main, ["check", *arguments], input=given, catch_exceptions=False)


def judged(path: Path) -> Any:
    found = json.loads(check(str(path), "--json").stdout)
    return {k: v for k, v in found.items() if k not in ("sheet_sha256", "findings", "build")}


def test_the_three_forms_are_judged_alike(written: dict[str, Path]) -> None:
    by_json, by_book, by_csv = (judged(written[e]) for e in ("json", "xlsx", "csv"))
    assert by_json == by_book == by_csv
    assert by_csv["results"][0]["item"] == "main-bearing-clearance"
    assert by_csv["not_measured"], "lines that are left empty are told"


@pytest.mark.parametrize("form", ["json", "csv"])
def test_a_sheet_comes_in_by_a_pipe(written: dict[str, Path], form: str) -> None:
    text = written[form].read_text(encoding="utf-8")
    found = json.loads(check("-", "--json", given=text).stdout)
    assert found["results"] == judged(written[form])["results"]


def test_semicolons_padded_rows_and_a_byte_order_mark_are_taken(written: dict[str, Path], tmp_path: Path) -> None:
    path = tmp_path / "padded.csv"
    rows = csvfile._lines(written["csv"].read_text(encoding="utf-8"), "x")
    wide = [[*cells, ""] for _, cells in rows]
    text = "\r\n".join(";".join(f'"{c}"' if ";" in c else c for c in cells) for cells in wide)
    path.write_text(text, encoding="utf-8-sig")
    assert judged(path)["results"] == judged(written["csv"])["results"]


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (("0.00371", "0.0x371"), ':value: "0.0x371", expected a plain number such as 0.0015'),
        (
            ("Main bearing oil clearance,1", "Main bearing clerence,1"),
            ':item: "Main bearing clerence", expected perhaps',
        ),
        (("readings\n", "redings\n"), "no section readings, expected sections sheet, build, instruments"),
        (("\nreadings\n", "\ntorques\n"), ": the section torques again, expected each section once"),
        (("sheet\n", "a sheet\n"), ':1: "a sheet", expected a line with the title of a section'),
        (("0.00371", '"0.00371'), "expected CSV with closed quotes"),
        (("0.00371", "=1+2"), ":value: a formula"),
    ],
)
def test_a_fault_has_line_and_column(
    written: dict[str, Path], tmp_path: Path, change: tuple[str, str], told: str
) -> None:
    text = written["csv"].read_text(encoding="utf-8")
    assert change[0] in text
    path = tmp_path / "wrong.csv"
    path.write_text(text.replace(*change, 1), encoding="utf-8")
    result = check(str(path))
    assert result.exit_code == 2
    assert told in result.stderr
    if told.startswith(":value"):
        line = path.read_text(encoding="utf-8").split(change[1])[0].count("\n") + 1
        assert f"wrong.csv:{line}{told}" in result.stderr


@pytest.mark.parametrize("end", [".ods", ".xls", ".numbers"])
def test_another_book_is_named_with_the_way_out(tmp_path: Path, end: str) -> None:
    path = tmp_path / f"sheet{end}"
    path.write_bytes(b"PK\x03\x04")
    result = check(str(path))
    assert result.exit_code == 2
    assert "save it in the spreadsheet as .xlsx" in result.stderr


def test_the_workbook_helps_to_fill_it(written: dict[str, Path]) -> None:
    book = openpyxl.load_workbook(written["xlsx"])
    rules = {s.title: s.data_validations.dataValidation for s in book if s.title != "help"}
    assert all(r.prompt for given in rules.values() for r in given)
    for title in (grids.BUILD, *grids.TABLES):
        head, *lines = grid(book, title)
        ruled = [c for r in rules["readings" if title == "readings" else "sheet"] for c in r.cells.ranges]
        assert all(any(h.column == c.min_col and c.min_row == h.row + 1 for c in ruled) for h in head if h.value)
        assert all(any(line[0].row in range(c.min_row, c.max_row + 1) for c in ruled) for line in lines)
    picks = {r.formula1 for r in rules["readings"] if r.type == "list"}
    tools = grid(book, "instruments")
    names = f"sheet!$A${tools[1][0].row}:$A${tools[-1][0].row + 2}"
    assert {names, '"bore,shaft,gap,strip"'} <= picks
    assert any("mm" in str(p) and "lbf.ft" in str(p) for p in picks)
    told = {row[0].value: row[2].value for row in grid(book, "sheet")}
    assert "68 F" in told["part temperature"]
    helped = {(row[0].value, row[1].value) for row in book["help"].iter_rows()}
    assert {("readings", "value"), ("torques", "thread state"), ("sheet", "date")} <= helped
