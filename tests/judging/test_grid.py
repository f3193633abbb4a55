"""Which reading counts: every counting method on grids of places and directions."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runningfits.dataset import Dataset
from runningfits.judging import grid

Table = dict[tuple[str, str], str]


def readings(table: Table, part: str = "bore") -> list[grid.Reading]:
    """Readings of a grid; the cell's text holds its repeats."""
    return [
        grid.Reading(n, part, place, direction, Fraction(text), Fraction(0), "gauge")
        for n, ((place, direction), texts) in enumerate(table.items())
        for text in texts.split()
    ]


def counted(method: str, table: Table) -> Fraction | None:
    return grid.SINGLE[method](grid.cells(readings(table)))


CYLINDER: Table = {
    ("top", "along"): "100.05",
    ("top", "across"): "100.08",
    ("middle", "along"): "100.03",
    ("middle", "across"): "100.04",
    ("bottom", "along"): "100.01",
    ("bottom", "across"): "100.02",
}
"""A cylinder at three levels in two directions."""


@pytest.mark.parametrize(
    ("method", "expected"),
    [
        # common practice: wear is the largest of six, out-of-round the largest cross difference over the levels,
        # taper the larger of the two differences between levels
        ("largest", "100.08"),
        ("smallest", "100.01"),
        ("mean", "100.03833333"),
        ("mean-then-largest", "100.03833333"),
        ("cross-difference", "0.03"),
        ("end-difference", "0.06"),
        ("spread", "0.07"),
        ("total-travel", "100.08"),
        ("widest-gap", "100.08"),
        ("dial-total", "100.08"),
        ("half-dial", "50.04"),
        ("widest-strip", "100.01"),
    ],
)
def test_methods_on_a_cylinder(method: str, expected: str) -> None:
    assert float(counted(method, CYLINDER) or 0) == pytest.approx(float(expected), abs=1e-8)


def test_the_methods_are_those_of_the_dataset(data: Dataset) -> None:
    assert set(grid.SINGLE) | set(grid.PAIRED) == {m["method"] for m in data.table("methods")}


def test_a_result_is_exact() -> None:
    assert counted("mean", {("front", ""): "0.1", ("rear", ""): "0.2", ("centre", ""): "0.4"}) == Fraction(7, 30)


def test_repeats_of_one_cell_count_once_by_their_mean() -> None:
    # the mean of the repeats is 2.4999, not the slip of 2.5003 among them
    table = {("front", "vertical"): "2.4997 2.4997 2.5003", ("rear", "vertical"): "2.4998"}
    assert counted("largest", table) == Fraction("2.4999")
    assert counted("mean", table) == Fraction("2.49985")


@pytest.mark.parametrize("method", ["cross-difference", "end-difference", "spread"])
def test_a_difference_needs_two_readings(method: str) -> None:
    assert counted(method, {("top", "along"): "100.05"}) is None


def test_a_cross_difference_needs_two_directions_at_one_place() -> None:
    table = {("top", "along"): "100.05", ("bottom", "across"): "100.02"}
    assert counted("cross-difference", table) is None
    assert counted("end-difference", table) is None
    assert counted("spread", table) == Fraction("0.03")


def test_skirt_clearances() -> None:
    # TM 9-2815-259-24, p. 5-87: out-of-round is the change when the piston is turned by 90 degrees, taper the change
    # from bottom to top; the clearances are ours, within its 0.003 to 0.006 in
    table = {("bottom", "0"): "0.0055", ("bottom", "90"): "0.0048", ("top", "0"): "0.0061"}
    assert counted("cross-difference", table) == Fraction("0.0007")
    assert counted("end-difference", table) == Fraction("0.0006")


def test_crank_bend() -> None:
    # TM 10-3930-653-14&P, fig. 4-62: the bend is half of the dial's swing over one turn
    assert counted("half-dial", {("", ""): "0.04"}) == Fraction("0.02")
    assert counted("dial-total", {("", ""): "0.04"}) == Fraction("0.04")


@pytest.mark.parametrize(
    ("method", "expected"),
    [
        # Improving Machinery Reliability, table 3-2: bores of 3.0040 to 3.0070 in and journals of 2.9990 to 3.0000 in
        # have radial clearances of 2.00 to 4.00 thousandths: half of these
        ("smallest-bore-minus-largest-shaft", "0.0040"),
        ("largest-bore-minus-smallest-shaft", "0.0080"),
        ("largest-bore-minus-largest-shaft", "0.0070"),
        ("mean-bore-minus-mean-shaft", "0.0060"),
        ("smallest-bore-minus-mean-shaft", "0.0045"),
    ],
)
def test_methods_of_a_pair(method: str, expected: str) -> None:
    of_bore, of_shaft = grid.PAIRED[method]
    bore = counted(of_bore, {("front", ""): "3.0040", ("rear", ""): "3.0070"})
    shaft = counted(of_shaft, {("front", ""): "2.9990", ("rear", ""): "3.0000"})
    assert bore is not None
    assert shaft is not None
    assert bore - shaft == Fraction(expected)


@pytest.mark.parametrize(
    ("method", "part", "side", "expected"),
    [
        ("smallest-bore-minus-mean-shaft", "strip", "upper", "widest-strip"),
        ("largest", "strip", "upper", "widest-strip"),
        ("half-dial", "gap", "upper", "half-dial"),
        ("total-travel", "gap", "both", "total-travel"),
        ("mean-bore-minus-mean-shaft", "gap", "upper", "largest"),
        ("mean-bore-minus-mean-shaft", "gap", "lower", "smallest"),
        ("mean-bore-minus-mean-shaft", "gap", "both", "mean"),
    ],
)
def test_method_of_a_direct_reading(method: str, part: str, side: str, expected: str) -> None:
    assert grid.single_method(method, part, side) == expected


def test_method_of_a_pair_where_the_row_names_one_for_a_part() -> None:
    assert grid.pair_method("largest") == "mean-bore-minus-mean-shaft"
    assert grid.pair_method("largest-bore-minus-largest-shaft") == "largest-bore-minus-largest-shaft"


SIZES = st.decimals("2.49", "2.51", places=4).map(Fraction)
GRIDS = st.dictionaries(
    st.tuples(st.sampled_from(["front", "centre", "rear"]), st.sampled_from(["vertical", "horizontal"])),
    st.lists(SIZES, min_size=1, max_size=3),
    min_size=1,
)


@given(GRIDS)
def test_smallest_mean_and_largest_are_in_order(cells: grid.Cells) -> None:
    smallest, mean, largest = (grid.SINGLE[m](cells) for m in ("smallest", "mean", "largest"))
    assert smallest is not None and mean is not None and largest is not None
    assert smallest <= mean <= largest


@given(GRIDS)
def test_out_of_round_and_taper_lie_within_the_spread(cells: grid.Cells) -> None:
    spread = grid.spread(cells) or Fraction(0)
    for found in (grid.cross_difference(cells), grid.end_difference(cells)):
        assert found is None or 0 <= found <= spread


@given(GRIDS, SIZES)
def test_a_shift_of_the_scale_leaves_the_differences(cells: grid.Cells, shift: Fraction) -> None:
    moved = {k: [v + shift for v in vs] for k, vs in cells.items()}
    for method in grid.DIFFERENCES:
        assert grid.SINGLE[method](moved) == grid.SINGLE[method](cells)


@given(GRIDS)
def test_places_and_directions_are_alike(cells: grid.Cells) -> None:
    turned = {(direction, place): values for (place, direction), values in cells.items()}
    assert grid.cross_difference(turned) == grid.end_difference(cells)
