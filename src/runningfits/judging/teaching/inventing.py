"""Invented readings for lines of a blank sheet: a true value of a kind, as its instrument shows it, or a slip."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from random import Random
from typing import Any

from ...build import Build
from ...choosing import choose
from ...dataset import Dataset
from ...sheets import blank
from ...sheets.entries import CROSS, ENDS, SPREAD, Asked, method
from ..bounds import Bounds, bounds, together
from ..remedies.trouble import wanted
from .planting import OF_A_PART, OF_SCREWS, SLIPS, shown

Json = dict[str, Any]
Key = tuple[str, str, tuple[tuple[str, str], ...]]

GOOD, LARGE, SMALL, OPEN = "good", "too large", "too small", "cannot tell"
CALLS = (GOOD, LARGE, SMALL, OPEN)
"""What an apprentice says of a place: leave it; it is out on one side; these tools cannot decide."""

USUAL_WIDTH = Fraction(1, 10_000)
"""How far from the one end that is printed a size is invented at most, in metres."""

PLAN = (GOOD, LARGE, "slip", "worn", SMALL, "slip", GOOD, OPEN, LARGE, "slip")
"""What is planted, in turn."""


@dataclass(frozen=True)
class Plant:
    """What was planted at a place: its readings, what a good apprentice says of it, and the slip that is in it.

    `truth` is the true value that was invented, in SI.
    """

    key: Key
    readings: tuple[Json, ...]
    call: str
    truth: Fraction
    slip: str = ""


@dataclass(frozen=True)
class Place:
    """A line of a blank sheet that readings can be invented for: empty readings, what its rows allow, its shaft."""

    key: Key
    lines: tuple[Json, ...]
    limits: Bounds
    shaft: Fraction | None


def drill_places(data: Dataset, engine: str, build: Build, sheet: Json) -> Iterator[Place]:
    """Lines of the blank sheet that readings can be invented for: lengths that one line of rows judges.

    Of a fit that is measured by bore and shaft a page must print the shaft or the bore.
    """
    readings = iter(sheet["readings"])
    for line in blank.work(data, engine, build).lines:
        empty = tuple(next(readings) for _ in line.entries)
        limits = _limits(line, data)
        by_sides = {e.part for e in line.entries} == {"bore", "shaft"}
        shaft = _shaft(line, data, engine, build) if by_sides and limits else None
        if empty and limits and (shaft is not None or not by_sides):
            yield Place((line.line.item, line.line.place, row_words(line.line.said)), empty, limits, shaft)


def _limits(line: Asked, data: Dataset) -> Bounds | None:
    """What the rows of a line allow; None where a question is open, for a form, and for what is no length."""
    quantity, choice = data.quantities[line.line.item], line.line.choice
    spread = method(line.line, data) in (*CROSS, *ENDS, *SPREAD)
    if choice.asked or not choice.rows or spread or quantity["dimension"] != "length" or quantity["kind"] == "form":
        return None
    found = together([bounds(r, data) for r in choice.rows])
    return found if found.fresh or found.limit is not None else None


def _shaft(line: Asked, data: Dataset, engine: str, build: Build) -> Fraction | None:
    """Middle of the shaft of a fit as a page prints it, else that of its bore; None where no page has either."""
    quantity = data.quantities[line.line.item]
    for size in (*quantity["inner"].split(), *quantity["outer"].split()):
        rows = choose(data, engine, build, size, line.line.place).rows
        low, high = wanted(together([bounds(r, data) for r in rows])) if rows else (None, None)
        if low is not None and high is not None:
            return (low + high) / 2
    return None


def planted(place: Place, number: int, rng: Random, sheet: Json, data: Dataset) -> Plant | None:
    """A place with invented readings by its turn of PLAN; None where no such readings can be."""
    kind = PLAN[number % len(PLAN)]
    truth = _truth(GOOD if kind == "slip" else kind, place.limits, rng)
    if truth is None:
        return None
    tools = {t["id"]: t for t in sheet["instruments"]}
    read = [shown(r, _of_part(r, truth, place), tools[r["instrument"]], rng, data) for r in place.lines]
    readings = [r for r in read if r]
    if len(readings) < len(place.lines):
        return None
    if kind == "slip":
        return _slipped(place, truth, readings, rng)
    return Plant(place.key, tuple(readings), GOOD if kind == "worn" else kind, truth)


def _of_part(line: Json, truth: Fraction, place: Place) -> Fraction:
    """True size of what a reading measures: of a fit the shaft as printed, and its bore larger by the clearance."""
    if place.shaft is None:
        return truth
    return place.shaft + truth if line["part"] == "bore" else place.shaft


def _slipped(place: Place, truth: Fraction, readings: list[Json], rng: Random) -> Plant | None:
    """Honest readings with a slip in one of them, or in all of its part; None where it would change nothing."""
    slip, draw = rng.choice(list(SLIPS)), rng.random()
    sized = [n for n, r in enumerate(readings) if r["part"] in ("bore", "shaft")]
    open_ = sized if slip in OF_SCREWS else [n for n, r in enumerate(readings) if "to" not in r]
    if not open_:
        return None
    first = rng.choice(open_)
    whole = slip in OF_A_PART and rng.random() < SHARE_OF_A_PART
    wrong = {n for n in open_ if readings[n]["part"] == readings[first]["part"]} if whole else {first}
    made = [SLIPS[slip](r, Random(draw)) if n in wrong else r for n, r in enumerate(readings)]
    changed = all(made[n] != readings[n] and Fraction(made[n]["value"]) > 0 for n in wrong)
    words = f"{slip}, in all readings of the {readings[first]['part']}" if len(wrong) > 1 else f"{slip}, in one reading"
    return Plant(place.key, tuple(made), GOOD, truth, words) if changed else None


SHARE_OF_A_PART = 0.8
"""How often a slip of the hand or of the unit is in all readings of a part: what is misread once is misread again."""


def _truth(kind: str, limits: Bounds, rng: Random) -> Fraction | None:
    """A true value of a kind, in SI; None where the rows have no such."""
    low, high = wanted(limits)
    worst = limits.limit.strict if limits.limit else None
    ends = [e for e in (low, high, worst) if e is not None]
    width = max(ends) - min(ends) if len(set(ends)) > 1 else min(abs(ends[0]) / 4, USUAL_WIDTH)
    share = Fraction(rng.randint(300, 700), 1000)
    if kind == GOOD:
        return low + share * (high - low) if low is not None and high is not None else _inside(low, high, share * width)
    if kind == "worn":
        new = high if limits.wears_up else low
        return None if worst is None or new is None or worst == new else new + share * (worst - new)
    most, least = limits.wear_high, limits.wear_low
    if kind == OPEN:
        end = most or least
        return end.strict if end else None
    if kind == LARGE:
        return most.strict + (share + Fraction(1, 4)) * width if most else None
    return least.strict - (share + Fraction(1, 4)) * width if least else None


def _inside(low: Fraction | None, high: Fraction | None, by: Fraction) -> Fraction | None:
    if high is not None:
        return high - by
    return None if low is None else low + by


def row_words(said: Any) -> tuple[tuple[str, str], ...]:
    """What readings say of their row, so that it can be a key."""
    return tuple(sorted(said.items()))
