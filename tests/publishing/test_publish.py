"""The published form, read with the tools of those who use it."""

import hashlib
import json
import shutil
import sqlite3
import subprocess
import sys
import time
from decimal import Decimal
from itertools import zip_longest
from pathlib import Path

import duckdb
import openpyxl
import pandas as pd
import polars as pl
import pytest
from click.testing import CliRunner, Result
from frictionless import Package

from runningfits.cli import main
from runningfits.dataset import Dataset
from runningfits.findings import Finding
from runningfits.publishing import documents
from runningfits.shown import speaks_of
from runningfits.tables import of_engine
from runningfits.version import SCHEMA_VERSION

from ..broken import dataset

MAIN = "cummins-ntc-400/main-bearing-clearance/all@tm-9-2815-225-34p:F-2"


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["publish", *arguments], catch_exceptions=False)


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return dataset.make(tmp_path_factory.mktemp("small") / "data")


def load(path: Path) -> dict[str, object]:
    found: dict[str, object] = json.loads(path.read_text(encoding="utf-8"))
    return found


def test_twice_the_same_bytes(small: Path, tmp_path: Path) -> None:
    assert run(str(tmp_path / "one"), "--data", str(small)).exit_code == 0
    time.sleep(1.1)
    assert run(str(tmp_path / "two"), "--data", str(small)).exit_code == 0
    names = [p.relative_to(tmp_path / "one") for p in (tmp_path / "one").rglob("*") if p.is_file()]
    assert len(names) > 60
    assert [n for n in names if (tmp_path / "one" / n).read_bytes() != (tmp_path / "two" / n).read_bytes()] == []


def test_every_document_bears_its_versions(v1: Path, data: Dataset) -> None:
    wanted = {"schema_version": SCHEMA_VERSION, "data_version": data.version}
    paths = [v1 / f"{n}.json" for n in ("index", "quantities", "sources", "changes")] + list((v1 / "engines").iterdir())
    assert len(paths) == 4 + len(data.engines)
    for path in paths:
        found = load(path)
        assert {k: found[k] for k in wanted} == wanted
        assert str(found["generated_at"]).endswith("Z")


def test_the_page_of_a_finding_is_there(v1: Path) -> None:
    finding = Finding("sizes.csv", 2, "lower", "C101", "lower-above-upper", "error", "a", "b")
    assert (v1 / f"{finding.page}.md").read_text(encoding="utf-8").startswith("# C101 lower-above-upper\n")


def test_numbers_are_text_as_printed(v1: Path) -> None:
    found = load(v1 / "engines" / "cummins-ntc-400.json")
    (row,) = [r for r in found["ranges"] if r["id"] == MAIN]  # type: ignore[attr-defined]
    assert (row["lower"], row["upper"], row["limit"], row["lower_2"]) == ("0.0015", "0.005", "0.007", "0.0381")
    assert row["cite"]["text"] == "TM 9-2815-225-34&P, F-2"

    def numbers(value: object) -> list[object]:
        if isinstance(value, dict):
            return [n for v in value.values() for n in numbers(v)]
        if isinstance(value, list):
            return [n for v in value for n in numbers(v)]
        return [value] if isinstance(value, float) else []

    assert numbers(found) == []


def test_a_document_says_of_whom_its_rows_speak(v1: Path, data: Dataset) -> None:
    for engine in data.engines:
        found = load(v1 / "engines" / f"{engine}.json")
        family = data.family(engine)
        assert [m["model"] for m in found["models"]] == list(family.models)  # type: ignore[attr-defined]
        assert {c["source"] for c in found["covers"]} == set(family.covers)  # type: ignore[attr-defined]
        assert len(found["parts"]) == len(of_engine(data.path, engine, "parts"))  # type: ignore[arg-type]
        told = {r["id"]: (r["speaks_of"], r["doubt"]) for t in ("ranges", "torques") for r in found[t]}  # type: ignore[attr-defined]
        for row in data.rows(engine):
            assert told[row.id] == (", ".join(speaks_of(row, data)) or None, family.doubt(row) or None)


