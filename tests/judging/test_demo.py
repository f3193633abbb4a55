"""The invented sheet of the demo shows what the bench can say."""

from pathlib import Path
from typing import Any

import pytest

import runningfits as rf
from runningfits.dataset import Dataset
from runningfits.judging.decide import VERDICTS

from ..shop import codes, one

MAIN = "main-bearing-clearance"


@pytest.fixture(scope="module")
def launch(data: Dataset, root: Path) -> dict[str, Any]:
    return rf.check(root / "docs" / "demo" / "launch.json", data).as_dict()


def test_the_common_verdicts_are_there(launch: dict[str, Any]) -> None:
    # its engine prints no fit without a limit that was measured, no single value, and nobody wrote an absurd one
    missing = set(VERDICTS) - {r["verdict"] for r in launch["results"] if not r["derived"]}
    assert missing == {"past-new", "agrees", "bad-entry"}


def test_main_bearings(launch: dict[str, Any]) -> None:
    # TM 9-2815-225-34&P, F-2: 0.0015 to 0.005 in, limit 0.007 in; smallest bore less mean journal
    expected = {
        "1": ("0.00337", "new"),
        "2": ("0.00587", "worn"),
        "3": ("0.00857", "loose"),
        "5": ("0.02837", "loose"),
        "6": ("0.00400", "serviceable"),
    }
    assert {p: (one(launch, MAIN, p)["value"], one(launch, MAIN, p)["verdict"]) for p in expected} == expected


def test_a_strip_disagrees(launch: dict[str, Any]) -> None:
    (other,) = one(launch, MAIN, "4")["agreement"]
    assert (other["way"], other["agrees"]) == ("strip", False)
    assert other["causes"]
    assert abs(float(other["difference"])) > float(other["allowed"])


def test_a_caliper_tells_no_more_than_that_it_lies_inside_the_limit(launch: dict[str, Any]) -> None:
    found = one(launch, MAIN, "6")
    assert found["verdict"] == "serviceable"
    assert any("caliper-1" in c["cause"] for c in found["components"])


def test_a_slip_is_named_and_kept(launch: dict[str, Any]) -> None:
    assert "B103" in codes(launch)
    assert one(launch, MAIN, "5")["value"] == "0.02837"


def test_end_play_is_too_small_and_has_a_remedy(launch: dict[str, Any]) -> None:
    found = one(launch, "crank-end-play", "thrust")
    assert (found["verdict"], found["remedies"][0]["action"]) == ("tight", "seat again")


def test_a_loose_bearing_without_an_undersize_in_the_data_has_no_grinding_size(launch: dict[str, Any]) -> None:
    (grind,) = [o for o in one(launch, MAIN, "3")["remedies"] if o["action"] == "grind"]
    assert grind["general"] and grind["parts"] == [] and "none is in the data" in grind["text"]


def test_a_suspected_reading_is_read_again_first(launch: dict[str, Any]) -> None:
    found = one(launch, MAIN, "5")
    assert found["suspected"] and found["remedies"][0]["action"] == "measure again"
    assert "measure again" not in [o["action"] for o in one(launch, MAIN, "3")["remedies"]]


def test_a_stage_out_of_order(launch: dict[str, Any]) -> None:
    assert [(t["position"], t["step"]) for t in launch["torques"] if t["verdict"] == "out-of-order"] == [("2", 5)]
    assert "B206" in codes(launch)


def test_it_is_invented(launch: dict[str, Any]) -> None:
    assert launch["title"] == "Rescue launch Tern: main engine, lower end"
    assert launch["engine"] == "cummins-ntc-400"
