"""A verdict that would pass, and other readings of the same place or other ways of measuring it that say otherwise."""

from pathlib import Path
from typing import Any

import pytest

from runningfits import check
from runningfits.dataset import Dataset
from runningfits.judging.against import DOUBTS

from ..shop import fit, judge, one, reading, row, sheet, shop

PIN, BORE, GAP, PLAY = "crankpin-diameter", "cylinder-bore", "ring-gap", "crank-end-play"
OUT, MAIN, LASH, ROD = "liner-protrusion", "main-bearing-clearance", "valve-lash", "rod-bearing-clearance"
SKIRT, PISTON, HEAD = "piston-skirt-diameter", "piston-clearance", "piston-head-clearance"
MM = {"unit": "mm"}


def mm(item: str, part: str, *values: str, **more: str) -> list[dict[str, str]]:
    """Readings in millimetres, each at a place of its own."""
    return [reading(item, part, v, place=f"place-{n}", **MM, **more) for n, v in enumerate(values, 1)]


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    """A pin, a bore with a limit, a play with and without a least, a stand-out by its mean, a lash by its nominal."""
    sizes = [
        row(PIN, "54.98", "55.00", **MM),
        row(BORE, "87.50", "87.52", "87.65", **MM),
        row(SKIRT, "87.40", "87.50", **MM),
    ]
    fits = [
        row(GAP, "0.20", "0.35", "1.00", **MM),
        row(PLAY, "", "0.30", **MM),
        row(OUT, "0.05", "0.13", **MM),
        row(MAIN, "0.04", "0.09", "0.12", **MM),
        row(ROD, "", "0.09", method="mean-bore-minus-mean-shaft", **MM),
        row(LASH, nominal="0.30", **MM),
        row(PISTON, "0.03", "0.09", **MM),
        row(HEAD, "0.70", "0.90", **MM),
    ]
    return shop(tmp_path_factory.mktemp("small"), sizes=sizes, clearances=fits)


def found(data: Dataset, readings: list[dict[str, str]], item: str, **more: Any) -> tuple[str, str, str | None]:
    result = one(judge(data, *readings, **more), item)
    return result["verdict"], result["value"], result["needs"]


@pytest.mark.parametrize(
    ("item", "part", "values", "verdict", "value"),
    [
        pytest.param(PIN, "shaft", ("54.949", "55.100"), "tight", "55.100", id="a worn pin, oversize at its other end"),
        pytest.param(PIN, "shaft", ("54.990", "55.100"), "tight", "55.100", id="a good place hides no oversize one"),
        pytest.param(PIN, "shaft", ("54.990", "54.998"), "cannot-tell", "54.998", id="the largest is undecided"),
        pytest.param(PIN, "shaft", ("54.990", "54.992"), "new", "54.990", id="both are inside"),
        pytest.param(PIN, "shaft", ("54.960", "54.990"), "past-new", "54.960", id="worn at one end"),
        pytest.param(BORE, "bore", ("87.508", "87.208"), "tight", "87.208", id="a bore that was not cut through"),
        pytest.param(BORE, "bore", ("87.600", "87.508"), "worn", "87.600", id="worn at one end, new at the other"),
        pytest.param(GAP, "gap", ("0.22", "0.00"), "tight", "0.000", id="a ring that is shut at one place"),
        pytest.param(GAP, "gap", ("0.22", "0.26"), "new", "0.260", id="a ring gap that is open everywhere"),
        pytest.param(PLAY, "gap", ("0.15", "0.00"), "cannot-tell", "0.000", id="end play that is none"),
        pytest.param(PLAY, "gap", ("0.15", "0.12"), "new", "0.150", id="end play everywhere"),
    ],
)
def test_where_one_extreme_counts_the_other_is_held_to_the_other_end(
    small: Dataset, item: str, part: str, values: tuple[str, ...], verdict: str, value: str
) -> None:
    told = found(small, mm(item, part, *values), item)
    assert (told[0], round(float(told[1]), 2)) == (verdict, round(float(value), 2))
    simple = found(small, mm(item, part, *values), item, decision="simple")
    assert simple[0] == {"cannot-tell": "new" if item == PIN else "tight"}.get(verdict, verdict)


def test_the_value_that_is_shown_is_the_one_that_is_out(small: Dataset) -> None:
    result = one(judge(small, *mm(PIN, "shaft", "54.990", "55.100")), PIN)
    assert (result["method"], result["probability"]) == ("largest", "<0.001")
    assert float(result["margins"]["upper"]) < 0


@pytest.mark.parametrize(
    ("values", "verdict"),
    [
        (("-0.20", "0.40", "0.09"), "cannot-tell"),
        (("0.06", "0.15"), "cannot-tell"),
        (("0.06", "0.12"), "new"),
        (("0.06", "0.135"), "new"),
    ],
)
def test_a_mean_hides_no_reading_that_is_proven_out(small: Dataset, values: tuple[str, ...], verdict: str) -> None:
    told = found(small, mm(OUT, "gap", *values), OUT)
    assert (told[0], told[2]) == (verdict, DOUBTS["one"] if verdict == "cannot-tell" else None)
    assert found(small, mm(OUT, "gap", "-0.20", "0.40"), OUT, decision="simple")[0] == "cannot-tell"


