"""What no verdict is given to: wear that no page prints, agreement by a wide uncertainty, limits that are absurd."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from runningfits import check
from runningfits.dataset import Dataset
from runningfits.faces.words import OPEN_HEAD, out_lines, past_lines
from runningfits.judging.against import DOUBTS
from runningfits.judging.bounds import bounds
from runningfits.judging.decide import DONE, VERDICTS, is_done, is_out
from runningfits.judging.sense import deepest, farthest, is_cut, must_stay_clear
from runningfits.judging.undecided import FARTHER
from runningfits.sheets.faults import SheetError

from ..shop import judge, one, reading, row, sheet, shop

GAP, PIN, LASH, FREE = "ring-gap", "crankpin-diameter", "valve-lash", "spring-free-length"
STEM, PISTON, LOBE, SEAT = "valve-stem-diameter", "piston-skirt-diameter", "cam-lobe-height", "valve-seat-width"
MAIN, FIT, GEAR = "main-bearing-clearance", "piston-clearance", "gear-backlash"
PLAY, FLAT, SIDE = "crank-end-play", "head-flatness", "rod-side-clearance"
MM = {"unit": "mm"}


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    sizes = [row(PIN, "54.98", "55.00", **MM), row(FREE, "47.0", "48.0", **MM), row(STEM, nominal="6.98", **MM)]
    sizes += [row(PISTON, "87.40", "87.41", **MM), row(LOBE, "36.0", "36.1", **MM), row(SEAT, "1.0", "1.5", **MM)]
    fits = [row(GAP, "0.20", "0.40", **MM), row(LASH, nominal="0.30", **MM), row(PLAY, "0.10", "0.20", **MM)]
    fits += [row(FLAT, "", "0.05", **MM), row(SIDE, "0.20", "0.35", "1.00", **MM)]
    fits += [row(MAIN, "0.010", "0.030", **MM), row(FIT, "0.08", "0.10", **MM), row(GEAR, "0.05", "0.20", **MM)]
    return shop(tmp_path_factory.mktemp("small"), sizes=sizes, clearances=fits)


@pytest.mark.parametrize(
    ("item", "part", "value", "verdict"),
    [
        (GAP, "gap", "3.1", "past-new"),
        (GAP, "gap", "3.3", "loose"),
        (GAP, "gap", "39.0", "loose"),
        (GAP, "gap", "41.0", "bad-entry"),
        (PLAY, "gap", "0.50", "past-new"),
        (PLAY, "gap", "0.60", "loose"),
        (PIN, "shaft", "54.63", "cannot-tell"),
        (PIN, "shaft", "54.58", "loose"),
        (PIN, "shaft", "5.498", "loose"),
        (STEM, "shaft", "6.82", "past-new"),
        (STEM, "shaft", "6.77", "loose"),
        (PISTON, "shaft", "86.92", "past-new"),
        (PISTON, "shaft", "86.86", "loose"),
        (LOBE, "shaft", "35.5", "past-new"),
        (LOBE, "shaft", "35.4", "loose"),
        (SEAT, "gap", "2.60", "past-new"),
        (SEAT, "gap", "2.65", "loose"),
        (FREE, "gap", "40.1", "past-new"),
        (FREE, "gap", "38.8", "loose"),
        (MAIN, "gap", "0.110", "past-new"),
        (MAIN, "gap", "0.190", "loose"),
        (FIT, "gap", "0.33", "past-new"),
        (FIT, "gap", "0.37", "loose"),
        (GEAR, "gap", "0.39", "past-new"),
        (GEAR, "gap", "0.41", "loose"),
    ],
)
def test_a_used_part_is_past_new_as_far_as_pages_let_parts_wear(
    small: Dataset, item: str, part: str, value: str, verdict: str
) -> None:
    assert one(judge(small, reading(item, part, value, **MM)), item)["verdict"] == verdict


def test_a_part_beyond_all_wear_is_told_why_and_never_done(small: Dataset) -> None:
    gone, worn = (check(sheet(reading(PIN, "shaft", v, **MM), stage="found"), small) for v in ("53.60", "54.80"))
    found = one(gone.as_dict(), PIN)
    assert (found["needs"], gone.clean) == (FARTHER, False)
    assert (one(worn.as_dict(), PIN)["needs"], worn.clean) == (None, True)


@pytest.mark.parametrize("stage", list(DONE))
def test_what_is_headed_out_and_what_needs_nothing_exclude_each_other(stage: str) -> None:
    assert not [v for v in VERDICTS if is_out(v, stage) and is_done(v, stage)]
    assert is_out("past-new", stage) == (stage != "found")


@pytest.mark.parametrize(("stage", "head"), [("found", OPEN_HEAD), ("machined", "OUT")])
def test_a_part_past_new_stands_under_out_where_it_is_not_done(small: Dataset, stage: str, head: str) -> None:
    result = check(sheet(reading(PIN, "shaft", "54.80", **MM), stage=stage), small)
    line = "Crankpin diameter, 1: past the new range; no wear limit printed"
    heads = {"OUT": out_lines(result.as_dict()), OPEN_HEAD: past_lines(result.as_dict())}
    assert ({k for k, v in heads.items() if v == [line]}, result.clean) == ({head}, head != "OUT")


def test_no_page_prints_a_limit_that_lies_farther_off(data: Dataset) -> None:
    """Every range with a limit of the dataset, and half as far would miss some of most kinds."""
    near: dict[str, list[float]] = {}
    for engine in data.engines:
        for r in (r for t in ("sizes", "clearances") for r in data.all_rows(engine, t)):
            b, quantity = bounds(r, data), data.quantities[r.item]
            end = b.high if b.wears_up else b.low
            new = replace(b, limit=None)
            if b.limit and end and not is_cut(new, quantity):
                most = farthest(new, quantity, deepest(r.item, engine, data))
                off = abs(float(b.limit.loose) - float(end.loose))
                assert off <= most, r.id
                near.setdefault(quantity["kind"], []).append(off / most)
    assert {k for k, v in near.items() if max(v) > 0.5} >= {"clearance", "gap", "end-play", "size", "form"}


@pytest.mark.parametrize(
    ("more", "verdict"),
    [
        pytest.param({}, "agrees", id="a dial"),
        pytest.param({"instrument": "feeler-1", "value": "0.29", "to": "0.31"}, "agrees", id="two leaves"),
        pytest.param({"value": "0.10", "to": "0.50"}, "cannot-tell", id="two marks far apart"),
    ],
)
@pytest.mark.parametrize("decision", ["guarded", "simple"])
def test_agreement_by_a_wide_u_says_nothing(small: Dataset, more: dict[str, str], verdict: str, decision: str) -> None:
    lash = reading(LASH, "gap", "0.30", **MM) | more
    found = one(judge(small, lash, decision=decision), LASH)
    assert (found["verdict"], found["needs"]) == (verdict, DOUBTS["wide"] if verdict == "cannot-tell" else None)


def test_simple_acceptance_takes_no_value_whose_u_is_wider_than_the_range(small: Dataset) -> None:
    wide = reading(GAP, "gap", "0.02", to="0.58", **MM)
    found = one(judge(small, wide, decision="simple"), GAP)
    assert (found["verdict"], found["needs"]) == ("cannot-tell", DOUBTS["wide"])
    assert one(judge(small, reading(GAP, "gap", "0.30", **MM), decision="simple"), GAP)["verdict"] == "new"


@pytest.mark.parametrize(
    ("least", "most", "verdict"),
    [
        ("0.25", "0.30", "new"),
        ("0.20", "0.35", "new"),
        ("0.19", "0.30", "cannot-tell"),
        ("0.05", "0.45", "cannot-tell"),
    ],
)
def test_simple_acceptance_takes_both_leaves_of_a_gap(small: Dataset, least: str, most: str, verdict: str) -> None:
    """Its middle alone would lie in the range, whatever the leaves are apart."""
    found = one(judge(small, reading(SIDE, "gap", least, to=most, **MM), decision="simple"), SIDE)
    assert (found["verdict"], found["needs"]) == (verdict, DOUBTS["wide"] if verdict == "cannot-tell" else None)


def test_simple_acceptance_holds_u_to_the_range_by_which_a_value_passes(small: Dataset) -> None:
    """New is 0.20 to 0.35 mm, the limit 1.0 mm: U of 0.17 mm is too wide for new and not for a used part."""
    rough = {"dial_1": {"resolution": "0.01", "mpe": "0.15", "unit": "mm"}}
    for value, verdict in (("0.28", "cannot-tell"), ("0.60", "worn")):
        assert (
            one(judge(small, reading(SIDE, "gap", value, **MM), decision="simple", **rough), SIDE)["verdict"] == verdict
        )


def test_where_one_end_is_printed_simple_acceptance_holds_u_to_it(small: Dataset) -> None:
    rule = {"instrument": "scale-rule", "resolution": "", "mpe": "", "unit": ""}
    flat = reading(FLAT, "gap", "0.02", instrument="dial-1", **MM)
    assert one(judge(small, flat, decision="simple"), FLAT)["verdict"] == "new"
    found = one(judge(small, flat, decision="simple", dial_1=rule), FLAT)
    assert (found["verdict"], found["needs"]) == ("cannot-tell", DOUBTS["wide"])


@pytest.mark.parametrize(
    ("values", "taken"), [(("-5.0",), False), (("0.02", "-0.30"), False), (("0.02", "0.00"), True)]
)
def test_a_form_below_nothing_is_no_reading(small: Dataset, values: tuple[str, ...], taken: bool) -> None:
    read = [reading(FLAT, "gap", v, place=f"place-{n}", **MM) for n, v in enumerate(values)]
    if taken:
        assert one(judge(small, *read), FLAT)["verdict"] == "new"
    else:
        with pytest.raises(SheetError, match="head flatness is an amount without a sign"):
            judge(small, *read)


@pytest.mark.parametrize(
    ("more", "fault"),
    [
        ({"temperature_spread": "2000 K"}, 'temperature_spread: "2000 K", expected a difference from 0 K to 50 K'),
        ({"temperature_spread": "91 degF"}, 'temperature_spread: "91 degF", expected a difference from 0 K to 50 K'),
        (
            {"dial_1": {"mpe_percent": "99"}},
            'instruments[6].mpe_percent: "99", expected the limit of such instruments in mm, as mpe',
        ),
        (
            {"strip_1": {"resolution": "0.02"}},
            'instruments[4].resolution: "0.02", expected a step of such instruments, from 0.0000024 to 0.0047 in',
        ),
    ],
)
def test_absurd_limits_and_spreads_are_refused(small: Dataset, more: dict[str, Any], fault: str) -> None:
    with pytest.raises(SheetError) as found:
        check(sheet(reading(LASH, "gap", "0.30", **MM), **more), small)
    assert str(found.value) == fault


def test_a_limit_in_percent_is_held_to_its_class_without_a_unit_too(small: Dataset) -> None:
    wrench = {"id": "wrench-1", "instrument": "torque-wrench", "mpe_percent": "99"}
    tools = [wrench, {"id": "dial-1", "instrument": "dial-indicator"}]
    with pytest.raises(SheetError) as found:
        check(sheet(reading(LASH, "gap", "0.30", **MM)) | {"instruments": tools}, small)
    expected = "a limit of such instruments, from 0.2 to 40 %"
    assert str(found.value) == f'instruments[0].mpe_percent: "99", expected {expected}'


@pytest.mark.parametrize("spread", ["50 K", "90 degF", "0 K"])
def test_spreads_of_a_shop_are_taken(small: Dataset, spread: str) -> None:
    assert check(sheet(reading(LASH, "gap", "0.30", **MM), temperature_spread=spread), small).judged


HELD = {"thrust-washer-thickness": "2.00", "cam-housing-bore": "50.02", "rod-bolt-hole": "9.02"}


@pytest.mark.parametrize(
    ("item", "part", "value", "verdict"),
    [
        ("thrust-washer-thickness", "gap", "1.92", "past-new"),
        ("thrust-washer-thickness", "gap", "1.85", "loose"),
        ("cam-housing-bore", "bore", "50.05", "past-new"),
        ("cam-housing-bore", "bore", "50.20", "loose"),
        ("rod-bolt-hole", "bore", "9.20", "loose"),
    ],
)
def test_what_holds_another_part_wears_less_than_a_shaft(
    tmp_path: Path, item: str, part: str, value: str, verdict: str
) -> None:
    least = f"{float(HELD[item]) - 0.02:.2f}"
    data = shop(tmp_path, sizes=[row(item, least, HELD[item], **MM)])
    tool = {"instrument": "mic-1" if part == "gap" else "bore-1"}
    assert one(judge(data, reading(item, part, value, **MM, **tool)), item)["verdict"] == verdict


DEPTH = "liner-counterbore-depth"


@pytest.mark.parametrize(
    ("more", "value", "verdict"),
    [
        pytest.param([], "8.93", "past-new", id="no page allows more"),
        pytest.param([], "9.20", "loose", id="deeper than any page allows"),
        pytest.param([], "10.30", "loose", id="by 1.5 mm"),
        pytest.param([row(DEPTH, "", "9.30", unit="mm", **{"class": "repair"})], "9.20", "past-new", id="with shims"),
        pytest.param([row(DEPTH, "", "9.30", unit="mm", **{"class": "repair"})], "9.40", "loose", id="shims end there"),
    ],
)
def test_a_counterbore_is_no_deeper_than_a_page_of_its_engine_allows(
    tmp_path: Path, more: list[dict[str, str]], value: str, verdict: str
) -> None:
    data = shop(tmp_path, sizes=[row(DEPTH, "8.84", "8.89", **MM), *more])
    depth = {"instrument": "depth-1"}
    tools = {"instruments": [{"id": "depth-1", "instrument": "depth-micrometer"}]}
    read = sheet(reading(DEPTH, "gap", value, **MM) | depth) | tools
    assert one(check(read, data).as_dict(), DEPTH)["verdict"] == verdict


@pytest.mark.parametrize(("least", "clear"), [("0.000", False), ("0.001", True)])
def test_past_new_stays_clear_where_the_page_wants_it_above_zero(tmp_path: Path, least: str, clear: bool) -> None:
    data = shop(tmp_path, clearances=[row("liner-protrusion", least, "0.005")])
    (page,) = data.rows("example-engine", "liner-protrusion")
    assert must_stay_clear(bounds(page, data), data.quantities["liner-protrusion"]) is clear
