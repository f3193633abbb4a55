"""The command `torque`: each part alone, in lines of at most 80 columns and as JSON, cautions with both."""

import json
from typing import Any

import pytest
from click.testing import CliRunner, Result

from runningfits.cautions import CAUTIONS
from runningfits.cli import main


def run(line: str, *more: str) -> Result:
    return CliRunner().invoke(main, ["torque", *line.split(), *more], catch_exceptions=False)


def found(line: str) -> dict[str, Any]:
    result = run(line, "--json")
    assert result.exit_code == 0, result.stderr
    values: dict[str, Any] = json.loads(result.output)
    return values


ADAPTER = "adapter 300 lbf.in --wrench 10in --adapter 4in"
PRELOAD = "preload 31 lbf.ft --thread 3/8-16 --grade 5"
STRETCH = "stretch 0.15 mm --thread M10x1.25 --grade 10.9 --grip 60mm --shank 30mm"


@pytest.mark.parametrize(
    "line",
    [
        "convert 168 lbf.in",
        f"{ADAPTER} --to 250",
        "span 200 lbf.ft",
        PRELOAD,
        f"{PRELOAD} --threads oiled",
        STRETCH,
        "stretch --share 110 --thread 3/8-16 --grade 8 --grip 3in",
    ],
)
def test_lines_and_cautions(line: str) -> None:
    result = run(line)
    assert result.exit_code == 0
    assert max(map(len, result.output.splitlines())) <= 80
    assert " ".join(CAUTIONS) in " ".join(result.output.split())
    assert found(line)["cautions"] == list(CAUTIONS)


@pytest.mark.parametrize(
    ("line", "feet"),
    [("168 lbf.in", "14.00"), ("168 in-lb", "14.00"), ("19 N.m", "14.01"), ("2 kgf.m", "14.47"), ("14 ft-lb", "14.00")],
)
def test_units(line: str, feet: str) -> None:
    told = found(f"convert {line}")
    assert told["in"]["lbf.ft"] == feet
    assert told["trap"] in " ".join(run(f"convert {line}").output.split())


def test_the_trap_of_pound_inches() -> None:
    assert "twelve times too much" in found("convert 168 lbf.in")["trap"]
    assert "36 %" in found("convert 40 Nm")["trap"]


def test_an_adapter_both_ways() -> None:
    # TM 1-1500-204-23-9, fig. 8-16: 300 lbf.in, 10 in and 4 in: 214; TM 9-254, fig. 45: 60 set gives 70
    assert (found(ADAPTER)["set"], found(ADAPTER)["on_the_bolt"]) == ("214.3", "300.0")
    back = found("adapter 60 lbf.in --wrench 12in --adapter 2in --set")
    assert (back["set"], back["on_the_bolt"]) == ("60.00", "70.00")
    assert found(f"{ADAPTER} --angle 90")["set"] == "300.0"
    assert found(f"{ADAPTER} --angle 180")["set"] == "500.0"
    assert found("adapter 300 lbf.in --wrench 254mm --adapter 101.6mm")["set"] == "214.3"


@pytest.mark.parametrize(("most", "inside"), [("250", True), ("214", False), ("1100", False)])
def test_a_setting_outside_the_wrench(most: str, inside: bool) -> None:
    # 214.3 lies under a fifth of 1100
    told = found(f"{ADAPTER} --to {most}")
    assert told["span"]["inside"] is inside
    assert ("OUT" in run(f"{ADAPTER} --to {most}").output) is not inside


def test_a_span() -> None:
    assert {k: found("span 200 lbf.ft")[k] for k in ("from", "to", "unit")} == {
        "from": "40.00",
        "to": "200.0",
        "unit": "lbf.ft",
    }
    assert found("span 200 lbf.ft --from 50")["from"] == "50.00"


def test_preload() -> None:
    # 3/8-16 grade 5: 31 lbf.ft is three quarters of the proof load (TM 10-6640-238-13, table G-1)
    told = found(PRELOAD)
    assert (told["percent_of_proof"], told["percent_least"], told["percent_most"]) == ("75", "53", "98")
    assert (told["k"], told["scatter_percent"]) == ("0.2", "30")
    assert "TM 10-6640-238-13" in told["k_source"]
    assert "common practice" in run(PRELOAD).output
    assert told["preload"] == {"kN": "22.06", "lbf": "4960"}
    assert found(f"{PRELOAD} --k 0.15 --scatter 25")["percent_of_proof"] == "100"
    assert "OUT" in run(f"{PRELOAD} --threads oiled").output and "OUT" not in run(PRELOAD).output


def test_a_torque_for_a_share_of_the_proof_load() -> None:
    # ISO 898-1, 10.9, M10x1.25: 75 % and K 0.2 give 76.2 N.m
    told = found("preload --share 75 --thread M10x1.25 --grade 10.9")
    assert told["torque"]["N.m"] == "76.19"


def test_stretch_both_ways() -> None:
    told = found(STRETCH)
    again = found(f"stretch --share {told['percent_of_proof']} --thread M10x1.25 --grade 10.9 --grip 60mm --shank 30mm")
    assert float(again["stretch"]["mm"]) == pytest.approx(0.15, rel=0.01)
    assert "OUT" in run(STRETCH.replace("0.15", "0.30")).output


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("convert ten lbf.ft", "ten"),
        ("convert 0 lbf.ft", "more than 0"),
        ("convert 10 mm", "expected a unit of torque"),
        ("convert 10 furlong", "not a unit"),
        ("adapter 10 lbf.ft --wrench 10 --adapter 4in", "--wrench"),
        ("adapter 10 lbf.ft --wrench in --adapter 4in", "--wrench"),
        ("adapter 10 lbf.ft --wrench 10in --adapter 12in --angle 180", "longer"),
        ("adapter 10 lbf.ft --wrench 10in --adapter 1in --angle up", "--angle"),
        ("span 100 lbf.ft --from 200", "--from"),
        ("preload --thread M10x1.5 --grade 8.8", "VALUE and UNIT"),
        ("preload 10 --thread M10x1.5 --grade 8.8", "VALUE and UNIT"),
        ("preload 10 N.m --thread M10 --grade 8.8", "no thread"),
        ("preload 10 N.m --thread M10x1.5 --grade 8", "expected one of 8.8, 9.8, 10.9, 12.9"),
        ("preload 10 N.m --thread M10x1.5 --grade 8.8 --scatter 100", "--scatter"),
        ("preload 10 N.m --thread M10x1.5 --grade 8.8 --k 0", "--k"),
        ("stretch 1 N.m --thread M10x1.5 --grade 8.8 --grip 50mm", "expected a unit of length"),
        ("stretch 1 mm --thread M10x1.5 --grade 8.8 --grip 50mm --shank 60mm", "shank"),
    ],
)
def test_what_cannot_be_used(line: str, words: str) -> None:
    result = run(line)
    assert (result.exit_code, result.stdout) == (2, "")
    assert words in result.stderr and result.stderr.startswith("runningfits: ")
    assert len(result.stderr.splitlines()) == 1
