"""The build: which engine stands on the bench, what is fitted, to what size it is machined."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction
from typing import Any, TypeVar

from . import numerals, positions, units
from .engine_models import MODEL, Family

_T = TypeVar("_T")

UNKNOWN = "unknown"
"""The answer of a builder who cannot tell."""

STAGES = ("found", "machined", "assembled")
"""When the readings were taken."""

SAME_SIZE = Fraction(2, 100)
"""Two repair sizes such as -0.010 in and -0.25 mm are one size when they differ by at most this share."""


@dataclass(frozen=True)
class Size:
    """A repair size of a machined part, signed: minus for journals, plus for bores."""

    value: Decimal
    unit: str

    @property
    def text(self) -> str:
        """The size with its sign and unit; `standard` for none."""
        return f"{self.value:+f} {self.unit}" if self.value else "standard"


STANDARD = Size(Decimal(0), "mm")


@dataclass(frozen=True)
class Build:
    """Answers of a sheet: model, parts by question and place, sizes by machined part and place, further documents.

    A place is `all`, a number or a named place. An answer that was not given is absent.
    """

    model: str = ""
    fitted: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    size: Mapping[str, Mapping[str, Size | str]] = field(default_factory=dict)
    documents: frozenset[str] = frozenset()

    def answer(self, question: str, place: str, family: Family) -> str | None:
        """The answer to a question at a place: a part, a model, `unknown`, or None where it was not given.

        What the builder cannot tell and the model always has is answered by the model.
        """
        if question == MODEL:
            return self.model or family.only_model or None
        given = at_place(self.fitted.get(question, {}), place)
        if given not in (None, UNKNOWN):
            return given
        return family.answers(self.model or family.only_model).get(question, given)

    def size_of(self, part: str, place: str) -> Size | str:
        """The repair size of a machined part at a place: standard where none is named; `unknown` where so said.

        At a span of places it is the size that all of them have; `unknown` where they differ.
        """
        given, span = self.size.get(part, {}), positions.numbers(place)
        if len(span) > 1 and place not in given:
            sizes = {_plain(s): s for s in (self.size_of(part, str(n)) for n in span)}
            return next(iter(sizes.values())) if len(sizes) == 1 else UNKNOWN
        found = at_place(given, place)
        return STANDARD if found is None else found

    def told(self, question: str, word: str) -> "Build":
        """This build with one more answer for every place."""
        if question == MODEL:
            return replace(self, model=word)
        return replace(self, fitted={**self.fitted, question: {"all": word}})


def at_place(given: Mapping[str, _T], place: str) -> _T | None:
    """The answer of a map from places to answers at `3`, `top-ring` or `3/top-ring`; `all` is for the rest.

    At a span such as `1-4` it is the answer that all of its places have; None where they differ.
    """
    number, _, name = place.rpartition("/")
    for key in (place, number or place, name):
        if key in given:
            return given[key]
    if len(span := positions.numbers(place)) > 1:
        found = [at_place(given, str(n)) for n in span]
        return found[0] if found.count(found[0]) == len(found) else None
    return given.get("all")


def uneven(given: Mapping[str, object]) -> bool:
    """Whether answers by place, or sizes, differ from place to place; a place without one has the standard size."""
    found = {_plain(a) for a in (given if "all" in given else {**given, "all": None}).values()}
    return len(found) > 1


def _plain(answer: object) -> object:
    if isinstance(answer, Size):
        return (answer.value, answer.unit) if answer.value else None
    return answer


def parsed(values: Mapping[str, Any], known: Mapping[str, units.Unit]) -> Build:
    """The build from the values of a sheet that fit its schema; raises units.UnitError, NumeralError."""
    fitted = {q: _by_place(a) for q, a in values.get("fitted", {}).items()}
    size = {
        part: {at: size_from(text, known) for at, text in _by_place(given).items()}
        for part, given in values.get("size", {}).items()
    }
    return Build(str(values.get("model", "")), fitted, size, frozenset(values.get("documents", ())))


def _by_place(answer: Any) -> dict[str, str]:
    return dict(answer) if isinstance(answer, Mapping) else {"all": str(answer)}


def size_from(text: str, known: Mapping[str, units.Unit]) -> Size | str:
    """A size from `-0.25 mm`, `0` or `unknown`; raises units.UnitError, NumeralError."""
    if text in (UNKNOWN, "standard"):
        return UNKNOWN if text == UNKNOWN else STANDARD
    number, _, unit = text.strip().partition(" ")
    value = numerals.parse(number.removeprefix("+"))
    if value == 0 and not unit:
        return STANDARD
    units.pick(dict(known), unit, "length")
    return Size(value, unit)


def same_size(one: Size, other: Size, known: Mapping[str, units.Unit]) -> bool:
    """Whether two sizes are one: within two in a hundred of each other."""
    a, b = (Fraction(s.value) * known[s.unit].factor for s in (one, other))
    return abs(a - b) <= SAME_SIZE * max(abs(a), abs(b))
