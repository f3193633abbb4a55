"""Whole sheets: every verdict, both decision rules, wear limits, and two ways of measuring one fit."""

import math
from collections import Counter
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

import runningfits as rf
from runningfits import tables
from runningfits.bench.decide import VERDICTS
from runningfits.dataset import Dataset

from .shop import codes, fit, judge, one, reading, row, sheet, shop, step, torque

MAIN, PLAY, GAP = "main-bearing-clearance", "crank-end-play", "ring-gap"
RANGE = row(MAIN, "0.0015", "0.0030", "0.0050")
GAPS = [row(GAP, "0.010", "0.020", variant=v) for v in ("ring-a", "ring-b")]

U_FIT = 2 * math.sqrt(2 * (0.0001**2 / 12) + 0.0001**2 / 3)
"""U in inches of bore gauge and micrometer: two steps and the gauge's limit of 0.0001 in, the micrometer's cancels."""

U_DIAL = 2 * math.sqrt(0.0001**2 / 12 + 0.0002**2 / 3)
"""U in inches of the dial indicator: a step of 0.0001 in and a limit of 0.0002 in."""


@pytest.fixture(scope="module")
def engine(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    rows = [RANGE, row(PLAY, "0.004", "0.009", "0.014"), *GAPS]
    return shop(tmp_path_factory.mktemp("shop"), clearances=rows)


def main(result: dict[str, Any], position: str = "1") -> dict[str, Any]:
    return one(result, MAIN, position)


@pytest.mark.parametrize(
    ("bore", "shaft", "verdict"),
    [
        ("2.5022", "2.4998", "new"),
        ("2.5040", "2.4998", "worn"),
        ("2.5060", "2.4998", "loose"),
        ("2.5005", "2.4998", "tight"),
        ("2.5013", "2.4998", "cannot-tell"),
        ("2.5028", "2.4998", "cannot-tell"),
        ("2.5048", "2.4998", "cannot-tell"),
        ("2.5022", "0.24998", "bad-entry"),
    ],
)
def test_verdicts_of_a_fit(engine: Dataset, bore: str, shaft: str, verdict: str) -> None:
    assert main(judge(engine, *fit(MAIN, bore, shaft)))["verdict"] == verdict


def test_no_range(engine: Dataset) -> None:
    found = one(judge(engine, reading("valve-lash", "gap", "0.014")), "valve-lash")
    assert (found["verdict"], found["range"], found["cite"]) == ("no-range", None, None)
    assert (found["value"], found["unit"]) == ("0.0140", "in")


def test_which_row(engine: Dataset) -> None:
    found = one(judge(engine, reading(GAP, "gap", "0.015")), GAP)
    assert found["verdict"] == "which-row"
    assert [c["variant"] for c in found["candidates"]] == ["ring-a", "ring-b"]
    assert found["probability"] is None


def test_every_verdict_on_one_sheet(engine: Dataset) -> None:
    bores = ("2.5022", "2.5040", "2.5060", "2.5005", "2.5013")
    readings = [r for n, bore in enumerate(bores, 1) for r in fit(MAIN, bore, "2.4998", str(n))]
    readings += [reading(GAP, "gap", "0.015"), reading("valve-lash", "gap", "0.014"), reading(PLAY, "gap", "0.0006")]
    found = [r["verdict"] for r in judge(engine, *readings)["results"]]
    assert found == list(VERDICTS)


def test_a_result_says_all_that_counts(engine: Dataset) -> None:
    found = main(judge(engine, *fit(MAIN, "2.5022", "2.4998")))
    assert (found["value"], found["unit"], found["way"]) == ("0.00240", "in", "bore minus shaft")
    assert found["method"] == "smallest-bore-minus-mean-shaft"
    assert found["margins"] == {"lower": "0.00090", "upper": "0.00060", "limit": "0.00260"}
    assert found["readings"] == [0, 1]
    assert {k: found["range"][k] for k in ("lower", "upper", "limit", "unit")} == {
        "lower": "0.0015",
        "upper": "0.0030",
        "limit": "0.0050",
        "unit": "in",
    }
    assert found["range"]["id"] == "example-engine/main-bearing-clearance/all@example:1"
    assert found["cite"]["text"] == "1, p. 1"
    assert (found["needs"], found["remedies"], found["agreement"], found["candidates"]) == (None, [], [], [])


def test_the_uncertainty_is_rounded_up(engine: Dataset) -> None:
    found = main(judge(engine, *fit(MAIN, "2.5022", "2.4998")))
    assert found["uncertainty"] == "0.00015"
    assert 0.00014 < U_FIT < 0.00015


def test_the_head_of_a_result(engine: Dataset) -> None:
    found = judge(engine, *fit(MAIN, "2.5022", "2.4998"))
    assert (found["engine"], found["title"], found["data_version"]) == ("example-engine", "Invented", "1.2.3")
    assert (found["rules_version"], found["coverage_factor"]) == (rf.__version__, 2.0)


@pytest.mark.parametrize(
    ("bore", "probability", "within"),
    [
        # Phi(0.0003 in / u) with u = 0.0000707 in, by tables of the normal distribution
        ("2.5022", ">0.999", ">0.999"),
        ("2.5028", "0.500", ">0.999"),
        ("2.5029", "0.079", ">0.999"),
        ("2.5049", "<0.001", "0.079"),
        ("2.5013", "0.500", "0.500"),
    ],
)
def test_probabilities(engine: Dataset, bore: str, probability: str, within: str) -> None:
    found = main(judge(engine, *fit(MAIN, bore, "2.4998")))
    assert (found["probability"], found["probability_within_limit"]) == (probability, within)


@pytest.mark.parametrize(
    ("bore", "guarded", "simple"),
    [
        # just inside and just outside of the three limits, less than U away
        ("2.5012", "cannot-tell", "tight"),
        ("2.5013", "cannot-tell", "new"),
        ("2.5028", "cannot-tell", "new"),
        ("2.5029", "cannot-tell", "worn"),
        ("2.5048", "cannot-tell", "worn"),
        ("2.5049", "cannot-tell", "loose"),
        # further than U: both rules say the same
        ("2.5011", "tight", "tight"),
        ("2.5015", "new", "new"),
        ("2.5026", "new", "new"),
        ("2.5030", "worn", "worn"),
        ("2.5046", "worn", "worn"),
        ("2.5050", "loose", "loose"),
    ],
)
def test_guarded_and_simple(engine: Dataset, bore: str, guarded: str, simple: str) -> None:
    readings = fit(MAIN, bore, "2.4998")
    by_default, told = judge(engine, *readings), judge(engine, *readings, decision="simple")
    assert (by_default["decision"], main(by_default)["verdict"]) == ("guarded", guarded)
    assert (told["decision"], main(told)["verdict"]) == ("simple", simple)
    assert main(told)["uncertainty"] == main(by_default)["uncertainty"]


def by_hand(clearance: Decimal, expanded: Decimal) -> str:
    """Verdict on 0.0015 to 0.0030 in with a limit of 0.0050 in, by exact decimals."""
    low, high, limit = Decimal("0.0015"), Decimal("0.0030"), Decimal("0.0050")
    least, most = clearance - expanded, clearance + expanded
    if most < low:
        return "tight"
    if least > limit:
        return "loose"
    if least >= low and most <= high:
        return "new"
    return "worn" if least > high and most <= limit else "cannot-tell"


@pytest.mark.parametrize(("decision", "expanded"), [("guarded", str(U_FIT)), ("simple", "0")])
def test_every_clearance_by_hand(tmp_path: Path, decision: str, expanded: str) -> None:
    clearances = [Decimal(n) / 10000 for n in range(0, 70)]
    data = shop(tmp_path, {"mains": "70"}, clearances=[RANGE])
    readings = [r for n, c in enumerate(clearances, 1) for r in fit(MAIN, str(Decimal("2.4998") + c), "2.4998", str(n))]
    found = [r["verdict"] for r in judge(data, *readings, decision=decision)["results"]]
    assert found == [by_hand(c, Decimal(expanded)) for c in clearances]
    assert len(set(found)) == (5 if decision == "guarded" else 4)


def test_what_could_tell(engine: Dataset) -> None:
    # 0.0003 in from the limit: a caliper cannot, a micrometer of 0.005 mm with a gauge set on it (U 0.0003 in) can
    tools = {"bore": "caliper-1", "shaft": "caliper-1"}
    readings = [r | {"instrument": tools[r["part"]]} for r in fit(MAIN, "2.5022", "2.4998")]
    found = main(judge(engine, *readings))
    assert found["verdict"] == "cannot-tell"
    assert "micrometer" in found["needs"] and "bore gauge set on it" in found["needs"]


def test_nothing_could_tell_on_the_limit(engine: Dataset) -> None:
    found = main(judge(engine, *fit(MAIN, "2.5013", "2.4998")))
    assert found["needs"].startswith("it lies on the boundary")


def test_end_play_well_inside_is_new(engine: Dataset) -> None:
    # common practice: 0.005 in within 0.004 to 0.009 in, read with a dial to 0.0001 in
    found = one(judge(engine, reading(PLAY, "gap", "0.0050")), PLAY)
    assert found["verdict"] == "new"
    assert U_DIAL < 0.001


def caliper_and_strip(width: str) -> list[dict[str, str]]:
    """A caliper's 2.450 in bore and 2.447 in journal, and a strip between 0.0015 and the width given."""
    bore, shaft = (r | {"instrument": "caliper-1"} for r in fit(MAIN, "2.450", "2.447"))
    return [bore, shaft, reading(MAIN, "strip", "0.0015", to=width)]


CALIPER = 2 * math.sqrt(2 * (0.02**2 / 3 + 0.01**2 / 12)) / 25.4
"""U in inches of a difference by a digital caliper: DIN 862, limit 0.02 mm, and a step of 0.01 mm, each twice."""


def strip(width: float) -> float:
    """U in inches of a strip read between two marks: limit 0.0003 in, step 0.0005 in, half the width."""
    return 2 * math.sqrt(0.0003**2 / 3 + 0.0005**2 / 12 + ((width - 0.0015) / 2) ** 2 / 3)


@pytest.fixture
def narrow(tmp_path: Path) -> Dataset:
    """An engine whose main bearings run with 0.002 to 0.003 in."""
    return shop(tmp_path, clearances=[row(MAIN, "0.002", "0.003")])


def test_a_caliper_cannot_decide_a_bearing(narrow: Dataset) -> None:
    # common practice: it reads 0.003 in, good to 0.0013 in, on a range of 0.001 in
    result = judge(narrow, *caliper_and_strip("0.002")[:2])
    found = main(result)
    assert float(found["value"]) == pytest.approx(0.003)
    assert 0.0013 < CALIPER < 0.0014
    assert float(found["uncertainty"]) == pytest.approx(CALIPER, abs=0.0001)
    assert 0.003 + CALIPER > 0.003 > 0.003 - CALIPER, "the interval crosses the limit"
    assert found["verdict"] == "cannot-tell"
    assert "B107" in codes(result)


def test_a_strip_within_the_combined_uncertainty_agrees(narrow: Dataset) -> None:
    found = main(judge(narrow, *caliper_and_strip("0.002")))
    difference, allowed = 0.003 - 0.00175, math.hypot(CALIPER, strip(0.002))
    assert difference < allowed
    (other,) = found["agreement"]
    assert other["agrees"] is True
    assert other["causes"] == []
    assert float(other["difference"]) == pytest.approx(difference, abs=0.00005001)
    assert float(other["allowed"]) == pytest.approx(allowed, abs=0.0001)


def test_the_less_uncertain_way_decides(narrow: Dataset) -> None:
    found = main(judge(narrow, *caliper_and_strip("0.002")))
    assert strip(0.002) < CALIPER
    assert (found["way"], found["agreement"][0]["way"]) == ("strip", "bore minus shaft")
    assert float(found["value"]) == pytest.approx(0.00175, abs=0.00005001)
    assert 0.00175 + strip(0.002) > 0.002, "it may still be inside"
    assert found["verdict"] == "cannot-tell"


def test_a_strip_beyond_the_combined_uncertainty_disagrees(narrow: Dataset) -> None:
    strips = reading(MAIN, "strip", "0.0015", to="0.002")
    found = main(judge(narrow, *fit(MAIN, "2.4500", "2.4470"), strips))
    difference, allowed = 0.003 - 0.00175, math.hypot(U_FIT, strip(0.002))
    assert difference > allowed
    (other,) = found["agreement"]
    assert (found["way"], other["way"], other["agrees"]) == ("bore minus shaft", "strip", False)
    assert "turned on the strip" in other["causes"][0]
    assert float(other["difference"]) == pytest.approx(-difference, abs=0.00005001)


@pytest.fixture(scope="module")
def odd(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    """An engine with the odd forms of range: one-sided, limit alone, nominal, wear as an amount."""
    clearances = [
        row("cylinder-taper", "", "0.0010", "0.0050"),
        row("main-journal-taper", "", "", "0.0005"),
        row("valve-stem-clearance", "0.0010", "0.0030", "0.0030"),
        row("cam-end-play", "", "", "0.008", nominal="0.003"),
        row("rod-side-clearance", nominal="0.009"),
        row("pin-in-piston-clearance", "-0.0005", "0.0003"),
        row(GAP, "0.010", ""),
    ]
    sizes = [
        row("cam-lift", nominal="0.281", tolerance="0.002"),
        row("main-journal-diameter", "2.8734", "2.8744", "0.0030", limit_as="wear"),
        row("cylinder-bore", "3.7490", "3.7510", "0.0050", limit_as="wear"),
    ]
    return shop(tmp_path_factory.mktemp("odd"), clearances=clearances, sizes=sizes)


@pytest.mark.parametrize(
    ("item", "part", "value", "verdict"),
    [
        pytest.param("valve-stem-clearance", "gap", "0.0020", "new", id="no wear allowed, inside"),
        pytest.param("valve-stem-clearance", "gap", "0.0030", "new", id="no wear allowed, on the limit"),
        pytest.param("valve-stem-clearance", "gap", "0.0031", "loose", id="no wear allowed, above"),
        pytest.param("cam-end-play", "gap", "0.008", "worn", id="limit beside a single value, on it"),
        pytest.param("cam-end-play", "gap", "0.009", "loose", id="limit beside a single value, above"),
        pytest.param("rod-side-clearance", "gap", "0.009", "no-range", id="a single value alone is no range"),
        pytest.param(GAP, "gap", "0.010", "new", id="at least, on it"),
        pytest.param(GAP, "gap", "0.100", "new", id="at least, far above"),
        pytest.param(GAP, "gap", "0.009", "tight", id="at least, below"),
        pytest.param("cam-lift", "gap", "0.283", "new", id="nominal and tolerance, at the upper end"),
        pytest.param("cam-lift", "gap", "0.284", "tight", id="a lift wears down: above it is tight"),
        pytest.param("cam-lift", "gap", "0.278", "loose", id="nominal and tolerance, below"),
        pytest.param("main-journal-diameter", "shaft", "2.8734", "new", id="journal at its lower end"),
        pytest.param("main-journal-diameter", "shaft", "2.8733", "worn", id="journal worn"),
        pytest.param("main-journal-diameter", "shaft", "2.8704", "worn", id="journal worn by all of the 0.0030 in"),
        pytest.param("main-journal-diameter", "shaft", "2.8703", "loose", id="journal worn by more"),
        pytest.param("main-journal-diameter", "shaft", "2.8745", "tight", id="journal too big"),
        pytest.param("cylinder-bore", "bore", "3.7560", "worn", id="bore worn by all of the 0.0050 in"),
        pytest.param("cylinder-bore", "bore", "3.7561", "loose", id="bore worn by more"),
    ],
)
def test_odd_ranges(odd: Dataset, item: str, part: str, value: str, verdict: str) -> None:
    found = one(judge(odd, reading(item, part, value), decision="simple"), item)
    assert found["verdict"] == verdict


@pytest.mark.parametrize(("value", "verdict"), [("0.0004", "worn"), ("0.0005", "worn"), ("0.0006", "loose")])
def test_a_limit_alone(odd: Dataset, value: str, verdict: str) -> None:
    front = 2.8740
    ends = [
        reading("main-journal-taper", "shaft", text, place=place)
        for place, text in (("front", f"{front:.4f}"), ("rear", f"{front - float(value):.4f}"))
    ]
    found = one(judge(odd, *ends, decision="simple"), "main-journal-taper")
    assert (found["verdict"], found["probability"]) == (verdict, None)


def test_a_tight_fit_is_a_negative_clearance(odd: Dataset) -> None:
    found = judge(odd, *fit("pin-in-piston-clearance", "0.9900", "0.9901"))
    assert (one(found, "pin-in-piston-clearance")["verdict"], codes(found)) == ("new", [])
    found = judge(odd, *fit("pin-in-piston-clearance", "0.9896", "0.9903"))
    assert one(found, "pin-in-piston-clearance")["verdict"] == "tight"


def test_sizes_and_forms_follow_from_the_readings_of_a_fit(odd: Dataset) -> None:
    readings = [
        reading(MAIN, "shaft", "2.8740", place="front"),
        reading(MAIN, "shaft", "2.8729", place="rear"),
        reading(MAIN, "bore", "2.8760"),
    ]
    found = judge(odd, *readings)
    journal, taper = one(found, "main-journal-diameter"), one(found, "main-journal-taper")
    assert (journal["derived"], journal["value"], journal["verdict"]) == (True, "2.87290", "worn")
    assert (taper["derived"], taper["value"], taper["verdict"]) == (True, "0.00110", "loose")
    assert main(found)["verdict"] == "no-range"


def test_a_form_follows_from_the_readings_of_a_size(odd: Dataset) -> None:
    ends = (("front", "2.8740"), ("rear", "2.8729"))
    found = judge(odd, *(reading("main-journal-diameter", "shaft", v, place=p) for p, v in ends))
    taper = one(found, "main-journal-taper")
    assert (taper["derived"], taper["value"]) == (True, "0.00110")


def test_a_form_that_a_dial_reads_does_not_follow_from_diameters(tmp_path: Path) -> None:
    name = "main-journal-out-of-round"
    across = [reading(MAIN, "shaft", v, direction=d) for d, v in (("vertical", "2.4998"), ("horizontal", "2.4993"))]
    for method, there in (("", True), ("dial-total", False), ("half-dial", False)):
        data = shop(tmp_path / f"by-{method}", clearances=[row(name, "", "", "0.002", method=method)])
        assert [r["item"] for r in judge(data, *across)["results"] if r["derived"]] == [name] * there


def test_a_part_without_the_variant_of_its_fit_is_judged_by_the_plain_row(tmp_path: Path) -> None:
    data = shop(
        tmp_path,
        clearances=[row(MAIN, "0.0015", "0.0030", variant="late")],
        sizes=[row("main-journal-diameter", "2.4990", "2.5000")],
    )
    result = judge(data, *fit(MAIN, "2.5018", "2.4995", variant="late"))
    assert [(r["item"], r["verdict"]) for r in result["results"]] == [(MAIN, "new"), ("main-journal-diameter", "new")]


def test_the_method_of_rows_that_remain_still_counts(tmp_path: Path) -> None:
    rows = [row(GAP, "0.010", "0.020", variant=v, method="smallest") for v in ("ring-a", "ring-b")]
    gaps = [reading(GAP, "gap", value, place=p) for p, value in (("top", "0.016"), ("bottom", "0.014"))]
    found = one(judge(shop(tmp_path, clearances=rows), *gaps), GAP)
    assert (found["verdict"], float(found["value"])) == ("which-row", 0.014)


def test_the_smallest_bore_and_the_mean_journal_count(engine: Dataset) -> None:
    bores = [
        reading(MAIN, "bore", v, place=p) for p, v in (("front", "2.5024"), ("centre", "2.5020"), ("rear", "2.5022"))
    ]
    shafts = [reading(MAIN, "shaft", v, place=p) for p, v in (("front", "2.4998"), ("rear", "2.4996"))]
    assert main(judge(engine, *bores, *shafts))["value"] == "0.00230"


def test_temperature_counts_for_sizes_alone(engine: Dataset) -> None:
    def causes(*readings: dict[str, str]) -> set[str]:
        result = judge(engine, *readings, temperature_spread="2 K")["results"][0]
        return {c["cause"] for c in result["components"] if "temperature" in c["cause"]}

    assert causes(*fit(MAIN, "2.5022", "2.4998")) == {"temperature of the bore", "temperature of the shaft"}
    assert causes(reading("main-journal-diameter", "shaft", "2.4998")) == {"temperature of the shaft"}
    assert causes(reading(PLAY, "gap", "0.0060")) == set()
    assert causes(reading("piston-mass-difference", "gap", "2", unit="g")) == set()


def test_a_size_that_was_asked_for_is_not_derived_again(odd: Dataset) -> None:
    asked = reading("main-journal-diameter", "shaft", "2.8740")
    found = one(judge(odd, *fit(MAIN, "2.8760", "2.8710"), asked), "main-journal-diameter")
    assert (found["derived"], found["value"]) == (False, "2.87400")


@pytest.mark.parametrize(
    ("value", "verdict"),
    [("40.9700", "tight"), ("40.9800", "new"), ("40.9900", "loose")],
)
def test_the_bore_of_an_installed_bearing_is_a_size(data: Dataset, value: str, verdict: str) -> None:
    # a maker's service sheet, 24 690 01 Rev. K, p. 17: 40.974 to 40.987 mm at the cover (its two ends are exchanged in
    # print); the bore is made of housing and walls, and read directly
    bore = reading("main-bearing-bore", "bore", value, "cover-end", unit="mm", variant="ch26-ch735-ch745")
    result = judge(data, bore, engine="kohler-command-ch18-745", decision="simple")
    assert one(result, "main-bearing-bore", "cover-end")["verdict"] == verdict


def test_a_bearing_bore_is_no_small_housing_bore(tmp_path: Path) -> None:
    sizes = [row("main-housing-bore", "2.7490", "2.7500"), row("main-bearing-bore", "2.5015", "2.5025")]
    result = judge(shop(tmp_path, sizes=sizes), reading("main-bearing-bore", "bore", "2.5020"))
    assert (one(result, "main-bearing-bore")["verdict"], codes(result)) == ("new", [])


def test_one_part_of_a_fit_cannot_tell(engine: Dataset) -> None:
    found = main(judge(engine, reading(MAIN, "bore", "2.5022")))
    assert (found["verdict"], found["value"]) == ("cannot-tell", None)


def test_clean(engine: Dataset) -> None:
    def clean(*readings: dict[str, str]) -> bool:
        return rf.check(sheet(*readings), engine).clean

    assert clean(*fit(MAIN, "2.5022", "2.4998"))
    assert clean(*fit(MAIN, "2.5040", "2.4998"))
    assert not clean(*fit(MAIN, "2.5060", "2.4998"))
    assert not clean(*fit(MAIN, "2.5013", "2.4998"))
    assert not clean(reading("valve-lash", "gap", "0.014"))
    coarse = [r | {"instrument": "mic-2"} if r["part"] == "shaft" else r for r in fit(MAIN, "2.5022", "2.4998")]
    assert clean(*coarse), "a remark alone is nothing found"


@pytest.mark.parametrize(("value", "clean"), [("72", True), ("60", False)])
def test_clean_torques(tmp_path: Path, value: str, clean: bool) -> None:
    data = shop(tmp_path, torques=[step("main-cap", "1", "70", "75")])
    assert rf.check(sheet(torques=[torque("main-cap", 1, value)]), data).clean is clean


def test_temperature_moves_the_value(engine: Dataset) -> None:
    # an aluminium housing 20 K warmer than the steel gauge: the bore of 2.5022 in reads 2.5022 x 21.5e-6 x 20 too big,
    # the steel journal 2.4998 x 11.5e-6 x 20 (aluminium 356.0: Callister, table B.6; steel: ISO 3650)
    bore, shaft = fit(MAIN, "2.5022", "2.4998")
    result = judge(
        engine, bore | {"material": "aluminium-356"}, shaft, part_temperature="40 degC", room_temperature="20 degC"
    )
    expected = 2.5022 * (1 - 430e-6) - 2.4998 * (1 - 230e-6)
    assert float(main(result)["value"]) == pytest.approx(expected, abs=0.000006)
    assert expected < 0.002


def test_every_table_is_read_once(engine: Dataset, monkeypatch: pytest.MonkeyPatch) -> None:
    read: Counter[Path] = Counter()

    def counted(path: Path) -> list[dict[str, str]]:
        read[path] += 1
        return real(path)

    real = tables.rows
    monkeypatch.setattr(tables, "rows", counted)
    readings = [r for n in range(1, 6) for r in fit(MAIN, "2.5022", "2.4998", str(n))]
    rf.check(sheet(*readings), Dataset(engine.path))
    assert read
    assert set(read.values()) == {1}


MINED = "cummins-ntc-400"


def ntc(data: Dataset, bore: str, shaft: str, **more: Any) -> dict[str, Any]:
    """A main bearing of the NTC-400: TM 9-2815-225-34&P, F-2: 0.0015 to 0.005 in, limit 0.007 in."""
    return main(judge(data, *fit(MAIN, bore, shaft), engine=MINED, **more))


@pytest.mark.parametrize(
    ("bore", "verdict"),
    [("4.5026", "new"), ("4.5054", "worn"), ("4.5075", "loose"), ("4.5001", "tight"), ("4.5042", "cannot-tell")],
)
def test_on_the_real_dataset(data: Dataset, bore: str, verdict: str) -> None:
    found = ntc(data, bore, "4.4992")
    assert found["verdict"] == verdict
    assert found["cite"]["text"] == "TM 9-2815-225-34&P, F-2"
    assert (found["range"]["lower"], found["range"]["upper"], found["range"]["limit"]) == ("0.0015", "0.005", "0.007")


def test_wear_of_a_journal_of_the_real_dataset(data: Dataset) -> None:
    # TM 5-6115-465-34: main journal 2.8734 to 2.8744 in, wear 0.0030 in
    for value, verdict in (("2.8720", "worn"), ("2.8700", "loose")):
        readings = reading("main-journal-diameter", "shaft", value)
        found = one(judge(data, readings, engine="hercules-d298er"), "main-journal-diameter")
        assert (found["verdict"], found["range"]["limit"]) == (verdict, "2.8704")


def test_nominal_and_tolerance_of_the_real_dataset(data: Dataset) -> None:
    # TM 9-2815-237-34: cam lift 0.281 +- 0.002 in
    for value, verdict in (("0.2810", "new"), ("0.2780", "loose")):
        lift = reading("cam-lift", "gap", value, "1/intake", variant="6-5l")
        found = one(judge(data, lift, engine="gm-6-2-diesel"), "cam-lift", "1/intake")
        assert found["verdict"] == verdict
        assert (found["range"]["lower"], found["range"]["upper"]) == ("0.279", "0.283")
