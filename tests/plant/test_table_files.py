"""Tables of readings as files: each form in, verdicts whole or not at all."""

import json
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.csv as pc
import pyarrow.parquet as pq
import pytest
from click.testing import CliRunner, Result

import runningfits as rf
from runningfits.cli import main
from runningfits.plant.reading_columns import MADE

from .readings import VERDICTS, table


def _written(folder: Path, name: str) -> Path:
    path, readings = folder / name, table()
    if path.suffix == ".parquet":
        pq.write_table(readings, path, row_group_size=5)
    elif path.suffix == ".csv":
        pc.write_csv(readings, path)
    else:
        made = pa.ipc.new_stream if "stream" in name else pa.ipc.new_file
        with made(str(path), readings.schema) as out:
            out.write_table(readings, max_chunksize=4)
    return path


def _run(*words: Any) -> Result:
    return CliRunner().invoke(main, ["judge", *map(str, words)])


@pytest.mark.parametrize("name", ["r.parquet", "r.csv", "r.arrow", "stream.arrow"])
def test_every_form_in_gives_the_same(name: str, tmp_path: Path) -> None:
    out = tmp_path / "verdicts.parquet"
    found = _run(_written(tmp_path, name), "-o", out)
    assert found.exit_code == 1
    assert "12 readings" in found.output
    assert pq.read_table(out).select(MADE).to_pylist() == rf.judge(table()).select(MADE).to_pylist()


def test_verdicts_as_csv_read_as_they_were(tmp_path: Path) -> None:
    out = tmp_path / "verdicts.csv"
    assert _run(_written(tmp_path, "r.csv"), "-o", out, "--json").exit_code == 1
    back = pc.read_csv(out, convert_options=pc.ConvertOptions(strings_can_be_null=True))
    told = rf.judge(table())
    assert back["verdict"].to_pylist() == VERDICTS
    for name in MADE:
        assert back[name].to_pylist() == told[name].to_pylist()


def test_counts_as_json(tmp_path: Path) -> None:
    found = json.loads(_run(_written(tmp_path, "r.parquet"), "-o", tmp_path / "v.parquet", "--json").stdout)
    assert found["readings"] == 12
    assert found["verdicts"] == {v: VERDICTS.count(v) for v in VERDICTS}


def test_all_judged_is_status_0(tmp_path: Path) -> None:
    pq.write_table(table().slice(3, 1), tmp_path / "r.parquet")
    assert _run(tmp_path / "r.parquet", "-o", tmp_path / "v.parquet").exit_code == 0


BAD = {
    "ragged.csv": (b"engine,item,position,value,unit,instrument\na,b,1\n", "Row #2: Expected 6 columns, got 3"),
    "latin.csv": (b"engine,item,position,value,unit,instrument\xb5\n", "byte 0xb5, expected UTF-8"),
    "empty.csv": (b"", "an empty file"),
    "semicolon.csv": (b"engine;item;position;value;unit;instrument\n", 'no column "engine"'),
    "no.parquet": (b"engine,item", "no.parquet: "),
    "no.arrow": (b"engine,item", "no.arrow: "),
    "sheet.xlsx": (b"", "a table of readings is .parquet, .csv, .arrow, .feather"),
}


@pytest.mark.parametrize("name", BAD)
def test_a_file_that_is_no_table_is_told_and_leaves_nothing(name: str, tmp_path: Path) -> None:
    content, words = BAD[name]
    (tmp_path / name).write_bytes(content)
    found = _run(tmp_path / name, "-o", tmp_path / "v.parquet")
    assert found.exit_code == 2
    assert words in found.output
    assert "Traceback" not in found.output
    assert [p.name for p in tmp_path.iterdir()] == [name]


def test_a_fault_far_down_leaves_what_was_there(tmp_path: Path) -> None:
    """A line with too few cells after many good ones: no verdicts of the first half."""
    path, out = _written(tmp_path, "r.csv"), tmp_path / "v.csv"
    path.write_text(
        path.read_text(encoding="utf-8") * 1 + path.read_text(encoding="utf-8").split("\n", 1)[1] * 4_000 + "a,b\n"
    )
    out.write_text("before", encoding="utf-8")
    found = _run(path, "-o", out, "--force")
    assert found.exit_code == 2
    assert "Expected 9 columns, got 2" in found.output
    assert out.read_text(encoding="utf-8") == "before"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["r.csv", "v.csv"]


def test_nothing_is_written_over_unless_told(tmp_path: Path) -> None:
    path, out = _written(tmp_path, "r.parquet"), tmp_path / "v.parquet"
    assert "is the readings themselves" in _run(path, "-o", path, "--force").output
    out.write_bytes(b"")
    assert "say --force" in _run(path, "-o", out).output
    assert "no such file" in _run(tmp_path / "none.csv", "-o", tmp_path / "new.csv").output
    assert "verdicts are written as" in _run(path, "-o", tmp_path / "v.xlsx").output


def test_columns_of_no_use_here_are_kept(tmp_path: Path) -> None:
    _run(_written(tmp_path, "r.csv"), "-o", tmp_path / "v.parquet")
    assert pq.read_table(tmp_path / "v.parquet")["machine"].to_pylist() == table()["machine"].to_pylist()
