"""Strips that prove a taper say so, whatever the page prints of the fit."""

from pathlib import Path

import pytest

import runningfits as rf

from ..shop import reading, row, sheet, shop

FIT = "main-bearing-clearance"


@pytest.mark.parametrize(
    ("front", "rear", "told"),
    [
        (("0.0015", "0.0020"), ("0.0045", "0.0050"), ["0.0030 in"]),
        (("0.0015", "0.0020"), ("0.0015", "0.0020"), []),
        (("0.0015", "0.0020"), ("0.0020", "0.0025"), []),
    ],
)
def test_strips_of_two_widths_are_told(
    tmp_path: Path, front: tuple[str, str], rear: tuple[str, str], told: list[str]
) -> None:
    data = shop(tmp_path, {"mains": "1"}, clearances=[row(FIT, "0.0010", "0.0060")])
    ends = zip(("front", "rear"), (front, rear), strict=True)
    strips = [reading(FIT, "strip", low, to=high, place=place) for place, (low, high) in ends]
    found = rf.check(sheet(*strips, stage="assembled"), data)
    why = [m["why"] for m in found.as_dict()["not_judged"] if m["item"] == FIT and "strips" in m["why"]]
    assert why == [
        f"its strips differ by {t} from place to place: bore or journal tapers; measure both at front and rear"
        for t in told
    ]
    assert found.clean == (not told)


def test_one_strip_proves_no_taper(tmp_path: Path) -> None:
    data = shop(tmp_path, {"mains": "1"}, clearances=[row(FIT, "0.0010", "0.0060")])
    found = rf.check(sheet(reading(FIT, "strip", "0.002", to="0.003")), data)
    assert found.as_dict()["not_judged"] == []
