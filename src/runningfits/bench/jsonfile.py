"""Bench sheets as JSON text, with the line of each value."""

import json
import re
from typing import Any, NoReturn

from .faults import SheetError, SheetFault

_BLANK = re.compile(r"[ \t\n\r]*")
DEEPEST = 12


def parse(text: str, name: str) -> Any:
    """Value of JSON text; raises SheetError for what is not JSON, a key twice, NaN, or deep nesting."""
    if _deep(text):
        raise SheetError([SheetFault(name, "lists nested too deep", f"at most {DEEPEST} levels")])
    try:
        return json.loads(text, object_pairs_hook=_pairs, parse_constant=_constant)
    except json.JSONDecodeError as error:
        place = f"{name}:{error.lineno}:{error.colno}"
        raise SheetError([SheetFault(place, error.msg[:1].lower() + error.msg[1:], "a JSON document")]) from error
    except _TwiceError as error:
        raise SheetError([SheetFault(name, str(error), "each key once, and numbers as text")]) from error


def _deep(text: str) -> bool:
    depth = deepest = 0
    for mark in re.finditer(r'"(?:[^"\\]|\\.)*"|[\[{]|[\]}]', text):
        depth += {"[": 1, "{": 1, "]": -1, "}": -1}.get(mark[0], 0)
        deepest = max(deepest, depth)
    return deepest > DEEPEST


class _TwiceError(ValueError):
    pass


def _pairs(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        twice = next(k for k, _ in pairs if sum(k == other for other, _ in pairs) > 1)
        raise _TwiceError(f'the key "{twice}" twice in one object')
    return found


def _constant(text: str) -> NoReturn:
    raise _TwiceError(f"{text} for a number")


def line(text: str, path: list[str | int]) -> int:
    """Line of the value at a path in JSON text that parses."""
    at = _skip(text, 0)
    for key in path:
        found = _step(text, at, key)
        if found is None:
            break
        at = found
    return text.count("\n", 0, at) + 1


def _skip(text: str, at: int) -> int:
    match = _BLANK.match(text, at)
    return match.end() if match else at


def _step(text: str, at: int, key: str | int) -> int | None:
    """Start of a member of the object or list that starts at `at`, or None."""
    decoder, number = json.JSONDecoder(), 0
    named = text[at] == "{"
    at = _skip(text, at + 1)
    while text[at] not in "]}":
        name: str | int = number
        if named:
            name, at = decoder.raw_decode(text, at)
            at = _skip(text, _skip(text, at) + 1)
        if name == key:
            return at
        _, at = decoder.raw_decode(text, at)
        at = _skip(text, at)
        if text[at] == ",":
            at = _skip(text, at + 1)
        number += 1
    return None
