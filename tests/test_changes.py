"""What changed between two versions."""

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from runningfits.cli import main

from .broken import dataset
from .broken.dataset_cases import cell


@pytest.fixture
def old(tmp_path: Path) -> Path:
    return dataset.make(tmp_path / "old")


@pytest.fixture
def new(old: Path, tmp_path: Path) -> Path:
    data = shutil.copytree(old, tmp_path / "new")
    manifest = data / "datapackage.json"
    values = json.loads(manifest.read_text(encoding="utf-8"))
    manifest.write_text(
        manifest.read_text(encoding="utf-8").replace(f'"{values["version"]}"', '"9.0.0"', 1), encoding="utf-8"
    )
    return data


def run(old: Path, new: Path, *more: str) -> Result:
    return CliRunner().invoke(main, ["changes", str(old), str(new), *more], catch_exceptions=False)


def test_nothing_changed(old: Path, new: Path) -> None:
    result = run(old, new)
    assert result.exit_code == 0
    assert result.output.endswith(" to 9.0.0: 0 added, 0 changed, 0 withdrawn, 0 renamed\n")


def test_a_changed_cell_has_both_numbers_and_the_reason(old: Path, new: Path) -> None:
    cell("sizes", 4, "lower", "2.4991")(new)
    row = f"{dataset.ENGINE}/main-journal-diameter/all@example:1"
    (new / "rereadings.csv").write_text(
        f"row,column,first,second,settled,kind,date\n{row},lower,2.4990,2.4991,2.4991,one digit,2026-01-03\n",
        encoding="utf-8",
    )
    found = json.loads(run(old, new, "--json").output)
    (change,) = [c for c in found["changes"] if c["table"] == "sizes"]
    assert (change["kind"], change["row"], change["old"]["lower"], change["new"]["lower"], change["why"]) == (
        "changed",
        row,
        "2.4990",
        "2.4991",
        "second reading: one digit",
    )
    assert f"changed sizes: {row} (second reading: one digit)\n    lower: 2.4990 is now 2.4991" in run(old, new).output


def test_a_row_added_and_one_withdrawn(old: Path, new: Path) -> None:
    path = new / dataset.SIZES
    first, *rest = path.read_text(encoding="utf-8").splitlines(keepends=True)[1:]
    header = path.read_text(encoding="utf-8").splitlines(keepends=True)[0]
    path.write_text(header + "".join(rest), encoding="utf-8")
    lost = first.split(",")[0]
    result = run(old, new)
    assert result.exit_code == 1
    assert f"withdrawn sizes: {dataset.ENGINE}/{lost}/" in result.output
    assert f"added sizes: {dataset.ENGINE}/{lost}/" in run(new, old).output


def test_a_renamed_row_is_neither_added_nor_withdrawn(old: Path, new: Path) -> None:
    name = f"{dataset.ENGINE}/main-journal-diameter/all@example:1"
    cell("sizes", 4, "state", "cold")(new)
    here = f"{dataset.ENGINE}/main-journal-diameter/all/cold@example:1"
    header = (new / "renamed.csv").read_text(encoding="utf-8").splitlines()[0]
    values = {"old": name, "new": here, "why": "told apart", "date": "2026-01-03"}
    line = ",".join(values.get(c, "") for c in header.split(","))
    (new / "renamed.csv").write_text(f"{header}\n{line}\n", encoding="utf-8")
    output = run(old, new).output
    assert f"renamed sizes: {name} is now {here}" in output
    assert "1 renamed" in output
    assert "withdrawn sizes" not in output and "added sizes" not in output


def test_a_renamed_row_whose_number_changed_is_told_as_both(old: Path, new: Path) -> None:
    name = f"{dataset.ENGINE}/main-journal-diameter/all@example:1"
    cell("sizes", 4, "state", "cold")(new)
    cell("sizes", 4, "lower", "2.4991")(new)
    header = (new / "renamed.csv").read_text(encoding="utf-8").splitlines()[0]
    here = f"{dataset.ENGINE}/main-journal-diameter/all/cold@example:1"
    values = {"old": name, "new": here, "why": "told apart", "date": "2026-01-03"}
    (new / "renamed.csv").write_text(
        f"{header}\n{','.join(values.get(c, '') for c in header.split(','))}\n", encoding="utf-8"
    )
    output = run(old, new).output
    assert f"renamed sizes: {name} is now {here}" in output
    assert f"changed sizes: {here}\n    lower: 2.4990 is now 2.4991\nrenamed" in output


def test_a_folder_that_cannot_be_used(old: Path, tmp_path: Path) -> None:
    assert run(old, tmp_path / "none").exit_code == 2
    broken = shutil.copytree(old, tmp_path / "broken")
    (broken / "units.csv").write_text("unit\n", encoding="utf-8")
    result = run(old, broken)
    assert result.exit_code == 2
    assert "units.csv has faults of form" in result.output


def test_a_folder_of_the_form_before_1_0_0_is_read(new: Path, tmp_path: Path) -> None:
    """Rows of that time lead on by their old ids; columns that are no more are no change."""
    before = tmp_path / "before"
    rows = before / "engines" / dataset.ENGINE
    rows.mkdir(parents=True)
    (before / "datapackage.json").write_text('{"version": "0.2.0"}', encoding="utf-8")
    columns = "quantity,position,variant,class,at,lower,upper,unit,source,page"
    line = "main-journal-diameter,all,early,new,,2.4980,2.5000,in,example,page 1"
    (rows / "sizes.csv").write_text(f"{columns}\n{line}\n", encoding="utf-8")
    here = f"{dataset.ENGINE}/main-journal-diameter/all@example:1"
    old = f"{dataset.ENGINE}/main-journal-diameter/all/early@example:page 1"
    (new / "renamed.csv").write_text(f"old,new,why,date\n{old},{here},a reason,2026-01-03\n", encoding="utf-8")
    output = run(before, new).output
    assert f"renamed sizes: {old} is now {here}" in output
    assert f"changed sizes: {here}\n    lower: 2.4980 is now 2.4990\n" in output
    assert "0 withdrawn" in output
