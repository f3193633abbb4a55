"""The ways in which a case was measured: the value that counts by each, and the least and the most that it shows."""

from collections.abc import Iterator
from dataclasses import dataclass

from ..rows import Row
from . import grid, values
from .case import Case
from .values import Means, Value

TIGHTEST, WIDEST = "smallest-bore-minus-largest-shaft", "largest-bore-minus-smallest-shaft"


@dataclass(frozen=True)
class Way:
    """A way of measuring: the value that counts by the row's method, and those by the readings at either end.

    The ends are None where there is but one place, and where a difference, or a part of a dial's swing, counts.
    """

    value: Value
    least: Value | None = None
    most: Value | None = None

    @property
    def shown(self) -> tuple[Value, ...]:
        """Each value that there is."""
        return tuple(v for v in (self.value, self.least, self.most) if v)


def ways(case: Case, row: Row | None, means: Means) -> list[Way]:
    """Each way of measuring: bounds last, else the least uncertain first."""
    return sorted(_ways(case, row, means), key=lambda w: (w.value.least_only, w.value.standard))


def _ways(case: Case, row: Row | None, means: Means) -> Iterator[Way]:
    quantity, by_part = case.quantity, case.parts
    method = case.method(row)
    thermal = quantity["dimension"] == "length"
    if quantity["inner"] and by_part.get("bore") and by_part.get("shaft"):
        pair = grid.pair_method(method)
        counted, least, most = (_fit(case, m, means, thermal) for m in (pair, TIGHTEST, WIDEST))
        if counted:
            several = any(len(grid.cells(list(by_part[p]))) > 1 for p in ("bore", "shaft"))
            yield Way(counted, least, most) if several else Way(counted)
    for part in ("gap", "strip") if quantity["inner"] else ("bore", "shaft", "gap", "strip"):
        if by_part.get(part):
            yield from _single(case, part, method, means, thermal and part in ("bore", "shaft"))


def _fit(case: Case, method: str, means: Means, thermal: bool) -> Value | None:
    """Bore minus shaft, each by what a method counts of it."""
    bore, shaft = (
        values.part_value(list(case.parts[part]), way, means, thermal)
        for part, way in zip(("bore", "shaft"), grid.PAIRED[method], strict=True)
    )
    return values.difference(bore, shaft, method) if bore and shaft else None


def _single(case: Case, part: str, method: str, means: Means, thermal: bool) -> Iterator[Way]:
    readings = list(case.parts[part])
    single = grid.single_method(method, part, case.quantity["limit_side"])
    value = values.part_value(readings, single, means, thermal)
    if value is None:
        return
    if single in (*grid.DIFFERENCES, "half-dial") or len(grid.cells(readings)) == 1:
        yield Way(value)
    else:
        least, most = (values.part_value(readings, m, means, thermal) for m in ("smallest", "largest"))
        yield Way(value, least, most)
