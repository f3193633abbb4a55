"""The fit to expect of parts, as JSON values and as lines."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import inf
from typing import Any

from .. import shown
from ..cautions import CAUTIONS
from ..dataset import Dataset
from ..judging.bounds import RUNNING, End
from ..judging.naming import misprints, place_words
from ..judging.stack import Expected, Part, Stack
from ..rows import Row
from ..scale import Scale
from . import row_words

TIMES = {1: "", -1: "minus ", -2: "minus two of ", 2: "two of "}


EQUAL = "Counted as if every part were anywhere within its limits with the same chance (common practice, no source)."


@dataclass(frozen=True)
class Face:
    """What a stack is shown with: the data and the unit and step of its numbers."""

    data: Dataset
    scale: Scale

    def number(self, si: Fraction | float) -> str:
        """A number in SI as text in the unit."""
        return self.scale.text(Fraction(si), finer=1)

    def span(self, ends: tuple[Fraction | float, Fraction | float]) -> str:
        """Two ends with the unit."""
        return f"{self.number(ends[0])} to {self.number(ends[1])} {self.scale.unit}"


def as_values(found: Expected, face: Face) -> dict[str, Any]:
    """JSON values: numbers are text in `unit`, shares numbers between 0 and 1."""
    return {
        "item": found.item,
        "position": found.position,
        "unit": face.scale.unit,
        "printed": [shown.row_values(r, face.data) for r in found.rows],
        "stacks": [_stack(s, found, face) for s in found.stacks],
        "missing": dict(found.missing),
    }


def _stack(stack: Stack, found: Expected, face: Face) -> dict[str, Any]:
    low, high = _printed(found)
    return {
        "parts": [_part(p, stack, face) for p in stack.parts],
        "worst": [face.number(e) for e in stack.worst],
        "likely": [face.number(e) for e in stack.likely],
        "closes": low <= stack.worst[0] and stack.worst[1] <= high if _has_printed(found) else None,
        "inside": stack.between(low, high) if _has_printed(found) else None,
        "binds": stack.below(0.0) if _runs(found, face) else None,
    }


def _part(part: Part, stack: Stack, face: Face) -> dict[str, Any]:
    ends = {"lower": face.number(part.low), "upper": face.number(part.high)}
    cite = shown.cite_values(part.row.cite) if part.row else None
    row = part.row.id if part.row else None
    return {"item": part.item, "times": part.times} | ends | {"row": row, "cite": cite, "share": stack.share(part)}


def _printed(found: Expected) -> tuple[float, float]:
    """Ends of the printed new range; open ones infinite."""
    if not found.printed:
        return -inf, inf
    return _float(found.printed.low, -inf), _float(found.printed.high, inf)


def _float(end: End | None, missing: float) -> float:
    return float(end.strict) if end else missing


def _has_printed(found: Expected) -> bool:
    return bool(found.printed and found.printed.fresh)


def _runs(found: Expected, face: Face) -> bool:
    return face.data.quantities[found.item]["kind"] in RUNNING


def lines(found: Expected, face: Face) -> Iterator[str]:
    """The stacks of a fit in words, with what is missing for others."""
    label = face.data.quantities[found.item]["label"]
    yield f"{label}, {place_words(found.position, face.data)}: from the limits of its parts"
    for row in found.rows:
        yield f"  printed as a fit: {_range(row, face)}"
    for stack in found.stacks:
        yield from _stack_lines(stack, found, face)
    for item, why in found.missing.items():
        yield f"  not counted by {face.data.quantities[item]['label'].lower()}: {why}"
    if found.stacks:
        yield ""
        yield EQUAL
    yield CAUTIONS[0]


def _range(row: Row, face: Face) -> str:
    values, limit = shown.range_text(row, face.data)
    marks = f" ({'; '.join(row.marks)})" if row.marks else ""
    return (
        f"{row_words.starred(values + (f'; limit {limit}' if limit else ''), misprints(row))}{marks}  [{row.cite.text}]"
    )


def _stack_lines(stack: Stack, found: Expected, face: Face) -> Iterator[str]:
    yield ""
    for part in stack.parts:
        page = f"[{part.row.cite.text}]" if part.row else "(measured)"
        label = TIMES[part.times] + face.data.quantities[part.item]["label"].lower()
        share = f"{100 * stack.share(part):.0f} % of the spread"
        yield f"  {label}: {face.span((part.low, part.high))}{_speaks(part, face)}, {share}  {page}"
    if stack.warmth:
        yield f"  warmth: {'+' if stack.warmth > 0 else ''}{face.number(stack.warmth)} {face.scale.unit}"
    yield f"  at worst {face.span(stack.worst)}; 95 in 100 within {face.span(stack.likely)}"
    yield from _closing(stack, found, face)


def _speaks(part: Part, face: Face) -> str:
    """What the row of a part speaks of, its conditions and marks, in brackets."""
    row = part.row
    said = [*shown.speaks_of(row, face.data), *shown.conditions(row, face.data), *row.marks] if row else []
    return f" ({'; '.join(said)})" if said else ""


def _closing(stack: Stack, found: Expected, face: Face) -> Iterator[str]:
    low, high = _printed(found)
    least, most = map(float, stack.worst)
    if _runs(found, face) and least <= 0:
        yield f"  parts within their limits can bind: {_share(stack.below(0.0))} of them do"
    if not _has_printed(found):
        yield "  no range of the fit itself is in the data: nothing to close with"
        return
    beyond = [(low - least, "below"), (most - high, "above")]
    off = [f"{face.number(d)} {face.scale.unit} {side}" for d, side in beyond if d > 0 and Fraction(face.number(d))]
    if off:
        inside = _share(stack.between(low, high))
        yield f"  does not close: at worst {' and '.join(off)} the printed fit; {inside} of such parts lie inside it"
    else:
        yield "  closes: parts within their limits give a fit inside the printed one"


def _share(value: float) -> str:
    return "less than 1 in 1000" if value < 0.001 else f"{100 * value:.1f} %"
