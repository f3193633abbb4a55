"""Which row applies: places, variants, classes, two documents, choices, registered misprints."""

from pathlib import Path
from typing import Any

import pytest

from runningfits.dataset import Dataset

from ..shop import fit, judge, one, reading, row, shop

MAIN, PLAY, GAP = "main-bearing-clearance", "crank-end-play", "ring-gap"


def at(data: Dataset, item: str, position: str, value: str = "0.0150", **more: str) -> dict[str, Any]:
    """Result of one direct reading."""
    return one(judge(data, reading(item, "gap", value, position, **more)), item, position)


@pytest.fixture(scope="module")
def places(tmp_path_factory: pytest.TempPathFactory) -> Dataset:
    """Five mains and four cylinders; each row's upper end tells which row was taken."""
    rows = [
        row(MAIN, "0.001", "0.0101", position="front"),
        row(MAIN, "0.001", "0.0102", position="intermediate"),
        row(MAIN, "0.001", "0.0103", position="centre"),
        row(MAIN, "0.001", "0.0104", position="rear"),
        row("rod-side-clearance", "0.001", "0.0201", position="1-3"),
        row("rod-side-clearance", "0.001", "0.0202", position="4"),
        row("rod-bearing-clearance", "0.001", "0.0301", position="all"),
        row("rod-bearing-clearance", "0.001", "0.0302", position="2,3"),
        row("rod-bearing-clearance", "0.001", "0.0303", position="3"),
        row(GAP, "0.001", "0.0401", position="top-ring"),
        row(GAP, "0.001", "0.0402", position="second-ring"),
        row("valve-lash", "0.001", "0.0501", position="all"),
        row("valve-lash", "0.001", "0.0502", position="exhaust"),
        row("main-journal-taper", "", "0.0601", position="outer-ends"),
        row("main-journal-taper", "", "0.0602", position="front-intermediate"),
        row("main-journal-taper", "", "0.0603", position="rear-intermediate"),
    ]
    return shop(tmp_path_factory.mktemp("places"), clearances=rows)


@pytest.mark.parametrize(
    ("item", "position", "upper"),
    [
        (MAIN, "1", "0.0101"),
        (MAIN, "front", "0.0101"),
        (MAIN, "2", "0.0102"),
        (MAIN, "3", "0.0103"),
        (MAIN, "centre", "0.0103"),
        (MAIN, "4", "0.0102"),
        (MAIN, "intermediate", "0.0102"),
        (MAIN, "5", "0.0104"),
        (MAIN, "rear", "0.0104"),
        ("rod-side-clearance", "2", "0.0201"),
        ("rod-side-clearance", "front", "0.0201"),
        ("rod-side-clearance", "4", "0.0202"),
        ("rod-side-clearance", "rear", "0.0202"),
        ("rod-bearing-clearance", "1", "0.0301"),
        ("rod-bearing-clearance", "2", "0.0302"),
        ("rod-bearing-clearance", "3", "0.0303"),
        (GAP, "3/top-ring", "0.0401"),
        (GAP, "top-ring", "0.0401"),
        (GAP, "1/second-ring", "0.0402"),
        ("valve-lash", "4/intake", "0.0501"),
        ("valve-lash", "4/exhaust", "0.0502"),
        ("main-journal-taper", "1", "0.0601"),
        ("main-journal-taper", "5", "0.0601"),
        ("main-journal-taper", "2", "0.0602"),
        ("main-journal-taper", "4", "0.0603"),
    ],
)
def test_the_row_that_speaks_most_closely_of_the_place(places: Dataset, item: str, position: str, upper: str) -> None:
    found = at(places, item, position)
    assert found["range"]["upper"] == upper


@pytest.mark.parametrize(
    ("item", "position"), [(GAP, "3/oil-ring"), (GAP, "3"), ("main-journal-taper", "3"), ("rod-twist", "1")]
)
def test_no_row_speaks_of_the_place(places: Dataset, item: str, position: str) -> None:
    assert at(places, item, position)["verdict"] == "no-range"


