"""An item at a place of an engine, for which rows are looked for."""

from dataclasses import dataclass

from . import positions
from .build import STANDARD, UNKNOWN, Build, Size
from .dataset import Dataset
from .engine_models import Family
from .rows import Row


@dataclass(frozen=True)
class Here:
    """An item at a place of an engine."""

    data: Dataset
    family: Family
    engine: str
    item: str
    position: str

    @property
    def repair(self) -> tuple[str, str]:
        """The machined part that moves this item's size, and by what share; empty where none does."""
        quantity = self.data.quantities.get(self.item, {})
        return quantity.get("repair", ""), quantity.get("share", "")

    def size(self, build: Build) -> Size | str:
        """The repair size that the build tells for this item here; `unknown` where it tells none for sure."""
        part = self.repair[0]
        if not part:
            return STANDARD
        own, there = self.data.counted_by(self.item), self.data.repair_parts.get(part, "")
        uneven = len({_plain_size(s) for s in build.size.get(part, {}).values()}) > 1
        if uneven and own and there and own != there and self._count(own, build) != self._count(there, build):
            return UNKNOWN
        return build.size_of(part, self.position)

    def _count(self, column: str, build: Build) -> int | None:
        return self.family.count(column, [build.model] if build.model else ())

    def is_at(self, row: Row, model: str) -> bool:
        """Whether a row speaks of this place, in a model."""
        if row.table == "torques":
            return self._meets(row, model)
        return self.data.is_at(row, self.position, model or None)

    def _meets(self, row: Row, model: str) -> bool:
        if row["position"] == "all" or self.position in ("all", row["position"]):
            return True
        count = self.data.count(row.engine, row.item, model or None)
        there = positions.places(row["position"], count)
        asked = positions.numbers(self.position) or positions.places(self.position, count)
        return bool(there and asked and set(asked) & set(there))


def _plain_size(size: Size | str) -> object:
    return size if isinstance(size, str) else (size.value, size.unit if size.value else "")
