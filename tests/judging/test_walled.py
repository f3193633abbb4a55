"""What housing, walls and journal make of an oil clearance that was not measured is told, and is no verdict."""

from pathlib import Path
from typing import Any

import runningfits as rf
from runningfits.dataset import Dataset

from ..shop import fit, reading, row, sheet, shop

FIT, HOUSING, WALL, JOURNAL = (
    "main-bearing-clearance",
    "main-housing-bore",
    "main-bearing-wall",
    "main-journal-diameter",
)
SIZES = [row(HOUSING, "2.6500", "2.6520"), row(WALL, "0.0720", "0.0740"), row(JOURNAL, "2.4980", "2.5000")]
LINES = [
    reading(HOUSING, "bore", "2.6510"),
    reading(WALL, "shaft", "0.0725"),
    reading(WALL, "shaft", "0.0723"),
    reading(JOURNAL, "shaft", "2.4990"),
]
BY_WALLS = "by housing, two walls and journal it is 0.0072 in, without the crush of the shells"
"""By hand: 2.6510 - 2 x 0.0724 - 2.4990."""


def told(data: Dataset, *readings: dict[str, Any], **more: Any) -> tuple[list[str], rf.Result]:
    found = rf.check(sheet(*readings, **more), data)
    return [m["why"] for m in found.as_dict()["not_judged"] if m["item"] == FIT], found


def test_a_clearance_that_only_housing_walls_and_journal_give_is_told(tmp_path: Path) -> None:
    data = shop(tmp_path, {"mains": "1"}, sizes=SIZES, clearances=[row(FIT, "0.0015", "0.0050")])
    why, found = told(data, *LINES, stage="assembled")
    assert why == [f"{BY_WALLS}: measure the bore with the shells in and the cap tightened, or the clearance itself"]
    assert not found.clean
    everywhere = [r | {"position": "all"} if r["item"] == WALL else r for r in LINES]
    assert told(data, *everywhere)[0] == why


def test_where_no_page_prints_it_it_is_told_and_holds_nothing_up(tmp_path: Path) -> None:
    data = shop(tmp_path, {"mains": "1"}, sizes=SIZES)
    why, _ = told(data, *LINES)
    assert why == [f"no page that was read limits it; {BY_WALLS}"]


def test_a_clearance_that_was_measured_is_judged(tmp_path: Path) -> None:
    data = shop(tmp_path, {"mains": "1"}, sizes=SIZES, clearances=[row(FIT, "0.0015", "0.0050")])
    assert told(data, *LINES, *fit(FIT, "2.5010", "2.4990"))[0] == []
    assert told(data, *LINES, reading(FIT, "strip", "0.002", to="0.003"))[0] == []
    assert told(data, *LINES, reading("main-bearing-bore", "bore", "2.5010"))[0] == []


def test_without_the_walls_or_at_another_place_nothing_is_told(tmp_path: Path) -> None:
    data = shop(tmp_path, {"mains": "2"}, sizes=SIZES, clearances=[row(FIT, "0.0015", "0.0050")])
    assert told(data, *(r for r in LINES if r["item"] != WALL))[0] == []
    assert told(data, *(r | {"position": "2"} if r["item"] == JOURNAL else r for r in LINES))[0] == []
