"""What rows allow: new range and wear limit in SI units, end by end."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import inf
from typing import NamedTuple

from ..dataset import Dataset
from ..lines import printed_ends
from ..mating import both_ends_matter
from ..rows import Row

RUNNING = ("clearance", "end-play", "backlash", "gap", "lash")
"""Kinds of quantities that are a play: where no least is printed, it must be proven above zero."""

LEAST_SHARE = {
    "clearance": (Fraction(1, 6), Fraction(1, 12)),
    "pin-in-piston-clearance": (Fraction(1, 10), Fraction(1, 40)),
    "gap": (Fraction(1, 5), Fraction(1, 12)),
    "end-play": (Fraction(1, 12), Fraction(1, 15)),
    "backlash": (Fraction(1, 10), Fraction(1, 15)),
    "lash": (Fraction(2, 5), Fraction(2, 5)),
    "protrusion": (Fraction(1, 7), Fraction(1, 7)),
}
"""What share of the largest the least is, by kind or quantity: of the most of the new range, and of the wear limit.

98 of a hundred pages that print both print no smaller share."""


class End(NamedTuple):
    """A printed end in SI units: `strict` by the stricter of what is printed, `loose` by the other."""

    strict: Fraction
    loose: Fraction


@dataclass(frozen=True)
class Bounds:
    """New range and wear limit in SI units; None for an end that no row prints.

    `limit` stands on `side`, the side on which the quantity wears (`both` where it may wear either way). `nominal` are
    the ends of a printed value without a tolerance. `floor` says that the value must be above zero, `mates` that the
    size runs in or on another part or stands between others, so that both of its ends matter. Where a play has no
    printed least, what lies below `scant` does not pass, and what lies above `ample` where it has no most; None where
    that end is printed.
    """

    low: End | None
    high: End | None
    limit: End | None
    side: str
    nominal: End | None = None
    floor: bool = False
    mates: bool = False
    scant: Fraction | None = None
    ample: Fraction | None = None

    @property
    def wears_up(self) -> bool:
        """Whether wear makes the value grow."""
        return self.side != "lower"

    @property
    def fresh(self) -> bool:
        """Whether a new range is printed."""
        return self.low is not None or self.high is not None

    @property
    def judged(self) -> bool:
        """Whether there is anything to judge by."""
        return self.fresh or self.limit is not None or self.nominal is not None

    @property
    def wear_low(self) -> End | None:
        """The least that is allowed with wear."""
        return self.limit if self.side == "lower" and self.limit is not None else self.low

    @property
    def wear_high(self) -> End | None:
        """The most that is allowed with wear."""
        return self.limit if self.side != "lower" and self.limit is not None else self.high

    @property
    def open_end(self) -> str:
        """`lower` or `upper`: the end of a mating size that no page prints, first that to which wear does not go."""
        if not self.mates or (self.nominal is not None and not self.fresh):
            return ""
        ends = {"lower": self.wear_low, "upper": self.wear_high}
        order = ("upper", "lower") if self.side == "lower" else ("lower", "upper")
        return next((end for end in order if ends[end] is None), "")

    def allows(self, least: float, most: float) -> bool:
        """Whether an interval lies inside what all rows allow."""
        *_, low, _, high, _ = self.ends()
        return low <= least and most <= high

    def allows_one(self, least: float, most: float) -> bool:
        """Whether an interval lies inside what one of the rows or units allows."""
        *_, _, low, _, high = self.ends()
        return low <= least and most <= high

    def ends(self) -> tuple[float, ...]:
        """Ends for the decision: new, then allowed, each strict and loose, open ones infinite."""
        low, high = _floats(self.low, -inf), _floats(self.high, inf)
        wear_low, wear_high = _floats(self.wear_low, -inf), _floats(self.wear_high, inf)
        if self.floor:
            low, wear_low = _above_zero(low, self.scant), _above_zero(wear_low, self.scant)
        if self.ample is not None:
            high, wear_high = (float(self.ample), inf), (float(self.ample), inf)
        if self.mates and self.nominal and not self.fresh:
            if self.side == "lower":
                wear_high = float(self.nominal.loose), inf
            else:
                wear_low = float(self.nominal.strict), -inf
        return *low, *high, *wear_low, *wear_high


_JUST_ABOVE = 1e-12


def _above_zero(end: tuple[float, float], scant: Fraction | None) -> tuple[float, float]:
    """Ends of a play of which no least is printed: below zero it is out, below what is scant it does not pass."""
    return max(end[0], _JUST_ABOVE, float(scant or 0)), max(end[1], _JUST_ABOVE)


def _floats(end: End | None, missing: float) -> tuple[float, float]:
    return (float(end.strict), float(end.loose)) if end else (missing, missing)


def bounds(row: Row, data: Dataset) -> Bounds:
    """Bounds of a row by the side on which its quantity wears; of two printed units the stricter must hold."""
    found = _in_unit(row, "", data)
    if row["unit_2"]:
        found = _both_units(found, _in_unit(row, "_2", data), _finer_step(row, data))
    return running(found, row.item, data)


def running(found: Bounds, item: str, data: Dataset) -> Bounds:
    """Bounds with what nobody prints: a play must be proven above zero, of a running size both ends matter."""
    kind = data.quantities[item]["kind"]
    runs = kind in RUNNING
    upper = found.high or found.limit
    positive = upper is None or upper.loose > 0
    floor = runs and positive and (found.low is None or found.low.strict == 0) and found.nominal is None
    like = item if item in LEAST_SHARE else kind
    scant = _scant(found, like) if floor else None
    mates = kind == "size" and both_ends_matter(item, data)
    return replace(found, floor=floor, mates=mates, scant=scant, ample=_ample(found, like))


def _scant(found: Bounds, like: str) -> Fraction | None:
    """What a play must be proven above for which no least is printed."""
    if found.low is not None or found.side == "lower":
        return None
    of_range, of_limit = LEAST_SHARE[like]
    if found.high:
        return of_range * found.high.strict
    return of_limit * found.limit.strict if found.limit else None


def _ample(found: Bounds, like: str) -> Fraction | None:
    """What a play must be proven below for which a least alone is printed."""
    least = found.low.strict if found.low else Fraction(0)
    if like not in LEAST_SHARE or least <= 0 or found.high or found.limit:
        return None
    return least / LEAST_SHARE[like][0]


def _in_unit(row: Row, suffix: str, data: Dataset) -> Bounds:
    """Bounds by one printed unit; a limit that lies inside the new range of its row never narrows it."""
    side = data.quantities[row.item]["limit_side"]
    factor = data.units[row[f"unit{suffix}"]].factor
    low, high = (None if v is None else Fraction(v) * factor for v in row.range(suffix))
    worn = row.limit(side, suffix)
    limit = None if worn is None else Fraction(worn) * factor
    if side == "both" and limit is not None:
        side = "lower" if low is not None and limit <= low else "upper"
    if limit is not None:
        limit = min([limit, *_there(low)]) if side == "lower" else max([limit, *_there(high)])
    nominal = row.value(f"nominal{suffix}") if printed_ends(row) <= {"nominal", "limit"} else None
    around = None
    if nominal is not None:
        half = Fraction(row.step(f"nominal{suffix}")) * factor / 2
        around = End(Fraction(nominal) * factor - half, Fraction(nominal) * factor + half)
    return Bounds(_end(low), _end(high), _end(limit), side, around)


def _there(value: Fraction | None) -> list[Fraction]:
    return [] if value is None else [value]


def _end(value: Fraction | None) -> End | None:
    return None if value is None else End(value, value)


def _finer_step(row: Row, data: Dataset) -> Fraction:
    """The finer of the steps in which a row's two units are printed, in SI; 0 where all that is printed is 0."""
    columns = ("lower", "upper", "nominal", "tolerance", "limit")
    found = []
    for suffix in ("", "_2"):
        steps = [Fraction(row.step(c + suffix)) for c in columns if row[c + suffix] and row.value(c + suffix)]
        if steps:
            found.append(max(steps) * data.units[row[f"unit{suffix}"]].factor)
    return min(found, default=Fraction(0))


