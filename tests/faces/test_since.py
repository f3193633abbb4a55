"""A sheet checked again later: what the data changed since, and whether it is the same sheet."""

import copy
import hashlib
import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

import runningfits as rf
from runningfits.cli import main
from runningfits.dataset import Dataset
from runningfits.faces.since import lines, since

MAIN = "main-bearing-clearance"


@pytest.fixture(scope="module")
def demo(root: Path) -> Path:
    return root / "docs" / "demo" / "launch.json"


@pytest.fixture(scope="module")
def now(data: Dataset, demo: Path) -> dict[str, Any]:
    return rf.check(demo, data).as_dict()


@pytest.fixture
def then(now: dict[str, Any]) -> dict[str, Any]:
    return copy.deepcopy(now)


def third(result: dict[str, Any]) -> dict[str, Any]:
    (found,) = [r for r in result["results"] if (r["item"], r["position"]) == (MAIN, "3")]
    return dict(found)


def run(sheet: Path, *more: str | Path) -> Result:
    return CliRunner().invoke(main, ["check", str(sheet), *map(str, more)], catch_exceptions=False)


def test_the_sheet_is_told_by_its_digest(now: dict[str, Any], demo: Path) -> None:
    assert now["sheet_sha256"] == hashlib.sha256(demo.read_bytes()).hexdigest()


def test_nothing_changed(now: dict[str, Any], then: dict[str, Any]) -> None:
    found = since(then, now)
    assert found == {
        "data_version": now["data_version"],
        "same_sheet": True,
        "changed": [],
        "added": [],
        "gone": [],
    }
    assert list(lines(found, now)) == [f"Judged as then (data {now['data_version']}, now {now['data_version']})."]


@pytest.mark.parametrize("end", ["lower", "upper", "limit", "id", "unit"])
def test_a_range_that_changed_is_named(now: dict[str, Any], then: dict[str, Any], end: str) -> None:
    third(then)["range"][end] = "0.0123"
    (changed,) = since(then, now)["changed"]
    assert (changed["item"], changed["position"]) == (MAIN, "3")


def test_a_verdict_that_changed_is_named_with_both_pages(now: dict[str, Any], then: dict[str, Any]) -> None:
    index = now["results"].index(third(now))
    then["results"][index] |= {"verdict": "worn"}
    then["data_version"] = "0.9.0"
    said = list(lines(since(then, now), now))
    assert said[0] == f"Judged otherwise than then (data 0.9.0, now {now['data_version']}):"
    assert said[2].startswith("    then: worn, inside the limit, by 0.0015 to 0.005")
    assert said[3].startswith("    now: OUT, loose, by 0.0015 to 0.005") and said[3].endswith("F-2]")


def test_what_came_and_went(now: dict[str, Any], then: dict[str, Any]) -> None:
    gone = dict(then["results"][0]) | {"position": "99", "place": "99"}
    added = then["results"].pop()
    then["results"].append(gone)
    found = since(then, now)
    assert [(r["item"], r["place"]) for r in found["gone"]] == [(gone["item"], "99")]
    assert [(r["item"], r["place"]) for r in found["added"]] == [(added["item"], added["place"])]


def test_the_command_tells_it(demo: Path, tmp_path: Path) -> None:
    before = tmp_path / "then.json"
    before.write_text(run(demo, "--json").output, encoding="utf-8")
    assert "Judged as then" in run(demo, "--since", before).output
    other = tmp_path / "other.json"
    other.write_text(json.dumps(json.loads(demo.read_text(encoding="utf-8")) | {"title": "Another"}), encoding="utf-8")
    assert "The sheet is not the one that was judged then" in run(other, "--since", before).output


@pytest.mark.parametrize("text", ["", "{}", "[]", "[[[", '{"engine": 1}', None])
def test_what_is_no_result_is_said(demo: Path, tmp_path: Path, text: str | None) -> None:
    before = tmp_path / "then.json"
    if text is not None:
        before.write_text(text, encoding="utf-8")
    found = run(demo, "--since", before)
    assert found.exit_code == 2
    assert "then.json" in found.output


def test_a_report_is_the_same_bytes_twice(demo: Path, tmp_path: Path) -> None:
    for name in ("a.html", "b.html"):
        run(demo, "--report", tmp_path / name)
    assert (tmp_path / "a.html").read_bytes() == (tmp_path / "b.html").read_bytes()
    assert hashlib.sha256(demo.read_bytes()).hexdigest() in (tmp_path / "a.html").read_text(encoding="utf-8")