def test_an_even_number_of_mains_has_no_centre(tmp_path: Path) -> None:
    rows = [row(MAIN, "0.001", "0.0102", position="intermediate"), row(MAIN, "0.001", "0.0103", position="centre")]
    data = shop(tmp_path, {"mains": "4"}, clearances=rows)
    assert [at(data, MAIN, str(n))["verdict"] for n in (1, 4)] == ["no-range", "no-range"]
    assert [at(data, MAIN, str(n))["range"]["upper"] for n in (2, 3)] == ["0.0102", "0.0102"]


def test_an_unknown_number_of_mains_leaves_the_rear_unknown(tmp_path: Path) -> None:
    rows = [row(MAIN, "0.001", "0.0101", position="front"), row(MAIN, "0.001", "0.0104", position="rear")]
    data = shop(tmp_path, {"mains": ""}, clearances=rows)
    assert at(data, MAIN, "1")["range"]["upper"] == "0.0101"
    assert at(data, MAIN, "rear")["range"]["upper"] == "0.0104"
    assert at(data, MAIN, "5")["verdict"] == "no-range"


@pytest.fixture
def variants(tmp_path: Path) -> Dataset:
    rows = [
        row(MAIN, "0.002", "0.004"),
        row(MAIN, "0.001", "0.003", **{"class": "desired"}),
        row(GAP, "0.010", "0.020", variant="chrome"),
        row(GAP, "0.012", "0.022", variant="cast-iron"),
        row(PLAY, "0.004", "0.009"),
        row(PLAY, "0.006", "0.011", variant="used-washers"),
    ]
    sizes = [
        row("main-journal-diameter", "2.4990", "2.5000"),
        row("main-journal-diameter", "2.4890", "2.4900", variant="undersize-0.010-in", **{"class": "repair"}),
    ]
    return shop(tmp_path, clearances=rows, sizes=sizes)


def test_variants_without_a_name_are_not_guessed(variants: Dataset) -> None:
    found = at(variants, GAP, "1")
    assert (found["verdict"], found["range"]) == ("which-row", None)
    assert {c["variant"] for c in found["candidates"]} == {"chrome", "cast-iron"}
    assert all(c["text"] == "1, p. 1" for c in found["candidates"])


def test_a_named_variant_decides(variants: Dataset) -> None:
    assert at(variants, GAP, "1", "0.0210", variant="cast-iron")["verdict"] == "new"
    assert at(variants, GAP, "1", "0.0210", variant="chrome")["verdict"] == "loose"


def test_an_unknown_variant_has_no_range(variants: Dataset) -> None:
    assert at(variants, GAP, "1", variant="steel")["verdict"] == "no-range"


def test_without_a_variant_the_row_without_one_counts(variants: Dataset) -> None:
    assert at(variants, PLAY, "thrust", "0.0100")["verdict"] == "loose"
    assert at(variants, PLAY, "thrust", "0.0100", variant="used-washers")["verdict"] == "new"


def test_the_class_is_new_unless_another_is_named(variants: Dataset) -> None:
    assert at(variants, MAIN, "1", "0.0035")["verdict"] == "new"
    assert at(variants, MAIN, "1", "0.0035", **{"class": "desired"})["verdict"] == "loose"


def test_an_undersize_is_judged_by_its_own_row(variants: Dataset) -> None:
    ground = reading("main-journal-diameter", "shaft", "2.4896")
    result = judge(variants, ground | {"variant": "undersize-0.010-in", "class": "repair"})
    assert one(result, "main-journal-diameter")["verdict"] == "new"
    assert one(judge(variants, ground), "main-journal-diameter")["verdict"] == "loose"


OTHER = row(PLAY, "0.002", "0.009", source="example-2")


