"""Numbers that no instrument of its class has are found; those of real ones are not."""

import re
from typing import Any

import pytest

from runningfits.dataset import Dataset
from runningfits.sheets.faults import SheetError
from runningfits.sheets.sheet import load


def sheet(kind: str, **cells: str) -> dict[str, Any]:
    tool = {"id": "tool-1", "instrument": kind, **cells}
    return {"engine": "cummins-b-series", "instruments": [tool], "readings": []}


@pytest.mark.parametrize(
    ("kind", "field", "value", "unit"),
    [
        ("outside-micrometer", "correction", "-2", "mm"),
        ("outside-micrometer", "correction", "0.5", "mm"),
        ("outside-micrometer", "correction", "0.011", "mm"),
        ("bore-gauge", "correction", "+0.011", "mm"),
        ("feeler-gauge", "correction", "0.2", "mm"),
        ("strip", "correction", "-0.001", "in"),
        ("dial-indicator", "correction", "-0.15", "mm"),
        ("dial-on-bridge", "correction", "0.01", "mm"),
        ("scale-rule", "correction", "0.5", "mm"),
        ("outside-micrometer", "zero_shift", "3", "mm"),
        ("outside-micrometer", "mpe", "0.0002", "mm"),
        ("outside-micrometer", "mpe", "0.12", "mm"),
        ("outside-micrometer", "mpe", "0.0021", "in"),
        ("outside-micrometer", "resolution", "5", "mm"),
        ("outside-micrometer", "resolution", "0.21", "mm"),
        ("caliper", "mpe", "0.0009", "mm"),
        ("feeler-gauge", "resolution", "1", "mm"),
        ("torque-wrench", "mpe_percent", "50", "N.m"),
        ("torque-wrench", "correction", "40", "N.m"),
    ],
)
def test_what_no_such_instrument_has(data: Dataset, kind: str, field: str, value: str, unit: str) -> None:
    with pytest.raises(
        SheetError, match=rf'instruments\[0\].{field}: "{re.escape(value)}", expected .* of such instruments'
    ):
        load(sheet(kind, **{field: value, "unit": unit}), data)


@pytest.mark.parametrize(
    ("kind", "field", "value", "unit"),
    [
        ("outside-micrometer", "correction", "+0.004", "mm"),
        ("outside-micrometer", "correction", "-0.0002", "in"),
        ("outside-micrometer", "correction", "0.010", "mm"),
        ("feeler-gauge", "correction", "0", "mm"),
        ("outside-micrometer", "zero_shift", "0.01", "mm"),
        ("outside-micrometer", "mpe", "0.0005", "mm"),
        ("outside-micrometer", "mpe", "0.0001", "in"),
        ("outside-micrometer", "mpe", "0.05", "mm"),
        ("outside-micrometer", "resolution", "0.0001", "mm"),
        ("caliper", "resolution", "0.2", "mm"),
        ("caliper", "mpe", "0.001", "mm"),
        ("dial-indicator", "mpe", "0.001", "mm"),
        ("strip", "resolution", "0.0005", "in"),
        ("protractor", "resolution", "1", "deg"),
        ("torque-wrench", "mpe_percent", "4", "lbf.ft"),
    ],
)
def test_what_a_real_instrument_has(data: Dataset, kind: str, field: str, value: str, unit: str) -> None:
    values = load(sheet(kind, **{field: value, "unit": unit}), data).values
    assert values["instruments"][0][field] == value


@pytest.mark.parametrize(
    ("kind", "base", "fits"),
    [("bore-gauge", "-0.006", True), ("bore-gauge", "-0.007", False), ("strip", "0.001", False)],
)
def test_the_correction_of_what_an_instrument_was_set_on_counts_too(
    data: Dataset, kind: str, base: str, fits: bool
) -> None:
    mic = {"id": "mic-1", "instrument": "outside-micrometer", "correction": base, "unit": "mm"}
    own = {"correction": "-0.004"} if kind == "bore-gauge" else {}
    made = sheet(kind, set_on="mic-1", unit="mm", **own)
    made["instruments"].append(mic)
    if fits:
        assert load(made, data)
    else:
        with pytest.raises(
            SheetError, match=rf"instruments\[0\].{'correction' if own else 'set_on'}.* correction of such"
        ):
            load(made, data)


def test_a_comparator_is_not_off_by_more_than_its_own_where_its_base_is_off_the_other_way(data: Dataset) -> None:
    made = sheet("bore-gauge", set_on="mic-1", unit="mm", correction="0.015")
    made["instruments"].append(
        {"id": "mic-1", "instrument": "outside-micrometer", "correction": "-0.010", "unit": "mm"}
    )
    with pytest.raises(
        SheetError, match=r'instruments\[0\].correction: "0.015", expected .* at most 0.01 mm, alone and'
    ):
        load(made, data)


