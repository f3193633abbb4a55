"""Rules of thumb: worked out, shown, and used only when the sheet asks."""

from fractions import Fraction
from pathlib import Path

import pytest
from click.testing import CliRunner

from runningfits import check
from runningfits.build import Build
from runningfits.cli import main
from runningfits.dataset import Dataset
from runningfits.faces.words import verdict_words
from runningfits.judging.guides import guides
from runningfits.sheets.faults import SheetError

from ..shop import fit, judge, one, reading, row, sheet, shop

MAIN, GAP = "main-bearing-clearance", "ring-gap"
INCH = Fraction(254, 10000)


@pytest.fixture
def data(tmp_path: Path) -> Dataset:
    """A fit with a range and no limit, one with a limit, one without a row; two documents with rules of thumb."""
    rules = [
        {"quantity": MAIN, "per": "main-journal-diameter", "bound": "wear", "factor": "0.0005"},
        {"quantity": GAP, "per": "cylinder-bore", "bound": "lower", "factor": "0.003"},
        {"quantity": GAP, "per": "cylinder-bore", "bound": "lower", "factor": "0.0035", "source": "example-2"},
        {"quantity": GAP, "per": "cylinder-bore", "bound": "upper", "factor": "0.008", "source": "example-2"},
        {"quantity": "crank-end-play", "per": "crank-end-play", "bound": "wear", "offset": "0.005", "unit": "in"},
    ]
    return shop(
        tmp_path,
        sizes=[row("main-journal-diameter", "2.4990", "2.5000", "2.4970"), row("cylinder-bore", "3.9990", "4.0000")],
        clearances=[row(MAIN, "0.0010", "0.0030"), row("crank-end-play", "0.004", "0.009", "0.012")],
        guides=[{"source": "example", "page": "1"} | r for r in rules],
    )


def test_a_rule_is_worked_out_from_the_engines_size(data: Dataset) -> None:
    """Rules R06 and R18 of the field: 0.0005 in per inch of journal beyond the range; 0.0035 in per inch of bore."""
    (wear,) = guides(data, "example-engine", Build(), MAIN, "3")
    assert wear.value == Fraction(5, 10000) * Fraction(25, 10) * INCH
    least = [g.value for g in guides(data, "example-engine", Build(), GAP, "3/top-ring") if g.bound == "lower"]
    assert least == [4 * Fraction(3, 1000) * INCH, 4 * Fraction(35, 10000) * INCH]


def test_what_is_added_is_in_the_unit_of_the_rule(data: Dataset) -> None:
    (added,) = guides(data, "example-engine", Build(), "crank-end-play", "1")
    assert added.value == Fraction("0.005") * INCH


def test_unasked_they_are_shown_and_do_not_judge(data: Dataset) -> None:
    found = judge(data, *fit(MAIN, "2.5035", "2.4998"), reading(GAP, "gap", "0.020"))
    fitted, gap = one(found, MAIN), one(found, GAP)
    assert fitted["verdict"] == "past-new"
    assert gap["verdict"] == "no-range"
    assert [(g["bound"], g["value"], g["used"]) for g in fitted["guides"]] == [("wear", "0.00125", False)]
    assert [(g["bound"], g["value"]) for g in gap["guides"]] == [
        ("lower", "0.0120"),
        ("lower", "0.0140"),
        ("upper", "0.0320"),
    ]


def test_a_sheet_that_asks_is_judged_by_that_document(data: Dataset) -> None:
    found = judge(data, *fit(MAIN, "2.5035", "2.4998"), guides="example")
    assert one(found, MAIN)["verdict"] == "worn"
    assert verdict_words(one(found, MAIN)) == "worn, inside the limit, by rule of thumb"
    assert [g["used"] for g in one(found, MAIN)["guides"]] == [True]
    beyond = judge(data, *fit(MAIN, "2.5046", "2.4998"), guides="example")
    assert one(beyond, MAIN)["verdict"] == "loose"


@pytest.mark.parametrize(("gap", "verdict"), [("0.0120", "tight"), ("0.0200", "new"), ("0.0350", "past-new")])
def test_without_a_row_the_rule_is_the_range(data: Dataset, gap: str, verdict: str) -> None:
    found = one(judge(data, reading(GAP, "gap", gap), guides="example-2"), GAP)
    assert found["verdict"] == verdict
    assert [g["used"] for g in found["guides"]] == [False, True, True]
    assert found["range"] is None


@pytest.mark.parametrize(("bore", "verdict"), [("2.4990", "tight"), ("2.4999", "cannot-tell"), ("2.5010", "new")])
def test_a_rule_of_thumb_for_the_most_lets_no_fit_bind(tmp_path: Path, bore: str, verdict: str) -> None:
    rule = {"quantity": MAIN, "per": "main-journal-diameter", "bound": "upper", "factor": "0.001"}
    sizes = [row("main-journal-diameter", "2.4990", "2.5000")]
    data = shop(tmp_path, sizes=sizes, guides=[rule | {"source": "example", "page": "1"}])
    found = one(judge(data, *fit(MAIN, bore, "2.4998"), guides="example"), MAIN)
    assert (found["verdict"], found["not_printed"]) == (verdict, ["lower"])


def test_a_printed_limit_wins(data: Dataset) -> None:
    found = one(judge(data, reading("crank-end-play", "gap", "0.0135"), guides="example"), "crank-end-play")
    assert found["verdict"] == "loose"
    assert [g["used"] for g in found["guides"]] == [False]


def test_a_document_without_rules_is_told(data: Dataset) -> None:
    with pytest.raises(SheetError) as fault:
        check(sheet(reading(GAP, "gap", "0.020"), guides="nobody"), data)
    assert 'guides: "nobody", expected one of 1; 2' in str(fault.value)


def test_a_lookup_shows_them_beside_the_page() -> None:
    shown = CliRunner().invoke(
        main, ["show", "perkins-4-236", "--item", "main-journal-out-of-round"], catch_exceptions=False
    )
    assert "rule of thumb, not this engine's page: at most 0.0012 in (0.0004 x main journal" in shown.output


def test_the_size_stands_in_the_engines_line_where_no_row_has_it(tmp_path: Path) -> None:
    rule = {
        "quantity": GAP,
        "per": "cylinder-bore",
        "bound": "lower",
        "factor": "0.003",
        "source": "example",
        "page": "1",
    }
    data = shop(tmp_path, engine={"bore": "100", "unit": "mm"}, guides=[rule])
    (least,) = guides(data, "example-engine", Build(), GAP, "1")
    assert (least.value, least.size) == (Fraction(3, 10000), "Example")
    bare = shop(tmp_path / "bare", guides=[rule])
    assert guides(bare, "example-engine", Build(), GAP, "1") == []
