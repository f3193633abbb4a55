"""Fits whose strips were crushed by more at one end than at the other."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from ..dataset import Dataset
from .case import Case
from .deriving import Unjudged
from .unlimited import NOTHING
from .values import Means, part_value
from .walled import in_unit

TAPERS = "its strips differ by {} from place to place: bore or journal tapers; measure both at front and rear"


def tapering(
    entered: Sequence[Case], data: Dataset, means: Means, lines: Sequence[Mapping[str, Any]]
) -> Iterator[Unjudged]:
    """Fits of which strips at several places prove a taper, with its amount as it was read."""
    for case in entered:
        strips = list(case.parts.get("strip", ()))
        value = part_value(strips, "spread", means, thermal=False) if strips else None
        if value and value.least > NOTHING:
            yield case, TAPERS.format(in_unit(value.read, lines[value.readings[0]], data))
