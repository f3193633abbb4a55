"""What to do about pins, camshaft bearings, pumps, gears, seats, turbochargers: the order of work, the arithmetic."""

import pytest

from runningfits.dataset import Dataset
from runningfits.judging.remedies.trade_lines import LINES, lines_of
from runningfits.judging.remedies.trade_units import UNITS

from ...shop import fit, judge, one, parts, reading, row, shop
from .told import Json, ends, near, option, options

PIN, CAM, TIP, BACKLASH = "pin-in-rod-clearance", "cam-bearing-clearance", "oil-pump-tip-clearance", "gear-backlash"
SELECTIVE = {"class": "selective"}


@pytest.fixture(scope="module")
def engine(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    clearances = [
        row(PIN, "0.0002", "0.0008"),
        row("pin-in-piston-clearance", "0.0001", "0.0005"),
        row(CAM, "0.0010", "0.0030"),
        row(TIP, "", "", "0.0080"),
        row("oil-pump-body-clearance", "0.0040", "0.0070"),
        row(BACKLASH, "0.0020", "0.0080"),
        row("valve-recession", "0.010", "0.030", "0.060"),
        row("turbo-end-play", "0.001", "0.004"),
        row("collapsed-tappet-gap", "0.080", "0.160"),
    ]
    sizes = [
        row("pin-diameter", "1.0000", "1.0002"),
        row("pin-bushing-bore", "1.0005", "1.0008"),
        row("piston-pin-bore", "1.0003", "1.0005"),
        row("piston-pin-bore", "1.0006", "1.0007", applies="bore-b", **SELECTIVE),
        row("cam-bearing-bore", "2.0010", "2.0020"),
        row("cam-journal-diameter", "1.9990", "2.0000"),
        row("oil-pump-gear-diameter", "1.4940", "1.4950"),
    ]
    asked = parts("piston-grade", "bore-a", "bore-b")
    return shop(tmp_path_factory.mktemp("units"), clearances=clearances, sizes=sizes, parts=asked)


def out(engine: Dataset, *readings: Json) -> Json:
    found = one(judge(engine, *readings, decision="simple"), readings[0]["item"])
    assert found["verdict"] in ("loose", "tight", "past-new")
    return found


def actions(found: Json) -> list[str]:
    return [o["action"] for o in found["remedies"]]


def test_a_new_pin_is_tried_before_the_bushing(engine: Dataset) -> None:
    # bushing 1.0010, worn pin 0.9990: a new pin gives 0.0008 to 0.0010, a new bushing on the worn pin 0.0015 to 0.0018
    found = out(engine, *fit(PIN, "1.0010", "0.9990"))
    assert actions(found)[0] == "try a new pin"
    assert ends(found["remedies"][0]["result"]) == near(0.0008, 0.0010)
    assert ends(option(found, "new bushing")["result"]) == near(0.0015, 0.0018)
    assert any("bend and twist" in d for d in option(found, "new bushing")["drags"])


def test_a_tight_pin_has_its_bushing_honed(engine: Dataset) -> None:
    # pin 1.0002, wanted 0.0002 to 0.0008: a bushing of 1.0004 to 1.0010 in, within its own 1.0005 to 1.0008 in
    found = option(out(engine, *fit(PIN, "1.0000", "1.0002")), "hone")
    assert ends(found["parts"][0]) == near(1.0005, 1.0008)


def test_a_piston_of_another_pin_bore_grade(engine: Dataset) -> None:
    found = out(engine, *fit("pin-in-piston-clearance", "1.0002", "1.0003"))
    graded = [o for o in options(found, "grade") if o["parts"]]
    assert [ends(o["result"]) for o in graded] == [near(0.0003, 0.0004)]


def test_camshaft_bearings_before_the_camshaft(engine: Dataset) -> None:
    # journal 1.9985: new bearings give 0.0025 to 0.0035; a new camshaft in bearings of 2.0040 0.0040 to 0.0050
    found = out(engine, *fit(CAM, "2.0040", "1.9985"))
    assert ends(option(found, "new bearings")["result"]) == near(0.0025, 0.0035)
    assert actions(found).index("new bearings") < actions(found).index("exchange the camshaft")
    assert option(out(engine, *fit(CAM, "2.0000", "1.9998")), "line-bore")["parts"][0]["item"] == "cam-bearing-bore"


def test_rotors_go_in_pairs(engine: Dataset) -> None:
    worn = out(engine, reading(TIP, "gap", "0.0120"))
    assert actions(worn) == ["new rotors"] and "0.00400 in" in worn["remedies"][0]["text"]
    body = out(engine, *fit("oil-pump-body-clearance", "1.5100", "1.4900"))
    assert "both as a pair" in option(body, "new gears or rotors")["drags"]


def test_backlash_is_measured_elsewhere_first(engine: Dataset) -> None:
    large = out(engine, reading(BACKLASH, "gap", "0.0200"))
    assert actions(large) == ["measure elsewhere", "bushes and bearings", "exchange the gears"]
    assert "0.01200 to 0.01800 in" in large["remedies"][0]["text"]
    small = out(engine, reading(BACKLASH, "gap", "0.0002"))
    assert actions(small) == ["measure elsewhere", "check the gears"]


def test_a_valve_that_lies_deep_is_tried_with_a_new_one(engine: Dataset) -> None:
    assert actions(out(engine, reading("valve-recession", "gap", "0.0800")))[0] == "try a new valve"
    assert actions(out(engine, reading("valve-recession", "gap", "0.0050"))) == ["cut the seat"]


def test_turbochargers_and_tappets(engine: Dataset) -> None:
    assert actions(out(engine, reading("turbo-end-play", "gap", "0.0090"))) == ["exchange the centre section"]
    long = out(engine, reading("collapsed-tappet-gap", "gap", "0.2000"))
    assert actions(long) == ["measure again", "longer pushrod"]


def test_each_side_of_each_quantity_has_something_to_do(data: Dataset) -> None:
    for name in UNITS:
        sides = {line.side for line in lines_of(name, data.quantities[name]["kind"], True)}
        assert "both" in sides or {"large", "small"} <= sides or name == "oil-pump-tip-clearance", name
    assert set(LINES) <= set(data.quantities)
