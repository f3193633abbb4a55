"""A bench sheet's values, each with the place where it stands."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

Spot = tuple[str, int, str]


@dataclass(frozen=True)
class Sheet:
    """A sheet that fits the schema and the dataset; `spot` gives file, line and column of the value at a path.

    A line of 0 says that there is none. `empty` are item and place of its lines without a value, `digest` the SHA-256
    of the file, or of the values as JSON with sorted names, `left_joints` the joints of its torque lines without one.
    """

    values: dict[str, Any]
    spot: Callable[[list[str | int]], Spot]
    empty: tuple[tuple[str, str], ...] = ()
    digest: str = ""
    left_joints: frozenset[str] = frozenset()

    def place(self, path: list[str | int]) -> str:
        """The spot in one text."""
        file, line, column = self.spot(path)
        return ":".join(filter(None, (file, str(line) if line else "", column)))
