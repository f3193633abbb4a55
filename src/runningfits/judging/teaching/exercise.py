"""A drill: invented readings with planted faults and slips, and the key that the judge itself proves."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from random import Random

from ...build import Build
from ...dataset import Dataset
from ...sheets import blank
from ..judge import Result, check
from ..judged import Judged
from ..suspected import suspected
from .inventing import GOOD, LARGE, OPEN, PLAN, SMALL, Json, Key, Place, Plant, drill_places, planted, row_words

MOST = 12
"""Places of a drill."""

MOST_SLIPS = 4
"""Most of them with a slip."""

LEAST = 4
"""Places without which it is none."""

AT_ONE_ITEM = 3
"""Most places of one item."""

PASSED = ("new", "worn", "serviceable", "agrees")


class DrillError(ValueError):
    """An engine of which the data have too little for a drill."""


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


def drill(data: Dataset, engine: str, build: Build, seed: str) -> Drill:
    """The drill of an engine, a build and a seed: always the same from the same data.

    Where no model is named the seed takes one. Every plant is held to the judge: one that the judge does not see as it
    was meant is left out. Raises DrillError where fewer than LEAST are left.
    """
    rng = Random(f"{engine} {seed}")
    build = build if build.model else replace(build, model=rng.choice(list(data.family(engine).models) or [""]))
    sheet = blank.blank(data, engine, build)
    places = list(drill_places(data, engine, build, sheet))
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
        tried = [p for n, place in enumerate(left.values()) if (p := planted(place, n + turn, rng, sheet, data))]
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
    return {(j.case.item, j.case.position, row_words(j.case.said)): j for j in found.judged if not j.case.derived}


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
