"""Words of a result."""

from typing import Any

import pytest

from runningfits.faces.row_words import range_words
from runningfits.faces.words import (
    INTERFERENCE,
    WORDS,
    bias_words,
    chance_words,
    interference_lines,
    joint,
    out_lines,
    tally_lines,
    torque_lines,
    value_words,
    verdict_words,
)
from runningfits.judging.as_values import share


def test_every_verdict_has_words() -> None:
    assert all(words and words == words.strip() for words in WORDS.values())
    assert len(set(WORDS.values())) == len(WORDS)


@pytest.mark.parametrize(
    ("found", "words"),
    [
        ({"lower": "1", "upper": "2", "limit": None, "unit": "mm"}, "1 to 2 mm"),
        ({"lower": "1", "upper": None, "limit": None, "unit": "mm"}, "at least 1 mm"),
        ({"lower": None, "upper": "2", "limit": "3", "unit": "mm"}, "at most 2; limit 3 mm"),
        ({"lower": None, "upper": None, "nominal": "2", "limit": None, "unit": "mm"}, "2 mm"),
        ({"lower": None, "upper": None, "nominal": None, "limit": "3", "unit": "mm"}, "limit 3 mm"),
        ({"lower": "1", "upper": "2", "limit": None, "unit": "mm", "misprints": [{}]}, "1 to 2 mm*"),
        (
            {"lower": "1", "upper": "2", "limit": None, "unit": "mm", "size": "-0.25 mm", "misprints": [{}]},
            "1 to 2 mm* for -0.25 mm",
        ),
        (None, ""),
    ],
)
def test_a_range_in_words(found: dict[str, object] | None, words: str) -> None:
    assert range_words(found) == words


def test_worn_is_said_only_where_it_is_proven() -> None:
    assert "worn" in verdict_words({"verdict": "worn"})
    assert "worn" not in verdict_words({"verdict": "serviceable"})


@pytest.mark.parametrize(
    ("verdict", "missing", "said"),
    [
        ("new", ["lower"], "no minimum is printed"),
        ("serviceable", ["upper"], "no maximum is printed"),
        ("new", [], ""),
        ("tight", ["lower"], ""),
    ],
)
def test_what_passed_says_which_end_is_not_printed(verdict: str, missing: list[str], said: str) -> None:
    words = verdict_words({"verdict": verdict, "not_printed": missing})
    assert (said in words) if said else ("printed" not in words)


def test_a_bound_is_said_as_one() -> None:
    found = {"value": "0.006", "unit": "in", "uncertainty": "0.001", "as_read": None}
    assert value_words(found | {"least_only": True}) == "at least 0.006 in"
    assert value_words(found | {"least_only": False}) == "0.006 ± 0.001 in"


def test_what_passed_by_one_end_says_which_is_not_printed() -> None:
    assert verdict_words({"verdict": "new", "not_printed": ["lower"]}) == "in the new range (no minimum is printed)"
    assert verdict_words({"verdict": "worn", "not_printed": ["upper"]}).endswith("(no maximum is printed)")
    assert verdict_words({"verdict": "loose", "not_printed": ["lower"]}) == "OUT, loose"


def result(**more: Any) -> dict[str, Any]:
    """A result with the fields that words are made of."""
    plain = {"value": "0.0003", "unit": "in", "bias": None, "readings": [0, 1], "range": {"limit": "0.005"}}
    return plain | {"probability": "0.482", "probability_within_limit": ">0.999", "suspected": []} | more


@pytest.mark.parametrize(
    ("bias", "value", "count", "words"),
    [
        ("0.0002", "0.0003", 6, "read 0.0005, less 0.0002 for the scatter of six readings"),
        ("-0.0002", "2.4995", 3, "read 2.4993, plus 0.0002 for the scatter of three readings"),
        (
            "0.0002",
            "0.0000",
            40,
            "what was read lies within 0.0002 in, which is taken off for the scatter of 40 readings",
        ),
        (None, "0.0003", 6, ""),
    ],
)
def test_a_bias_is_told(bias: str | None, value: str, count: int, words: str) -> None:
    assert bias_words(result(bias=bias, value=value, readings=list(range(count)))) == words


