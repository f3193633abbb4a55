"""Words of a result."""

import pytest

from runningfits.faces.words import WORDS, range_words, value_words, verdict_words
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
