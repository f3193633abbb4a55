"""The bench page asks for what a blank sheet of the same build asks for, place by place."""

import json
import subprocess
from pathlib import Path
from typing import Any

import pytest

import runningfits as rf
from runningfits.build import parsed
from runningfits.dataset import Dataset
from runningfits.sheets.faults import SheetError
from runningfits.sheets.measuring import measured
from runningfits.site import bench_page

from ..judging.test_builders import BUILDERS
from ..shop import codes
from .tools import node

RUNNER = Path(__file__).with_name("measured_runner.js")

BUILDS: list[tuple[str, dict[str, Any]]] = [
    *BUILDERS,
    ("cummins-b-series", {"model": "4b"}),
    ("cummins-b-series", {}),
    ("continental-avds-1790", {"model": "2c"}),
    ("gm-6-2-diesel", {"model": "6-2l"}),
    ("toyota-4a-fe", {"model": "4a-fe"}),
    ("amc-360", {"model": "304"}),
]


def answers(runner: Path, data: Dataset, jobs: list[dict[str, Any]]) -> list[Any]:
    told = json.dumps({"scripts": list(bench_page.scripts(data).values()), "jobs": jobs})
    done = subprocess.run([node(), str(runner)], input=told, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return list(json.loads(done.stdout))


@pytest.fixture(scope="module")
def pages(data: Dataset) -> list[Any]:
    jobs = [{"engine": e, "build": b} for e, b in BUILDS]
    return answers(RUNNER, data, jobs)


@pytest.mark.parametrize("number", range(len(BUILDS)))
def test_a_page_asks_for_what_a_sheet_asks_for(data: Dataset, pages: list[Any], number: int) -> None:
    engine, build = BUILDS[number]
    lines = measured(data, engine, parsed(build, data.units))
    asked = [(n.item, n.place, sorted(n.said.items()), [r.id for r in n.choice.rows]) for n in lines]
    told = [
        (group["item"], place, sorted(group["said"].items()), group["rows"])
        for group in pages[number]
        for place in group["places"]
    ]
    assert sorted(told) == sorted(asked)


JUDGE = Path(__file__).with_name("judge_runner.js")


def pin(tool: dict[str, str], value: str = "68.75") -> dict[str, Any]:
    """A crankpin read with a micrometer."""
    reading = {"item": "crankpin-diameter", "position": "1", "part": "shaft", "value": value, "unit": "mm"}
    build = {"model": "6bt", "size": {"crankpin": "-0.25 mm"}}
    instruments = [{"id": "mic-1", "resolution": "0.01", "unit": "mm", **tool}]
    return {
        "engine": "cummins-b-series",
        "build": build,
        "instruments": instruments,
        "readings": [reading | {"instrument": "mic-1"}],
    }


BANDS: list[tuple[dict[str, str], str, bool]] = [
    ({"instrument": "outside-micrometer-0-25"}, "68.75", True),
    ({"instrument": "outside-micrometer-150-175"}, "68.75", True),
    ({"instrument": "outside-micrometer-50-75"}, "68.75", False),
    ({"instrument": "outside-micrometer"}, "68.75", False),
    ({"instrument": "outside-micrometer-50-75"}, "75.40", False),
    ({"instrument": "outside-micrometer-50-75"}, "75.60", True),
    ({"instrument": "outside-micrometer", "range_from": "75", "range_to": "100"}, "68.75", True),
    ({"instrument": "caliper"}, "168.75", False),
]


def test_a_reading_outside_the_band_of_its_micrometer_is_found(data: Dataset) -> None:
    sheets = [pin(tool, value) for tool, value, _ in BANDS]
    there = [codes(rf.check(s, data).as_dict()) for s in sheets]
    assert [("B111" in found) for found in there] == [wanted for *_, wanted in BANDS]
    found = answers(JUDGE, data, [{"kind": "sheet", "given": {"sheet": s}} for s in sheets])
    assert [sorted(f["code"] for f in page["findings"]) for page in found] == there


def test_what_contradicts_the_model_and_what_the_model_answers(data: Dataset) -> None:
    build = {"model": "ch18", "fitted": {"bore": "80-mm-bore"}}
    reading = {"item": "cylinder-bore", "position": "1", "part": "bore", "value": "77.010", "unit": "mm"}
    tools = [{"id": "bore-1", "instrument": "bore-gauge"}]
    sheet = {
        "engine": "kohler-command-ch18-745",
        "build": build,
        "instruments": tools,
        "readings": [reading | {"instrument": "bore-1"}],
    }
    unknown = sheet | {"build": {"model": "ch18", "fitted": {"bore": "unknown"}}}
    wrong, open_one = answers(JUDGE, data, [{"kind": "sheet", "given": {"sheet": s}} for s in (sheet, unknown)])
    (fault,) = wrong["faults"]
    assert fault["place"] == "build.fitted.bore"
    assert "80-mm-bore" in fault["found"]
    assert "77-mm-bore" in fault["expected"]
    own = [r for r in open_one["results"] if r["item"] == "cylinder-bore"]
    assert [r["questions"] for r in own] == [[]]
    with pytest.raises(SheetError, match=r"77-mm-bore.* always has"):
        rf.check(sheet, data)
