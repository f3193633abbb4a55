"""The same function under Spark and Dask: columns equal bit for bit in reading order."""

import os
import shutil
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest

import runningfits as rf

from .readings import table

REQUIRED = os.environ.get("RUNNINGFITS_CLUSTER") == "required"
TIMES = 40


def _need(module: str, tool: str = "") -> None:
    """Skip for want of an engine, or fail where RUNNINGFITS_CLUSTER is `required`."""
    missing = [module] if find_spec(module) is None else [tool] if tool and not shutil.which(tool) else []
    if missing and REQUIRED:
        pytest.fail(f"{missing[0]} is missing, and RUNNINGFITS_CLUSTER is required")
    if missing:
        pytest.skip(f"{missing[0]} is not installed")


def _bits(rows: list[dict[str, Any]]) -> list[list[str | None]]:
    """Cells as text in which no bit of a number is lost."""
    return [[c.hex() if isinstance(c, float) else c for c in row.values()] for row in rows]


WANTED = _bits(rf.judge(table(TIMES)).to_pylist())


def test_dask(tmp_path: Path) -> None:
    _need("dask")
    import dask.dataframe as dd
    import pyarrow as pa

    from runningfits.plant.on_dask import judge

    readings = dd.from_pandas(table(TIMES).to_pandas(), npartitions=7)
    found = pa.Table.from_pandas(judge(readings).compute(scheduler="synchronous"), preserve_index=False)
    assert _bits(found.to_pylist()) == WANTED


SPARK = """
import json, sys
import pyarrow.parquet as pq
from pyspark.sql import SparkSession
from runningfits.plant.on_spark import judge

local = {"spark.driver.bindAddress": "127.0.0.1", "spark.driver.host": "127.0.0.1", "spark.ui.enabled": "false"}
spark = SparkSession.builder.master("local[2]").config(map=local).getOrCreate()
frame = spark.read.parquet(sys.argv[1]).coalesce(1)
pq.write_table(judge(frame).toArrow(), sys.argv[2])
spark.stop()
"""


def test_spark(tmp_path: Path) -> None:
    """In a process of its own, whose Java ends with it."""
    _need("pyspark", "java")
    import pyarrow.parquet as pq

    pq.write_table(table(TIMES), tmp_path / "readings.parquet", row_group_size=100)
    command = [sys.executable, "-c", SPARK, str(tmp_path / "readings.parquet"), str(tmp_path / "verdicts.parquet")]
    done = subprocess.run(
        command, env={**os.environ, "PYSPARK_PYTHON": sys.executable}, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr[-2000:]
    assert _bits(pq.read_table(tmp_path / "verdicts.parquet").to_pylist()) == WANTED
