"""Messages of the bench rules speak in the unit of the reading, and of instruments by their labels."""

import pytest

import runningfits as rf
from runningfits.dataset import Dataset

from ..shop import codes, fit, judge, reading, row, sheet, shop

MAIN, JOURNAL = "main-bearing-clearance", "main-journal-diameter"


@pytest.fixture(scope="module")
def engine(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    clearances = [row(MAIN, "0.0010", "0.0020")]
    sizes = [row(JOURNAL, "2.4990", "2.5000"), row("crankpin-diameter", "2.7058")]
    return shop(tmp_path_factory.mktemp("words"), clearances=clearances, sizes=sizes)


def message(engine: Dataset, code: str, *readings: dict[str, str]) -> str:
    (found,) = [f["message"] for f in judge(engine, *readings)["findings"] if f["code"] == code]
    return str(found)


def test_a_turn_in_inches(engine: Dataset) -> None:
    said = message(engine, "B103", reading(JOURNAL, "shaft", "2.4745"))
    assert said.startswith("2.4745 in is -0.025 in from the new size")


def test_beyond_new_in_the_unit_of_the_reading(engine: Dataset) -> None:
    assert message(engine, "B104", reading(JOURNAL, "shaft", "2.5010")).startswith("2.5010 in is 0.001 in beyond")
    metric = reading(JOURNAL, "shaft", "63.600", unit="mm")
    assert message(engine, "B104", metric).startswith("63.600 mm is 0.1 mm beyond")


def test_a_step_in_the_unit_of_the_reading(engine: Dataset) -> None:
    said = message(engine, "B106", reading(JOURNAL, "shaft", "2.499512"))
    assert said == "2.499512 in has digits beyond the step of mic-1 (0.0001 in)"


def test_a_limit_in_the_unit_of_the_reading(engine: Dataset) -> None:
    coarse = [r | {"instrument": "caliper-1"} for r in fit(MAIN, "2.5020", "2.5000")]
    said = message(engine, "B107", coarse[1])
    assert said.startswith("digital caliper, no. 1 is good to 0.00079 in, but the range is only 0.001 in wide")


def test_a_step_of_an_angle_and_of_a_weight(data: Dataset) -> None:
    tools = [{"id": "protractor-1", "instrument": "protractor"}, {"id": "mass-scale-1", "instrument": "mass-scale"}]
    line = {"position": "1", "part": "gap"}
    angle = line | {"item": "valve-seat-angle", "value": "45.000", "unit": "deg", "instrument": "protractor-1"}
    weight = line | {"item": "piston-mass", "value": "412.123", "unit": "g", "instrument": "mass-scale-1"}
    known = [r for r in (angle, weight) if r["item"] in data.quantities]
    made = sheet(engine="cummins-b-series") | {"instruments": tools, "readings": known}
    said = [f.message for f in rf.check(made, data).findings if f.code == "B106"]
    assert len(said) == len(known) > 0
    assert not any("mm" in s for s in said)
    assert said[0] == "45.000 deg has digits beyond the step of bevel protractor, no. 1 (0.0833 deg)"


def test_an_inch_number_in_millimetres_where_one_end_is_printed(engine: Dataset) -> None:
    wrong = judge(engine, reading("crankpin-diameter", "shaft", "2.7067", unit="mm"))
    assert "B102" in codes(wrong)
    assert "B102" not in codes(judge(engine, reading("crankpin-diameter", "shaft", "2.7067")))