def _both_units(one: Bounds, two: Bounds, step: Fraction) -> Bounds:
    """Bounds by two printed units: ends that differ by less than half of the finer step are one."""

    def end(a: End | None, b: End | None, upward: bool) -> End | None:
        if a is None or b is None or abs(a.strict - b.strict) <= step / 2:
            return a
        return _joined([a, b], upward)

    return replace(
        one,
        low=end(one.low, two.low, False),
        high=end(one.high, two.high, True),
        limit=end(one.limit, two.limit, one.wears_up),
    )


def _joined(ends: Sequence[End], upper: bool) -> End:
    """Ends that all must hold as one; `upper` says on which side they bound."""
    if upper:
        return End(min(e.strict for e in ends), max(e.loose for e in ends))
    return End(max(e.strict for e in ends), min(e.loose for e in ends))


def together(found: Iterable[Bounds]) -> Bounds:
    """Bounds of rows that all must hold: strict is inside all of them, loose inside one.

    A row is silent on an end that it does not print. But where no row prints both a new range and a limit, the range of
    one document and the limit of another are not joined: between them nothing is allowed for sure.
    """
    rows = [b for b in found if b.judged]
    sides = {b.side for b in rows if b.limit is not None} or {b.side for b in rows}
    side = sides.pop() if len(sides) == 1 else "both"

    def end(name: str, upper: bool) -> End | None:
        there = [getattr(b, name) for b in rows if getattr(b, name) is not None]
        return _joined(there, upper) if there else None

    def wear_limit() -> End | None:
        found = [b for b in rows if b.limit is not None]
        apart = bool(found) and not any(b.fresh for b in found)
        ends = [e for b in rows if (e := _wear_end(b, side) if apart else b.limit) is not None]
        return _joined(ends, side != "lower") if found else None

    nominals = [b.nominal for b in rows if b.nominal is not None]
    around = End(max(n.strict for n in nominals), min(n.loose for n in nominals)) if nominals else None
    fresh = any(b.fresh for b in rows)
    low, high, limit = end("low", False), end("high", True), wear_limit()
    return Bounds(
        low=low,
        high=high,
        limit=limit,
        side=side,
        nominal=None if fresh else around,
        floor=any(b.floor for b in rows) and not any(b.low and b.low.strict != 0 for b in rows),
        mates=any(b.mates for b in rows),
        scant=max((b.scant for b in rows if b.scant is not None), default=None) if low is None else None,
        ample=min((b.ample for b in rows if b.ample is not None), default=None) if not (high or limit) else None,
    )


def _wear_end(row: Bounds, side: str) -> End | None:
    """What a row allows on the side of wear: its limit, else the end of its new range."""
    return row.limit or (row.low if side == "lower" else row.high)
