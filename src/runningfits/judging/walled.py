"""Oil clearances that housings, walls of shells and journals give, where no shell was measured in its place."""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Any

from ..build import Build
from ..dataset import Dataset
from ..units import rounded
from . import grid
from .case import Case, case
from .deriving import Unjudged

NO_LIMIT = "no page that was read limits it; "
"""How a reason begins that no reading mends."""

BY_WALLS = "by housing, two walls and journal it is {}, without the crush of the shells"

MEASURE = ": measure the bore with the shells in and the cap tightened, or the clearance itself"

_Lines = Sequence[Mapping[str, Any]]


def walled(
    entered: Sequence[Case], made: Sequence[Case], data: Dataset, engine: str, build: Build, lines: _Lines
) -> Iterator[Unjudged]:
    """Fits of shells that only housing, walls and journal give, with their amount as it was read.

    `made` are the fits that bores and shafts give; `lines` are the readings of the sheet.
    """
    there = {(c.item, c.position) for c in (*entered, *made)}
    for name, quantity in data.quantities.items():
        for bore in (data.quantities[n] for n in quantity["outer"].split()):
            places = _read(entered, bore["outer"].split()) if bore["walls"] and quantity["inner"] else {}
            walls, shafts = (_read(entered, s.split()) for s in (bore["walls"], quantity["inner"]))
            for position, housing in places.items():
                wall, shaft = walls.get(position, walls.get("all")), shafts.get(position)
                if (name, position) in there or not wall or not shaft:
                    continue
                fit = case(data, engine, build, name, position, {}, {"bore": housing, "shaft": shaft})
                amount = _mean(housing) - 2 * _mean(wall) - _mean(shaft)
                why = BY_WALLS.format(in_unit(amount, lines[shaft[0].index], data))
                yield fit, f"{why}{MEASURE}" if fit.choice.rows or fit.choice.asked else f"{NO_LIMIT}{why}"


def _read(entered: Sequence[Case], sizes: Sequence[str]) -> dict[str, tuple[grid.Reading, ...]]:
    """Readings of some sizes by place."""
    found: dict[str, tuple[grid.Reading, ...]] = {}
    for one in entered:
        if one.item in sizes:
            found[one.position] = (*found.get(one.position, ()), *one.readings)
    return found


def _mean(readings: Sequence[grid.Reading]) -> Fraction:
    return sum((r.value for r in readings), Fraction(0)) / len(readings)


def in_unit(amount: Fraction, line: Mapping[str, Any], data: Dataset) -> str:
    """An amount in the unit of a line, to the last digit of its value."""
    digits = len(line["value"].partition(".")[2])
    return f"{rounded(amount / data.units[line['unit']].factor, Fraction(1, 10**digits))} {line['unit']}"
