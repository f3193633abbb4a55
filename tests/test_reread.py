"""A second reading compared with a dataset."""

import csv
import io
import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from runningfits.auditing.form import schema
from runningfits.cli import main
from runningfits.places import folder
from runningfits.reread import COMPARED, kind

from .broken import dataset

EMPTY = dict.fromkeys(COMPARED, "")


@pytest.fixture
def data(tmp_path: Path) -> Path:
    return dataset.make(tmp_path / "data")


def rows(data: Path, name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO((data / "engines" / dataset.ENGINE / name).read_text(encoding="utf-8"))))


def written(base: Path, name: str, table: str, given: list[dict[str, str]]) -> Path:
    """A second reading on disk."""
    out = io.StringIO()
    writer = csv.DictWriter(out, [f["name"] for f in schema(folder("schema"), table)["fields"]], lineterminator="\n")
    writer.writeheader()
    writer.writerows(given)
    path = base / name
    path.write_text(out.getvalue(), encoding="utf-8")
    return path


def reread(data: Path, *files: Path) -> Result:
    return CliRunner().invoke(main, ["reread", *map(str, files), "--data", str(data)], catch_exceptions=False)


def test_the_same_numbers_agree(data: Path, tmp_path: Path) -> None:
    given = rows(data, "sizes.csv") + rows(data, "clearances.csv")
    result = reread(data, written(tmp_path, "again.csv", "sizes", given))
    assert result.exit_code == 0
    assert result.output.count("agrees: ") == len(given)
    assert f"{len(given)} rows agree, 0 differ, 0 only in the dataset" in result.output


def test_torques_are_compared_with_torques_alone(data: Path, tmp_path: Path) -> None:
    given = rows(data, "torques.csv")
    result = reread(data, written(tmp_path, "again.csv", "torques", given))
    assert result.exit_code == 0
    assert f"{len(given)} rows agree, 0 differ, 0 only in the dataset" in result.output


def test_a_digit_a_lost_row_and_an_added_one_are_told_by_row(data: Path, tmp_path: Path) -> None:
    first, *rest = rows(data, "sizes.csv") + rows(data, "clearances.csv")
    lost = rest.pop()
    changed = first | {"lower": first["lower"][:-1] + ("1" if first["lower"][-1] != "1" else "2")}
    added = first | {"quantity": "crank-end-play", "position": "front"}
    result = reread(data, written(tmp_path, "again.csv", "sizes", [changed, *rest, added]))
    assert result.exit_code == 1
    asked = [tmp_path / "again.csv", "--data", data, "--json"]
    told = json.loads(CliRunner().invoke(main, ["reread", *map(str, asked)]).output)
    (changed_cell,) = [d for c in told["differing"] for d in c["differences"]]
    assert (changed_cell["column"], changed_cell["first"]) == ("lower", first["lower"])
    assert [bool(c["row"]) for c in told["differing"]].count(False) == 1
    assert f"lower: {first['lower']} in the dataset, {changed['lower']} in again.csv:2 (one digit)" in result.output
    assert f"only in the dataset: {dataset.ENGINE}/{lost['quantity']}/" in result.output
    assert f"only in again.csv:{len(rest) + 3}: crank-end-play, front: lower {first['lower']}" in result.output
    assert "1 differ, 1 only in the dataset, 1 only in the second reading" in result.output


def test_two_rows_of_one_item_keep_their_places(data: Path, tmp_path: Path) -> None:
    first, *rest = rows(data, "sizes.csv") + rows(data, "clearances.csv")
    moved = first | {"position": "2"}
    result = reread(data, written(tmp_path, "again.csv", "sizes", [moved, *rest]))
    assert f"position: {first['position']} in the dataset, 2 in again.csv:2 (place)" in result.output


def test_a_spreadsheets_line_ends_are_taken(data: Path, tmp_path: Path) -> None:
    path = written(tmp_path, "again.csv", "torques", rows(data, "torques.csv"))
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n"))
    assert reread(data, path).exit_code == 0


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"lower": "0,25"}, "again.csv:2:lower: "),
        ({"page": "999"}, 'again.csv:2:page: "example", "999", expected a source and page of pages.csv'),
        ({"unit": " in"}, "again.csv:2:unit: "),
    ],
)
def test_faults_of_the_file_name_line_and_column(data: Path, tmp_path: Path, change: dict[str, str], said: str) -> None:
    first = rows(data, "sizes.csv")[0]
    result = reread(data, written(tmp_path, "again.csv", "sizes", [first | change]))
    assert result.exit_code == 2
    assert said in result.output
    assert "agrees" not in result.output


def test_what_cannot_be_used_is_said(data: Path, tmp_path: Path) -> None:
    assert reread(data, tmp_path / "none.csv").exit_code == 2
    other = tmp_path / "other.csv"
    other.write_text("a,b\n1,2\n", encoding="utf-8")
    assert "other.csv:1:a: " in reread(data, other).output
    good = written(tmp_path, "again.csv", "torques", rows(data, "torques.csv"))
    (data / "units.csv").write_text("unit\n", encoding="utf-8")
    faulty = reread(data, good)
    assert faulty.exit_code == 2
    assert "units.csv has faults of form" in faulty.output
    assert reread(tmp_path / "nowhere", good).exit_code == 2


@pytest.mark.parametrize(
    ("first", "second", "column", "expected"),
    [
        ({"upper": "0.0035"}, {"upper": "0.0036"}, "upper", "one digit"),
        ({"upper": "0.0035"}, {"upper": "0.0053"}, "upper", "digits exchanged"),
        ({"upper": "0.035"}, {"upper": "0.0035"}, "upper", "decimal point"),
        ({"upper": "3.50"}, {"upper": "35.0"}, "upper", "decimal point"),
        ({"upper": "-0.002"}, {"upper": "0.002"}, "upper", "sign"),
        ({"upper": "0.1778"}, {"upper": "0.178"}, "upper", "digit lost"),
        ({"upper": "0.1778"}, {"upper": "0.2031"}, "upper", "another number"),
        ({"upper": "0.002"}, {"nominal": "0.002"}, "upper", "another column"),
        ({"upper": "0.002"}, {"nominal": "0.002"}, "nominal", "another column"),
        ({"upper_2": "0.05"}, {}, "upper_2", "passed over"),
        ({"unit": "mm"}, {"unit": "in"}, "unit", "unit"),
    ],
)
def test_the_kind_of_a_difference(first: dict[str, str], second: dict[str, str], column: str, expected: str) -> None:
    assert kind(EMPTY | first, EMPTY | second, column) == expected
