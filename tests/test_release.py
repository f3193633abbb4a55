"""Versions that stand in several files for tools that read one only are the same everywhere."""

import json
import re
import tomllib
from pathlib import Path

import runningfits

ROOT = Path(__file__).parents[1]
PACKAGE = json.loads((ROOT / "data/datapackage.json").read_text(encoding="utf-8"))
CITATION = dict(re.findall(r"^([a-z-]+): (.+)$", (ROOT / "CITATION.cff").read_text(encoding="utf-8"), re.M))
META = json.loads((ROOT / "codemeta.json").read_text(encoding="utf-8"))


def test_the_citation_is_of_the_data() -> None:
    assert CITATION["version"] == PACKAGE["version"]
    assert CITATION["date-released"].strip('"') == PACKAGE["created"][:10]
    assert [CITATION["license"]] == [one["name"] for one in PACKAGE["licenses"]]


def test_the_program_s_version_has_one_source() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert "version" not in project
    assert (META["version"], META["name"]) == (runningfits.__version__, project["name"])


def test_the_changes_begin_with_this_release() -> None:
    first = re.search(r"^## (.+)$", (ROOT / "CHANGELOG.md").read_text(encoding="utf-8"), re.M)
    assert first is not None
    assert first[1] == f"Data {PACKAGE['version']}, program {runningfits.__version__}"