def test_both_probabilities_stand_where_a_limit_is_printed() -> None:
    assert chance_words(result()) == ["0.482 in the new range", ">0.999 within the limit"]
    assert chance_words(result(range={"limit": None})) == ["0.482 in the new range"]
    assert chance_words(result(probability=None)) == [">0.999 within the limit"]
    assert chance_words(result(range=None, probability=None)) == []


def test_a_lone_leaf_is_at_least() -> None:
    lone = result(value="0.0070", least_only=True, as_read=None, uncertainty="0.0008")
    assert value_words(lone) == "at least 0.0070 in"


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (None, None),
        (1.0, ">0.999"),
        (0.99951, ">0.999"),
        (0.9994, "0.999"),
        (0.9192, "0.919"),
        (0.5, "0.500"),
        (0.0006, "0.001"),
        (0.0004, "<0.001"),
        (0.0, "<0.001"),
    ],
)
def test_a_probability_is_never_shown_as_certain(value: float | None, text: str | None) -> None:
    assert share(value) == text


def line(**more: Any) -> dict[str, Any]:
    found = {
        "label": "Main bearing cap",
        "place": "3",
        "step": 2,
        "verdict": "bad-entry",
        "says_words": [],
        "why": None,
    }
    return found | {"questions": [], "others": [], "range": {"reuse": None}} | more


def test_a_joint_says_which_of_its_fasteners() -> None:
    said = line(says_words=["long capscrews", "for a check only", "tightening no. 2"])
    assert joint(said) == "Main bearing cap, long capscrews, for a check only, tightening no. 2"
    assert out_lines({"results": [], "torques": [said]}) == [f"{joint(said)}, 3, step 2: bad entry"]


@pytest.mark.parametrize(
    ("reuse", "words"), [("no", "new fasteners every time"), ("once", "once more"), ("limited", "only as the page")]
)
def test_single_use_fasteners_are_flagged(reuse: str, words: str) -> None:
    (told,) = torque_lines(line(range={"reuse": reuse}))
    assert words in told
    assert torque_lines(line()) == [] and torque_lines(line(range=None)) == []


@pytest.mark.parametrize(
    ("allows", "verdict", "told"),
    [
        (True, "new", [INTERFERENCE]),
        (True, "worn", [INTERFERENCE]),
        (True, "cannot-tell", [INTERFERENCE]),
        (True, "loose", []),
        (True, "tight", []),
        (False, "new", []),
    ],
)
def test_a_fit_that_may_be_tight_says_so_until_it_is_out(allows: bool, verdict: str, told: list[str]) -> None:
    assert interference_lines({"interference": allows, "verdict": verdict}) == told
    assert "reaches below zero" in INTERFERENCE


def read_at(*places: str, **more: Any) -> list[dict[str, Any]]:
    plain = {"item": "main-bearing-clearance", "derived": False, "verdict": "new"}
    return [plain | {"position": p} | more for p in places]


@pytest.mark.parametrize(
    ("results", "missing", "told"),
    [
        (read_at("1", "2"), 3, ["2 of 5 places measured: nothing is known of the others."]),
        ([*read_at("1"), *read_at("1", derived=True, item="main-journal-taper")], 1, ["1 of 2 places measured"]),
        (read_at("1", "1"), 1, ["1 of 2 places measured"]),
        (read_at("1", "2"), 0, []),
        ([], 2, []),
    ],
    ids=["three are missing", "what the same readings give is no place", "read in two lines", "all", "none"],
)
def test_how_many_of_the_places_were_measured(results: list[Any], missing: int, told: list[str]) -> None:
    found = {"results": results, "torques": [], "not_measured": [{}] * missing}
    said = [line for line in tally_lines(found) if "measured" in line]
    assert [line[: len(t)] for line, t in zip(said, told, strict=True)] == told