def test_tables_of_families_are_joined(v1: Path, data: Dataset) -> None:
    with sqlite3.connect(v1 / "runningfits.sqlite") as base:
        counts = {t: base.execute(f"SELECT count(*) FROM {t}").fetchone()[0] for t in documents.OF_FAMILY}
        six = base.execute("SELECT mains FROM models WHERE id = 'cummins-b-series/models/6bt'").fetchone()
        sized = base.execute(
            "SELECT count(*) FROM sizes WHERE size_text = '-0.25' AND engine = 'cummins-b-series'"
        ).fetchone()
    assert counts == {t: sum(len(of_engine(data.path, e, t)) for e in data.engines) for t in documents.OF_FAMILY}
    assert six == (7,)
    assert sized[0] == sum(r["size"] == "-0.25" for r in data.all_rows("cummins-b-series", "sizes"))


def test_frictionless_takes_the_package(v1: Path) -> None:
    report = Package(str(v1 / "datapackage.json")).validate()
    assert report.valid, report.flatten(["type", "note"])[:5]


def test_polars_reads_every_csv_without_an_option(v1: Path) -> None:
    """What a column holds is guessed from the first hundred rows; all rows are there, and a torque is a number."""
    for path in sorted((v1 / "csv").iterdir()):
        assert pl.read_csv(path).height == len(pd.read_csv(path, dtype=str)), path.name
    steps = pl.read_csv(v1 / "csv" / "torques.csv")
    whole = pl.read_csv(v1 / "csv" / "torques.csv", infer_schema_length=None)
    assert steps.equals(whole)
    assert steps["nominal"].dtype.is_numeric()


def test_the_form_stands_under_the_version_of_the_data_too(v1: Path, data: Dataset) -> None:
    for path in (p for p in v1.rglob("*") if p.is_file()):
        assert (v1.parent / data.version / path.relative_to(v1)).read_bytes() == path.read_bytes()


def test_pandas_polars_duckdb_and_sqlite_see_the_same_rows(v1: Path, data: Dataset) -> None:
    wanted = len([r for e in data.engines for r in data.all_rows(e, "clearances")])
    csv = pd.read_csv(v1 / "csv" / "clearances.csv", dtype={"lower": str})
    assert len(csv) == wanted
    assert csv.set_index("id").loc[MAIN, "lower"] == "0.0015"
    parquet = pl.read_parquet(v1 / "parquet" / "clearances.parquet")
    assert parquet.height == wanted
    (low,) = parquet.filter(pl.col("id") == MAIN)["lower_si"]
    assert low == pytest.approx(float(Decimal("0.0015") * Decimal("0.0254")), rel=1e-15)
    count = duckdb.sql(f"SELECT count(*) FROM '{v1}/parquet/clearances.parquet' WHERE upper_si > 0").fetchall()
    with sqlite3.connect(v1 / "runningfits.sqlite") as base:
        assert base.execute("SELECT count(*) FROM clearances WHERE upper_si > 0").fetchall() == count
        assert base.execute("SELECT upper_text FROM clearances WHERE id = ?", (MAIN,)).fetchone() == ("0.005",)
        assert base.execute("PRAGMA integrity_check").fetchone() == ("ok",)


@pytest.mark.skipif(not shutil.which("sqlite3"), reason="no sqlite3 shell here")
def test_the_sqlite_shell_reads_it(v1: Path) -> None:
    query = f"SELECT lower_text || ' ' || unit FROM clearances WHERE id = '{MAIN}'"
    done = subprocess.run(["sqlite3", "runningfits.sqlite", query], cwd=v1, capture_output=True, text=True, check=True)
    assert done.stdout == "0.0015 in\n"


@pytest.mark.skipif(not shutil.which("node"), reason="no Node here")
def test_node_reads_a_document(v1: Path) -> None:
    document = "require('./engines/cummins-ntc-400.json')"
    script = f"console.log({document}.ranges.find(r => r.id === process.argv[1]).upper)"
    done = subprocess.run(["node", "-e", script, MAIN], cwd=v1, capture_output=True, text=True, check=True)
    assert done.stdout == "0.005\n"


