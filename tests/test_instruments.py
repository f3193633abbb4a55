"""Instruments of the dataset: the limits that standards give them, and that what no standard gives is marked so."""

import pytest

from runningfits.dataset import Dataset

STANDARD = [
    # class, span in mm, limit of error in mm
    # micrometers: DIN 863-1, as tabulated
    ("outside-micrometer-0-25", ("0", "25"), "0.004"),
    ("outside-micrometer-25-50", ("25", "50"), "0.004"),
    ("outside-micrometer-50-75", ("50", "75"), "0.005"),
    ("outside-micrometer-75-100", ("75", "100"), "0.005"),
    ("outside-micrometer-100-125", ("100", "125"), "0.006"),
    ("outside-micrometer-125-150", ("125", "150"), "0.006"),
    ("outside-micrometer-150-175", ("150", "175"), "0.007"),
    ("outside-micrometer-175-200", ("175", "200"), "0.007"),
    # calipers: DIN 862, as tabulated: digital up to 100 and up to 600 mm, verniers of 0.02 and 0.05 mm up to 100 mm
    ("caliper", ("0", "100"), "0.02"),
    ("caliper-200-600", ("200", "600"), "0.03"),
    ("caliper-vernier-0-02", None, "0.02"),
    ("caliper-vernier-0-05", None, "0.05"),
    # dial indicators of 0.01 mm: JIS B 7503:2011, over the whole range
    ("dial-indicator-0-1", None, "0.008"),
    ("dial-indicator-1-3", None, "0.010"),
    ("dial-indicator-3-5", None, "0.012"),
    ("dial-indicator", None, "0.015"),
    ("dial-indicator-10-20", None, "0.025"),
    # gauge blocks: DIN 861, 50 mm to 75 mm, in micrometres
    ("gauge-block", None, "1.00"),
    ("gauge-block-grade-1", None, "0.50"),
    ("gauge-block-grade-0", None, "0.25"),
]


@pytest.mark.parametrize(("name", "span", "limit"), STANDARD, ids=[s[0] for s in STANDARD])
def test_a_limit_of_its_standard(data: Dataset, name: str, span: tuple[str, str] | None, limit: str) -> None:
    row = data.keyed("instruments")[name]
    assert row["mpe"] == limit
    assert row["standard"] and row["source"]
    if span:
        assert (row["span_from"], row["span_to"]) == span


def test_inside_and_depth_of_a_caliper_are_20_micrometres_worse(data: Dataset) -> None:
    # DIN 862: 20 micrometres more for inside jaws and depth rod
    tools = data.keyed("instruments")
    assert float(tools["caliper-inside-depth"]["mpe"]) == pytest.approx(float(tools["caliper"]["mpe"]) + 0.02)


@pytest.mark.parametrize(
    ("name", "percent"), [("torque-wrench", "4"), ("torque-wrench-to-10", "6"), ("torque-tester", "1")]
)
def test_a_wrench_by_iso_6789(data: Dataset, name: str, percent: str) -> None:
    # ISO 6789, type II class A: 4 % over 10 N.m, 6 % up to it; test device 1 %
    assert data.keyed("instruments")[name]["mpe_percent"] == percent


@pytest.mark.parametrize("name", ["feeler-gauge", "bore-gauge", "strip", "small-hole-gauge"])
def test_what_no_standard_gives_is_common_practice(data: Dataset, name: str) -> None:
    # no limit was found on a page: DIN 2275 and JIS B 7515 could not be read
    row = data.keyed("instruments")[name]
    assert (row["mpe"], row["mpe_percent"], row["source"]) == ("", "", "")
    assert row["usual"] and "common practice" in row["note"]