def test_two_documents_that_differ_are_not_averaged(tmp_path: Path) -> None:
    found = at(shop(tmp_path, clearances=[row(PLAY, "0.004", "0.009"), OTHER]), PLAY, "thrust", "0.0060")
    assert found["verdict"] == "which-row"
    assert [c["source"] for c in found["candidates"]] == ["example", "example-2"]


@pytest.mark.parametrize(
    ("taken", "passed", "verdict"), [("example", "example-2", "tight"), ("example-2", "example", "new")]
)
def test_a_choice_decides_between_two_documents(tmp_path: Path, taken: str, passed: str, verdict: str) -> None:
    names = {s: f"example-engine/{PLAY}/all@{s}:1" for s in ("example", "example-2")}
    choice = {"row": names[taken], "over": names[passed]}
    data = shop(tmp_path, clearances=[row(PLAY, "0.004", "0.009"), OTHER], choices=[choice])
    found = at(data, PLAY, "thrust", "0.0030")
    assert (found["verdict"], found["range"]["id"]) == (verdict, names[taken])
    assert [p["id"] for p in found["passed_over"]] == [names[passed]], "the second document is not hidden"
    lower = {"example": "0.004", "example-2": "0.002"}[passed]
    assert found["passed_over"][0]["range"] == f"{lower} to 0.009 in"


def test_a_choice_counts_only_where_both_rows_apply(tmp_path: Path) -> None:
    rows = [row(MAIN, "0.001", "0.003", position="1-3"), row(MAIN, "0.002", "0.004", source="example-2")]
    taken, passed = f"example-engine/{MAIN}/1-3@example:1", f"example-engine/{MAIN}/all@example-2:1"
    data = shop(tmp_path, clearances=rows, choices=[{"row": taken, "over": passed}])
    assert at(data, MAIN, "2")["range"]["id"] == taken
    assert at(data, MAIN, "4")["range"]["id"] == passed


def test_a_row_for_the_number_and_one_for_the_name_are_not_guessed(tmp_path: Path) -> None:
    rows = [row(GAP, "0.010", "0.020", position="3"), row(GAP, "0.012", "0.022", position="top-ring")]
    assert at(shop(tmp_path, clearances=rows), GAP, "3/top-ring")["verdict"] == "which-row"


def test_two_documents_that_agree_are_one_row(tmp_path: Path) -> None:
    once = row(PLAY, "0.004", "0.009", reading="once")
    twice = row(PLAY, "0.004", "0.009", source="example-2", reading="twice")
    found = at(shop(tmp_path, clearances=[once, twice]), PLAY, "thrust", "0.0060")
    assert (found["verdict"], found["cite"]["source"]) == ("new", "example-2")


def test_conditions_that_differ_are_two_rows(tmp_path: Path) -> None:
    rows = [
        row("valve-lash", "0.010", "0.014", state=s, source=d) for s, d in (("cold", "example"), ("hot", "example-2"))
    ]
    assert at(shop(tmp_path, clearances=rows), "valve-lash", "1")["verdict"] == "which-row"


def misprinted(base: Path, corrected: str) -> Dataset:
    """Side clearance whose limit is printed ten times too large: 0.276 in beside 0.7 mm."""
    side = row("rod-side-clearance", "0.004", "0.012", "0.276")
    name = "example-engine/rod-side-clearance/all@example:1"
    wrong = {"row": name, "column": "limit", "printed": "0.276", "corrected": corrected, "why": "a decade is lost"}
    return shop(base, clearances=[side], misprints=[wrong])


def test_a_misprint_is_judged_by_the_corrected_value(tmp_path: Path) -> None:
    found = at(misprinted(tmp_path, "0.0276"), "rod-side-clearance", "1", "0.0300")
    assert found["verdict"] == "loose"
    assert (found["range"]["limit"], found["range"]["printed"]["limit"]) == ("0.0276", "0.276")
    assert [(m["column"], m["printed"], m["corrected"]) for m in found["range"]["misprints"]] == [
        ("limit", "0.276", "0.0276")
    ]


