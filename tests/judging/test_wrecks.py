"""Sheets that once passed a part that wrecks an engine: instruments, signs, sizes, words, and what stops each."""

from pathlib import Path
from typing import Any

import pytest

from runningfits import check
from runningfits.dataset import Dataset
from runningfits.judging.against import DOUBTS
from runningfits.judging.undecided import BEYOND_VALUE, STRIP, WAS_CUT
from runningfits.sheets.faults import SheetError

from ..shop import fit, judge, one, reading, row, sheet, shop, torque

MAIN, BORE, JOURNAL = "main-bearing-clearance", "main-bearing-bore", "main-journal-diameter"


@pytest.fixture(scope="module")
def mains(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    return shop(tmp_path_factory.mktemp("mains"), clearances=[row(MAIN, "0.0015", "0.0030")])


def test_a_correction_of_the_micrometer_moves_the_bore_set_on_it(mains: Dataset) -> None:
    plain = one(judge(mains, *fit(MAIN, "2.5022", "2.5000")), MAIN)
    moved = one(judge(mains, *fit(MAIN, "2.5022", "2.5000"), mic_1={"correction": "-0.0003"}), MAIN)
    assert (moved["value"], moved["uncertainty"]) == (plain["value"], plain["uncertainty"]), "it drops out of the fit"
    other = [reading(MAIN, "bore", "2.5014"), reading(MAIN, "shaft", "2.5000", instrument="mic-2")]
    found = one(judge(mains, *other, mic_1={"correction": "-0.0003"}), MAIN)
    assert (found["value"], found["verdict"]) == ("0.00110", "tight"), "the shaft was measured with another"


def test_what_is_in_by_corrections_alone_is_undecided(mains: Dataset) -> None:
    def found(bore: str, journal: str = "2.5000") -> tuple[str, str]:
        lines = [reading(MAIN, "bore", bore), reading(MAIN, "shaft", journal, instrument="mic-2")]
        result = judge(mains, *lines, mic_1={"correction": "0.00039"}, mic_2={"correction": "-0.00039"})
        return one(result, MAIN)["verdict"], one(result, MAIN)["needs"]

    assert found("2.5012") == ("cannot-tell", DOUBTS["corrected"]), "tight as it was read"
    assert found("2.5016")[0] == "new", "inside as it was read"
    assert found("2.5001")[0] == "tight"


def test_what_a_base_was_set_on_counts_once(mains: Dataset) -> None:
    def uncertainty(shaft: str, **more: Any) -> float:
        lines = [reading(MAIN, "bore", "2.5022"), reading(MAIN, "shaft", "2.5000", instrument=shaft)]
        return float(one(judge(mains, *lines, **more), MAIN)["uncertainty"])

    chain = {"mic_1": {"set_on": "mic-2"}}
    assert uncertainty("mic-1", **chain) == uncertainty("mic-1"), "bore and shaft share both micrometers"
    assert uncertainty("mic-2", **chain) < uncertainty("mic-2"), "the shaft's is the one that both go back to"


def test_a_fit_of_two_items_is_judged(mains: Dataset) -> None:
    seized = judge(mains, reading(BORE, "bore", "2.5000"), reading(JOURNAL, "shaft", "2.5020"))
    assert (one(seized, MAIN)["verdict"], one(seized, MAIN)["derived"]) == ("tight", True)
    half = judge(mains, reading(MAIN, "bore", "2.5000"), reading(JOURNAL, "shaft", "2.5020"))
    assert "tight" in [r["verdict"] for r in half["results"] if r["item"] == MAIN]


def test_two_items_at_two_places_are_listed_as_no_fit(mains: Dataset) -> None:
    result = judge(mains, reading(BORE, "bore", "2.5000", "1"), reading(JOURNAL, "shaft", "2.5020", "2"))
    assert [(m["item"], m["place"], m["why"]) for m in result["not_judged"]] == [
        (MAIN, "1", "its shaft was not measured at this place"),
        (MAIN, "2", "its bore was not measured at this place"),
    ]


def faults(data: Dataset, *readings: dict[str, str], **more: Any) -> str:
    with pytest.raises(SheetError) as found:
        check(sheet(*readings, **more), data)
    return str(found.value)


@pytest.mark.parametrize(
    ("item", "tool"),
    [
        ("cam-bend", "dial-1"),
        ("main-journal-out-of-round", "mic-1"),
        ("block-height", "caliper-1"),
        (JOURNAL, "dial-1"),
    ],
)
def test_an_amount_has_no_sign(mains: Dataset, item: str, tool: str) -> None:
    assert "an amount without a sign" in faults(mains, reading(item, "gap", "-0.0500", instrument=tool))


def test_a_second_reading_does_not_hide_a_negative_form(tmp_path: Path) -> None:
    data = shop(tmp_path, clearances=[row("rod-bend", "", "0.004", method="largest")])
    for places, verdict in (({}, {}), "cannot-tell"), (({"place": "a"}, {"place": "b"}), "bad-entry"):
        low, high = (reading("rod-bend", "gap", v, **p) for v, p in zip(("-0.2000", "0.0010"), places, strict=True))
        assert one(judge(data, low, high), "rod-bend")["verdict"] == verdict


def test_a_protrusion_keeps_its_sign(tmp_path: Path) -> None:
    data = shop(tmp_path, clearances=[row("piston-protrusion", "-0.010", "0.010")])
    found = one(judge(data, reading("piston-protrusion", "gap", "-0.0050")), "piston-protrusion")
    assert found["verdict"] == "new"


def test_a_repair_row_without_a_size_is_silent_on_a_standard_build(tmp_path: Path) -> None:
    data = shop(tmp_path, sizes=[row("piston-skirt-diameter", "4.0200", "4.0210", **{"class": "repair"})])
    item, read = "piston-skirt-diameter", reading("piston-skirt-diameter", "shaft", "4.0205")
    assert one(judge(data, read), item)["verdict"] == "no-range"
    assert one(judge(data, read, build={"size": {"cylinder": "0.020 in"}}), item)["verdict"] == "new"


@pytest.mark.parametrize(
    ("tool", "words"),
    [
        ({"instrument": "scale-rule"}, "what a two-point bore gauge with dial can be set on"),
        ({"instrument": "torque-wrench"}, "what a two-point bore gauge with dial can be set on"),
        ({"instrument": "mass-scale"}, "what a two-point bore gauge with dial can be set on"),
        ({"instrument": "outside-micrometer", "set_on": "mic-2"}, "was not set on this one in turn"),
        ({"instrument": "outside-micrometer", "mpe_percent": "0.0001"}, "the limit of such instruments in mm, as mpe"),
    ],
)
def test_what_a_gauge_cannot_be_set_on(mains: Dataset, tool: dict[str, str], words: str) -> None:
    bare = dict.fromkeys(("resolution", "mpe", "unit"), "")
    told = faults(mains, *fit(MAIN, "2.5022", "2.5000"), mic_1=bare | tool, mic_2={"set_on": "mic-1"})
    assert words in told


@pytest.mark.parametrize(
    ("part", "tool", "words"),
    [
        ("shaft", "gauge-block", "measures a shaft"),
        ("shaft", "bore-gauge", "measures a shaft"),
        ("shaft", "scale-rule", "measures a shaft"),
        ("shaft", "mass-scale", "measures a shaft"),
        ("bore", "outside-micrometer", '"shaft": main journal diameter is measured as that'),
    ],
)
def test_what_an_instrument_cannot_measure(mains: Dataset, part: str, tool: str, words: str) -> None:
    line = reading(JOURNAL, part, "2.5000", instrument="caliper-1")
    assert words in faults(mains, line, caliper_1={"instrument": tool})


def test_no_head_is_tightened_with_a_micrometer(mains: Dataset) -> None:
    line = torque("main-cap", 1, "72", instrument="mic-1")
    assert "an instrument that measures a torque" in faults(mains, torques=[line])


@pytest.mark.parametrize("cells", [{"mpe_percent": "0.0001", "unit": ""}, {"mpe_percent": "", "mpe": "0.001"}])
def test_no_wrench_is_that_good(mains: Dataset, cells: dict[str, str]) -> None:
    told = faults(mains, torques=[torque("main-cap", 1, "72")], wrench_1=cells | {"resolution": ""})
    assert "a limit of such instruments" in told


@pytest.mark.parametrize("field", ["part_temperature", "room_temperature"])
def test_a_number_that_may_be_fahrenheit_needs_its_unit(mains: Dataset, field: str) -> None:
    read = fit(MAIN, "2.5022", "2.5000")
    assert "expected its unit: 68 C or 68 F" in faults(mains, *read, **{field: "68"})
    for fine in ("68 F", "320 K", "21", "40"):
        assert check(sheet(*read, **{field: fine}), mains).judged


def test_parts_of_one_fit_are_about_as_warm(mains: Dataset) -> None:
    bore, apart = reading(MAIN, "bore", "2.5022", temperature="70 C"), reading(JOURNAL, "shaft", "2.5000")
    told = "expected at most 30 K from the shaft of its fit, which was at 20 C"
    for shaft in (reading(MAIN, "shaft", "2.5000"), apart):
        assert told in faults(mains, bore, shaft | {"temperature": "20 C"})
        assert told in faults(mains, bore, shaft, part_temperature="20 C")
        room = {"room_temperature": "45 C"}
        assert check(sheet(bore, shaft | {"temperature": "40 C"}, **room), mains).judged
        assert check(sheet(bore, shaft | {"temperature": "20 C", "position": "2"}, **room), mains).judged


def test_a_fit_of_which_no_least_is_printed_is_not_new_just_above_zero(tmp_path: Path) -> None:
    data = shop(tmp_path, clearances=[row(MAIN, "", "0.0050")])
    seizing, running = (one(judge(data, *fit(MAIN, v, "2.5000")), MAIN) for v in ("2.5004", "2.5015"))
    words = "no minimum is printed; by what other engines' pages print it is hardly less than 0.00083 in: ask the maker"
    assert (seizing["verdict"], seizing["needs"]) == ("cannot-tell", words)
    assert (running["verdict"], running["needs"]) == ("new", None)


def test_backlash_of_which_no_most_is_printed_is_not_new_out_of_mesh(tmp_path: Path) -> None:
    data = shop(tmp_path, clearances=[row("gear-backlash", "0.003", "")])
    read = [reading("gear-backlash", "gap", v, "all") for v in ("0.2500", "0.0100")]
    loose, meshing = (one(judge(data, r), "gear-backlash", "all") for r in read)
    words = "no maximum is printed; by what other engines' pages print it is hardly more than 0.0300 in: ask the maker"
    assert (loose["verdict"], loose["needs"]) == ("cannot-tell", words)
    assert (meshing["verdict"], meshing["needs"]) == ("new", None)


def test_a_lash_is_judged_in_the_state_that_its_page_prints(tmp_path: Path) -> None:
    lash = "valve-lash"
    silent = shop(tmp_path / "silent", clearances=[row(lash, "0.010", "0.014")])
    cold = shop(tmp_path / "cold", clearances=[row(lash, "0.010", "0.014", state="cold")])

    def found(data: Dataset, **said: str) -> tuple[str, str | None]:
        r = one(judge(data, reading(lash, "gap", "0.0120", **said)), lash)
        return r["verdict"], r["needs"]

    passed = "new", None
    assert [found(silent), found(silent, state="none"), found(cold, state="cold")] == [passed] * 3
    assert [found(silent, state=s) for s in ("hot", "cold")] == [("cannot-tell", DOUBTS["state"])] * 2
    assert found(cold) == ("cannot-tell", DOUBTS["unsaid"])
    assert found(cold, state="hot")[0] == "no-range"


def test_a_straight_crank_is_done_where_its_page_prints_a_limit_alone(tmp_path: Path) -> None:
    data = shop(tmp_path, clearances=[row("crank-bend", limit="0.0040"), row("crank-end-play", limit="0.0120")])
    for item, value, done in (("crank-bend", "0.0000", True), ("crank-end-play", "0.0060", False)):
        found = check(sheet(reading(item, "gap", value, "all"), stage="assembled"), data)
        assert ([j.verdict for j in found.judged], found.clean) == (["serviceable"], done), item


def test_a_journal_as_large_as_the_printed_value_is_inside_its_limit(tmp_path: Path) -> None:
    data = shop(tmp_path, sizes=[row(JOURNAL, nominal="2.5000", limit="2.4980")])
    found = one(judge(data, reading(JOURNAL, "shaft", "2.5000")), JOURNAL)
    assert (found["verdict"], found["probability_within_limit"]) == ("serviceable", ">0.999")
    larger = one(judge(data, reading(JOURNAL, "shaft", "2.5010")), JOURNAL)
    assert (larger["verdict"], larger["needs"]) == ("cannot-tell", BEYOND_VALUE)
    coarse = {"caliper_1": {"resolution": "0.02", "mpe": "0.05", "unit": "mm"}}
    wide = one(judge(data, reading(JOURNAL, "shaft", "2.5000", instrument="caliper-1"), **coarse), JOURNAL)
    assert wide["verdict"] == "cannot-tell", "what is no closer says nothing"


def test_a_size_that_no_page_prints_is_told(tmp_path: Path) -> None:
    plain = [row(JOURNAL, "2.4990", "2.5000")]
    printed = [*plain, row(JOURNAL, "2.4890", "2.4900", size="-0.010"), row(JOURNAL, "2.4790", "2.4800", size="-0.020")]
    silent, telling = shop(tmp_path / "silent", sizes=plain), shop(tmp_path / "telling", sizes=printed)

    def found(data: Dataset, size: str, value: str) -> list[str]:
        result = judge(data, reading(JOURNAL, "shaft", value), build={"size": {"main-journal": size}})
        return [f["message"] for f in result["findings"] if f["code"] == "B114"]

    assert found(silent, "-0.010 in", "2.4895") == found(telling, "-0.010 in", "2.4895") == []
    words = "main journal -0.004 in: no page of this engine prints that size"
    assert found(silent, "-0.004 in", "2.4955") == [f"{words} (it prints none for it)"]
    assert found(telling, "-0.004 in", "2.4955") == [f"{words} (it prints -0.010 in, -0.020 in)"]
    assert found(telling, "-0.030 in", "2.4695"), "a common step, but not one of those that are printed"


HOUSING, SHELL, STANDOUT = "main-housing-bore", "main-bearing-wall", "liner-protrusion"


@pytest.mark.parametrize(
    ("line", "part", "used", "wreck"),
    [
        (row(HOUSING, "2.6570", "2.6576"), "bore", "2.6590", "2.6720"),
        (row(SHELL, "0.0584", "0.0586"), "shaft", "0.0572", "0.0434"),
        (row("rod-bearing-clearance", "0.0008", "0.0020"), "gap", "0.0050", "0.0094"),
        (row(STANDOUT, "0.0020", "0.0050"), "gap", "0.0010", "0.0000"),
        (row(STANDOUT, "-0.0500", "-0.0465"), "gap", "-0.0550", "-0.0800"),
    ],
)
def test_what_cannot_run_is_no_used_part(
    tmp_path: Path, line: dict[str, str], part: str, used: str, wreck: str
) -> None:
    item = line["quantity"]
    table = "sizes" if item in (HOUSING, SHELL) else "clearances"
    data = shop(tmp_path, **{table: [line]})
    read = [one(judge(data, reading(item, part, v)), item)["verdict"] for v in (used, wreck)]
    assert read == ["past-new", "loose"]


def test_a_press_fit_that_has_become_a_play_is_no_used_one(tmp_path: Path) -> None:
    data = shop(tmp_path, clearances=[row("liner-fit", "-0.0050", "-0.0030")])
    read = [one(judge(data, *fit("liner-fit", v, "4.0000")), "liner-fit")["verdict"] for v in ("3.9990", "4.0040")]
    assert read == ["past-new", "loose"]


@pytest.mark.parametrize(
    ("line", "part", "good", "wrong"),
    [
        (row("spring-load", limit="25", unit="lbf"), "gap", "40", "250"),
        (row("valve-length", limit="4.1480"), "shaft", "4.1700", "4.2520"),
        (row("cylinder-bore", limit="2.5600"), "bore", "2.5520", "2.5000"),
    ],
)
def test_far_inside_a_lone_limit_is_hardly_that_part(
    tmp_path: Path, line: dict[str, str], part: str, good: str, wrong: str
) -> None:
    item, data = line["quantity"], shop(tmp_path, sizes=[line])
    tool = {"unit": "lbf", "instrument": "load-1"} if item == "spring-load" else {}
    told = [one(judge(data, reading(item, part, v, **tool)), item) for v in (good, wrong)]
    assert told[1]["needs"] == DOUBTS["beyond-new"] and told[0]["needs"] != DOUBTS["beyond-new"]
    assert told[1]["verdict"] == "cannot-tell"


def test_a_machinist_hands_back_nothing_worn(tmp_path: Path) -> None:
    data = shop(tmp_path, sizes=[row("cylinder-bore", "2.5500", "2.5510", limit="2.5550")])
    worn = [reading("cylinder-bore", "bore", "2.5530", str(n)) for n in (1, 2, 3, 4)]
    done = {s: check(sheet(*worn, stage=s), data).clean for s in ("found", "machined", "assembled")}
    assert done == {"found": True, "machined": False, "assembled": False}


def test_what_hardly_stands_proud_is_not_past_new(tmp_path: Path) -> None:
    data = shop(tmp_path, clearances=[row("liner-protrusion", "0.0030", "0.0060")])

    def found(value: str) -> tuple[str, str | None]:
        dial = {"resolution": "0.0004", "mpe": "0.0006"}
        result = one(judge(data, reading("liner-protrusion", "gap", value), dial_1=dial), "liner-protrusion")
        return result["verdict"], result["needs"]

    assert found("0.0004") == ("cannot-tell", DOUBTS["clear"])
    assert found("0.0016")[0] == "past-new"
    assert found("-0.0020")[0] == "loose"


@pytest.mark.parametrize("item", ["head-thickness", "block-height"])
def test_a_head_or_a_block_does_not_wear(tmp_path: Path, item: str) -> None:
    data = shop(tmp_path, sizes=[row(item, "4.000", "4.005"), row("idler-width", "4.000", "4.005")])

    def found(value: str, of: str = item) -> tuple[str, str | None]:
        result = one(judge(data, reading(of, "gap", value, instrument="caliper-1")), of)
        return result["verdict"], result["needs"]

    assert found("3.994") == ("loose", WAS_CUT)
    assert found("4.011")[0] == "tight"
    assert found("3.994", "idler-width")[0] == "past-new", "what wears"


@pytest.mark.parametrize(
    ("cells", "own", "field"),
    [
        ({"part_temperature": "44 C", "room_temperature": "-9 C"}, {}, "part_temperature"),
        ({"room_temperature": "20 C"}, {"temperature": "350 K"}, "readings[0].temperature"),
        ({"part_temperature": "363 K"}, {}, "part_temperature"),
    ],
)
def test_a_part_far_from_its_instrument_is_refused(
    mains: Dataset, cells: dict[str, str], own: dict[str, str], field: str
) -> None:
    with pytest.raises(SheetError) as found:
        check(sheet(reading(JOURNAL, "shaft", "2.5000") | own, **cells), mains)
    told = {f.place: f.expected for f in found.value.faults}
    assert field in told
    assert "at most 30 K between parts and instruments" in told[field]


def test_what_warmth_moved_is_told(tmp_path: Path) -> None:
    data = shop(tmp_path, sizes=[row("cylinder-bore", "4.0000", "4.0010")])
    warm = {"part_temperature": "45 C", "room_temperature": "20 C", "materials": {"cylinder-bore": "aluminium-6061"}}
    moved = "What is measured as cylinder bore is taken to 20 °C: 4.0010 in was read and became "
    assert [a for a in judge(data, reading("cylinder-bore", "bore", "4.0010"), **warm)["assumed"] if moved in a]
    cool = warm | {"part_temperature": "20 C"}
    assert not [a for a in judge(data, reading("cylinder-bore", "bore", "4.0010"), **cool)["assumed"] if moved in a]


@pytest.mark.parametrize(
    ("value", "most", "verdict"), [("0.0025", "0.0030", "new"), ("0.0030", "0.0030", "cannot-tell")]
)
def test_a_strip_at_its_end_is_a_bound(tmp_path: Path, value: str, most: str, verdict: str) -> None:
    data = shop(tmp_path, clearances=[row(MAIN, "0.0015", "0.0040")])
    strip = {"range_from": "0.0010", "range_to": most}
    found = one(judge(data, reading(MAIN, "strip", value), strip_1=strip), MAIN)
    assert (found["verdict"], found["least_only"]) == (verdict, verdict != "new")
    assert found["needs"] == (None if verdict == "new" else STRIP)
    over = one(judge(data, reading(MAIN, "strip", "0.0035"), strip_1=strip), MAIN)
    assert over["verdict"] == "cannot-tell"


def test_a_leaf_that_is_not_of_the_set_is_a_bound(tmp_path: Path) -> None:
    data = shop(tmp_path, clearances=[row("rod-side-clearance", "0.008", "0.014")])

    def found(most: str) -> str:
        read = reading("rod-side-clearance", "gap", "0.010", to="0.011", instrument="feeler-1")
        result = judge(data, read, feeler_1={"range_from": "0.001", "range_to": most})
        return str(one(result, "rod-side-clearance")["verdict"])

    assert (found("0.010"), found("0.011")) == ("cannot-tell", "new")


def test_a_head_within_its_printed_limit_stays(tmp_path: Path) -> None:
    data = shop(tmp_path, sizes=[row("head-thickness", "4.000", "4.005", "3.980")])
    found = one(judge(data, reading("head-thickness", "gap", "3.990", instrument="caliper-1")), "head-thickness")
    assert found["verdict"] == "worn"
