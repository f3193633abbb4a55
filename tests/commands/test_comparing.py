"""Two sheets of one engine beside each other, by command."""

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from runningfits.cli import main

DEMO = Path(__file__).parents[2] / "docs/demo/launch.json"


def compare(*arguments: str | Path) -> Result:
    return CliRunner().invoke(main, ["compare", *map(str, arguments)], catch_exceptions=False)


def other(base: Path, **more: Any) -> Path:
    """The demo's sheet with some fields changed."""
    path = base / "other.json"
    path.write_text(json.dumps(json.loads(DEMO.read_text(encoding="utf-8")) | more), encoding="utf-8")
    return path


def moved(base: Path, part: str, by: float, position: str = "") -> Path:
    """The demo's sheet with the readings of a part moved, at one place or everywhere."""
    readings = json.loads(DEMO.read_text(encoding="utf-8"))["readings"]
    for r in readings:
        if r["part"] == part and position in ("", r["position"]):
            r["value"] = f"{float(r['value']) + by:.{len(r['value'].partition('.')[2])}f}"
    return other(base, readings=readings)


def test_a_sheet_agrees_with_itself(tmp_path: Path) -> None:
    found = compare(DEMO, other(tmp_path))
    assert found.exit_code == 0
    assert "DIFFER" not in found.output and "no place stands out of" in found.output


def test_an_offset_has_its_causes_in_order(tmp_path: Path) -> None:
    found = compare(DEMO, moved(tmp_path, "shaft", 0.0006))
    assert found.exit_code == 1
    said = found.output
    assert "mic-5 (launch.json) and mic-5 (other.json) DIFFER" in said
    assert said.index("not set on one standard") < said.index("12 K warmer on the second sheet") < said.index("presses")
    assert "STANDS OUT" not in said
    assert max(map(len, said.splitlines())) <= 80


def test_a_turn_of_the_micrometer_is_named(tmp_path: Path) -> None:
    found = compare(DEMO, moved(tmp_path, "shaft", 0.025, "4"))
    assert found.exit_code == 1
    found = compare(DEMO, moved(tmp_path, "shaft", 0.025, "3"))
    assert "Main journal diameter, 3: STANDS OUT" in found.output


def test_values_for_programs(tmp_path: Path) -> None:
    found = json.loads(compare(DEMO, moved(tmp_path, "shaft", 0.0006), "--json").output)
    assert (found["unit"], found["agrees"]) == ("in", False)
    (micrometer,) = [o for o in found["offsets"] if not o["agrees"]]
    assert micrometer["difference"] == "0.00060"


def test_found_and_assembled_tell_what_became_of_it(tmp_path: Path) -> None:
    later = other(tmp_path, stage="assembled", parts=[{"part": "main shells", "maker": "ours", "number": "17"}])
    found = compare(DEMO, later)
    assert found.exit_code == 1
    lines = found.output.splitlines()
    assert lines[0].startswith("Open: ") and "Done: main shells: ours 17" in lines
    at = lines.index("Main bearing oil clearance, 2")
    assert lines[at + 1].startswith("  found: ") and lines[at + 2].startswith("  assembled: ")
    assert compare(later, DEMO).output == found.output


@pytest.mark.parametrize(
    ("more", "told"),
    [
        ({"engine": "isuzu-c240", "build": {}, "readings": [], "torques": []}, ""),
        ({"readings": []}, ""),
        ({"build": {"model": "no such"}}, "no such"),
    ],
)
def test_sheets_that_cannot_be_compared(tmp_path: Path, more: dict[str, Any], told: str) -> None:
    found = compare(DEMO, other(tmp_path, **more))
    assert found.exit_code == 2
    assert told in found.output


def test_a_sheet_that_is_not_there() -> None:
    found = compare(DEMO, "nowhere.json")
    assert found.exit_code == 2 and "nowhere.json" in found.output
