"""Readings that lie farther apart than the forms of a part allow together, where no form is computed of them."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import combinations

from ..build import Build
from ..dataset import Dataset
from . import grid, values
from .against import interval
from .bounds import bounds, together
from .case import Case, case
from .deriving import Grid, grids
from .values import Means

CROSS, END = "cross-difference", "end-difference"

_Forms = dict[str, tuple[grid.Reading, ...]]


def misshapen(
    cases: Sequence[Case], data: Dataset, engine: str, build: Build, means: Means, guarded: bool
) -> frozenset[int]:
    """Indexes of the readings of parts that are proven out of form, though no form is computed that shows it.

    Two readings at two places, each in another direction, differ by no more than out-of-round and taper together: from
    the one to the other it is a step across and a step along, by way of a reading that nobody took.
    """
    there = {r.item for t in ("sizes", "clearances") for r in data.all_rows(engine, t)}
    parts: defaultdict[tuple[Grid, tuple[int, ...]], _Forms] = defaultdict(dict)
    for own, readings in grids(cases, there, data).items():
        if data.quantities[own.item]["kind"] == "form" and _is_apart(grid.cells(list(readings))):
            parts[replace(own, item=""), tuple(r.index for r in readings)][own.item] = readings
    found = set[int]()
    for (own, indexes), forms in parts.items():
        most = _allowed(own, forms, data, engine, build)
        if {CROSS, END} <= set(most) and _least(forms, means, guarded) > most[CROSS] + most[END]:
            found |= set(indexes)
    return frozenset(found)


def _is_apart(cells: grid.Cells) -> bool:
    """Whether two of some readings differ in place and direction, and neither corner between them was read."""
    return any(
        a[0] != b[0] and a[1] != b[1] and not {(a[0], b[1]), (b[0], a[1])} & set(cells)
        for a, b in combinations(cells, 2)
    )


def _least(forms: _Forms, means: Means, guarded: bool) -> float:
    """The least by which the readings of a part differ, in SI units."""
    readings = next(iter(forms.values()))
    spread = values.part_value(list(readings), "spread", means, thermal=False)
    assert spread
    return interval(spread, guarded)[0]


def _allowed(own: Grid, forms: _Forms, data: Dataset, engine: str, build: Build) -> Mapping[str, float]:
    """The most that pages allow of a part's forms, in SI units, by the method that counts; none where a page is silent
    or counts the swing of a dial."""
    found: dict[str, float] = {}
    for item, readings in forms.items():
        made = case(data, engine, build, item, own.position, own.said, {own.part: readings})
        methods = {made.method(r) for line in made.choice.lines for r in line}
        ends = [together(bounds(r, data) for r in line).wear_high for line in made.choice.lines]
        if len(methods) == 1 and None not in ends:
            found[methods.pop()] = max(float(e.loose) for e in ends if e)
    return found
