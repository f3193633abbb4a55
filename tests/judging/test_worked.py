"""Worked examples of training and repair manuals, as whole sheets."""

from pathlib import Path

import pytest

from runningfits.dataset import Dataset

from ..shop import fit, judge, one, reading, row, shop

PISTON, MAIN, GUIDE = "piston-clearance", "main-bearing-clearance", "valve-stem-clearance"


def test_ribbon(tmp_path: Path) -> None:
    # TM 9-2815-202-34, p. 6-36: a ribbon of 0.004 in that 6 lbf pull shows a clearance of 0.005 in (ribbon + 0.001);
    # new 0.0045 to 0.0083 in, used 0.0120 in at most
    data = shop(tmp_path, clearances=[row(PISTON, "0.0045", "0.0083", "0.0120")])
    ribbon = reading(PISTON, "gap", "0.0045", instrument="feeler-1", to="0.0055")
    assert one(judge(data, ribbon, decision="simple"), PISTON)["verdict"] == "new"
    # its U of 0.0008 in (limit 0.0003, half of 0.001 in, the hand) reaches the lower end: guarded, it cannot tell
    assert one(judge(data, ribbon), PISTON)["verdict"] == "cannot-tell"
    worn = reading(PISTON, "gap", "0.0095", instrument="feeler-1", to="0.0105")
    assert one(judge(data, worn), PISTON)["verdict"] == "worn"


def test_a_clearance_is_diametral(tmp_path: Path) -> None:
    # CORD, Michigan engine repair, example 10: journal 1.125, bearing 1.1273 in; it prints half, 0.00115 in
    data = shop(tmp_path, clearances=[row("cam-bearing-clearance", "0.0015", "0.0030")])
    found = one(judge(data, *fit("cam-bearing-clearance", "1.1273", "1.1250")), "cam-bearing-clearance")
    assert (found["value"], found["verdict"]) == ("0.00230", "new")


def test_guide_and_stem(tmp_path: Path) -> None:
    # CORD, engine repair, example 4: guide 0.3458, stem 0.3413 in, 0.0015 in at most; the answer by arithmetic
    data = shop(tmp_path, clearances=[row(GUIDE, "", "", "0.0015")])
    found = one(judge(data, *fit(GUIDE, "0.3458", "0.3413")), GUIDE)
    assert (found["value"], found["verdict"], found["margins"]["limit"]) == ("0.00450", "loose", "-0.00300")


@pytest.mark.parametrize(
    ("method", "value"),
    [
        # Improving Machinery Reliability, table 3-2: radial 2.00, 4.00 and 3.50 thousandths, diametral twice that
        ("smallest-bore-minus-largest-shaft", "0.00400"),
        ("largest-bore-minus-smallest-shaft", "0.00800"),
        ("largest-bore-minus-largest-shaft", "0.00700"),
    ],
)
def test_extremes_of_a_bearing(tmp_path: Path, method: str, value: str) -> None:
    data = shop(tmp_path, clearances=[row(MAIN, "0.0010", "0.0090", method=method)])
    bores = [reading(MAIN, "bore", v, place=p) for p, v in (("front", "3.0040"), ("rear", "3.0070"))]
    shafts = [reading(MAIN, "shaft", v, place=p) for p, v in (("front", "2.9990"), ("rear", "3.0000"))]
    found = one(judge(data, *bores, *shafts), MAIN)
    assert found["method"] == method
    assert float(found["value"]) + float(found["bias"] or 0) == pytest.approx(float(value), abs=0.000011)


@pytest.mark.parametrize(
    ("swing", "value", "verdict"),
    [
        pytest.param("0.038", "0.019", "new", id="half of 0.038 mm"),
        pytest.param("0.080", "0.040", "worn", id="half of 0.080 mm"),
        pytest.param("0.120", "0.060", "loose", id="half of 0.120 mm"),
    ],
)
def test_crank_bend_is_half_of_the_dial(data: Dataset, swing: str, value: str, verdict: str) -> None:
    # TM 10-3930-653-14&P, fig. 4-62: half of the swing; 0.02 mm, limit 0.05 mm
    dial = reading("crank-bend", "gap", swing, unit="mm")
    fine = {"dial_1": {"resolution": "0.001", "mpe": "0.001", "unit": "mm"}}
    found = one(judge(data, dial, engine="nissan-h20", decision="simple", **fine), "crank-bend")
    assert (found["value"], found["method"], found["verdict"]) == (value, "half-dial", verdict)


def test_crank_bend_on_its_limit(data: Dataset) -> None:
    # the same page: a swing of 0.04 mm is a bend of 0.02 mm, on the end of the new range and inside
    dial = reading("crank-bend", "gap", "0.04", unit="mm")
    assert one(judge(data, dial, engine="nissan-h20", decision="simple"), "crank-bend")["verdict"] == "new"


@pytest.mark.parametrize(
    ("bore", "shaft", "verdict"),
    [
        ("95.257", "95.227", "new"),
        ("95.308", "95.201", "new"),
        ("95.256", "95.227", "tight"),
        ("95.309", "95.201", "past-new"),
    ],
)
def test_implied_bearing_bore(tmp_path: Path, bore: str, shaft: str, verdict: str) -> None:
    # TM 5-3805-281-24-2: journal 95.201 to 95.227 mm, clearance 0.030 to 0.107 mm: bores of 95.257 to 95.308 mm
    data = shop(tmp_path, clearances=[row(MAIN, "0.030", "0.107", unit="mm")])
    readings = [r | {"unit": "mm"} for r in fit(MAIN, bore, shaft)]
    assert one(judge(data, *readings, decision="simple"), MAIN)["verdict"] == verdict


@pytest.mark.parametrize(
    ("bore", "verdict"), [("60.010", "tight"), ("60.040", "new"), ("60.090", "worn"), ("60.130", "loose")]
)
def test_standard_and_limit(tmp_path: Path, bore: str, verdict: str) -> None:
    # TM 9-2815-254-24, p. 3-138: inside less outside diameter 0.018 to 0.065 mm, limit 0.12 mm
    data = shop(tmp_path, clearances=[row(MAIN, "0.018", "0.065", "0.12", unit="mm")])
    readings = [r | {"unit": "mm"} for r in fit(MAIN, bore, "60.000")]
    assert one(judge(data, *readings), MAIN)["verdict"] == verdict
