"""Numeric questions asked of each form, and what each file says of itself."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from decimal import Decimal
from itertools import zip_longest
from pathlib import Path
from typing import Any

import duckdb
import openpyxl
import pandas as pd
import polars as pl
import pyarrow.parquet as pq
import pytest

from runningfits.cautions import CAUTIONS
from runningfits.dataset import Dataset
from runningfits.version import SCHEMA_VERSION

POUND_FOOT = 1.3558179483314004


@pytest.fixture
def base(v1: Path) -> Iterator[sqlite3.Connection]:
    found = sqlite3.connect(v1 / "runningfits.sqlite")
    yield found
    found.close()


def sheet(v1: Path, name: str) -> list[dict[str, Any]]:
    """Lines of a sheet; a line ends with its last filled cell."""
    with closing(openpyxl.load_workbook(v1 / "runningfits.xlsx", read_only=True)) as book:
        head, *rows = book[name].iter_rows(values_only=True)
    return [dict(zip_longest(map(str, head), row)) for row in rows]


def test_the_greatest_torque_is_the_same_in_every_form(v1: Path, base: sqlite3.Connection, data: Dataset) -> None:
    steps = [r for e in data.engines for r in data.all_rows(e, "torques") if r["unit"] == "lbf.ft" and r["nominal"]]
    wanted = float(max(Decimal(r["nominal"]) for r in steps))
    assert wanted != float(max(r["nominal"] for r in steps)), "as text the greatest would be right by chance"
    parquet = v1 / "parquet" / "torques.parquet"
    query = "SELECT max(nominal), max(nominal_si) FROM {} WHERE unit = 'lbf.ft'"
    found = {
        "sqlite": base.execute(query.format("torques")).fetchone()[0],
        "duckdb": duckdb.sql(query.format(f"'{parquet}'")).fetchall()[0][0],
        "polars": pl.read_parquet(parquet).filter(pl.col("unit") == "lbf.ft")["nominal"].max(),
        "pandas": pd.read_parquet(parquet).query("unit == 'lbf.ft'")["nominal"].max(),
        "openpyxl": max(r["nominal"] for r in sheet(v1, "torques") if r["unit"] == "lbf.ft" and r["nominal"]),
    }
    assert found == dict.fromkeys(found, wanted)
    assert base.execute(query.format("torques")).fetchone()[1] == pytest.approx(wanted * POUND_FOOT, rel=1e-12)


@pytest.mark.parametrize("table", ["sizes", "clearances", "torques"])
def test_a_number_stands_beside_its_text_as_printed(
    v1: Path, base: sqlite3.Connection, data: Dataset, table: str
) -> None:
    printed = {r.id: r["nominal"] for e in data.engines for r in data.all_rows(e, table)}
    pairs = {i: (float(t) if t else None, t or None) for i, t in printed.items()}
    rows = base.execute(f"SELECT id, nominal, nominal_text FROM {table}").fetchall()
    assert {i: (n, t) for i, n, t in rows} == pairs
    frame = pl.read_parquet(v1 / "parquet" / f"{table}.parquet")
    assert {i: (n, t) for i, n, t in frame.select("id", "nominal", "nominal_text").iter_rows()} == pairs
    assert {r["id"]: (r["nominal"], r["nominal_text"]) for r in sheet(v1, table)} == pairs


def test_no_column_is_a_reserved_word(base: sqlite3.Connection) -> None:
    query = "SELECT keyword_name FROM duckdb_keywords() WHERE keyword_category = 'reserved'"
    reserved = {name for (name,) in duckdb.sql(query).fetchall()}
    assert "limit" in reserved
    names = [name for (name,) in base.execute("SELECT name FROM sqlite_schema WHERE type IN ('table', 'view')")]
    columns = {(n, c[1]) for n in names for c in base.execute(f"PRAGMA table_info({n})")}
    assert {c for c in columns if c[1] in reserved} == set()
    assert ("clearances", "wear_limit") in columns
    for name, column in columns:
        base.execute(f"SELECT {column} FROM {name} LIMIT 1")


def test_links_hold_and_have_an_index(base: sqlite3.Connection) -> None:
    assert base.execute("PRAGMA foreign_key_check").fetchall() == []
    linked = {row[2] for row in base.execute("PRAGMA foreign_key_list(torques)")}
    assert linked == {"engines", "joints", "units", "pages", "purposes"}
    plan = base.execute("EXPLAIN QUERY PLAN SELECT id FROM torques WHERE source = 'a' AND page = 'b'").fetchall()
    assert "USING INDEX torques_source_page" in plan[0][3]
    plan = base.execute("EXPLAIN QUERY PLAN SELECT id FROM torques WHERE joint = 'main-cap'").fetchall()
    assert "USING INDEX torques_joint" in plan[0][3]


@pytest.mark.parametrize("table", ["sizes", "clearances", "torques", "sequences"])
def test_a_cited_row_has_its_document_page_and_address(base: sqlite3.Connection, data: Dataset, table: str) -> None:
    query = f"SELECT id, document, document_title, page, page_address, misprinted FROM cited_{table}"
    found = {row[0]: row[1:] for row in base.execute(query)}
    titles = {s["source"]: (s["number"] or None, s["title"]) for s in data.table("sources")}
    wrong = {m["row"] for m in data.table("misprints")}
    rows = [r for e in data.engines for r in data.all_rows(e, table)]
    assert found == {r.id: (*titles[r["source"]], r["page"], r.cite.address, int(r.id in wrong)) for r in rows}
    if table == "torques":
        assert any(row[-1] for row in found.values())


def test_each_file_says_its_versions_licence_and_caution(v1: Path, base: sqlite3.Connection, data: Dataset) -> None:
    wanted = {
        "data_version": data.version,
        "schema_version": SCHEMA_VERSION,
        "licence": "CC0-1.0",
        "caution": " ".join(CAUTIONS),
    }
    said = [
        dict(base.execute("SELECT name, value FROM about").fetchall()),
        {r["name"]: r["value"] for r in sheet(v1, "about")},
        *(
            {k.decode(): v.decode() for k, v in pq.read_schema(path).metadata.items()}
            for path in (v1 / "parquet").iterdir()
        ),
    ]
    for found in said:
        assert {k: found[k] for k in wanted} == wanted
    assert base.execute("PRAGMA user_version").fetchone() == (int(SCHEMA_VERSION.split(".")[0]),)
