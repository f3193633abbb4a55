"""What is taken for what a sheet leaves open is said in sentences."""

from pathlib import Path

import pytest

import runningfits as rf

from ..shop import reading, row, sheet, shop

LASH = "valve-lash"


@pytest.mark.parametrize(
    ("place", "stage", "told"),
    [
        ("all", "assembled", 1),
        ("intake", "assembled", 1),
        ("1/intake", "assembled", 0),
        ("all", "found", 0),
        ("all", "machined", 0),
    ],
)
def test_one_line_for_several_valves_is_said_at_the_last_stage(
    tmp_path: Path, place: str, stage: str, told: int
) -> None:
    position = place.rpartition("/")[2]
    data = shop(tmp_path, clearances=[row(LASH, "0.010", "0.014", position=position, state="cold")])
    leaf = reading(LASH, "gap", "0.011", position=place, to="0.013", state="cold")
    found = rf.check(sheet(leaf, stage=stage), data).as_dict()
    assert sum("is taken for each valve" in a for a in found["assumed"]) == told
