"""All remedies of a verdict, in the order of least work."""

from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction
from math import pi
from typing import Any

from ...scale import Scale
from ..judged import Judged, Judgement
from ..suspected import suspected
from .assign import swapped
from .exchange import (
    adjusted,
    graded,
    halves,
    matching,
    pieces,
    renewed,
    said,
    shells,
    thinner_bore,
)
from .machining import cleaned, resized, suited, surfaced
from .makers_table import paired
from .option import Option, as_values, ranked
from .trade_lines import lines_of
from .trade_work import Line
from .trouble import Trouble

AGAIN = "a slip is suspected: read it again before anything is bought or machined"

CONTRADICT = (
    "what is printed contradicts itself or differs from page to page, so that nothing meets it: settle that first"
)

OUT = ("loose", "past-new", "tight")
"""Verdicts that ask for a remedy."""


def options(judged: Judged, found: Judgement, scale: Scale) -> list[dict[str, Any]]:
    """Remedies of a case as JSON values; none unless it is out."""
    t = trouble(judged, found, scale)
    return [as_values(o, scale, t.data.quantities) for o in search(t)] if t else []


def trouble(judged: Judged, found: Judgement, scale: Scale) -> Trouble | None:
    """The case as a trouble; None unless it is out by a row with an end or a value, or may be resized."""
    value, limits = judged.lead.value, judged.joint.bounds
    out = judged.verdict in OUT or (judged.verdict == "cannot-tell" and judged.joint.doubt == "resized")
    if not out or value is None or limits is None:
        return None
    made = Trouble(judged, found, scale, value, limits)
    return None if made.ends == (None, None) else made


def search(t: Trouble) -> list[Option]:
    """Remedies in the order of least work."""
    quantity, (low, high) = t.case.quantity, t.ends
    if low is not None and high is not None and low > high:
        return [Option("settle the range", CONTRADICT, 1, general=True)]
    lines = lines_of(t.case.item, quantity["kind"], bool(quantity["outer"] and quantity["inner"]))
    asked = ("both", "large" if t.large else "small")
    again = [Option("measure again", AGAIN, 0, general=True)] if suspected(t.judged, t.found) else []
    return ranked([*again, *(o for line in lines if line.side in asked for o in MOVES[line.move](t, line))])


def housing(t: Trouble, line: Line) -> Iterator[Option]:
    """A look at the housing, where the journal is good and the bore is large."""
    journal = t.printed(t.case.quantity["inner"])
    shaft = t.sides.get("shaft")
    if journal is None or shaft is None or t.housing is not None:
        return
    low, _ = journal.ends
    if low is not None and shaft.value >= low:
        yield from said(t, line)


def liner(t: Trouble, line: Line) -> Iterator[Option]:
    """A new liner, where the engine has liners."""
    if t.printed("liner-bore"):
        yield from renewed(t, line)


def gap_by_bore(t: Trouble, line: Line) -> Iterator[Option]:
    """What the bore adds to a ring's gap: pi times its growth."""
    high = t.ends[1]
    if high is not None:
        over = t.value.value - high
        grown = t.one(over / Fraction(pi))
        text = f"the gap is {t.one(over)} over: a bore {grown} larger than it should be gives as much"
        yield Option(line.action, text, line.effort, general=True)


MOVES: Mapping[str, Callable[[Trouble, Line], Iterator[Option]]] = {
    "adjusted": adjusted,
    "cleaned": cleaned,
    "gap_by_bore": gap_by_bore,
    "graded": graded,
    "halves": halves,
    "housing": housing,
    "liner": liner,
    "matching": matching,
    "paired": paired,
    "pieces": pieces,
    "renewed": renewed,
    "resized": resized,
    "said": said,
    "shells": shells,
    "suited": suited,
    "surfaced": surfaced,
    "swapped": swapped,
    "thinner_bore": thinner_bore,
}
