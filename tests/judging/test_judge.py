"""Whole sheets: every verdict, by both decision rules, and all that a result says."""

import math
from collections import Counter
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

import runningfits as rf
from runningfits import tables
from runningfits.dataset import Dataset
from runningfits.judging.decide import VERDICTS

from ..shop import HANDS, U_FIT, fit, judge, one, parts, reading, row, sheet, shop, step, torque

MAIN, PLAY, GAP = "main-bearing-clearance", "crank-end-play", "ring-gap"
RANGE = row(MAIN, "0.0015", "0.0030", "0.0050")
GAPS = [row(GAP, "0.010", u, applies=a) for u, a in (("0.020", "ring-a"), ("0.012", "ring-b"))]

U_DIAL = 1.96 * math.sqrt(0.0001**2 / 12 + 0.0002**2 / 3 + HANDS["gap"] ** 2)
"""U in inches of the dial indicator: a step of 0.0001 in, a limit of 0.0002 in, its usual repeatability."""


@pytest.fixture(scope="module")
def engine(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    rows = [RANGE, row(PLAY, "0.004", "0.009", "0.014"), *GAPS]
    rows += [row("rod-side-clearance", "0.004", "0.012"), row("idler-end-play", nominal="0.005")]
    rows += [row("cam-end-play", "0.003", "0.006", "0.010")]
    return shop(tmp_path_factory.mktemp("shop"), clearances=rows, parts=parts("ring", "ring-a", "ring-b"))


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
        ("2.5028", "2.4998", "serviceable"),
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


def test_a_range_without_a_limit_has_no_margin_to_one(engine: Dataset) -> None:
    found = one(judge(engine, reading(GAP, "gap", "0.015"), build={"fitted": {"ring": "ring-a"}}), GAP)
    assert found["margins"] == {"lower": "0.0050", "upper": "0.0050", "limit": None}


def test_which_row(engine: Dataset) -> None:
    found = one(judge(engine, reading(GAP, "gap", "0.015")), GAP)
    assert found["verdict"] == "which-row"
    (question,) = found["questions"]
    assert [(a["label"], a["verdict"]) for a in question["answers"]] == [("ring a", "new"), ("ring b", "past-new")]
    assert [[r["text"] for r in a["ranges"]] for a in question["answers"]] == [["1, p. 1"]] * 2
    assert (found["range"], found["probability"], found["settled"]) == (None, None, False)


def test_a_question_that_does_not_matter_is_said_to(engine: Dataset) -> None:
    found = one(judge(engine, reading(GAP, "gap", "0.011")), GAP)
    assert (found["verdict"], found["settled"], len(found["questions"])) == ("new", True, 1)


def test_every_verdict_on_one_sheet(engine: Dataset) -> None:
    bores = ("2.5022", "2.5040", "2.5028", "2.5060", "2.5005")
    new, worn, serviceable, loose, tight = (fit(MAIN, bore, "2.4998", str(n)) for n, bore in enumerate(bores, 1))
    used, single = reading("rod-side-clearance", "gap", "0.020"), reading("idler-end-play", "gap", "0.0050")
    open_ = [reading(PLAY, "gap", "0.0040"), reading(GAP, "gap", "0.015"), reading("valve-lash", "gap", "0.014")]
    absurd = reading("cam-end-play", "gap", "5")
    readings = [*new, *worn, *serviceable, used, single, *loose, *tight, *open_, absurd]
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
    assert (found["needs"], found["remedies"], found["agreement"], found["questions"]) == (None, [], [], [])


def test_the_uncertainty_is_rounded_up(engine: Dataset) -> None:
    found = main(judge(engine, *fit(MAIN, "2.5022", "2.4998")))
    assert found["uncertainty"] == "0.00029"
    assert 0.00028 < U_FIT < 0.00029


def test_the_head_of_a_result(engine: Dataset) -> None:
    found = judge(engine, *fit(MAIN, "2.5022", "2.4998"))
    assert (found["engine"], found["title"], found["data_version"]) == ("example-engine", "Invented", "1.2.3")
    assert found["rules_version"] == rf.__version__


def test_the_factor_is_that_of_the_value(engine: Dataset) -> None:
    # one of the usual hands is as if known; repeats of the sheet have few degrees of freedom, and a wide one counts
    found = main(judge(engine, *fit(MAIN, "2.5022", "2.4998")))
    assert found["coverage_factor"] == "1.96"
    repeats = [reading(MAIN, "shaft", v) for v in ("2.4998", "2.4990", "2.5004")]
    wide = main(judge(engine, fit(MAIN, "2.5022", "2.4998")[0], *repeats))
    assert float(wide["coverage_factor"]) > 2.2
    assert float(wide["uncertainty"]) > 2 * U_FIT


@pytest.mark.parametrize(
    ("bore", "probability", "within"),
    [
        # Phi(-0.0001 in / u) with u = 0.0001445 in, by tables of the normal distribution: Phi(-0.692)
        ("2.5022", ">0.999", ">0.999"),
        ("2.5028", "0.500", ">0.999"),
        ("2.5029", "0.244", ">0.999"),
        ("2.5049", "<0.001", "0.244"),
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
        ("2.5028", "serviceable", "new"),
        ("2.5029", "serviceable", "worn"),
        ("2.5048", "cannot-tell", "worn"),
        ("2.5049", "cannot-tell", "loose"),
        # further than U: both rules say the same
        ("2.5010", "tight", "tight"),
        ("2.5016", "new", "new"),
        ("2.5025", "new", "new"),
        ("2.5031", "worn", "worn"),
        ("2.5045", "worn", "worn"),
        ("2.5051", "loose", "loose"),
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
    if least < low or most > limit:
        return "cannot-tell"
    return "new" if most <= high else "worn" if least > high else "serviceable"


@pytest.mark.parametrize(("decision", "expanded"), [("guarded", str(U_FIT)), ("simple", "0")])
def test_every_clearance_by_hand(tmp_path: Path, decision: str, expanded: str) -> None:
    clearances = [Decimal(n) / 10000 for n in range(0, 70)]
    data = shop(tmp_path, {"mains": "70"}, clearances=[RANGE])
    readings = [r for n, c in enumerate(clearances, 1) for r in fit(MAIN, str(Decimal("2.4998") + c), "2.4998", str(n))]
    found = [r["verdict"] for r in judge(data, *readings, decision=decision)["results"]]
    assert found == [by_hand(c, Decimal(expanded)) for c in clearances]
    assert len(set(found)) == (6 if decision == "guarded" else 4)


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


def test_every_table_is_read_once(engine: Dataset, monkeypatch: pytest.MonkeyPatch) -> None:
    read: Counter[Path] = Counter()

    def counted(path: Path) -> str:
        read[path] += 1
        return real(path)

    real = tables.text_of
    monkeypatch.setattr(tables, "text_of", counted)
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
    [("4.5026", "new"), ("4.5054", "worn"), ("4.5075", "loose"), ("4.5001", "tight"), ("4.5042", "serviceable")],
)
def test_on_the_real_dataset(data: Dataset, bore: str, verdict: str) -> None:
    found = ntc(data, bore, "4.4992")
    assert found["verdict"] == verdict
    assert found["cite"]["text"] == "TM 9-2815-225-34&P, F-2"
    assert (found["range"]["lower"], found["range"]["upper"], found["range"]["limit"]) == ("0.0015", "0.005", "0.007")


def test_a_notebook_shows_a_line_for_each_verdict(data: Dataset, root: Path) -> None:
    html = rf.check(root / "docs" / "demo" / "launch.json", data)._repr_html_()
    assert "<td>loose</td><td>TM 9-2815-225-34&amp;P, F-2</td>" in html
    assert "cannot-tell" not in html