def wrench(value: str, correction: str, tester: str = "") -> dict[str, Any]:
    """A rod cap tightened with a wrench of a known correction, that was checked on a tester where one's is given."""
    made = sheet("torque-wrench", correction=correction, unit="N.m")
    line = {"joint": "rod-cap", "position": "all", "step": 1, "value": value, "unit": "N.m", "instrument": "tool-1"}
    if tester:
        made["instruments"][0]["set_on"] = "tester-1"
        made["instruments"].append(
            {"id": "tester-1", "instrument": "torque-tester", "unit": "N.m", "correction": tester}
        )
    return made | {"torques": [line]}


@pytest.mark.parametrize(
    ("value", "correction", "tester"),
    [("75", "-30", ""), ("23", "22", ""), ("34.4", "-30", ""), ("100", "12.1", ""), ("300", "34", "3")],
)
def test_no_wrench_is_off_by_such_a_share_of_what_is_tightened(
    data: Dataset, value: str, correction: str, tester: str
) -> None:
    with pytest.raises(
        SheetError, match=r"instruments\[0\].correction: .* at most 12 % of the least that was read or set"
    ):
        load(wrench(value, correction, tester), data)


@pytest.mark.parametrize(("value", "correction"), [("100", "12"), ("100", "-12"), ("45", "2"), ("0", "2")])
def test_a_wrench_may_be_off_by_three_times_its_limit(data: Dataset, value: str, correction: str) -> None:
    assert load(wrench(value, correction), data)


def warm(**temperatures: str) -> dict[str, Any]:
    line = {"item": "crankpin-diameter", "position": "1", "part": "shaft", "value": "68.960", "unit": "mm"}
    made = sheet("outside-micrometer")
    own = {k: v for k, v in temperatures.items() if k == "temperature"}
    made["readings"] = [line | {"instrument": "tool-1"} | own]
    return made | {k: v for k, v in temperatures.items() if k not in own}


@pytest.mark.parametrize(
    ("given", "asked"),
    [
        ({"room_temperature": "70 degC"}, "70 F, which is 21 °C, or 343.15 K if it was 70 °C (158 °F) indeed"),
        ({"part_temperature": "70 C"}, "70 F, which is 21 °C, or 343.15 K"),
        ({"part_temperature": "70 C", "room_temperature": "70 C"}, "if only the parts were so"),
        ({"temperature": "46 C"}, "46 F, which is 8 °C"),
        ({"room_temperature": "-11 C"}, "262.15 K if it was -11 °C (12 °F) indeed"),
        ({"room_temperature": "10 F"}, "10 C, which is 50 °F, or 260.93 K"),
        ({"room_temperature": "150 F"}, "338.71 K if it was 150 °F (66 °C) indeed"),
    ],
)
def test_a_shop_of_no_such_warmth_is_asked_for_its_scale(data: Dataset, given: dict[str, str], asked: str) -> None:
    with pytest.raises(SheetError, match=re.escape(asked)):
        load(warm(**given), data)


@pytest.mark.parametrize(
    "given",
    [
        {"room_temperature": "45 C"},
        {"room_temperature": "-10 C"},
        {"room_temperature": "113 F"},
        {"part_temperature": "50 C", "room_temperature": "20 C"},
        {"temperature": "50 C", "room_temperature": "293.15 K"},
        {"part_temperature": "343.15 K", "room_temperature": "343.15 K"},
    ],
)
def test_a_washed_warm_part_and_what_is_meant_as_it_stands_is_taken(data: Dataset, given: dict[str, str]) -> None:
    assert load(warm(**given), data)


@pytest.mark.parametrize("degrees", ["200 degC", "101 C", "-41 C", "300 F"])
def test_no_part_is_measured_that_hot_or_cold(data: Dataset, degrees: str) -> None:
    with pytest.raises(SheetError, match="part_temperature"):
        load(sheet("caliper") | {"part_temperature": degrees}, data)


def test_a_correction_with_a_plus_is_added(data: Dataset) -> None:
    import runningfits as rf

    made = sheet("outside-micrometer", correction="+0.004", unit="mm")
    line = {"item": "crankpin-diameter", "position": "1", "part": "shaft", "value": "68.960", "unit": "mm"}
    made["readings"] = [line | {"instrument": "tool-1"}]
    (found,) = [r for r in rf.check(made, data).as_dict()["results"] if r["item"] == "crankpin-diameter"]
    assert found["value"].startswith("68.964")
