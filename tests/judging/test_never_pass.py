"""What can never pass: sheets that wreck an engine or prove nothing, each with the verdict that it must have."""

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from runningfits import check
from runningfits.cli import main
from runningfits.dataset import Dataset
from runningfits.faces.words import verdict_words
from runningfits.judging.against import DOUBTS
from runningfits.judging.bounds import RUNNING, bounds
from runningfits.judging.decide import DONE, VERDICTS
from runningfits.lines import printed_ends
from runningfits.sheets import blank
from runningfits.sheets.faults import SheetError
from runningfits.sheets.sheet import load

from ..shop import fit, judge, one, reading, row, sheet, shop, step, torque

ROD, MAIN, PLAY, LASH = "rod-bearing-clearance", "main-bearing-clearance", "crank-end-play", "valve-lash"
BORE, PIN = "rod-bearing-bore", "crankpin-diameter"
WALL, WASHER, PLATE = "rod-bearing-wall", "thrust-washer-thickness", "cam-thrust-plate-thickness"


def metric(*readings: dict[str, str]) -> list[dict[str, str]]:
    return [r | {"unit": "mm"} for r in readings]


def rods(data: Dataset, bore: str, shaft: str, **more: Any) -> dict[str, Any]:
    """Rod bearing 1 of a cummins-b, which prints a largest clearance alone."""
    build = {"model": "6bt"}
    return one(judge(data, *metric(*fit(ROD, bore, shaft)), engine="cummins-b-series", build=build, **more), ROD)


def test_a_crank_that_cannot_turn(data: Dataset) -> None:
    # the pin is 0.03 mm larger than its bore
    for decision in ("guarded", "simple"):
        assert rods(data, "69.020", "69.050", decision=decision)["verdict"] == "tight"


def test_a_running_fit_must_be_proven_above_zero(data: Dataset) -> None:
    # U of some 0.007 mm: 0.003 mm may be nothing, 0.03 mm is a clearance
    assert rods(data, "69.033", "69.030")["verdict"] == "cannot-tell"
    assert rods(data, "69.030", "69.030", decision="simple")["verdict"] == "tight", "no clearance is none"
    found = rods(data, "69.060", "69.030")
    assert found["verdict"] in ("new", "serviceable")
    assert found["not_printed"] == ["lower"]
    assert verdict_words(found).endswith("(no minimum is printed)")


def test_every_play_of_the_dataset_without_a_least_has_its_floor(data: Dataset) -> None:
    open_ = [
        b
        for engine in data.engines
        for r in data.all_rows(engine, "clearances")
        if data.quantities[r.item]["kind"] in RUNNING
        for b in (bounds(r, data),)
        if b.judged and b.nominal is None and b.low is None and (b.high or b.limit).loose > 0
    ]
    assert len(open_) >= 37
    assert all(b.floor for b in open_)


