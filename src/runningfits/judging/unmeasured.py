"""Places of measured items that have no reading."""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from .. import positions
from ..choosing import true_for
from ..dataset import Dataset
from ..engine_models import MODEL
from ..rows import Row
from ..sheets.measuring import in_each
from .case import Case
from .cases import Bench


def unmeasured(bench: Bench) -> tuple[tuple[str, str], ...]:
    """Item and place of what has no reading, in the sheet's order.

    Those are the places of the engine where an item was not measured that was at others, those of several at a place
    (rings, intake and exhaust) that have a row of the same item, intake and exhaust of each cylinder where one of them
    was read, and the lines of the sheet that were left empty where
    no other line of the item and place has a reading. Where nobody says how many places there are, that is a line for
    all, unless as many were read as the largest model has.
    """
    found = dict.fromkeys(_missing(bench))
    read = {(c.item, c.position) for c in bench.cases}
    return tuple(found | dict.fromkeys(spot for spot in bench.sheet.empty if spot not in read))


def _missing(bench: Bench) -> Iterator[tuple[str, str]]:
    groups: defaultdict[tuple[str, str], set[int]] = defaultdict(set)
    entered = [c for c in bench.cases if not c.derived]
    for case in entered:
        found = _places(case.item, case.position, bench)
        if found:
            groups[case.item, found[0]] |= found[1]
    read = {(c.item, c.position) for c in entered}
    for item, name in _siblings(entered, bench):
        if in_each(item, bench.data):
            groups[item, name] |= set()
        else:
            yield item, name
    for (item, name), found_there in groups.items():
        count = _cylinders(bench) if _is_of_valves(item, name, found_there, bench) else _count(item, bench)
        most = bench.data.count(bench.engine, item) or 0
        whole = found_there >= set(range(1, most + 1)) and most > 0
        if count is None and bench.data.counted_by(item) and not whole and (item, name or "all") not in read:
            yield item, name or "all"
        for number in range(1, (count or 0) + 1):
            if number not in found_there:
                yield item, f"{number}/{name}" if name else str(number)


def _siblings(entered: Sequence[Case], bench: Bench) -> Iterator[tuple[str, str]]:
    """Items with the names of what there are several of at a place, of which a row speaks and no reading: the exhaust.

    Named main bearings are places among the counted ones.
    """
    data, family = bench.data, bench.data.family(bench.engine)
    model = bench.build.model if bench.build.model in family.models else None
    for item in dict.fromkeys(c.item for c in entered if data.counted_by(c.item) != "mains"):
        rows = [r for r in data.rows(bench.engine, item) if r["class"] == "new"]
        there = [c.position for c in entered if c.item == item]
        for row in true_for(rows, data, bench.build):
            name = row["position"]
            counted = name == "all" or positions.places(name, _count(item, bench)) is not None
            if not counted and not any(_is_of(row, place, data, model) for place in there):
                yield item, name


def _is_of(row: Row, place: str, data: Dataset, model: str | None) -> bool:
    """Whether a row speaks of a place, or the place is for all."""
    return place == "all" or data.is_at(row, place, model)


def _places(item: str, position: str, bench: Bench) -> tuple[str, set[int]] | None:
    """Name that tells one of several at each place, and the numbers of the places; None for a place of its own.

    `rear` is the last place itself; a reading for all places, or of the top rings, is none of the counted ones.
    """
    number, name = positions.split(position)
    if number:
        return name or "", {number}
    if name == "all":
        return "", set()
    found = positions.places(name or "", _count(item, bench))
    if found:
        return "", set(found)
    return (name or "", set()) if in_each(item, bench.data) else None


VALVES = ("intake", "exhaust")
"""Names of what stands at a cylinder, whatever the item is counted by."""


def _is_of_valves(item: str, name: str, numbers: set[int], bench: Bench) -> bool:
    """Whether an item that nothing counts was read at the valves of some cylinders."""
    return name in VALVES and bool(numbers) and not bench.data.counted_by(item)


def _cylinders(bench: Bench) -> int | None:
    family = bench.data.family(bench.engine)
    model = bench.build.answer(MODEL, "all", family)
    return family.count("cylinders", [model]) if model in family.models else None


def _count(item: str, bench: Bench) -> int | None:
    """How many places an item has in the model on the bench; None where the model is not told or no page says so."""
    family = bench.data.family(bench.engine)
    model = bench.build.answer(MODEL, "all", family)
    return bench.data.count(bench.engine, item, model) if model in family.models else None
