"""Bench sheets as JSON text, with the line of each value."""

import json
import re
from collections.abc import Iterator, Sequence
from decimal import Decimal, InvalidOperation
from functools import lru_cache
from typing import Any

from .faults import SheetError, SheetFault, Step, path_text

_TOKEN = re.compile(r'"(?:[^"\\]|\\.?)*+"?|[\[\]{},:]|[^\s"\[\]{},:]+', re.DOTALL)
_LONGEST_INTEGER = 18
DEEPEST = 12


def parse(text: str, name: str) -> Any:
    """Value of JSON text, numbers that are no small integer as Decimal, so that they can be shown as written.

    Raises SheetError for what is not JSON, a key twice, or deep nesting.
    """
    if deep := _too_deep(text):
        raise SheetError([SheetFault(f"{name}:{deep}", "lists nested too deep", f"at most {DEEPEST} levels")])
    try:
        return json.loads(text, object_pairs_hook=_pairs, parse_float=_fraction, parse_int=_integer)
    except json.JSONDecodeError as error:
        place = f"{name}:{error.lineno}:{error.colno}"
        raise SheetError([SheetFault(place, error.msg[:1].lower() + error.msg[1:], "a JSON document")]) from error
    except _TwiceError as error:
        path, at = _first_twice(text)
        raise SheetError([SheetFault(f"{name}:{at}:{path_text(path)}", "the key again", "each key once")]) from error


def _too_deep(text: str) -> int:
    """Line on which lists and objects are nested too deep, or 0."""
    depth = 0
    for mark in _TOKEN.finditer(text):
        depth += {"[": 1, "{": 1, "]": -1, "}": -1}.get(mark[0], 0)
        if depth > DEEPEST:
            return text.count("\n", 0, mark.start()) + 1
    return 0


class _TwiceError(ValueError):
    pass


def _pairs(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise _TwiceError
    return found


def _integer(text: str) -> int | Decimal:
    return int(text) if len(text) <= _LONGEST_INTEGER else Decimal(text)


class _Written(float):
    """A number beyond what a Decimal can hold, shown as it was written."""

    def __new__(cls, text: str) -> "_Written":
        made = super().__new__(cls, text)
        made.text = text
        return made

    text: str

    def __str__(self) -> str:
        return self.text


def _fraction(text: str) -> Decimal | _Written:
    try:
        return Decimal(text)
    except InvalidOperation:
        return _Written(text)


def _first_twice(text: str) -> tuple[tuple[Step, ...], int]:
    """Path and line of the first value whose key was there before."""
    seen = set()
    for path, at in _values(text):
        if path in seen:
            return path, at
        seen.add(path)
    raise AssertionError("no key is there twice")


def line(text: str, path: Sequence[Step]) -> int:
    """Line of the value at a path in JSON text that parses; of the nearest value around it where there is none."""
    known = _lines(text)
    return next(known[at] for at in (tuple(path[:n]) for n in range(len(path), -1, -1)) if at in known)


@lru_cache(maxsize=1)
def _lines(text: str) -> dict[tuple[Step, ...], int]:
    return dict(_values(text))


def _values(text: str) -> Iterator[tuple[tuple[Step, ...], int]]:
    """Path and line of every value in JSON text, in order."""
    at: list[Any] = []
    number, seen = 1, 0
    for mark in _TOKEN.finditer(text):
        token = mark[0]
        number += text.count("\n", seen, mark.start())
        seen = mark.start()
        if token in ("]", "}"):
            at.pop()
        elif token == ",":
            at[-1] = at[-1] + 1 if isinstance(at[-1], int) else None
        elif token != ":" and at and at[-1] is None:
            at[-1] = json.loads(token)
        elif token != ":":
            yield tuple(at), number
            if token in ("[", "{"):
                at.append(0 if token == "[" else None)
