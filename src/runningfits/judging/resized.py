"""Whether a used part lies where machining to another repair size than the build's would put it."""

from collections.abc import Iterator
from fractions import Fraction

from ..build import SAME_SIZE, STANDARD, Build, Size
from ..dataset import Dataset
from .bounds import Bounds
from .case import Case
from .sized import common_sizes, printed_sizes

WORN_SINCE = (Fraction(1, 10), Fraction(5, 100_000))
"""How far a part may have worn since it was machined to a repair size: a share of the size, or metres if that is more
(common practice, no source)."""


def windows(case: Case, bounds: Bounds, engine: str, build: Build, data: Dataset) -> list[tuple[float, float]]:
    """Where a part would lie that was machined to a repair size other than the build's, in SI units.

    One range from the nearest to the farthest, so that more wear never passes where less does not.

    That is the new range moved by each size that the engine's rows print, and that is common in the trade, with what
    it may have worn since; only on the side of wear, for on the other it is out. Where one end alone is printed, the
    other is taken to lie no farther off than that.
    """
    part, share = case.quantity["repair"], Fraction(case.quantity["share"] or 0)
    middle = _new(bounds)
    if not part or not share or middle is None:
        return []
    own = build.size_of(part, case.position)
    now = _metres(own if isinstance(own, Size) else STANDARD, data)
    sizes = dict.fromkeys(_metres(s, data) for s in (*printed_sizes(part, engine, data), *common_sizes(part, data)))
    there = list(_moved(middle, [share * (s - now) for s in sizes], bounds.wears_up))
    return [(min(low for low, _ in there), max(high for _, high in there))] if there else []


def is_resized(value: float, expanded: float, found: list[tuple[float, float]]) -> bool:
    """Whether a value may lie, within its U, where another repair size would put it."""
    return any(low <= value + expanded and value - expanded <= high for low, high in found)


def _metres(size: Size, data: Dataset) -> Fraction:
    return Fraction(size.value) * data.units[size.unit].factor


def _new(bounds: Bounds) -> tuple[Fraction, Fraction] | None:
    """The new range, its one end where but one is printed, or the printed value; None without any."""
    ends = [e.loose for e in (bounds.low, bounds.high) if e] or list(bounds.nominal or ())
    return (min(ends), max(ends)) if ends else None


def _moved(new: tuple[Fraction, Fraction], offsets: list[Fraction], wears_up: bool) -> Iterator[tuple[float, float]]:
    for off in (o for o in offsets if (o > 0) == wears_up and o):
        worn = max(WORN_SINCE[0] * abs(off), WORN_SINCE[1])
        same = SAME_SIZE * abs(off) if new[0] < new[1] else worn
        below, above = (same, worn) if wears_up else (worn, same)
        yield float(new[0] + off - below), float(new[1] + off + above)
