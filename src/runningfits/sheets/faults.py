"""Faults of a bench sheet."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from ..numerals import shown

Step = str | int
"""A step of a path into a sheet: the name of a field, or the number of a line from 0."""


@dataclass(frozen=True)
class SheetFault:
    """Where in the sheet, what was found, what was expected."""

    place: str
    found: str
    expected: str

    @property
    def text(self) -> str:
        """The fault in a line."""
        return f"{self.place}: {self.found}, expected {self.expected}"


def path_text(path: Sequence[Step]) -> str:
    """A path into a sheet in one text, such as `readings[0].value`; a name that is no name in quotes."""
    steps = (
        f"[{p}]" if isinstance(p, int) else f".{p if re.fullmatch('[A-Za-z0-9_-]+', p) else shown(p)}" for p in path
    )
    return "".join(steps).lstrip(".") or "sheet"


class SheetError(Exception):
    """A sheet that cannot be used; `faults` holds every fault that was found."""

    def __init__(self, faults: list[SheetFault]) -> None:
        """Keep the faults; the message has one line each."""
        super().__init__("\n".join(f.text for f in faults))
        self.faults = faults
