"""One item at one place with its readings, and the rows that are true for it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from .. import choosing
from ..build import Build
from ..choosing import Choice
from ..dataset import Dataset
from ..rows import Row
from . import grid

SAYS = ("which", "state", "method", "at", "class")
"""What a reading can say of its row."""


@dataclass(frozen=True)
class Case:
    """One item at one place: what its readings say, they themselves by part, the rows that are true for it.

    `sizes` are the rows of the bore and of the shaft of a fit. `derived` says that the readings were entered for
    another item, `again` that this one was entered too, `among` that it compares the counted places, each by the mean
    of its readings.
    """

    item: str
    position: str
    said: Mapping[str, str]
    quantity: Mapping[str, str]
    parts: Mapping[str, tuple[grid.Reading, ...]]
    choice: Choice
    sizes: Mapping[str, Choice]
    derived: bool = False
    again: bool = False
    among: bool = False

    @property
    def readings(self) -> Iterator[grid.Reading]:
        """Readings of all parts."""
        for found in self.parts.values():
            yield from found

    def method(self, row: Row | None) -> str:
        """Which of the readings count: the row's own method, else the quantity's."""
        return (row["method"] if row else "") or self.quantity["method"]


def case(
    data: Dataset,
    engine: str,
    build: Build,
    item: str,
    position: str,
    said: dict[str, str],
    parts: dict[str, tuple[grid.Reading, ...]],
    told: Mapping[str, str] | None = None,
) -> Case:
    """A case with the rows that are true for it; `told` is what chooses its row beside what the sheet says."""
    way = {"part": next(iter(parts))} if len(parts) == 1 else {}
    choice = choosing.choose(data, engine, build, item, position, {**said, **way, **(told or {})})
    quantity = data.quantities[item]
    about = {k: v for k, v in said.items() if k in ("which", "class")}
    sizes: dict[str, Choice] = {}
    for part, names in _sizes(quantity, data):
        for name in names:
            if part not in sizes or sizes[part].row is None:
                sizes[part] = choosing.choose(data, engine, build, name, position, about)
    return Case(item, position, said, quantity, parts, choice, sizes)


def _sizes(quantity: dict[str, str], data: Dataset) -> list[tuple[str, list[str]]]:
    """Bore and shaft of a fit, or the size of a form's part, each with the sizes that it may be."""
    if quantity["outer"] or quantity["inner"] or not quantity["of"]:
        return [("bore", quantity["outer"].split()), ("shaft", quantity["inner"].split())]
    names = quantity["of"].split()
    return [("bore" if data.quantities[names[0]]["limit_side"] == "upper" else "shaft", names)]
