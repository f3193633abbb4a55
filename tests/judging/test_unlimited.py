"""Forms that readings show and no page limits are told with their amount, and hold nothing up."""

from pathlib import Path
from typing import Any

import pytest

import runningfits as rf
from runningfits.dataset import Dataset

from ..shop import reading, row, sheet, shop

JOURNAL, TAPER = "main-journal-diameter", "main-journal-taper"


@pytest.fixture
def silent(tmp_path: Path) -> Dataset:
    return shop(tmp_path, {"mains": "2"}, sizes=[row(JOURNAL, "2.4980", "2.5000")])


def journal(front: str, rear: str, position: str = "1") -> list[dict[str, Any]]:
    return [reading(JOURNAL, "shaft", v, position=position, place=p) for v, p in ((front, "front"), (rear, "rear"))]


def told(data: Dataset, *readings: dict[str, Any]) -> tuple[list[tuple[str, str, str]], rf.Result]:
    found = rf.check(sheet(*readings, stage="assembled"), data)
    return [(m["item"], m["position"], m["why"]) for m in found.as_dict()["not_judged"]], found


def test_the_greatest_of_a_form_that_no_page_limits_is_told(silent: Dataset) -> None:
    missing, found = told(silent, *journal("2.4995", "2.4985"), *journal("2.4998", "2.4984", "2"))
    why = "no page that was read limits it; as much as 0.0014 in was found"
    assert (TAPER, "2", why) in missing
    assert sum(item == TAPER for item, *_ in missing) == 1
    assert {j.verdict for j in found.judged} <= {"new", "serviceable", "cannot-tell"}


def test_it_does_not_hold_up_what_is_done(silent: Dataset) -> None:
    round_ = [
        r | {"direction": d}
        for d in ("vertical", "horizontal")
        for n in ("1", "2")
        for r in journal("2.4992", "2.4988", n)
    ]
    missing, found = told(silent, *round_)
    assert [item for item, *_ in missing] == [TAPER]
    assert found.clean


def test_what_instrument_and_hand_may_make_is_not_told(silent: Dataset) -> None:
    missing, _ = told(silent, *journal("2.4991", "2.4990"))
    assert TAPER not in [item for item, *_ in missing]


def test_a_form_that_a_page_limits_is_judged(tmp_path: Path) -> None:
    data = shop(tmp_path, sizes=[row(JOURNAL, "2.4980", "2.5000")], clearances=[row(TAPER, limit="0.0003")])
    missing, found = told(data, *journal("2.4995", "2.4985"))
    assert TAPER not in [item for item, *_ in missing]
    assert [j.verdict for j in found.judged if j.case.item == TAPER] == ["loose"]


def test_a_piston_tapers_on_purpose(data: Dataset) -> None:
    skirt = [
        reading("piston-skirt-diameter", "shaft", v, place=p, direction="across-pin", unit="mm")
        for v, p in (("59.975", "middle"), ("59.940", "bottom"))
    ]
    found = rf.check(sheet(*skirt, engine="honda-gx120-160-200", build={"model": "gx120"}), data)
    assert "piston-taper" not in [m["item"] for m in found.as_dict()["not_judged"]]
