"""Public names are frozen."""

import subprocess
import sys
from pathlib import Path

import pytest

import runningfits
from runningfits.dataset import Dataset
from runningfits.rows import Cite, Row

from . import typed_user


def _public(thing: object) -> list[str]:
    return sorted(n for n in dir(thing) if not n.startswith("_"))


def test_package() -> None:
    assert runningfits.__all__ == [
        "Cite",
        "Dataset",
        "Finding",
        "NotInDatasetError",
        "PositionError",
        "Report",
        "Result",
        "Row",
        "SheetError",
        "UnusableError",
        "__version__",
        "audit",
        "check",
        "judge",
        "load",
    ]
    assert all(getattr(runningfits, name) for name in runningfits.__all__)
    with pytest.raises(AttributeError, match="no attribute 'Sheet'"):
        _ = runningfits.Sheet


def test_dataset() -> None:
    assert _public(Dataset) == [
        "all_rows",
        "cite",
        "count",
        "counted_by",
        "detail_words",
        "engine",
        "engine_names",
        "engine_words",
        "engines",
        "family",
        "frame",
        "is_at",
        "item_words",
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
        "synonyms",
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


def test_what_a_user_writes_runs(root: Path, tmp_path: Path) -> None:
    assert typed_user.widths("cummins-ntc-400") == [0.0035]
    assert typed_user.widths("nothing") == []
    assert "loose" in typed_user.verdicts(str(root / "docs" / "demo" / "launch.json"))
    assert "no such file" in typed_user.verdicts(str(tmp_path / "none.json"))[0]
    assert typed_user.findings(str(tmp_path)) != []
