"""Lines of the table of remedies, and how each machined part is brought to a repair size (common practice)."""

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True)
class Line:
    """A remedy: which move works it out (search.py), for a value too large, too small or both.

    `part` is the bore or shaft that is changed, a piece or a repair part, as the move takes it. A piece changes the
    value by `effect` for each of its `counts`; `replaced` pieces take the place of others.
    """

    side: str
    move: str
    effort: int
    action: str
    text: str = "{new}"
    part: str = ""
    drags: tuple[str, ...] = ()
    general: bool = False
    effect: int = -1
    counts: tuple[int, ...] = (1,)
    piece_replaced: bool = True


@dataclass(frozen=True)
class Work:
    """How a machined part is brought to a repair size, and what that drags along."""

    action: str
    verb: str
    size_word: str
    with_parts: str
    drags: tuple[str, ...]
    reckoned: str = ""


HONING = Fraction(5, 100000)
"""Honing allowance where the sheet gives none: 0.05 mm (common practice)."""

BINDING = "head-flatness"
"""The face for which pages print how much may come off."""

COMMON = {"crankpin": "0.010 in or 0.25 mm", "main-journal": "0.010 in or 0.25 mm", "cylinder": "0.020 in or 0.50 mm"}
"""Sizes that the trade often has, for what to ask where the data name none (common practice)."""

_AGAIN = "measure the fit again with the new parts before the cover closes"

_JOURNAL = "target journal = bore of the new undersize shells, caps tight, - wanted clearance"

REPAIRS = {
    "crankpin": Work(
        "grind",
        "grind all crankpins",
        "undersize",
        " shells",
        ("all crankpins of the shaft together", "new rod bearing shells of that undersize for all", _AGAIN),
        _JOURNAL,
    ),
    "main-journal": Work(
        "grind",
        "grind all main journals",
        "undersize",
        " shells",
        ("all main journals of the shaft together", "new main bearing shells of that undersize for all", _AGAIN),
        _JOURNAL,
    ),
    "cylinder": Work(
        "bore and hone",
        "bore and hone all cylinders",
        "oversize",
        " pistons; finished size = measured piston + clearance",
        ("all cylinders to the one oversize", "new pistons and rings of that size", "the gap of every new ring"),
        "finished bore = measured piston + wanted clearance",
    ),
    "valve-guide": Work(
        "ream",
        "ream the guide",
        "oversize",
        " valve stems",
        ("a valve with that stem", "grind the seat again, true to the guide"),
    ),
    "guide-housing": Work(
        "ream the head",
        "ream the bore for the guide",
        "oversize",
        " guides",
        ("a guide of that size", "ream the new guide and grind the seat again"),
    ),
    "valve-seat": Work(
        "bore the seat",
        "bore the head for the seat insert",
        "oversize",
        " inserts",
        ("an insert of that size", "grind the new seat; stem height and spring height change"),
    ),
    "main-housing": Work(
        "line-bore",
        "line-bore all main housings",
        "oversize",
        "",
        ("all housings in one line", "bearings with that larger outside", _AGAIN),
    ),
    "cam-journal": Work(
        "grind the camshaft",
        "grind all camshaft journals",
        "undersize",
        " bearings",
        ("all journals of the camshaft together", "new camshaft bearings of that size", _AGAIN),
    ),
    "cam-housing": Work(
        "line-bore",
        "line-bore the camshaft housings",
        "oversize",
        " bearings",
        ("camshaft bearings with that larger outside", _AGAIN),
    ),
    "liner-housing": Work(
        "bore the block", "bore the block for the liner", "oversize", " liners", ("a liner with that larger outside",)
    ),
    "liner-counterbore": Work(
        "recut the counterbore",
        "recut the counterbore",
        "oversize",
        " liners",
        ("a liner or shims to suit", "stand-out measured again"),
    ),
    "piston-pin": Work(
        "ream",
        "ream or hone for the pin",
        "oversize",
        " pins",
        ("a pin of that size in piston and rod", "every piston and rod alike"),
    ),
    "rocker-shaft": Work("resize", "machine for the rocker shaft", "oversize", "", (_AGAIN,)),
    "tappet-bore": Work("ream", "ream the tappet bore", "oversize", " tappets", ("a tappet of that size",)),
    "thrust": Work(
        "grind the thrust faces",
        "grind the thrust journal",
        "oversize",
        " thrust parts",
        ("a thrust set of that size, both halves of a side alike", "end play measured again"),
    ),
}
"""What is done to each machined part of repairs.csv."""
