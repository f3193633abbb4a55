"""Positions: named places, numbers and spans."""

import re

_SPANS = re.compile(r"\d+(-\d+)?(,\d+(-\d+)?)*", re.ASCII)


class PositionError(ValueError):
    """A text that is no position."""


def numbers(text: str) -> tuple[int, ...]:
    """Place numbers of a position such as `1-4` or `1,2,4,5`, in order; empty for a named one.

    >>> numbers("1-3,5")
    (1, 2, 3, 5)

    Raises PositionError when a span runs backwards, starts at 0 or names a place twice.
    """
    if not _SPANS.fullmatch(text):
        return ()
    found: dict[int, None] = {}
    for part in text.split(","):
        first, _, last = part.partition("-")
        if len(first) > 4 or len(last) > 4 or int(last or first) < int(first) or int(first) < 1:
            raise PositionError(f'"{text}": "{part}" is no span of place numbers such as 1-4')
        span = range(int(first), int(last or first) + 1)
        if not found.keys().isdisjoint(span):
            raise PositionError(f'"{text}" names a place twice')
        found |= dict.fromkeys(span)
    return tuple(found)


def check(text: str, named: set[str]) -> None:
    """Raise PositionError unless the text is a named position, numbers or spans."""
    if text not in named and not numbers(text):
        raise PositionError(f'"{text}" is neither a named position nor place numbers such as 1-4 or 1,3,5')


def split(text: str) -> tuple[int | None, str | None]:
    """Number and name of a bench position: `3`, `top-ring` or `3/top-ring`.

    >>> split("3/top-ring")
    (3, 'top-ring')

    Raises PositionError for anything else.
    """
    match = re.fullmatch(r"(?:(\d{1,4})(?:/(?=.))?)?([a-z][a-z-]*)?", text, re.ASCII)
    if not match or not text or (match[1] and int(match[1]) < 1) or (match[1] and match[2] and "/" not in text):
        raise PositionError(f'"{text}" is no place such as 3, front or 3/top-ring')
    return (int(match[1]) if match[1] else None), match[2]


def places(text: str, count: int | None) -> tuple[int, ...] | None:
    """Place numbers that a row's position stands for, given how many there are; None where unknown.

    `front` is the first, `rear` the last, `centre` the middle one of an odd count, and `intermediate` the rest.
    """
    if found := numbers(text):
        return found
    if count is None:
        return (1,) if text == "front" else None
    middle = (count + 1) // 2 if count % 2 else None
    known = {"front": (1,), "rear": (count,), "outer-ends": (1, count), "centre": (middle,) if middle else None}
    if text in known:
        return known[text]
    inner = [n for n in range(2, count) if n != middle]
    spans = {
        "intermediate": inner,
        "front-intermediate": [n for n in inner if n < (count + 1) / 2],
        "rear-intermediate": [n for n in inner if n > (count + 1) / 2],
    }
    return tuple(spans[text]) if text in spans else None
