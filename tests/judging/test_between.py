"""Two people's readings compared: seldom a false alarm on honest sheets, a planted offset or slip found."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from runningfits.dataset import Dataset
from runningfits.judging.between import Comparison, compared
from runningfits.judging.cases import bench
from runningfits.sheets.sheet import load

from ..shop import HANDS, reading, row, sheet, shop

JOURNAL = "main-journal-diameter"
PLACES = range(1, 8)
TRUTH = 2.4985


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    rows = [row(JOURNAL, "2.4980", "2.4990"), row("crankpin-diameter", "2.0980", "2.0990")]
    mains = {"mains": "7", "crankpins": "6", "cylinders": "6"}
    return shop(tmp_path_factory.mktemp("shop"), mains, sizes=rows)


def journals(values: list[list[float]], tool: str = "mic-1") -> dict[str, Any]:
    """A sheet of one journal's readings after the other."""
    lines = [
        reading(JOURNAL, "shaft", f"{v:.4f}", str(n), instrument=tool, place=f"at-{k}")
        for n, each in enumerate(values, 1)
        for k, v in enumerate(each)
    ]
    return sheet(*lines)


def between(data: Dataset, one: dict[str, Any], other: dict[str, Any]) -> Comparison:
    return compared(bench(load(one, data), data), bench(load(other, data), data))


def honest(rng: np.random.Generator, limit: float = 0.0001) -> list[list[float]]:
    """Readings of seven journals, two each, by an instrument within its limit in an ordinary hand, in whole steps."""
    scale = rng.uniform(-limit, limit)
    return [[round(TRUTH + scale + rng.normal(0, HANDS["shaft"]), 4) for _ in range(2)] for _ in PLACES]


def test_honest_sheets_seldom_differ(data: Dataset) -> None:
    """5 % of pairs of sheets at most, by design: of 300, more than 25 come by chance once in 300 times at 5 %."""
    rng = np.random.default_rng(20261126)
    differ = sum(not between(data, journals(honest(rng)), journals(honest(rng))).agrees for _ in range(300))
    assert differ <= 25


def test_an_offset_is_found_and_no_place_blamed_for_it(data: Dataset) -> None:
    rng = np.random.default_rng(7)
    found = between(data, journals(honest(rng)), journals([[v + 0.0005 for v in j] for j in honest(rng)]))
    (offset,) = found.offsets
    assert not offset.agrees
    assert offset.mean / 0.0254 == pytest.approx(0.0005, abs=0.0002)
    assert all(p.agrees for p in found.places)


def test_one_place_stands_out(data: Dataset) -> None:
    rng = np.random.default_rng(8)
    theirs = honest(rng)
    theirs[3] = [v + 0.0008 for v in theirs[3]]
    found = between(data, journals(honest(rng)), journals(theirs))
    assert [p.pair.position for p in found.places if not p.agrees] == ["4"]
    assert [p.position for p in found.offsets[0].pairs] == ["1", "2", "3", "5", "6", "7"]
    assert found.offsets[0].agrees


def test_the_mean_offset_by_hand(data: Dataset) -> None:
    """Differences of 2, 4 and 3 ten-thousandths: mean 3; beyond it -1, +1 and 0."""
    one = journals([[2.4980], [2.4982], [2.4981]])
    found = between(data, one, journals([[2.4982], [2.4986], [2.4984]]))
    assert found.offsets[0].mean / 0.0254 == pytest.approx(0.0003, abs=1e-9)
    assert [p.beyond / 0.0254 for p in found.places] == pytest.approx([-0.0001, 0.0001, 0.0], abs=1e-9)


def test_only_readings_at_common_places_count(data: Dataset) -> None:
    one = sheet(*(reading(JOURNAL, "shaft", v, place=p) for p, v in (("front", "2.4980"), ("rear", "2.4960"))))
    found = between(data, one, sheet(reading(JOURNAL, "shaft", "2.4980", place="front")))
    assert found.offsets[0].mean == 0.0


def test_a_journal_read_for_a_fit_meets_one_read_alone(data: Dataset, tmp_path: Path) -> None:
    rows = [row("main-bearing-clearance", "0.0010", "0.0030")]
    fits = shop(tmp_path, {"mains": "7"}, sizes=[row(JOURNAL, "2.4980", "2.4990")], clearances=rows)
    one = sheet(
        reading("main-bearing-clearance", "bore", "2.5005"), reading("main-bearing-clearance", "shaft", "2.4985")
    )
    found = between(fits, one, sheet(reading(JOURNAL, "shaft", "2.4985")))
    assert [(p.size, p.position) for o in found.offsets for p in o.pairs] == [(JOURNAL, "1")]
    assert found.alone == ((("main-bearing-bore", "1"),), ())


def test_nothing_in_common(data: Dataset) -> None:
    found = between(data, journals([[2.4985]]), sheet(reading("crankpin-diameter", "shaft", "2.0985")))
    assert (found.offsets, found.places) == ((), ())
