"""The real dataset: clean, cited, in canonical form, a valid Data Package, as large as it claims."""

import shutil
import subprocess
import sys
from collections import Counter, defaultdict
from pathlib import Path

import pytest

import runningfits as rf
from runningfits import tables
from runningfits.auditing.form import schema
from runningfits.dataset import Dataset
from runningfits.places import folder
from runningfits.tidy import tidy


def test_the_audit_finds_nothing() -> None:
    report = rf.audit(folder("data"))
    assert not [f.text for f in report.findings if f.severity != "remark"]
    assert report.clean


def test_tidy_changes_nothing(tmp_path: Path) -> None:
    data = shutil.copytree(folder("data"), tmp_path / "data")
    assert tidy(data) == ([], [])


@pytest.mark.filterwarnings("ignore")
def test_frictionless_accepts_the_package(root: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "frictionless", "validate", "data/datapackage.json"],
        cwd=root,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr[-3000:]


def test_frictionless_finds_a_fault(root: Path, tmp_path: Path) -> None:
    data = shutil.copytree(root / "data", tmp_path / "data")
    path = data / "states.csv"
    path.write_text(path.read_text(encoding="utf-8").replace("hot,hot", "hot,"), encoding="utf-8")
    command = [sys.executable, "-m", "frictionless", "validate", "data/datapackage.json", "--resource-name", "states"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert "INVALID" in done.stdout


def test_size(data: Dataset) -> None:
    limits = [r for e in data.engines for t in ("sizes", "clearances") for r in data.all_rows(e, t)]
    steps = [r for e in data.engines for r in data.all_rows(e, "torques")]
    twice = sum(r["reading"] == "twice" for r in limits + steps)
    assert len(data.engines) >= 120
    assert len(limits) >= 4000
    assert len(steps) >= 650
    assert twice >= 0.9 * (len(limits) + len(steps))
    assert len(data.table("misprints")) >= 30
    assert min(Counter(r.engine for r in limits + steps).values()) >= 15


def test_vocabularies(data: Dataset) -> None:
    assert len(data.quantities) >= 90
    assert len(data.joints) >= 35
    limited = [i for i in data.table("instruments") if (i["mpe"] or i["mpe_percent"]) and i["source"]]
    assert len(limited) >= 12


def test_no_row_is_from_memory_and_every_row_has_its_page(data: Dataset) -> None:
    for engine in data.engines:
        for table in ("sizes", "clearances", "torques"):
            for row in data.all_rows(engine, table):
                assert row["reading"] in ("once", "twice")
                assert row.cite.page and row.cite.address.startswith("http")


def test_ids_are_unique(data: Dataset) -> None:
    rows = [
        tables.row_id(t, e, r)
        for e in data.engines
        for t in tables.PER_ENGINE
        for r in tables.rows(data.path / "engines" / e / f"{t}.csv")
    ]
    assert len(set(rows)) == len(rows)


def test_a_misprint_is_judged_by_its_correction(data: Dataset) -> None:
    for misprint in data.table("misprints"):
        engine = misprint["row"].partition("/")[0]
        row = next(
            r for t in ("sizes", "clearances", "torques") for r in data.all_rows(engine, t) if r.id == misprint["row"]
        )
        assert row[misprint["column"]] == misprint["printed"]
        value = row.value(misprint["column"])
        assert value is None if not misprint["corrected"] else str(value) == misprint["corrected"]


def test_sizes_and_clearances_close(data: Dataset) -> None:
    """At least twenty printed clearances can be checked against printed sizes of the same document."""
    from runningfits.auditing.load import load
    from runningfits.auditing.prepare import prepare

    base = prepare(load(folder("data")))
    pairs = base.execute("SELECT count(DISTINCT row) FROM pairs").fetchone()[0]
    base.close()
    assert pairs >= 20


@pytest.mark.parametrize("name", [*tables.SHARED, *tables.PER_ENGINE, "exceptions"])
def test_a_schema_explains_every_column(name: str) -> None:
    described = schema(folder("schema"), name)
    assert described["title"] and described["description"]
    assert all(f["title"] and f["description"] for f in described["fields"])
    assert set(described["primaryKey"]) <= {f["name"] for f in described["fields"]}


def test_no_document_tightens_for_a_check_in_more_steps_than_for_running(data: Dataset) -> None:
    """Where the last step of a procedure was not read, its first ones are no procedure."""
    plans: defaultdict[tuple[str, ...], Counter[str]] = defaultdict(Counter)
    for engine in data.engines:
        for r in data.all_rows(engine, "torques"):
            if r["purpose"] in ("", "measuring"):
                key = (engine, r.item, r["position"], r["which"], r["applies"], r["source"])
                plans[key][r["purpose"]] = max(plans[key][r["purpose"]], int(r["step"] or 1))
    short = [k for k, steps in plans.items() if steps[""] and steps["measuring"] > steps[""]]
    assert short == []
