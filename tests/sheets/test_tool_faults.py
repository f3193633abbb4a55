"""Numbers that no instrument of its class has are found; those of real ones are not."""

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
        ("outside-micrometer", "correction", "0.151", "mm"),
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
    with pytest.raises(SheetError, match=rf'instruments\[0\].{field}: "{value}", expected .* of such instruments'):
        load(sheet(kind, **{field: value, "unit": unit}), data)


@pytest.mark.parametrize(
    ("kind", "field", "value", "unit"),
    [
        ("outside-micrometer", "correction", "+0.004", "mm"),
        ("outside-micrometer", "correction", "-0.0002", "in"),
        ("outside-micrometer", "correction", "0.149", "mm"),
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


@pytest.mark.parametrize("warm", ["200 degC", "101 C", "-41 C", "300 F"])
def test_no_part_is_measured_that_hot_or_cold(data: Dataset, warm: str) -> None:
    with pytest.raises(SheetError, match="part_temperature"):
        load(sheet("caliper") | {"part_temperature": warm}, data)


def test_a_correction_with_a_plus_is_added(data: Dataset) -> None:
    import runningfits as rf

    made = sheet("outside-micrometer", correction="+0.004", unit="mm")
    line = {"item": "crankpin-diameter", "position": "1", "part": "shaft", "value": "68.960", "unit": "mm"}
    made["readings"] = [line | {"instrument": "tool-1"}]
    (found,) = [r for r in rf.check(made, data).as_dict()["results"] if r["item"] == "crankpin-diameter"]
    assert found["value"].startswith("68.964")
