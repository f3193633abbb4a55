"""Sizes of which the largest or the smallest counts and one reading was taken, which proves neither, with why."""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from ..dataset import Dataset
from ..mating import measured_size
from . import grid
from .case import Case
from .deriving import Unjudged, at_height
from .spots import has_shells

PARTS = ("bore", "shaft")

WHY = "one reading, at one place and in one direction, does not show its {}"

UNSAID = "one reading of its bore, in no direction that is told, may be at the split: read it square to the split too"


def thin(entered: Sequence[Case], data: Dataset) -> Iterator[Unjudged]:
    """Cases of round parts that were read once, of which a page counts the largest or the smallest reading.

    So are bearings whose bore was read once in a direction that nobody tells.
    """
    round_ = {n for q in data.quantities.values() if q["kind"] == "form" for n in q["of"].split()}
    read = _read(entered, data)
    for case in entered:
        for part in PARTS:
            size = measured_size(case.item, part, data)
            method = _method(case, part)
            cells = grid.cells(read[size, case.position, case.said.get("which", "")])
            once = case.parts.get(part) and len(cells) == 1
            if once and size in round_ and method in ("largest", "smallest"):
                yield case, WHY.format(method)
            elif once and part == "bore" and has_shells(case, data) and not any(way for _, way in cells):
                yield case, UNSAID


def _read(entered: Sequence[Case], data: Dataset) -> dict[tuple[str, str, str], list[grid.Reading]]:
    """Readings of each size at a place, whatever lines of the sheet they stand in."""
    found: defaultdict[tuple[str, str, str], list[grid.Reading]] = defaultdict(list)
    for case in entered:
        for part in PARTS:
            key = measured_size(case.item, part, data), case.position, case.said.get("which", "")
            found[key] += [at_height(r, case.said) for r in case.parts.get(part, ())]
    return found


def _method(case: Case, part: str) -> str:
    """Which reading of a part counts for the row of a case."""
    method = case.method(case.choice.row)
    if case.quantity["inner"] and len(case.parts) > 1:
        return grid.PAIRED[grid.pair_method(method)][PARTS.index(part)]
    return grid.single_method(method, part, case.quantity["limit_side"])
