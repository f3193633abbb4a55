"""Public names are frozen."""

import subprocess
import sys

import runningfits
from runningfits.dataset import Dataset
from runningfits.rows import Cite, Row


def _public(thing: object) -> list[str]:
    return sorted(n for n in dir(thing) if not n.startswith("_"))


def test_package() -> None:
    assert runningfits.__all__ == ["Dataset", "NotInDatasetError", "__version__", "audit", "check", "load"]


def test_dataset() -> None:
    assert _public(Dataset) == [
        "all_rows",
        "cite",
        "count",
        "counted_by",
        "detail_words",
        "engine",
        "engines",
        "family",
        "frame",
        "is_at",
        "joints",
        "keyed",
        "place_words",
        "preferred",
        "purpose_words",
        "quantities",
        "repair_parts",
        "repair_words",
        "rows",
        "sought",
        "table",
        "units",
        "version",
    ]


def test_row() -> None:
    assert _public(Row) == ["also", "in_unit", "item", "limit", "marks", "printed", "range", "step", "value"]
    fields = {"id", "table", "engine", "cells", "cite", "misprints", "marks", "also"}
    assert set(Row.__dataclass_fields__) == fields
    assert _public(Cite) == ["text"]


def test_looking_up_imports_no_heavy_library() -> None:
    heavy = ["numpy", "pandas", "frictionless", "pint", "openpyxl", "jsonschema", "rich"]
    code = (
        "import sys, runningfits as rf\n"
        "rows = rf.load().rows('cummins-ntc-400', 'main-bearing-clearance')\n"
        "assert rows\n"
        f"print(sorted(set({heavy}) & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
