"""Whether the repair size that a sheet claims for a part is one that pages print for it, or a common step."""

from fractions import Fraction
from typing import NamedTuple

from ..build import Size, same_size, size_from
from ..dataset import Dataset
from ..resolving import size_of
from .case import Case
from .cases import Bench


class Claimed(NamedTuple):
    """The repair size of a measured part in words; the sizes that the engine's pages print for that part, in words and
    empty where they print none; whether it is one of these, and whether it is a common step."""

    part: str = ""
    size: str = ""
    printed: str = ""
    is_printed: int = 0
    is_common: int = 0


def claimed(case: Case, bench: Bench) -> Claimed:
    """What the build says of the size of a case's part; empty for the standard size and one that is not known."""
    part, data = case.quantity["repair"], bench.data
    size = bench.build.size_of(part, case.position) if part else None
    if not isinstance(size, Size) or not size.value:
        return Claimed()
    printed, common = printed_sizes(part, bench.engine, data), common_sizes(part, data)
    words = ", ".join(dict.fromkeys(s.text for s in printed))
    there, usual = (int(any(same_size(size, s, data.units) for s in known)) for known in (printed, common))
    return Claimed(data.repair_words(part), size.text, words, there, usual)


def printed_sizes(part: str, engine: str, data: Dataset) -> list[Size]:
    """Repair sizes of a machined part that an engine's rows bear, the smallest first."""
    rows = [r for table in ("clearances", "sizes") for r in data.all_rows(engine, table)]
    sizes = [size_of(r) for r in rows if r.cells.get("size") and data.quantities[r.item]["repair"] == part]
    return sorted(sizes, key=lambda s: (abs(Fraction(s.value)) * data.units[s.unit].factor, s.unit))


def common_sizes(part: str, data: Dataset) -> list[Size]:
    """Repair sizes of a machined part that are common in the trade."""
    row = data.keyed("repairs")[part]
    sign = "-" if row["sign"] == "minus" else ""
    listed = [size_from(sign + t, data.units) for t in row["common"].split(", ") if t]
    return [s for s in listed if isinstance(s, Size)]
