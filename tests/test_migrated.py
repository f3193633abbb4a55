"""Every number, unit and page of the data before 1.0.0 stands in the data of today, under the id that it has now.

What was read again and mended since is registered in `migrated/mended.csv` with its reason.
"""

import csv
import gzip
import io
import json
from pathlib import Path
from typing import Any

import pytest

from runningfits.dataset import Dataset
from runningfits.rows import Row

BASE = Path(__file__).parent / "migrated"


@pytest.fixture(scope="module")
def before() -> list[dict[str, str]]:
    text = gzip.decompress((BASE / "rows-0.2.0.csv.gz").read_bytes()).decode("utf-8")
    return list(csv.DictReader(io.StringIO(text)))


@pytest.fixture(scope="module")
def mended() -> dict[str, dict[str, tuple[str, str]]]:
    found: dict[str, dict[str, tuple[str, str]]] = {}
    with (BASE / "mended.csv").open(encoding="utf-8", newline="") as file:
        for r in csv.DictReader(file):
            assert r["why"]
            found.setdefault(r["row"], {})[r["column"]] = r["was"], r["is"]
    return found


@pytest.fixture(scope="module")
def now(data: Dataset) -> dict[tuple[str, str], Row]:
    tables = ("sizes", "clearances", "torques", "sequences")
    return {(t, r.id): r for e in data.engines for t in tables for r in data.all_rows(e, t)}


def test_as_many_rows_as_there_were(before: list[dict[str, str]]) -> None:
    assert sum(r["table"] != "sequences" for r in before) == 2190


def test_every_row_leads_on(
    data: Dataset,
    before: list[dict[str, str]],
    mended: dict[str, dict[str, tuple[str, str]]],
    now: dict[tuple[str, str], Row],
) -> None:
    moved = {r["old"]: r["new"] for r in data.table("renamed")}
    wrong: list[Any] = []
    for old in before:
        row = now.get((old["table"], moved.get(old["row"], old["row"])))
        if row is None:
            wrong.append((old["row"], "leads to no row"))
            continue
        page = moved.get(f"{old['source']}/{old['page']}", f"{old['source']}/{old['page']}")
        if f"{row['source']}/{row['page']}" != page:
            wrong.append((old["row"], page, row["page"]))
        changed = mended.get(old["row"], {})
        cells = json.loads(old["cells"])
        for column in {*cells, *changed} | {c for c in NUMBERS if row.cells.get(c)}:
            was, wanted = cells.get(column, ""), cells.get(column, "")
            if column in changed:
                assert changed[column][0] == was
                wanted = changed[column][1]
            if row.cells.get(column, "") != wanted:
                wrong.append((old["row"], column, wanted, row.cells.get(column)))
    assert wrong == []


NUMBERS = [f"{n}{s}" for n in ("lower", "upper", "nominal", "tolerance", "limit", "unit") for s in ("", "_2")]


def test_what_is_mended_is_of_a_row_that_was_there(
    before: list[dict[str, str]], mended: dict[str, dict[str, tuple[str, str]]]
) -> None:
    assert set(mended) <= {r["row"] for r in before}
