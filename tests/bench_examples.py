"""Examples of the bench rules: rows of an invented engine, and a sheet that is judged by them."""

import json
import sqlite3
from pathlib import Path
from typing import Any

from runningfits.dataset import Dataset
from runningfits.judging import slips
from runningfits.judging.cases import bench
from runningfits.judging.torque import steps
from runningfits.sheets.sheet import load

from . import shop
from .auditing import examples

TABLES = ("models", "parts", "sizes", "clearances", "torques", "sequences")
"""Tables of an example's rows."""
HEAD = {"engine": "example-engine", "title": "Example", "temperature_spread": "0 K"}


def database(example: dict[str, Any], base: Path) -> sqlite3.Connection:
    """The tables that a rule's query meets in an example: of a sheet judged by its rows, or of a data folder."""
    if "sheet" not in example:
        return examples.database(example, base)
    data = rows_of(example, base)
    path = base / "sheet.json"
    path.write_text(json.dumps(HEAD | example["sheet"], indent=1), encoding="utf-8")
    found = bench(load(path, data), data)
    return slips.prepared(found, steps(found))


def rows_of(example: dict[str, Any], base: Path) -> Dataset:
    """The dataset of an example's rows."""
    return shop.shop(base, **{t: example[t] for t in TABLES if t in example})