def test_a_misprint_that_cannot_be_corrected_is_not_used(tmp_path: Path) -> None:
    found = at(misprinted(tmp_path, ""), "rod-side-clearance", "1", "0.0150")
    assert (found["range"]["limit"], found["range"]["printed"]["limit"]) == (None, "0.276")
    assert found["verdict"] == "loose"


def test_a_misprint_of_the_real_dataset(data: Dataset) -> None:
    # TM 9-2815-225-34&P, F-2 prints a taper of 0.005 in; 0.0005 in is registered
    ends = [
        reading("main-journal-taper", "shaft", value, place=place)
        for place, value in (("front", "4.4990"), ("rear", "4.4980"))
    ]
    found = one(judge(data, *ends, engine="cummins-ntc-400"), "main-journal-taper")
    assert (found["value"], found["verdict"]) == ("0.0010", "loose")
    assert (found["range"]["limit"], found["range"]["printed"]["limit"]) == ("0.0005", "0.005")


def test_a_misprinted_end_of_the_real_dataset(data: Dataset) -> None:
    # TM 9-2815-205-24, 0094-10 prints 0.0027 to 0.0068 in; 0.0031 in is registered: 0.0029 in is too little
    readings = fit("piston-clearance", "3.8750", "3.8721", variant="model-5063-5299")
    found = one(judge(data, *readings, engine="detroit-6v-53", decision="simple"), "piston-clearance")
    assert (found["value"], found["verdict"]) == ("0.00290", "tight")
    assert (found["range"]["lower"], found["range"]["printed"]["lower"]) == ("0.0031", "0.0027")


def test_a_choice_of_the_real_dataset(data: Dataset) -> None:
    # TM 55-1930-209-14&P-9-4 prints 0.004 to 0.015 in on p. H.2 and 0.002 to 0.015 in on p. H.4; H.4 is chosen
    found = one(judge(data, reading(PLAY, "gap", "0.0030", "thrust"), engine="perkins-4-236"), PLAY, "thrust")
    assert (found["verdict"], found["cite"]["page"]) == ("new", "H.4")


def test_variants_of_the_real_dataset(data: Dataset) -> None:
    def ring(**more: str) -> dict[str, Any]:
        return one(judge(data, reading(GAP, "gap", "0.0310", **more), engine="cummins-ntc-400"), GAP)

    # TM 9-2815-225-34&P, F-2: 0.023 to 0.033 in for one ring, 0.019 to 0.029 in for the other
    assert ring()["verdict"] == "which-row"
    assert ring(variant="ring-3012331")["verdict"] == "new"
    assert ring(variant="ring-3012332")["verdict"] == "loose"


@pytest.mark.parametrize(
    ("engine", "item", "position", "variant", "lower"),
    [
        ("gm-6-2-diesel", "piston-clearance", "6", "", "0.0035"),
        ("gm-6-2-diesel", "piston-clearance", "8", "", "0.004"),
        ("gm-6-2-diesel", "main-bearing-clearance", "rear", "6-5l", "0.002"),
        ("perkins-4-236", "main-journal-width", "front", "", "1.453"),
        ("perkins-4-236", "main-journal-width", "2", "", "1.545"),
        ("perkins-4-236", "main-journal-width", "centre", "", "1.738"),
        ("perkins-4-236", "main-journal-width", "rear", "", "1.545"),
        ("nissan-h20", "ring-gap", "3/top-ring", "", "0.25"),
        ("nissan-h20", "ring-gap", "3/second-ring", "", "0.0059"),
    ],
)
def test_places_of_the_real_dataset(
    data: Dataset, engine: str, item: str, position: str, variant: str, lower: str
) -> None:
    extra = {"variant": variant} if variant else {}
    found = one(judge(data, reading(item, "gap", "0.01", position, **extra), engine=engine), item, position)
    assert found["range"]["lower"] == lower
