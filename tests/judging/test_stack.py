"""The fit to expect of parts: held to the closed forms of the literature, to chance, and to arithmetic by hand."""

from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from runningfits.build import Build
from runningfits.dataset import Dataset
from runningfits.judging.stack import Engine, Part, Stack, expected, warmed

from ..shop import row, shop

F = Fraction


def parts(*each: tuple[int, str, str]) -> Stack:
    return Stack(tuple(Part(f"part-{n}", t, F(low), F(high)) for n, (t, low, high) in enumerate(each)))


@pytest.mark.parametrize(
    ("count", "value", "share"),
    [(1, 0.25, 0.25), (2, 1.0, 1 / 2), (2, 0.5, 1 / 8), (3, 1.0, 1 / 6), (3, 1.5, 1 / 2), (4, 1.0, 1 / 24)],
)
def test_alike_parts_follow_irwin_and_hall(count: int, value: float, share: float) -> None:
    """Irwin (1927) and Hall (1927), Biometrika 19: the sum of n variables uniform on 0 to 1."""
    assert parts(*[(1, "0", "1")] * count).below(value) == pytest.approx(share, abs=1e-12)


def test_two_unlike_parts_are_a_trapezium() -> None:
    """JCGM 101:2008, 6.4.4: the sum of two unlike rectangles; its median and quantiles by hand."""
    found = parts((1, "0", "3"), (-1, "0", "1"))
    assert found.worst == (-1, 3)
    assert found.below(0.0) == pytest.approx(1 / 6, abs=1e-12)
    assert found.likely == pytest.approx((-1 + 0.15**0.5, 3 - 0.15**0.5), abs=1e-9)


@pytest.mark.parametrize("seed", range(5))
def test_chance_agrees_with_the_closed_form(seed: int) -> None:
    rng = np.random.default_rng(seed)
    ends = [sorted(rng.integers(0, 60, 2)) for _ in range(4)]
    stack = parts(*[(t, str(a), str(b + 1)) for t, (a, b) in zip((1, -1, -2, -1), ends, strict=True)])
    drawn = np.zeros(200_000)
    for part in stack.parts:
        sign = 1 if part.times > 0 else -1
        for _ in range(abs(part.times)):
            drawn += sign * rng.uniform(float(part.low), float(part.high), drawn.size)
    low, high = stack.likely
    assert np.mean((drawn >= low) & (drawn <= high)) == pytest.approx(0.95, abs=0.004)
    for value in np.quantile(drawn, [0.1, 0.5, 0.9]):
        assert stack.below(float(value)) == pytest.approx(float(np.mean(drawn <= value)), abs=0.004)
    assert sum(stack.share(p) for p in stack.parts) == pytest.approx(1.0)


def test_parts_without_width_are_sure() -> None:
    found = parts((1, "5", "5"), (-1, "3", "3"))
    assert (found.worst, found.below(1.9), found.below(2.0)) == ((2, 2), 0.0, 1.0)


ROWS = [
    row("main-housing-bore", "2.6910", "2.6920"),
    row("main-bearing-wall", "0.0950", "0.0955"),
    row("main-journal-diameter", "2.4980", "2.4990"),
]


@pytest.fixture
def data(tmp_path: Path) -> Dataset:
    return shop(tmp_path, sizes=ROWS, clearances=[row("main-bearing-clearance", "0.0010", "0.0030")])


def here(data: Dataset, **measured: tuple[str, str]) -> Engine:
    inch = data.units["in"].factor
    sizes = {k.replace("_", "-"): (F(a) * inch, F(b) * inch) for k, (a, b) in measured.items()}
    return Engine(data, "example-engine", Build(), "1", sizes)


def test_housing_less_two_walls_less_journal(data: Dataset) -> None:
    found = expected("main-bearing-clearance", here(data))
    (stack,) = found.stacks
    inch = data.units["in"].factor
    assert [p.times for p in stack.parts] == [1, -2, -1]
    assert stack.worst == (F("0.0010") * inch, F("0.0040") * inch)
    assert list(found.missing) == ["main-bearing-bore"]
    assert found.printed and found.printed.low and found.printed.high
    inside = stack.between(float(found.printed.low.strict), float(found.printed.high.strict))
    by_hand = 1 - (1**4 - 2 * 0.5**4) / (24 * 1 * 0.5 * 0.5 * 1)
    assert inside == pytest.approx(by_hand, abs=1e-9)


def test_a_measured_bore_takes_the_place_of_housing_and_walls(data: Dataset) -> None:
    (stack,) = expected("main-bearing-clearance", here(data, main_bearing_bore=("2.5010", "2.5012"))).stacks
    assert [p.item for p in stack.parts] == ["main-bearing-bore", "main-journal-diameter"]
    assert stack.worst == (F("0.0020") * data.units["in"].factor, F("0.0032") * data.units["in"].factor)


def test_a_size_that_no_page_gives_is_named(tmp_path: Path) -> None:
    found = expected("main-bearing-clearance", here(shop(tmp_path, sizes=ROWS[:2])))
    assert found.stacks == ()
    assert found.missing["main-journal-diameter"] == "no page that was read prints it"


def test_warm_parts(data: Dataset) -> None:
    """An aluminium housing 60 K warmer about a steel shaft, by D a dT of each part."""
    (stack,) = expected("main-bearing-clearance", here(data)).stacks
    grown = {"main-housing-bore": F(22), "main-bearing-wall": F(12), "main-journal-diameter": F(12)}
    warm = warmed(stack, F(60), grown)
    inch = float(data.units["in"].factor)
    by_hand = (2.6915 * 22 - 2 * 0.09525 * 12 - 2.4985 * 12) * 60e-6 * inch
    assert float(warm.warmth) == pytest.approx(by_hand, rel=1e-12)
    assert float(warm.worst[0] - stack.worst[0]) == pytest.approx(by_hand, rel=1e-12)
