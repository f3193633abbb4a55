"""A drill: invented readings with planted faults and slips, and the key that the judge itself proves."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from random import Random
from typing import Any

from ...build import Build
from ...choosing import choose
from ...dataset import Dataset
from ...sheets import blank
from ...sheets.entries import CROSS, ENDS, SPREAD, Asked, method
from ..bounds import Bounds, bounds, together
from ..judge import Result, check
from ..judged import Judged
from ..remedies.trouble import wanted
from ..suspected import suspected
from .planting import OF_A_PART, OF_SCREWS, SLIPS, shown

Json = dict[str, Any]
Key = tuple[str, str, tuple[tuple[str, str], ...]]

GOOD, LARGE, SMALL, OPEN = "good", "too large", "too small", "cannot tell"
CALLS = (GOOD, LARGE, SMALL, OPEN)
"""What an apprentice says of a place: leave it; it is out on one side; these tools cannot decide."""

MOST = 12
"""Places of a drill."""

MOST_SLIPS = 4
"""Most of them with a slip."""

LEAST = 4
"""Places without which it is none."""

AT_ONE_ITEM = 3
"""Most places of one item."""

USUAL_WIDTH = Fraction(1, 10_000)
"""How far from the one end that is printed a size is invented at most, in metres."""

PLAN = (GOOD, LARGE, "slip", "worn", SMALL, "slip", GOOD, OPEN, LARGE, "slip")
"""What is planted, in turn."""

PASSED = ("new", "worn", "serviceable", "agrees")


class DrillError(ValueError):
    """An engine of which the data have too little for a drill."""


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
class Answer:
    """What is to be said of a place: the call, and whether a reading is to be taken again."""

    call: str
    again: bool


@dataclass(frozen=True)
class Task:
    """A place of a drill: what was planted, the judge's verdict on it, and the answer that follows from the verdict."""

    plant: Plant
    judged: Judged
    answer: Answer


@dataclass(frozen=True)
class Drill:
    """A drill: its places in measuring order, and the judge's result on its sheet."""

    tasks: tuple[Task, ...]
    result: Result


@dataclass(frozen=True)
class Place:
    """A line of a blank sheet that readings can be invented for: empty readings, what its rows allow, its shaft."""

    key: Key
    lines: tuple[Json, ...]
    limits: Bounds
    shaft: Fraction | None


def drill(data: Dataset, engine: str, build: Build, seed: str) -> Drill:
    """The drill of an engine, a build and a seed: always the same from the same data.

    Where no model is named the seed takes one. Every plant is held to the judge: one that the judge does not see as it
    was meant is left out. Raises DrillError where fewer than LEAST are left.
    """
    rng = Random(f"{engine} {seed}")
    build = build if build.model else replace(build, model=rng.choice(list(data.family(engine).models) or [""]))
    sheet = blank.blank(data, engine, build)
    places = list(_places(data, engine, build, sheet))
    order = {place.key: n for n, place in enumerate(places)}
    rng.shuffle(places)
    plants = _spread(_mixed(_plants(places, rng, sheet, data)), MOST, AT_ONE_ITEM)
    plants, found = _proven(plants, sheet, data)
    if found is None or len(plants) < LEAST:
        raise DrillError("too few fits in the data for a drill; name another model, or what is fitted")
    judged = _by_place(found)
    ordered = sorted(plants, key=lambda p: order[p.key])
    return Drill(tuple(Task(p, judged[p.key], answer(judged[p.key], found)) for p in ordered), found)


def _plants(places: Sequence[Place], rng: Random, sheet: Json, data: Dataset) -> list[Plant]:
    """Plants that the judge sees as they were meant, at most one a place; where one is not seen the next is tried."""
    found: list[Plant] = []
    left = {place.key: place for place in places}
    for turn in range(len(set(PLAN))):
        tried = [p for n, place in enumerate(left.values()) if (p := _planted(place, n + turn, rng, sheet, data))]
        seen, _ = _proven(tried, sheet, data)
        found += seen
        left = {k: place for k, place in left.items() if k not in {p.key for p in seen}}
    return found


