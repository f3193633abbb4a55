"""Odd forms of range on whole sheets: one-sided, limit alone, nominal and tolerance, wear as an amount, tight fits."""

import pytest

from runningfits.dataset import Dataset

from ..shop import codes, fit, judge, one, reading, row, shop

GAP = "ring-gap"


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
        pytest.param("cam-end-play", "gap", "0.008", "serviceable", id="limit beside a single value, on it"),
        pytest.param("cam-end-play", "gap", "0.009", "loose", id="limit beside a single value, above"),
        pytest.param("rod-side-clearance", "gap", "0.009", "agrees", id="a single value alone, on it"),
        pytest.param("rod-side-clearance", "gap", "0.0095", "agrees", id="a single value alone, half its digit"),
        pytest.param("rod-side-clearance", "gap", "0.0096", "past-new", id="a single value alone, above"),
        pytest.param("rod-side-clearance", "gap", "0.0084", "tight", id="a single value alone, below"),
        pytest.param(GAP, "gap", "0.010", "new", id="at least, on it"),
        pytest.param(GAP, "gap", "0.100", "cannot-tell", id="at least, far above"),
        pytest.param(GAP, "gap", "0.009", "tight", id="at least, below"),
        pytest.param("cam-lift", "gap", "0.283", "new", id="nominal and tolerance, at the upper end"),
        pytest.param("cam-lift", "gap", "0.284", "tight", id="a lift wears down: above it is tight"),
        pytest.param("cam-lift", "gap", "0.278", "past-new", id="nominal and tolerance, below: no limit is printed"),
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


def test_margins_are_positive_inside(odd: Dataset) -> None:
    # journal 2.8734 to 2.8744, worn to 2.8704 at most; bore 3.7490 to 3.7510, worn to 3.7560 in
    journal = one(judge(odd, reading("main-journal-diameter", "shaft", "2.8730")), "main-journal-diameter")
    assert journal["margins"] == {"lower": "-0.00040", "upper": "0.00140", "limit": "0.00260"}
    bore = one(judge(odd, reading("cylinder-bore", "bore", "3.7570")), "cylinder-bore")
    assert bore["margins"] == {"lower": "0.00800", "upper": "-0.00600", "limit": "-0.00100"}


@pytest.mark.parametrize(
    ("value", "verdict"), [("0.0004", "serviceable"), ("0.0005", "serviceable"), ("0.0006", "loose")]
)
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
    found = judge(odd, *fit("pin-in-piston-clearance", "0.9894", "0.9903"))
    assert one(found, "pin-in-piston-clearance")["verdict"] == "tight"


def test_wear_of_a_journal_of_the_real_dataset(data: Dataset) -> None:
    # TM 5-6115-465-34: main journal 2.8734 to 2.8744 in, wear 0.0030 in
    for value, verdict in (("2.8720", "worn"), ("2.8700", "loose")):
        readings = reading("main-journal-diameter", "shaft", value)
        found = one(judge(data, readings, engine="hercules-d298er", build={"model": "d298er"}), "main-journal-diameter")
        assert (found["verdict"], found["range"]["limit"]) == (verdict, "2.8704")


def test_nominal_and_tolerance_of_the_real_dataset(data: Dataset) -> None:
    # TM 9-2815-237-34: cam lift 0.281 +- 0.002 in
    for value, verdict in (("0.2810", "new"), ("0.2780", "past-new")):
        lift = reading("cam-lift", "gap", value, "1/intake")
        found = one(judge(data, lift, engine="gm-6-2-diesel", build={"model": "6-5l"}), "cam-lift", "1/intake")
        assert found["verdict"] == verdict
        assert (found["range"]["lower"], found["range"]["upper"]) == ("0.279", "0.283")
