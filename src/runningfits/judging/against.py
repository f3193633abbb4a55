"""What speaks against a verdict that passes: other readings of the same place, and other ways of measuring it."""

from collections.abc import Sequence
from math import inf

from ..choosing import NONE
from ..dataset import Dataset
from ..rows import Row
from . import grid
from .bounds import Bounds
from .by_way import Way
from .case import Case
from .spots import is_oval
from .values import Value

DOUBTS = {
    "nothing": "the readings do not give it: a clearance needs bore and shaft, a form needs two places or directions",
    "repeats": "its repeats lie farther apart than instrument and hand can bring them: read that place again, or name "
    "the places where the readings were taken",
    "one": "what counts is inside, but a reading of it is out: measure that place again, and judge it by itself",
    "tightest": "what counts is inside, but its tightest place is not proven clear: measure that place again",
    "way": "another way of measuring shows it to be out: find out which of them is wrong",
    "along-pin": "its piston was measured along the pin alone, where it is smaller on purpose: measure it square "
    "to the pin, where it is the largest",
    "crown": "its piston was measured at its crown alone, where it is smaller on purpose: measure its skirt square to "
    "the pin, at the height that the page names",
    "height": "its piston was measured at another height than the page prints it at, and a piston tapers on purpose: "
    "measure it where the page says",
    "split": "its bearing was measured at the split alone (level or upright goes by how the cylinders stand), where it "
    "is wider on purpose: measure it square to the split, where the load is",
    "direction": "the word for the direction in which it was measured is not known here: say across the pin or along "
    "the pin of a piston, square to the split or at the split of a bearing",
    "across": "a word for a direction in which it was measured is not known here, so that nothing shows that the "
    "directions lie across each other: say vertical and horizontal, lengthwise and crosswise, or a and b",
    "below-rings": "the cylinder was measured only where the rings do not reach, so that no wear shows: measure it "
    "where they run too",
    "elsewhere": "its bore and its shaft were measured at different places or in different directions: measure both in "
    "the same ones",
    "corrected": "as it was read it is out, and it is in by known corrections of the instruments alone: have the "
    "instrument adjusted, or compare it anew with another one, and measure again",
    "shape": "its readings differ by more than taper and out-of-round allow together: measure it in both directions at "
    "both ends",
    "state": "the sheet says in what state it was measured, and the page prints none: find out for which it is; "
    "where the page means the state that it was measured in, say none",
    "unsaid": "the page prints it for one state of the engine, cold or hot: say in which it was measured",
    "beyond-new": "it lies farther inside the only limit that is printed than new parts do by any page: look at the "
    "part, its place and the reading again",
    "clear": "it is not proven above zero, where such parts bind or no longer stand proud: measure with a finer "
    "instrument, or select others",
    "resized": "it lies where a repair size would put it: say in the build to what size the part is machined; if it is "
    "of the size that the build says, it is worn as far as such a part is ground or bored, and no page allows that",
    "wide": "U is too wide for a value to agree, or to be taken as it is: measure with a finer instrument",
}
"""Why nothing was judged, or a verdict that would pass is withheld."""

RELIEVED, OVAL = 5e-5, 6e-4
"""By how much a shell may be wider at its split than square to it, and a piston smaller along its pin or at its crown
than across it, on the diameter in metres (common practice, no source; the pages print up to 0.3 mm)."""


def interval(value: Value, guarded: bool) -> tuple[float, float]:
    """Where a value lies for the decision: with its U, or for simple acceptance as it is, from mark to mark."""
    if guarded:
        return value.least, value.most
    return float(value.value) - value.marks, inf if value.least_only else float(value.value) + value.marks


def is_strict(method: str, side: str) -> bool:
    """Whether the largest or the smallest reading counts, so that the other one is held to the end that wear leaves."""
    return side != "both" and method in grid.SINGLE and not method.startswith("mean")


def other_end(way: Way, bounds: Bounds) -> Value | None:
    """The reading that lies nearest to the end that wear does not go to."""
    return way.most if bounds.side == "lower" else way.least


def is_inside(value: Value, bounds: Bounds, guarded: bool) -> bool:
    """Whether a value is proven inside on the side that wear does not go to."""
    *_, low, _, high, _ = bounds.ends()
    least, most = interval(value, guarded)
    return most <= high if bounds.side == "lower" else least >= low


def doubt(ways: Sequence[Way], bounds: Bounds, case: Case, data: Dataset, guarded: bool, used: bool) -> str:
    """The key of what speaks against a pass by the first of some ways; empty where nothing does.

    `used` says that it passes as a used part, however far it is on the side of wear.
    """
    for way in ways:
        spared = _spared(way, bounds, case, data)
        if used:
            spared = (inf, spared[1]) if bounds.side == "lower" else (spared[0], inf)
        if any(_is_out(x, bounds, guarded, spared) for x in way.shown):
            return "one" if way is ways[0] else "way"
    way = ways[0]
    tightest = way.least
    if bounds.floor and tightest and interval(tightest, guarded)[0] <= 0:
        return "tightest"
    return ""


def state_doubt(case: Case, row: Row | None) -> str:
    """The key of what is open of the state in which a lash was measured, cold or hot; empty where nothing is."""
    if case.quantity["kind"] != "lash" or row is None:
        return ""
    said, printed = case.said.get("state", ""), row["state"]
    if printed:
        return "" if said else "unsaid"
    return "state" if said not in ("", NONE) else ""


def _is_out(value: Value, bounds: Bounds, guarded: bool, spared: tuple[float, float]) -> bool:
    """Whether a value is proven out, beyond what is spared below and above."""
    least, most = interval(value, guarded)
    *_, low, _, high = bounds.ends()
    if bounds.nominal is not None and not bounds.fresh and bounds.limit is None:
        low, high = sorted(map(float, bounds.nominal))
    return most < low - spared[0] or least > high + spared[1]


def worn_end(way: Way, bounds: Bounds, case: Case, data: Dataset, guarded: bool) -> Value | None:
    """The reading on the side of wear where it is proven beyond the new range; None else, and where the mean counts."""
    worn = way.most if bounds.wears_up else way.least
    if worn is None or bounds.side == "both" or not bounds.fresh or way.value.method.startswith("mean"):
        return None
    _, low, _, high, *_ = bounds.ends()
    below, above = _spared(way, bounds, case, data)
    least, most = interval(worn, guarded)
    return worn if (least > high + above if bounds.wears_up else most < low - below) else None


def _spared(way: Way, bounds: Bounds, case: Case, data: Dataset) -> tuple[float, float]:
    """How far below and above the ends a reading that does not count may lie.

    A piston is oval and tapers on purpose, and its largest diameter counts. A shell is relieved at its split, and its
    smallest bore counts: of readings in one direction, and of strips, which lie under the load, none is at the split.
    """
    quantity, method = case.quantity, way.value.method
    if bounds.side == "lower":
        return (OVAL, 0.0) if method == "largest" else (0.0, 0.0)
    if is_oval(quantity["inner"].split(), data):
        return 0.0, OVAL
    smallest = method == "smallest" or method.startswith("smallest-bore")
    around = way.value.way not in ("strip", "gap") and len({r.direction for r in case.parts.get("bore", ())}) > 1
    return (0.0, _relief(bounds)) if quantity["limit_side"] == "upper" and smallest and around else (0.0, 0.0)


def _relief(bounds: Bounds) -> float:
    width = float(bounds.high.loose - bounds.low.loose) if bounds.high and bounds.low else 0.0
    return max(width, RELIEVED)