def test_a_withheld_verdict_has_no_probability(small: Dataset) -> None:
    result = one(judge(small, *mm(OUT, "gap", "-0.20", "0.40")), OUT)
    assert (result["probability"], result["probability_within_limit"]) == (None, None)
    assert not check(sheet(*mm(OUT, "gap", "-0.20", "0.40")), small).clean


def test_the_tightest_place_of_a_fit_is_proven_clear(small: Dataset) -> None:
    # the means leave 0.03 mm, the bore is 55.030 mm and the shaft as much at one end
    shafts = mm(ROD, "shaft", "54.970", "55.030")
    bore = reading(ROD, "bore", "55.030", **MM)
    assert found(small, [bore, *shafts], ROD)[::2] == ("cannot-tell", DOUBTS["tightest"])
    assert found(small, [bore, *mm(ROD, "shaft", "54.970", "54.975")], ROD)[0] == "new"


@pytest.mark.parametrize(("split", "verdict"), [("55.055", "new"), ("55.090", "new"), ("55.190", "cannot-tell")])
def test_a_shell_is_relieved_at_its_split_and_no_more(small: Dataset, split: str, verdict: str) -> None:
    ways = zip(("55.050", split), ("vertical", "horizontal"), strict=True)
    bores = [reading(MAIN, "bore", v, direction=d, **MM) for v, d in ways]
    shafts = [reading(MAIN, "shaft", "54.990", direction=d, **MM) for d in ("vertical", "horizontal")]
    assert found(small, [*bores, *shafts], MAIN)[0] == verdict


@pytest.mark.parametrize(("rear", "verdict"), [("55.055", "new"), ("55.090", "worn"), ("55.190", "cannot-tell")])
def test_a_fit_that_is_wide_at_one_end_is_not_new(small: Dataset, rear: str, verdict: str) -> None:
    # ends of one direction are not relieved; the widest is proven beyond the new range
    fits = [*mm(MAIN, "bore", "55.050", rear), *mm(MAIN, "shaft", "54.990", "54.990")]
    assert found(small, fits, MAIN)[0] == verdict


@pytest.mark.parametrize(("along", "verdict"), [("87.05", "new"), ("86.70", "cannot-tell"), ("85.00", "cannot-tell")])
def test_a_piston_is_oval_on_purpose(small: Dataset, along: str, verdict: str) -> None:
    assert found(small, mm(SKIRT, "shaft", "87.45", along), SKIRT)[0] == verdict


@pytest.mark.parametrize(("largest", "verdict"), [("87.45", "new"), ("87.50", "cannot-tell")])
def test_an_oval_piston_fits_by_its_largest_diameter(small: Dataset, largest: str, verdict: str) -> None:
    readings = [reading(PISTON, "bore", "87.505", **MM), *mm(PISTON, "shaft", largest, "87.44")]
    assert found(small, readings, PISTON)[0] == verdict


def test_where_wear_goes_either_way_both_readings_are_held_to_both_ends(small: Dataset) -> None:
    assert found(small, mm(HEAD, "gap", "0.80", "1.20"), HEAD)[0] == "cannot-tell"
    assert found(small, mm(HEAD, "gap", "0.80", "0.85"), HEAD)[0] == "new"


@pytest.mark.parametrize(("values", "verdict"), [(("0.30", "0.31"), "agrees"), (("0.24", "0.36"), "cannot-tell")])
def test_every_reading_of_a_printed_value_agrees(small: Dataset, values: tuple[str, ...], verdict: str) -> None:
    assert found(small, mm(LASH, "gap", *values), LASH)[0] == verdict


@pytest.mark.parametrize(("strip", "verdict"), [("0.00", "cannot-tell"), ("0.04", "new"), ("0.20", "cannot-tell")])
def test_another_way_that_proves_it_out_is_heard(small: Dataset, strip: str, verdict: str) -> None:
    readings = [r | MM for r in fit(MAIN, "55.050", "54.990")]
    readings.append(reading(MAIN, "strip", strip, to=f"{float(strip) + 0.02:.2f}", **MM))
    told = found(small, readings, MAIN)
    assert (told[0], told[2]) == (verdict, DOUBTS["way"] if verdict == "cannot-tell" else None)


def test_every_doubt_is_met_by_some_test(tmp_path: Path) -> None:
    told = "".join(p.read_text(encoding="utf-8") for p in Path(__file__).parent.glob("test_*.py"))
    assert [k for k in DOUBTS if k != "nothing" and f'DOUBTS["{k}"]' not in told] == []
