"""Positions: numbers and spans, named places, and what is neither."""

import re
from collections.abc import Callable

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from runningfits.positions import PositionError, check, numbers, places, split

NAMED = {"all", "front", "rear", "top-ring"}
NAMES = st.from_regex(re.compile(r"[a-z]+(-[a-z]+)*", re.ASCII), fullmatch=True)
TEXTS = st.one_of(st.text(), st.text("0123456789-,/ar\n\u0663"), st.sampled_from(["1-4", "all", "3/top-ring"]))


@st.composite
def spans(draw: st.DrawFn) -> list[tuple[int, int]]:
    """Spans of places that do not overlap, in rising order."""
    ends = sorted(draw(st.sets(st.integers(1, 9999), min_size=2, max_size=12)))
    return [(a, b) if draw(st.booleans()) else (a, a) for a, b in zip(ends[::2], ends[1::2], strict=False)]


def written(found: list[tuple[int, int]]) -> str:
    return ",".join(f"{a}-{b}" if a != b else str(a) for a, b in found)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1-4", (1, 2, 3, 4)),
        ("1,2,4,5", (1, 2, 4, 5)),
        ("1-3,5", (1, 2, 3, 5)),
        ("5,1-3", (5, 1, 2, 3)),
        ("7-7", (7,)),
        ("007", (7,)),
        ("9999", (9999,)),
        ("all", ()),
        ("front", ()),
        ("", ()),
        ("1-", ()),
        ("-1", ()),
        ("1,,2", ()),
        ("1-2-3", ()),
        ("1-4\n", ()),
        ("\u0663", ()),
    ],
)
def test_place_numbers(text: str, expected: tuple[int, ...]) -> None:
    assert numbers(text) == expected


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("4-1", '"4-1": "4-1" is no span of place numbers such as 1-4'),
        ("0", '"0": "0" is no span of place numbers such as 1-4'),
        ("0-3", '"0-3": "0-3" is no span of place numbers such as 1-4'),
        ("1,00000", '"1,00000": "00000" is no span of place numbers such as 1-4'),
        ("1-10000", '"1-10000": "1-10000" is no span of place numbers such as 1-4'),
        ("1-3,2", '"1-3,2" names a place twice'),
        ("2,2", '"2,2" names a place twice'),
    ],
)
def test_numbers_that_are_no_places(text: str, message: str) -> None:
    for refuse in (numbers, lambda t: check(t, NAMED)):
        with pytest.raises(PositionError) as caught:
            refuse(text)
        assert str(caught.value) == message


@given(spans())
def test_spans_expand_in_order(found: list[tuple[int, int]]) -> None:
    expanded = numbers(written(found))
    assert expanded == tuple(n for a, b in found for n in range(a, b + 1))
    assert list(expanded) == sorted(set(expanded))


@given(spans())
def test_a_span_twice_is_refused(found: list[tuple[int, int]]) -> None:
    with pytest.raises(PositionError, match="names a place twice"):
        numbers(written([*found, found[0]]))


def test_spans_without_end_are_refused_at_the_first_that_repeats() -> None:
    with pytest.raises(PositionError, match="names a place twice"):
        numbers(",".join(["1-9999"] * 200_000))


@given(TEXTS)
@example("9" * 5000)
@example("1-" + "9" * 5000)
def test_a_text_is_places_or_refused(text: str) -> None:
    calls: list[Callable[[str], object]] = [numbers, split, lambda t: check(t, NAMED), lambda t: places(t, 5)]
    for call in calls:
        try:
            call(text)
        except PositionError as error:
            assert str(error)


@given(TEXTS)
def test_check_lets_only_named_places_and_numbers_pass(text: str) -> None:
    try:
        check(text, NAMED)
    except PositionError:
        assert text not in NAMED
        return
    assert text in NAMED or re.fullmatch(r"[0-9]+(-[0-9]+)?(,[0-9]+(-[0-9]+)?)*", text)


@pytest.mark.parametrize("name", ["beside", "All", "front ", "", "1-", "1 - 4", "3/top-ring"])
def test_what_is_neither_name_nor_number_is_refused(name: str) -> None:
    with pytest.raises(PositionError) as caught:
        check(name, NAMED)
    assert str(caught.value) == f'"{name}" is neither a named position nor place numbers such as 1-4 or 1,3,5'


@pytest.mark.parametrize(
    ("text", "expected"),
    [("3", (3, None)), ("rear", (None, "rear")), ("3/top-ring", (3, "top-ring")), ("9999/a", (9999, "a"))],
)
def test_a_bench_position_in_two(text: str, expected: tuple[int | None, str | None]) -> None:
    assert split(text) == expected


@pytest.mark.parametrize(
    "text",
    ["", "0", "0/top-ring", "3/", "/top-ring", "3top", "3//a", "3/A", "3/4", "1-4", "10000", "3\n", "\u0663", "-a"],
)
def test_what_is_no_bench_position_is_refused(text: str) -> None:
    with pytest.raises(PositionError) as caught:
        split(text)
    assert str(caught.value) == f'"{text}" is no place such as 3, front or 3/top-ring'


@given(st.one_of(st.none(), st.integers(1, 9999)), st.one_of(st.none(), NAMES))
def test_split_and_back(number: int | None, name: str | None) -> None:
    text = "/".join(str(part) for part in (number, name) if part is not None)
    if text:
        assert split(text) == (number, name)
        return
    with pytest.raises(PositionError):
        split(text)


@pytest.mark.parametrize(
    ("text", "count", "expected"),
    [
        ("2-3", None, (2, 3)),
        ("front", None, (1,)),
        ("rear", None, None),
        ("rear", 5, (5,)),
        ("centre", 5, (3,)),
        ("centre", 4, None),
        ("outer-ends", 5, (1, 5)),
        ("intermediate", 5, (2, 4)),
        ("intermediate", 4, (2, 3)),
        ("front-intermediate", 7, (2, 3)),
        ("rear-intermediate", 7, (5, 6)),
        ("all", 5, None),
        ("beside", 5, None),
    ],
)
def test_places_of_an_engine(text: str, count: int | None, expected: tuple[int, ...] | None) -> None:
    assert places(text, count) == expected


@given(st.integers(3, 20))
def test_named_places_share_an_engine_without_rest(count: int) -> None:
    groups = ("outer-ends", "front-intermediate", "centre", "rear-intermediate")
    found = [n for name in groups for n in places(name, count) or ()]
    assert sorted(found) == list(range(1, count + 1))
