"""A remedy as a record: what is done, the fit that it gives, what it drags along, the pages that allow it."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, inf
from typing import Any

from ...rows import Cite, Row
from ...scale import FINER, Scale
from ..bounds import Bounds
from ..naming import cited

Ends = tuple[Fraction | None, Fraction | None]
"""Low and high end in SI; None for an open one."""

MEETS = ("new", "wear-limit", "agrees", "undecided", "outside")
"""What a fit does to the row that it must meet: inside its new range; inside its wear limit alone; at a value printed
without a tolerance; inside or outside as the parts fall; still outside."""


@dataclass(frozen=True)
class Fit:
    """The fit that a remedy gives, in SI, against the row that it must meet; U is 0 for what only pages say."""

    ends: Ends
    expanded: float
    meets: str
    row: Row | None


@dataclass(frozen=True)
class Change:
    """What a part must measure afterwards, in SI, with the scale that its numbers are shown in."""

    item: str
    ends: Ends
    scale: Scale
    finer: int = FINER

    @property
    def text(self) -> str:
        """The window in words."""
        return span(self.ends, self.scale, self.finer)

    @property
    def between(self) -> str:
        """The window as what lies between its two ends, or as the one number to come to."""
        low, high = inside(self.ends, self.scale, self.finer)
        whole = low is not None and high is not None and low != high
        return f"between {low} and {high} {self.scale.unit}" if whole else f"to {self.text}"


@dataclass(frozen=True)
class Option:
    """Something that may be done; a `general` one is a possibility of the trade that no row of the data names.

    `permitted` says whether the present parts allow it, None where that was not measured, and `why` on what it rests.
    `size` is the repair size that it needs, with the machined part.
    """

    action: str
    text: str
    effort: int
    fit: Fit | None = None
    changes: tuple[Change, ...] = ()
    size: tuple[str, str] | None = None
    drags: tuple[str, ...] = ()
    cites: tuple[Cite, ...] = ()
    general: bool = False
    permitted: bool | None = None
    why: str = ""


def inside(ends: Ends, scale: Scale, finer: int = FINER) -> tuple[str | None, str | None]:
    """Two ends as text, rounded inwards: what is shown never allows more than what is meant."""
    step = scale.step * scale.factor / finer
    low, high = ends
    return (
        None if low is None else scale.text(ceil(low / step) * step, finer),
        None if high is None else scale.text(floor(high / step) * step, finer),
    )


def span(ends: Ends, scale: Scale, finer: int = FINER) -> str:
    """Two ends with their unit; one of them as at least or at most, one number as itself."""
    same = ends[0] == ends[1] and ends[0] is not None
    low, high = (scale.text(ends[0], finer),) * 2 if same and ends[0] is not None else inside(ends, scale, finer)
    if low is None or high is None:
        return f"at most {high} {scale.unit}" if low is None else f"at least {low} {scale.unit}"
    return f"{low} {scale.unit}" if low == high else f"{low} to {high} {scale.unit}"


def meets(ends: Ends, expanded: float, bounds: Bounds) -> str:
    """Which of MEETS holds for a fit between two ends, each known within U."""
    new_low, _, new_high, _, low, low_loose, high, high_loose = bounds.ends()
    least = -inf if ends[0] is None else float(ends[0]) - expanded
    most = inf if ends[1] is None else float(ends[1]) + expanded
    if bounds.nominal and not bounds.fresh and bounds.limit is None:
        around = sorted(map(float, (bounds.nominal.strict, bounds.nominal.loose)))
        if least > around[1] + _SLACK or most < around[0] - _SLACK:
            return "outside"
        return "agrees" if ends[0] == ends[1] or _inside(least, most, *around) else "undecided"
    if bounds.fresh and _inside(least, most, new_low, new_high):
        return "undecided" if bounds.open_end else "new"
    if _inside(least, most, low, high):
        return "undecided" if bounds.open_end else "wear-limit"
    apart = most < low_loose - _SLACK or least > high_loose + _SLACK
    return "outside" if apart else "undecided"


_SLACK = 1e-12
"""What sums of printed numbers lose as floats, in metres."""


def _inside(least: float, most: float, low: float, high: float) -> bool:
    return least >= low - _SLACK and most <= high + _SLACK


def ranked(options: Iterable[Option]) -> list[Option]:
    """Options by least work, those that help before those that do not, each once."""

    def key(o: Option) -> tuple[bool, bool, int, int]:
        meets = MEETS.index(o.fit.meets) if o.fit else 0
        return o.permitted is False, meets == len(MEETS) - 1, o.effort, meets

    return sorted({(o.action, o.text): o for o in reversed(list(options))}.values(), key=key)


def as_values(option: Option, scale: Scale, labels: dict[str, dict[str, str]]) -> dict[str, Any]:
    """An option as JSON values, numbers as text."""
    return {
        "action": option.action,
        "text": option.text,
        "general": option.general,
        "result": _fit(option.fit, scale) if option.fit else None,
        "parts": [_change(c, labels) for c in option.changes],
        "size": {"part": option.size[0], "value": option.size[1]} if option.size else None,
        "drags": list(option.drags),
        "pages": [cited(c) for c in dict.fromkeys(option.cites)],
        "permitted": option.permitted,
        "why": option.why or None,
    }


def _fit(fit: Fit, scale: Scale) -> dict[str, Any]:
    low, high = (None if e is None else scale.text(e) for e in fit.ends)
    if not fit.expanded and fit.ends[0] != fit.ends[1]:
        low, high = inside(fit.ends, scale)
    return {
        "lower": low,
        "upper": high,
        "unit": scale.unit,
        "uncertainty": scale.up(fit.expanded),
        "meets": fit.meets,
        "row": fit.row.id if fit.row else None,
    }


def _change(change: Change, labels: dict[str, dict[str, str]]) -> dict[str, Any]:
    low, high = inside(change.ends, change.scale, change.finer)
    return {
        "item": change.item,
        "label": labels[change.item]["label"],
        "lower": low,
        "upper": high,
        "unit": change.scale.unit,
    }