def answer(judged: Judged, found: Result) -> Answer:
    """What a good apprentice says of a verdict."""
    again = bool(suspected(judged, found)) or judged.verdict == "bad-entry" or judged.joint.doubt == "repeats"
    if judged.verdict in PASSED:
        return Answer(GOOD, again)
    value, limits = judged.lead.value, judged.joint.bounds
    if judged.verdict in ("loose", "tight", "bad-entry") and value and limits:
        high = limits.high or limits.wear_high
        return Answer(LARGE if high is not None and value.value > high.strict else SMALL, again)
    return Answer(OPEN, again)


def _by_place(found: Result) -> dict[Key, Judged]:
    """Verdicts on the fits that were entered, by item, place and what the readings say of their row."""
    return {(j.case.item, j.case.position, _said(j.case.said)): j for j in found.judged if not j.case.derived}


def _said(said: Any) -> tuple[tuple[str, str], ...]:
    return tuple(sorted(said.items()))


def _proven(plants: Sequence[Plant], sheet: Json, data: Dataset) -> tuple[list[Plant], Result | None]:
    """Plants that the judge sees as they were meant, all on one sheet, and its result; no result without plants."""
    left = list(plants)
    while left:
        found = check(_sheet(left, sheet), data)
        judged = _by_place(found)
        seen = [p for p in left if p.key in judged and _as_meant(p, judged[p.key], found)]
        if len(seen) == len(left):
            return left, found
        left = seen
    return [], None


def _as_meant(plant: Plant, judged: Judged, found: Result) -> bool:
    """Whether the judge sees a plant as it was meant; past a new range without a wear limit nobody can say."""
    told = answer(judged, found)
    if judged.verdict == "past-new":
        return False
    return told.again if plant.slip else told == Answer(plant.call, False)


def _sheet(plants: Iterable[Plant], sheet: Json) -> Json:
    """A bench sheet with the readings of plants and the instruments that they name."""
    readings = [r for p in plants for r in p.readings]
    named = {r["instrument"] for r in readings}
    named |= {t["set_on"] for t in sheet["instruments"] if t["id"] in named}
    tools = [t for t in sheet["instruments"] if t["id"] in named]
    warm = {"part_temperature": "20 degC", "room_temperature": "20 degC"}
    return sheet | warm | {"instruments": tools, "readings": readings, "torques": [], "parts": []}


def _mixed(plants: Sequence[Plant]) -> list[Plant]:
    """Plants one kind after the other, as PLAN has them, those left over last."""
    kinds: dict[str, list[Plant]] = {}
    for plant in plants:
        kinds.setdefault("slip" if plant.slip else plant.call, []).append(plant)
    found: list[Plant] = []
    while any(kinds.values()):
        turn = [GOOD if k == "worn" else k for k in PLAN]
        found += [kinds[k].pop(0) for k in turn if kinds.get(k)]
    return [p for n, p in enumerate(found) if not p.slip or sum(bool(q.slip) for q in found[:n]) < MOST_SLIPS]


def _spread(plants: Iterable[Plant], most: int, at_one: int) -> list[Plant]:
    """The first plants, of one item at most `at_one`."""
    count: dict[str, int] = {}
    found = []
    for plant in plants:
        count[plant.key[0]] = count.get(plant.key[0], 0) + 1
        found += [plant] if count[plant.key[0]] <= at_one else []
    return found[:most]


def _places(data: Dataset, engine: str, build: Build, sheet: Json) -> Iterator[Place]:
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
            yield Place((line.line.item, line.line.place, _said(line.line.said)), empty, limits, shaft)


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


def _planted(place: Place, number: int, rng: Random, sheet: Json, data: Dataset) -> Plant | None:
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