@pytest.fixture(scope="module")
def ends(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    """A pin of which only the wear limit is printed, its bore with its largest size alone, a printed nominal."""
    sizes = [row(PIN, limit="2.4970"), row(BORE, "", "2.5030"), row("piston-pin-bore", "0.9990", "")]
    sizes += [row(WALL, "0.0750", ""), row(WASHER, "", "0.0930"), row("valve-margin", "0.0400", "")]
    fits = [row(ROD, "0.0010", "0.0050"), row(LASH, nominal="0.012"), row(PLAY, "0.004", "0.009", "0.014")]
    return shop(tmp_path_factory.mktemp("ends"), sizes=sizes, clearances=fits)


@pytest.mark.parametrize(
    ("item", "part", "value", "end"),
    [
        pytest.param(PIN, "shaft", "2.5300", "largest", id="an oversize shaft, only its least is printed"),
        pytest.param(PIN, "shaft", "2.4990", "largest", id="a shaft above its limit"),
        pytest.param(BORE, "bore", "2.3000", "least", id="an undersize bore, only its largest is printed"),
        pytest.param("piston-pin-bore", "bore", "1.0500", "largest", id="a worn bore, only its least is printed"),
        pytest.param(WALL, "shaft", "0.1200", "largest", id="a shell far too thick, only its least is printed"),
        pytest.param(WALL, "shaft", "0.0760", "largest", id="a shell just above its least"),
        pytest.param(WASHER, "shaft", "0.0200", "least", id="a washer worn to a foil, only its most is printed"),
    ],
)
def test_one_printed_end_proves_no_mating_size(ends: Dataset, item: str, part: str, value: str, end: str) -> None:
    found = one(judge(ends, reading(item, part, value)), item)
    assert (found["verdict"], found["needs"]) == (
        "cannot-tell",
        f"its {end} size is not printed: it is right only if the fit is",
    )


def test_where_more_is_no_fault_one_printed_end_is_enough(ends: Dataset) -> None:
    assert one(judge(ends, reading("valve-margin", "shaft", "0.0900")), "valve-margin")["verdict"] == "new"


@pytest.mark.parametrize("thickness", ["0.0900", "0.3000"])
def test_a_thrust_plate_of_which_the_wear_limit_alone_is_printed(data: Dataset, thickness: str) -> None:
    # NTC-400, TM 9-2815-225-34P, 3-194: at least 0.083 in
    found = one(judge(data, reading(PLATE, "shaft", thickness), engine="cummins-ntc-400"), PLATE)
    assert found["verdict"] == "cannot-tell"
    worn = one(judge(data, reading(PLATE, "shaft", "0.0800"), engine="cummins-ntc-400"), PLATE)
    assert worn["verdict"] == "loose"


def test_a_size_with_one_printed_end_is_as_right_as_its_fit(ends: Dataset) -> None:
    right = judge(ends, *fit(ROD, "2.5020", "2.4990"))
    assert [one(right, i)["verdict"] for i in (ROD, PIN, BORE)] == ["new", "serviceable", "new"]
    seized = judge(ends, *fit(ROD, "2.5020", "2.5030"))
    assert [one(seized, i)["verdict"] for i in (ROD, PIN, BORE)] == ["tight", "cannot-tell", "cannot-tell"]


def test_another_reading_of_the_size_is_not_proven_by_the_fit(ends: Dataset) -> None:
    right = fit(ROD, "2.5020", "2.4990")
    assert one(judge(ends, *right, reading(PIN, "shaft", "2.7000")), PIN)["verdict"] == "cannot-tell"


def test_beyond_the_printed_end_it_is_out_all_the_same(ends: Dataset) -> None:
    assert one(judge(ends, reading(PIN, "shaft", "2.4960")), PIN)["verdict"] == "loose"
    assert one(judge(ends, reading(BORE, "bore", "2.5040")), BORE)["verdict"] == "past-new"


def test_a_tight_strip_is_tight(data: Dataset) -> None:
    # NTC-400 mains, TM 9-2815-225-34&P, F-2: 0.0015 to 0.005 in
    strip = reading(MAIN, "strip", "0.0005", to="0.0010")
    found = one(judge(data, strip, engine="cummins-ntc-400"), MAIN)
    assert found["verdict"] == "tight"
    suspected = judge(
        data, strip, *(reading(MAIN, "strip", "0.0030", n, to="0.0035") for n in "23"), engine="cummins-ntc-400"
    )
    assert one(suspected, MAIN)["verdict"] == "tight", "whatever is suspected stands beside it"


@pytest.mark.parametrize("item", [PLAY, LASH])
def test_a_shut_gap_is_tight(ends: Dataset, item: str) -> None:
    assert one(judge(ends, reading(item, "gap", "0.0004")), item)["verdict"] == "tight"


def two_units(base: Path, value: str) -> dict[str, Any]:
    """A spring of at least 47.6 mm, printed 1.87 in beside it: 47.498 mm."""
    cells = {"lower_2": "1.87", "upper_2": "1.89", "unit_2": "in"}
    data = shop(base, sizes=[row("spring-free-length", "47.6", "48.0", unit="mm", **cells)])
    return one(judge(data, *metric(reading("spring-free-length", "gap", value))), "spring-free-length")


@pytest.mark.parametrize(
    ("value", "verdict"), [("47.54", "cannot-tell"), ("47.70", "new"), ("47.60", "cannot-tell"), ("47.40", "past-new")]
)
def test_of_two_printed_units_the_stricter_must_hold(tmp_path: Path, value: str, verdict: str) -> None:
    found = two_units(tmp_path, value)
    assert found["verdict"] == verdict
    if value == "47.54":
        assert found["needs"].startswith("what is printed differs")


@pytest.mark.parametrize(
    ("value", "verdict"),
    [("0.0060", "new"), ("0.0085", "cannot-tell"), ("0.0030", "cannot-tell"), ("0.0110", "past-new")],
)
def test_of_two_documents_both_must_hold(tmp_path: Path, value: str, verdict: str) -> None:
    rows = [row(PLAY, "0.004", "0.009"), row(PLAY, "0.002", "0.008", source="example-2")]
    found = one(judge(shop(tmp_path, clearances=rows), reading(PLAY, "gap", value)), PLAY)
    assert found["verdict"] == verdict
    assert {found["cite"]["source"], *(o["cite"]["source"] for o in found["others"])} == {"example", "example-2"}


def test_a_range_and_a_limit_of_two_documents_are_not_one(tmp_path: Path) -> None:
    rows = [row(PLAY, "0.004", "0.009"), row(PLAY, limit="0.015", source="example-2")]
    found = one(judge(shop(tmp_path, clearances=rows), reading(PLAY, "gap", "0.0120")), PLAY)
    assert (found["verdict"], found["range"]["limit"]) == ("cannot-tell", None)
    assert found["needs"].startswith("what is printed differs")


STAGES = [
    # end play 0.004 to 0.009 in, limit 0.014; side clearance 0.004 to 0.012 in without one; lash 0.012 in alone
    (PLAY, "0.0060", "new", (True, True, True)),
    (PLAY, "0.0120", "worn", (True, False, False)),
    (PLAY, "0.0090", "serviceable", (True, True, False)),
    ("rod-side-clearance", "0.0200", "past-new", (True, False, False)),
    (LASH, "0.0120", "agrees", (True, True, True)),
    (PLAY, "0.0200", "loose", (False, False, False)),
    (PLAY, "0.0140", "cannot-tell", (False, False, False)),
]


@pytest.mark.parametrize(("item", "value", "verdict", "clean"), STAGES)
def test_what_a_verdict_is_worth_at_each_stage(
    tmp_path: Path, item: str, value: str, verdict: str, clean: tuple[bool, ...]
) -> None:
    rows = [
        row(PLAY, "0.004", "0.009", "0.014"),
        row("rod-side-clearance", "0.004", "0.012"),
        row(LASH, nominal="0.012"),
    ]
    data = shop(tmp_path, {"cylinders": "1", "crankpins": "1"}, clearances=rows)
    for stage, expected in zip(("found", "machined", "assembled"), clean, strict=True):
        done = check(sheet(reading(item, "gap", value, "1"), stage=stage), data)
        assert ([j.verdict for j in done.judged], done.clean) == ([verdict], expected), stage


def test_a_stage_takes_no_verdict_that_is_not_one() -> None:
    assert {v for done in DONE.values() for v in done} <= set(VERDICTS)
    never = {"loose", "tight", "cannot-tell", "which-row", "no-range", "bad-entry"}
    assert not never & {v for done in DONE.values() for v in done}


def test_a_sure_pass_is_serviceable_with_both_probabilities(ends: Dataset) -> None:
    # 0.0090 in on the end of the new range, 0.005 in below the limit
    found = one(judge(ends, reading(PLAY, "gap", "0.0090")), PLAY)
    assert (found["verdict"], found["probability"], found["probability_within_limit"]) == (
        "serviceable",
        "0.500",
        ">0.999",
    )


def test_what_was_not_judged_is_listed_with_why(data: Dataset) -> None:
    # the td27's page limits the taper of a cylinder, which one height does not show
    def found(*places: str) -> list[tuple[str, str]]:
        bores = [reading("cylinder-bore", "bore", "96.02", place=p, unit="mm") for p in places]
        result = judge(data, *bores, engine="nissan-td27")
        listed = {r["item"] for r in result["results"]}
        missing = [(m["item"], m["why"]) for m in result["not_judged"]]
        assert not listed & {i for i, _ in missing}
        return [m for m in missing if m[0] == "cylinder-taper"]

    assert found("top") == [("cylinder-taper", "it needs readings at two places in one direction")]
    assert found("top", "bottom") == []


def test_a_dial_form_is_listed_as_not_judged(tmp_path: Path) -> None:
    form = "main-journal-out-of-round"
    data = shop(tmp_path, clearances=[row(form, "", "", "0.002", method="half-dial")])
    across = [reading(MAIN, "shaft", v, direction=d) for d, v in (("vertical", "2.4998"), ("horizontal", "2.4993"))]
    (missing,) = judge(data, *across)["not_judged"]
    assert (missing["item"], missing["place"]) == (form, "1")
    assert missing["why"] == "its page counts the swing of a dial, which diameters do not give"


@pytest.mark.parametrize(
    ("value", "verdict"),
    [
        ("0.0300", "loose"),
        ("0.0120", "agrees"),
        ("0.0127", "agrees"),
        ("0.0130", "loose"),
        ("0.0090", "tight"),
        ("0.0000", "tight"),
    ],
)
def test_a_nominal_alone_agrees_within_u_and_half_its_last_digit(ends: Dataset, value: str, verdict: str) -> None:
    # 0.012 in, half a digit of 0.0005, U of 0.00033 in; a lash may wear either way
    found = one(judge(ends, reading(LASH, "gap", value)), LASH)
    assert found["verdict"] == verdict
    assert (found["probability"], found["probability_within_limit"]) == (None, None), "there is no range to lie in"


def test_every_nominal_alone_of_the_dataset_is_judged(data: Dataset) -> None:
    rows = [r for e in data.engines for t in ("sizes", "clearances") for r in data.all_rows(e, t)]
    alone = [r for r in rows if printed_ends(r) == {"nominal"}]
    assert len(alone) >= 117
    assert [r.id for r in alone if bounds(r, data).nominal is None] == []


@pytest.mark.parametrize(
    ("wrench", "value", "verdict"), [("15", "75", "cannot-tell"), ("15", "72", "cannot-tell"), ("4", "72", "followed")]
)
def test_a_wrench_that_cannot_prove_a_torque(tmp_path: Path, wrench: str, value: str, verdict: str) -> None:
    data = shop(tmp_path, torques=[step("main-cap", "1", "70", "75")])
    (line,) = judge(data, torques=[torque("main-cap", 1, value)], wrench_1={"mpe_percent": wrench})["torques"]
    assert line["verdict"] == verdict


@pytest.mark.parametrize(("value", "verdict"), [("91", "followed"), ("89", "followed"), ("100", "high"), ("80", "low")])
def test_an_angle_off_by_one_degree_is_not_out(tmp_path: Path, value: str, verdict: str) -> None:
    data = shop(tmp_path, torques=[step("main-cap", "1", action="turn", nominal="90", unit="deg")])
    (line,) = judge(data, torques=[torque("main-cap", 1, value, unit="deg")])["torques"]
    assert line["verdict"] == verdict


FEELER = {"instrument": "feeler-1"}


@pytest.mark.parametrize(
    ("leaf", "next_leaf", "verdict"),
    [
        pytest.param("0.006", None, "cannot-tell", id="a leaf that goes proves no most"),
        pytest.param("0.006", "0.007", "new", id="the next one does not go"),
        pytest.param("0.016", None, "loose", id="wider than the limit it is proven"),
        pytest.param("0.002", None, "cannot-tell", id="at least 0.002 in may be enough"),
        pytest.param("0.002", "0.003", "tight", id="and with the next leaf it is not"),
    ],
)
def test_a_lone_leaf_is_a_bound(ends: Dataset, leaf: str, next_leaf: str | None, verdict: str) -> None:
    more = FEELER | ({"to": next_leaf} if next_leaf else {})
    found = one(judge(ends, reading(PLAY, "gap", leaf, **more)), PLAY)
    assert (found["verdict"], found["least_only"]) == (verdict, next_leaf is None)
    assert (found["probability"] is None) == (next_leaf is None)
    if next_leaf is None and verdict == "cannot-tell":
        assert found["needs"].startswith("a leaf that goes is the least that it can be")


def test_simple_acceptance_takes_no_lone_leaf_for_a_value(ends: Dataset) -> None:
    assert (
        one(judge(ends, reading(PLAY, "gap", "0.006", **FEELER), decision="simple"), PLAY)["verdict"] == "cannot-tell"
    )


@pytest.mark.parametrize(("value", "verdict"), [("1.5", "bad-entry"), ("0.5", "loose"), ("0.0900", "loose")])
def test_an_absurd_value_is_no_entry(ends: Dataset, value: str, verdict: str) -> None:
    # a hundred times the limit of 0.014 in is 1.4 in
    found = one(judge(ends, reading(PLAY, "gap", value)), PLAY)
    assert found["verdict"] == verdict
    assert (found["probability"] is None) == (verdict == "bad-entry")


def test_a_sheet_without_a_reading_cannot_be_used(ends: Dataset, tmp_path: Path) -> None:
    with pytest.raises(SheetError) as fault:
        check(sheet(), ends)
    assert str(fault.value) == "sheet: holds no reading, expected a reading or a torque with its value"
    empty = reading(PLAY, "gap", "")
    with pytest.raises(SheetError, match="holds no reading"):
        check(sheet(empty, torques=[torque("main-cap", 1, "")]), ends)
    assert check(sheet(torques=[torque("main-cap", 1, "72")]), ends).torques, "a torque alone is something"


def test_a_blank_sheet_is_read_but_not_judged(data: Dataset, tmp_path: Path) -> None:
    path = tmp_path / "blank.json"
    whole = blank.blank(data, "nissan-h20")
    path.write_text(json.dumps(whole), encoding="utf-8")
    assert load(path, data).values["engine"] == "nissan-h20"
    refused = CliRunner().invoke(main, ["check", str(path)], catch_exceptions=False)
    assert (refused.exit_code, refused.stdout) == (2, "")
    assert refused.stderr == (
        "runningfits: blank.json:1:sheet: holds no reading, expected a reading or a torque with its value\n"
    )


@pytest.mark.parametrize(
    ("part", "size", "refused"),
    [
        ("crankpin", "-10 mm", True),
        ("crankpin", "-1.6 mm", False),
        ("crankpin", "-1.601 mm", True),
        ("crankpin", "-0.064 in", True),
        ("cylinder", "12 mm", True),
        ("cylinder", "0.125 in", False),
        ("cylinder", "0.127 in", True),
    ],
)
def test_a_repair_size_that_nobody_grinds_or_bores_to(data: Dataset, part: str, size: str, refused: bool) -> None:
    build = {"model": "big-cam-iii", "size": {part: size}}
    given = sheet(reading("main-journal-diameter", "shaft", "4.4990"), engine="cummins-ntc-400", build=build)
    if refused:
        with pytest.raises(SheetError, match="at most"):
            check(given, data)
    else:
        check(given, data)


def test_every_printed_repair_size_is_believed(data: Dataset) -> None:
    for engine in data.engines:
        for there in (r for r in data.rows(engine) if r.cells.get("size")):
            part = data.keyed("repairs")[data.quantities[there.item]["repair"]]
            size = abs(float(there["size"])) * float(data.units[there["unit"]].factor)
            assert size <= float(part["most"]) / 1000, there.id


PISTON, PIN_FIT = "piston-clearance", "pin-in-piston-clearance"


@pytest.mark.parametrize(
    ("item", "bore", "shaft", "verdict"),
    [
        pytest.param(PISTON, "90.020", "90.000", "new", id="proven clear"),
        pytest.param(PISTON, "90.001", "90.000", "cannot-tell", id="within U of zero"),
        pytest.param(PISTON, "90.000", "90.003", "cannot-tell", id="tight, as the page allows"),
        pytest.param(PIN_FIT, "22.000", "22.001", "new", id="a pin may be tight"),
    ],
)
@pytest.mark.parametrize("decision", ["guarded", "simple"])
def test_a_running_fit_is_new_above_zero_alone(
    tmp_path: Path, item: str, bore: str, shaft: str, verdict: str, decision: str
) -> None:
    mm = {"unit": "mm"}
    data = shop(tmp_path, clearances=[row(PISTON, "-0.020", "0.040", **mm), row(PIN_FIT, "-0.020", "0.020", **mm)])
    found = check(sheet(*metric(*fit(item, bore, shaft)), decision=decision, part_temperature="20 C"), data)
    told = one(found.as_dict(), item)
    assert (told["verdict"], told["needs"]) == (verdict, DOUBTS["clear"] if verdict == "cannot-tell" else None)
    assert told["interference"]


@pytest.mark.parametrize("stage", list(DONE))
def test_a_play_printed_as_one_value_passes_above_zero_alone(tmp_path: Path, stage: str) -> None:
    data = shop(tmp_path, clearances=[row(PLAY, nominal="0.02", unit="mm")])
    tool = {"dial_1": {"resolution": "0.001", "mpe": "0.006", "unit": "mm"}}
    for value, clean in (("0.017", True), ("0.006", False)):
        found = check(sheet(reading(PLAY, "gap", value, unit="mm"), stage=stage, **tool), data)
        assert (one(found.as_dict(), PLAY)["verdict"] == "agrees") == clean


def test_a_play_with_a_limit_alone_is_not_done_in_an_assembled_engine(tmp_path: Path) -> None:
    data = shop(tmp_path, clearances=[row(MAIN, limit="0.119", unit="mm")])
    for value, verdict in (("0.080", "serviceable"), ("0.012", "cannot-tell"), ("0.002", "cannot-tell")):
        found = check(sheet(reading(MAIN, "gap", value, "all", unit="mm"), stage="assembled"), data)
        assert (one(found.as_dict(), MAIN, "all")["verdict"], found.clean) == (verdict, False)