def test_the_workbook_has_a_sheet_a_table_with_number_and_text_as_printed(v1: Path) -> None:
    book = openpyxl.load_workbook(v1 / "runningfits.xlsx", read_only=True)
    names = [p["name"] for p in load(v1 / "datapackage.json")["resources"]]  # type: ignore[attr-defined]
    assert book.sheetnames == ["about", *names]
    rows = book["clearances"].iter_rows(values_only=True)
    head = next(rows)
    (row,) = [r for r in rows if r[0] == MAIN]
    cells = dict(zip_longest(head, row))
    assert (cells["lower"], cells["lower_text"]) == (0.0015, "0.0015")


def test_checksums_hold(v1: Path) -> None:
    listed = dict(
        reversed(line.split("  ", 1)) for line in (v1 / "SHA256SUMS").read_text(encoding="utf-8").splitlines()
    )
    files = {p.relative_to(v1).as_posix() for p in v1.rglob("*") if p.is_file()} - {"SHA256SUMS"}
    assert set(listed) == files
    for name, wanted in listed.items():
        assert hashlib.sha256((v1 / name).read_bytes()).hexdigest() == wanted


def test_every_source_is_cited_in_both_forms(v1: Path, data: Dataset) -> None:
    names = [s["source"] for s in data.table("sources")]
    text = (v1 / "sources.bib").read_text(encoding="utf-8")
    assert [
        line.removeprefix("@techreport{").rstrip(",") for line in text.splitlines() if line.startswith("@")
    ] == names
    assert text.count("{") - text.count("\\{") == text.count("}") - text.count("\\}")
    entries = json.loads((v1 / "sources.csl.json").read_text(encoding="utf-8"))
    assert [e["id"] for e in entries] == names
    assert len({e["title"] for e in entries}) == len(entries)
    assert all(e["author"][0]["literal"] for e in entries)
    assert text.count("  author = {{") == text.count("  title = {") == len(names)


def test_the_change_list_is_against_the_last_release(small: Path, tmp_path: Path) -> None:
    last = shutil.copytree(small, tmp_path / "last")
    path = last / dataset.SIZES
    path.write_text(path.read_text(encoding="utf-8").replace("2.4990", "2.4980", 1), encoding="utf-8")
    done = run(str(tmp_path / "new"), "--data", str(small), "--last", str(last), "--json")
    assert "v1/changes.json" in json.loads(done.output)["files"]
    found = load(tmp_path / "new" / "v1" / "changes.json")
    assert found["counts"] == {"added": 0, "changed": 1, "withdrawn": 0, "renamed": 0}


def test_the_change_list_of_a_first_release_is_a_count(v1: Path, data: Dataset) -> None:
    found = load(v1 / "changes.json")
    assert found["changes"] == []
    assert found["from"] == "0.0.0"
    assert found["counts"]["added"] > sum(len(data.rows(e)) for e in data.engines)  # type: ignore[index]


def test_the_missing_extra_is_named(small: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pyarrow", None)
    result = run(str(tmp_path / "out"), "--data", str(small))
    assert result.exit_code == 2
    assert result.output == "runningfits: pyarrow is not installed; it comes with the extra: runningfits[publish]\n"
    assert not (tmp_path / "out").exists()


def test_what_is_there_is_never_overwritten_and_a_broken_dataset_never_published(small: Path, tmp_path: Path) -> None:
    (tmp_path / "there").mkdir()
    assert run(str(tmp_path / "there"), "--data", str(small)).exit_code == 2
    assert list((tmp_path / "there").iterdir()) == []
    broken = shutil.copytree(small, tmp_path / "broken")
    path = broken / dataset.SIZES
    path.write_text(path.read_text(encoding="utf-8").replace("2.4990", "2.6990", 1), encoding="utf-8")
    result = run(str(tmp_path / "out"), "--data", str(broken))
    assert result.exit_code == 2
    assert "sizes.csv:4" in result.output and "has a finding" in result.output
    assert not (tmp_path / "out").exists()
    assert [p.name for p in tmp_path.iterdir() if p.name.startswith(".")] == []
