"""Forms that the readings of a part show, and that no page that was read limits."""

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from ..build import Build
from ..dataset import Dataset
from .case import Case, case
from .deriving import Unjudged, grids
from .spots import is_oval
from .values import Means, part_value
from .walled import NO_LIMIT, in_unit

METHODS = ("cross-difference", "end-difference")

NOTHING = 1e-9
"""Metres that are left of what is not proven when U is taken off it."""


def unlimited(
    entered: Sequence[Case], data: Dataset, engine: str, build: Build, means: Means, lines: Sequence[dict[str, Any]]
) -> tuple[Unjudged, ...]:
    """Where each form without a row is proven, the greatest of its places, with its amount as it was read.

    `lines` are the readings of the sheet. A piston is out of round and tapers on purpose.
    """
    there = {r.item for t in ("sizes", "clearances") for r in data.all_rows(engine, t)}
    silent = {q for q, r in data.quantities.items() if r["method"] in METHODS and not is_oval(r["of"].split(), data)}
    most: dict[str, tuple[Fraction, Unjudged]] = {}
    for own, readings in grids(entered, silent - there, data).items():
        value = part_value(list(readings), data.quantities[own.item]["method"], means, thermal=False)
        if value and value.least > NOTHING and value.read > most.get(own.item, (Fraction(0),))[0]:
            made = case(data, engine, build, own.item, own.position, own.said, {own.part: readings})
            amount = in_unit(value.read, lines[value.readings[0]], data)
            most[own.item] = value.read, (made, f"{NO_LIMIT}as much as {amount} was found")
    return tuple(found for _, found in most.values())


def is_unlimited(why: str) -> bool:
    """Whether a case is not judged because no page limits it: no reading mends that."""
    return why.startswith(NO_LIMIT)
