"""Slips of an entry: each bench rule through a whole sheet, on engines of the real dataset where it has the rows."""

import json
from pathlib import Path
from typing import Any

import pytest

import runningfits as rf
from runningfits import rulebook
from runningfits.dataset import Dataset

from ..shop import codes, fit, judge, one, reading, row, sheet, shop, step, torque

MAIN, PLAY, JOURNAL, PISTON = "main-bearing-clearance", "crank-end-play", "main-journal-diameter", "piston-clearance"


@pytest.fixture(scope="module")
def engine(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    clearances = [
        row(MAIN, "0.0015", "0.0030", "0.0050"),
        row(PLAY, "0.004", "0.009", "0.014"),
        row(PISTON, "0.0030", "0.0050", "0.0080"),
        row("pin-in-piston-clearance", "-0.0003", "0.0002"),
        row("cam-bearing-clearance", "", "0.0030"),
    ]
    sizes = [
        row(JOURNAL, "2.4990", "2.5000", "2.4970"),
        row(JOURNAL, "2.4740", "2.4750", size="-0.025", **{"class": "repair"}),
        row("cylinder-bore", "4.0000", "4.0020", "4.0080"),
        row("piston-skirt-diameter", nominal="3.9960", limit="3.9900"),
    ]
    torques = [
        step("main-cap", "1", "30", "35", thread_state="oiled"),
        step("main-cap", "2", "70", "75", thread_state="oiled"),
        step("rod-cap", "1", nominal="40"),
        step("oil-pump", "1", nominal="168", unit="lbf.in"),
    ]
    return shop(tmp_path_factory.mktemp("slips"), clearances=clearances, sizes=sizes, torques=torques)


def found(data: Dataset, *readings: dict[str, str], **more: Any) -> list[str]:
    return codes(judge(data, *readings, **more))


@pytest.mark.parametrize(
    ("value", "code"),
    [
        pytest.param("24.995", "B101", id="ten times too large"),
        pytest.param("0.24995", "B101", id="ten times too small"),
        pytest.param("63.487", "B102", id="millimetres as inches"),
        pytest.param("2.4745", "B103", id="a turn of 0.025 in short"),
        pytest.param("2.5245", "B103", id="a turn of 0.025 in too many"),
        pytest.param("2.47981", "B103", id="a turn of 0.5 mm short"),
        pytest.param("2.5009", "B104", id="bigger than new"),
    ],
)
def test_slips_of_a_size(engine: Dataset, value: str, code: str) -> None:
    assert code in found(engine, reading(JOURNAL, "shaft", value))


@pytest.mark.parametrize("value", ["2.4995", "2.4971", "2.4960", "2.5003"])
def test_a_size_that_is_no_slip(engine: Dataset, value: str) -> None:
    # new, worn, worn out, and as much above new as the micrometer may err
    assert found(engine, reading(JOURNAL, "shaft", value)) == []


def test_inches_as_millimetres(engine: Dataset) -> None:
    assert "B102" in found(engine, reading(JOURNAL, "shaft", "2.4995", unit="mm"))


@pytest.mark.parametrize(
    ("value", "expected"),
    [("0.0006", []), ("0.060", ["B101"]), ("0.165", ["B102"]), ("0.006", []), ("0.0020", []), ("0.018", [])],
)
def test_slips_of_a_gap(engine: Dataset, value: str, expected: list[str]) -> None:
    # a tight play may be as tight as it reads
    assert found(engine, reading(PLAY, "gap", value)) == expected


def test_a_tight_gap_is_suspected_where_what_else_was_read_says_otherwise(engine: Dataset) -> None:
    tight = reading(MAIN, "gap", "0.0002")
    alone = judge(engine, tight)
    assert (one(alone, MAIN)["verdict"], codes(alone)) == ("tight", [])
    others = [reading(MAIN, "gap", "0.0021", n) for n in ("2", "3")]
    beside = judge(engine, tight, *others)
    assert (one(beside, MAIN)["verdict"], codes(beside)) == ("tight", ["B101"]), "suspected, and tight for all that"
    sizes = judge(engine, tight, *fit(MAIN, "2.5022", "2.4998"))
    assert "B101" in codes(sizes)


def test_a_named_undersize_is_no_turn_of_the_micrometer(engine: Dataset) -> None:
    ground = reading(JOURNAL, "shaft", "2.4745")
    assert found(engine, ground, build={"size": {"main-journal": "-0.025 in"}}) == []


def test_a_caliper_has_no_turns(engine: Dataset) -> None:
    assert "B103" not in found(engine, reading(JOURNAL, "shaft", "2.4745", instrument="caliper-1"))


def test_a_bore_below_new_is_bigger_than_new(engine: Dataset) -> None:
    assert found(engine, reading("cylinder-bore", "bore", "3.9990")) == ["B104"]
    assert found(engine, reading("cylinder-bore", "bore", "4.0100")) == []


def test_a_piston_larger_than_its_bore(engine: Dataset) -> None:
    result = judge(engine, *fit(PISTON, "4.0010", "4.0050"))
    (slip,) = [f for f in result["findings"] if f["code"] == "B105"]
    assert one(result, PISTON)["verdict"] == "tight", "what reads as no clearance has none"
    assert slip["message"] == "4.0050 in is larger than the bore of 4.0010 in"


def test_a_tight_fit_may_be_larger_than_its_bore(engine: Dataset) -> None:
    assert found(engine, *fit("pin-in-piston-clearance", "0.9900", "0.9905")) == []


def test_the_other_part_serves_where_no_size_is_printed(engine: Dataset) -> None:
    # no row for the bearing's bore: the journal of the same fit shows the lost decimal
    assert "B101" in found(engine, *fit(MAIN, "25.022", "2.4998"))


def test_the_mean_of_the_other_part_serves(engine: Dataset) -> None:
    journals = [
        reading("cam-bearing-clearance", "shaft", v, place=p) for p, v in (("front", "1.9980"), ("rear", "1.9982"))
    ]
    assert found(engine, reading("cam-bearing-clearance", "bore", "2.0005"), *journals) == []
    slips = judge(engine, reading("cam-bearing-clearance", "bore", "20.005"), *journals)["findings"]
    assert "readings[0].value" in [f["column"] for f in slips if f["code"] == "B101"]


def test_a_single_printed_size_shows_a_slip_too(engine: Dataset) -> None:
    assert "B101" in found(engine, reading("piston-skirt-diameter", "shaft", "39.960"))
    assert found(engine, reading("piston-skirt-diameter", "shaft", "3.9955")) == []


def test_digits_beyond_the_instrument(engine: Dataset) -> None:
    coarse = {"mic_1": {"resolution": "0.001"}}
    assert "B106" in found(engine, reading(JOURNAL, "shaft", "2.49953"), **coarse)
    assert found(engine, reading(JOURNAL, "shaft", "2.4995"), **coarse) == [], "one digit may be judged by eye"


def test_an_instrument_too_coarse(engine: Dataset) -> None:
    # DIN 862: 0.02 mm either way, a range of 0.0015 in (0.038 mm)
    parts = [r | {"instrument": "caliper-1"} for r in fit(MAIN, "2.502", "2.499")]
    assert set(found(engine, *parts)) == {"B107", "B110"}


def test_a_micrometer_of_another_band(engine: Dataset) -> None:
    small = {"mic_1": {"instrument": "outside-micrometer-0-25"}}
    assert "B111" in found(engine, reading(JOURNAL, "shaft", "2.4995"), **small)
    assert "B111" not in found(engine, reading(JOURNAL, "shaft", "2.4995"))


def test_a_bore_gauge_set_on_a_micrometer_of_another_band(engine: Dataset) -> None:
    parts = fit(MAIN, "2.5022", "2.4995")
    assert "B113" in found(engine, *parts, mic_1={"instrument": "outside-micrometer-25-50"})
    assert "B113" not in found(engine, *parts, mic_1={"instrument": "outside-micrometer-50-75"})
    assert "B113" not in found(engine, *parts), "a micrometer whose band is not told"


def test_repeats_that_no_hand_reads_at_one_place(engine: Dataset) -> None:
    assert "B112" in found(engine, *(reading(JOURNAL, "shaft", v) for v in ("2.4995", "2.4985")))
    assert "B112" not in found(engine, *(reading(JOURNAL, "shaft", v) for v in ("2.4995", "2.4993")))


def test_a_one_sided_range_has_no_width_to_be_too_coarse_for(engine: Dataset) -> None:
    parts = [r | {"instrument": "caliper-1"} for r in fit("cam-bearing-clearance", "2.000", "1.998")]
    assert found(engine, *parts) == ["B110"], "the outside jaws of a caliper in a bore, nothing else"


def test_a_bore_gauge_that_was_not_set(engine: Dataset) -> None:
    assert found(engine, reading("cylinder-bore", "bore", "4.0010"), bore_1={"set_on": ""}) == ["B108"]


def test_a_bore_gauge_set_on_another_micrometer(engine: Dataset) -> None:
    bore, shaft = fit(MAIN, "2.5022", "2.4998")
    result = judge(engine, bore, shaft | {"instrument": "mic-2"})
    (remark,) = result["findings"]
    assert (remark["code"], remark["severity"]) == ("B109", "remark")
    assert remark["message"].startswith("bore-1 was set on mic-1, the shaft measured with mic-2")


BAD = [
    # entered, shown, verdict of the journal, of its fit in 2.5022 in: a value that cannot be one is no entry
    ("24.995", "24.99500", "tight", "bad-entry"),
    ("0.24995", "0.24995", "loose", "bad-entry"),
    ("63.487", "63.48700", "tight", "bad-entry"),
    ("2.4745", "2.47450", "loose", "loose"),
]


@pytest.mark.parametrize(("entered", "shown", "journal", "_"), BAD)
def test_a_slip_is_never_corrected_silently_and_hides_no_verdict(
    engine: Dataset, entered: str, shown: str, journal: str, _: str
) -> None:
    result = judge(engine, reading(JOURNAL, "shaft", entered))
    size = one(result, JOURNAL)
    assert (size["verdict"], size["value"], size["unit"]) == (journal, shown, "in")
    assert size["probability"] == "<0.001"
    assert set(codes(result)) & {"B101", "B102", "B103"}


@pytest.mark.parametrize(("entered", "_", "journal", "clearance"), BAD)
def test_a_slip_stands_beside_the_fit_and_what_follows_from_it(
    engine: Dataset, entered: str, _: str, journal: str, clearance: str
) -> None:
    result = judge(engine, *fit(MAIN, "2.5022", entered))
    found, size = one(result, MAIN), one(result, JOURNAL)
    assert (found["verdict"], size["verdict"]) == (clearance, journal)
    assert float(found["value"]) == pytest.approx(2.5022 - float(entered), abs=1e-6)
    assert (found["probability"] is None) == (clearance == "bad-entry")


def test_a_slip_spoils_no_other_place(engine: Dataset) -> None:
    result = judge(engine, *fit(MAIN, "2.5022", "24.998", "1"), *fit(MAIN, "2.5022", "2.4998", "2"))
    assert [one(result, MAIN, p)["verdict"] for p in ("1", "2")] == ["bad-entry", "new"]


def test_a_slip_in_each_of_two_alike_is_found_in_both(tmp_path: Path) -> None:
    loads = [row("spring-load", "10", "20", which=w, unit="lbf") for w in ("inner-spring", "outer-spring")]
    data = shop(tmp_path, sizes=loads)
    more = {"unit": "lbf", "instrument": "load-1"}
    result = judge(
        data, *(reading("spring-load", "gap", "150", which=w, **more) for w in ("inner-spring", "outer-spring"))
    )
    assert [f["column"] for f in result["findings"]] == ["readings[0].value", "readings[1].value"]
    assert [r["verdict"] for r in result["results"]] == ["tight", "tight"], "stronger than new, as it reads"


def test_a_warning_spoils_nothing(engine: Dataset) -> None:
    size = one(judge(engine, reading(JOURNAL, "shaft", "2.5009")), JOURNAL)
    assert size["verdict"] == "tight"


def test_one_slip_in_a_grid_is_found_once(engine: Dataset) -> None:
    grid = [reading(JOURNAL, "shaft", v, place=p) for p, v in (("front", "2.4995"), ("rear", "24.994"))]
    result = judge(engine, *grid)
    (slip,) = [f for f in result["findings"] if f["code"] == "B101"]
    assert slip["column"] == "readings[1].value"


def lines(data: Dataset, *torques: dict[str, Any]) -> dict[str, Any]:
    return judge(data, torques=list(torques))


UNSAID = (torque("main-cap", 1, "32"), torque("main-cap", 2, "72"))
BOTH = tuple(t | {"thread_state": "oiled"} for t in UNSAID)


@pytest.mark.parametrize(
    ("joint", "value", "unit", "code"),
    [
        pytest.param("rod-cap", "40", "N.m", "B201", id="newton metres for pound feet"),
        pytest.param("rod-cap", "54.2", "lbf.ft", "B201", id="the newton metres of another page as pound feet"),
        pytest.param("rod-cap", "40", "lbf.in", "B202", id="pound inches for pound feet"),
        pytest.param("oil-pump", "168", "lbf.ft", "B202", id="pound feet for pound inches"),
        pytest.param("rod-cap", "400", "lbf.ft", "B203", id="ten times too much"),
        pytest.param("rod-cap", "4", "lbf.ft", "B203", id="ten times too little"),
    ],
)
def test_slips_of_a_torque(engine: Dataset, joint: str, value: str, unit: str, code: str) -> None:
    result = lines(engine, torque(joint, 1, value, unit=unit))
    assert code in codes(result)
    (line,) = result["torques"]
    assert (line["verdict"], line["value"], line["unit"]) == ("bad-entry", value, unit)


@pytest.mark.parametrize(
    ("joint", "value", "unit", "printed"),
    [("rod-cap", "40", "N.m", "40 lbf.ft"), ("main-cap", "32", "N.m", "30 to 35 lbf.ft")],
)
def test_a_slip_of_a_torque_names_what_is_printed(
    engine: Dataset, joint: str, value: str, unit: str, printed: str
) -> None:
    slips = [f for f in lines(engine, torque(joint, 1, value, unit=unit))["findings"] if f["code"] == "B201"]
    assert [f["message"].partition(" read ")[0] for f in slips] == [f"{value} {unit} is the printed {printed}"]


@pytest.mark.parametrize("value", ["30", "40", "45", "55"])
def test_a_torque_that_is_no_slip(engine: Dataset, value: str) -> None:
    wanted = {"B201"} if value in ("30", "55") else set()
    assert set(codes(lines(engine, torque("rod-cap", 1, value)))) == wanted


def test_a_thread_in_another_state(engine: Dataset) -> None:
    dry = [t | {"thread_state": "dry"} for t in UNSAID]
    result = lines(engine, *dry)
    assert codes(result) == ["B204", "B204"]
    assert [t["verdict"] for t in result["torques"]] == ["bad-entry", "bad-entry"]
    assert codes(lines(engine, *BOTH)) == []
    assert codes(lines(engine, *UNSAID)) == [], "not said is no slip"


def test_a_dry_value_is_never_turned_into_an_oiled_one(engine: Dataset) -> None:
    # a common rule takes 10 % off for oil: 72 lbf.ft dry would be 65; no such factor is used
    dry = torque("main-cap", 2, "80", thread_state="dry")
    result = lines(engine, BOTH[0], dry)
    assert result["torques"][1]["value"] == "80"
    assert result["torques"][1]["verdict"] == "bad-entry"
    assert result["torques"][1]["range"]["upper"] == "75"


def test_a_wrench_outside_its_range(engine: Dataset) -> None:
    # ISO 6789 tests from 20 % of the largest value: 200 lbf.ft wrenches from 40
    big = {"wrench_1": {"range_from": "20", "range_to": "200"}}
    result = judge(engine, torques=list(BOTH), **big)
    assert codes(result) == ["B205"]
    assert [t["verdict"] for t in result["torques"]] == ["followed", "followed"], "a warning spoils nothing"
    assert codes(judge(engine, torques=list(BOTH), wrench_1={"range_from": "10", "range_to": "100"})) == []
    small = judge(engine, torques=list(BOTH), wrench_1={"range_from": "10", "range_to": "60"})
    assert [f["column"] for f in small["findings"]] == ["torques[1].value"]


def test_a_stage_out_of_order(engine: Dataset) -> None:
    result = lines(engine, BOTH[1], BOTH[0])
    assert codes(result) == ["B206"]
    assert [t["verdict"] for t in result["torques"]] == ["followed", "out-of-order"]


def test_the_order_may_be_given(engine: Dataset) -> None:
    result = lines(engine, BOTH[1] | {"order": 2}, BOTH[0] | {"order": 1})
    assert codes(result) == []
    assert [t["verdict"] for t in result["torques"]] == ["followed", "followed"]


def test_a_stage_missing(engine: Dataset) -> None:
    result = lines(engine, BOTH[1])
    assert codes(result) == ["B207"]
    assert result["findings"][0]["message"] == "main bearing cap all: no line for step 1 of the book"
    assert result["torques"][0]["verdict"] == "followed"


def test_fasteners_out_of_the_printed_order(data: Dataset) -> None:
    def caps(*places: str) -> dict[str, Any]:
        lines = [
            {"joint": "main-cap", "position": p, "step": 1, "value": "500", "unit": "lbf.in", "instrument": "wrench-1"}
            for p in places
        ]
        tool = {"id": "wrench-1", "instrument": "torque-wrench"}
        build = {"model": "2da"}
        given = {
            "engine": "continental-avds-1790",
            "build": build,
            "instruments": [tool],
            "readings": [],
            "torques": lines,
        }
        return rf.check(given, data).as_dict()

    printed = ("4", "3", "5", "2", "6", "1", "7")
    assert "B208" not in [f["code"] for f in caps(*printed)["findings"]]
    wrong = caps("4", "3", "5", "6", "2", "1", "7")
    assert [f["message"] for f in wrong["findings"] if f["code"] == "B208"] == [
        "main bearing cap 2, step 1: not done before 6, which comes later in the printed order"
    ]
    assert wrong["torques"][4]["verdict"] == "out-of-order"


def test_every_bench_rule_is_met_here() -> None:
    files = (Path(__file__), *(Path(__file__).with_name(f"test_{n}.py") for n in ("fasteners", "wrecks")))
    here = "".join(f.read_text(encoding="utf-8") for f in files)
    assert [r.code for r in rulebook.rules("bench") if f'"{r.code}"' not in here] == []


def test_findings_have_their_place_on_the_sheet(engine: Dataset, tmp_path: Path) -> None:
    path = tmp_path / "sheet.json"
    text = json.dumps(sheet(reading(JOURNAL, "shaft", "24.995")), indent=1)
    path.write_text(text, encoding="utf-8")
    (slip,) = [f for f in rf.check(path, engine).as_dict()["findings"] if f["code"] == "B101"]
    assert (slip["file"], slip["column"]) == ("sheet.json", "readings[0].value")
    assert '"24.995"' in text.splitlines()[slip["line"] - 1]


def test_slips_on_the_real_dataset(data: Dataset) -> None:
    # TM 9-2815-225-34&P, 3-166: main journal 4.4985 to 4.500 in
    for value, code in (("44.992", "B101"), ("114.27", "B102"), ("4.4742", "B103"), ("4.5012", "B104")):
        assert code in found(data, reading(JOURNAL, "shaft", value), engine="cummins-ntc-400")
    # TM 10-3930-653-14&P, 4-38: main journal 62.942 to 62.955 mm; a turn of a metric micrometer is 0.5 mm
    for value in ("62.448", "63.448"):
        metric = reading(JOURNAL, "shaft", value, unit="mm")
        assert "B103" in found(data, metric, engine="nissan-h20"), value


def test_torque_slips_on_the_real_dataset(data: Dataset) -> None:
    # TM 9-2815-254-24: main caps 123 lbf.ft, oil pump 168 lbf.in
    check = torque("main-cap", 1, "123", unit="N.m", purpose="measuring")
    turned = judge(data, torques=[check], engine="isuzu-c240")
    assert "B201" in codes(turned)
    feet = judge(data, torques=[torque("oil-pump", 1, "168")], engine="isuzu-c240")
    assert "B202" in codes(feet)
    right = judge(data, torques=[torque("oil-pump", 1, "168", unit="lbf.in")], engine="isuzu-c240")
    assert (codes(right), right["torques"][0]["verdict"]) == ([], "followed")
