"""The trade's remedies as a table: for what is out, on which side, what is done, in the order of least work.

Common practice (see docs/judging.md); the numbers, sizes and grades come from the data.
"""

from collections.abc import Mapping

from .trade_units import UNITS
from .trade_work import Line


def _bearing(shells: str, housing: str) -> tuple[Line, ...]:
    """Remedies of a shell bearing."""
    looked = f"measure the {housing} without shells, cap tight: a good journal under a large bore points at it"
    return (
        Line(
            "large", "renewed", 10, "new shells", "fit new shells of the present size and measure again: {new}", "bore"
        ),
        Line("large", "housing", 12, "check the housing", looked, general=True),
        Line("both", "shells", 20, "shells by their wall", f"{shells} of another grade or new: {{new}}"),
        Line("both", "graded", 20, "grade", "bearing by grade: {new}", "bore"),
        Line("both", "paired", 21, "maker's table", "by the maker's table: {new}"),
        Line("large", "thinner_bore", 22, "undersize shells"),
        Line(
            "large",
            "halves",
            24,
            "mixed halves",
            "one half of a 0.001 in undersize set with a standard half takes up {amount}, only where the maker allows "
            "mixed halves (thick half on the loaded side)",
        ),
        Line("large", "resized", 60, "grind"),
        Line(
            "small",
            "said",
            10,
            "check the shells",
            "check that each shell is of the right size, clean behind, and the cap its own; never scrape or shim a "
            "shell; {amount} is wanted",
            general=True,
        ),
        Line("small", "suited", 60, "target journal", "grind or polish the journal {window} for these shells", "shaft"),
        Line(
            "small",
            "said",
            70,
            "correct the housing",
            f"or a {housing} larger by {{amount}}, at full cap torque",
            general=True,
        ),
    )


def _play(piece: str, what: str, counts: tuple[int, ...] = (1,)) -> tuple[Line, ...]:
    """Remedies of an end play that a washer or plate sets."""
    return (
        Line(
            "large",
            "pieces",
            20,
            "thicker thrust set",
            "{new}; both halves of a side alike",
            piece,
            counts=counts,
        ),
        Line(
            "large",
            "adjusted",
            25,
            "thicker thrust set",
            f"{what} thicker in all by {{amount}}, both halves of a side alike",
            general=True,
        ),
        Line("large", "resized", 70, "grind the thrust faces", part="thrust") if what == _WASHERS else _NONE,
        Line(
            "small",
            "said",
            5,
            "seat again",
            "slacken the thrust cap or plate, pry the shaft both ways to seat the faces, tighten, and measure again",
            general=True,
        ),
        Line(
            "small",
            "adjusted",
            40,
            "relieve",
            f"if it stays: {what} thinner in all by {{amount}}, as the maker allows",
            general=True,
        ),
    )


_WASHERS = "thrust washers or a thrust bearing"
_NONE = Line("none", "said", 0, "")

_FIT = (
    Line("both", "renewed", 30, "exchange", "{new}", "shaft"),
    Line("both", "graded", 32, "grade", "{new}", "shaft"),
    Line("both", "renewed", 40, "exchange", "{new}", "bore"),
    Line("both", "graded", 42, "grade", "{new}", "bore"),
    Line("both", "paired", 43, "maker's table", "by the maker's table: {new}"),
    Line("small", "suited", 45, "ream or hone", "ream or hone the bore {window} for this part", "bore"),
    Line("large", "resized", 60, "resize"),
    Line("both", "said", 80, "other parts", "exchange the worn part or both: {amount} is wanted", general=True),
)

LINES: Mapping[str, tuple[Line, ...]] = {
    "main-bearing-clearance": _bearing("main bearing shells", "main housing"),
    "rod-bearing-clearance": _bearing("rod bearing shells", "big end"),
    "crank-end-play": _play("thrust-washer-thickness", _WASHERS, (1, 2)),
    "cam-end-play": _play("cam-thrust-plate-thickness", "a thrust plate or washer"),
    "balance-end-play": _play("balance-thrust-washer-thickness", "a thrust washer"),
    "idler-end-play": _play("idler-thrust-washer-thickness", "thrust washers"),
    "piston-clearance": (
        Line(
            "both",
            "swapped",
            15,
            "swap pistons",
            "give the pistons to other cylinders: that of {moved}",
            drags=("with each piston its rings and pin", "marks for weight and side"),
        ),
        Line("both", "graded", 30, "grade", "piston by grade: {new}", "shaft", ("its own new rings",)),
        Line("both", "renewed", 31, "select a piston", "{new}", "shaft", ("its own new rings",)),
        Line("both", "paired", 33, "maker's table", "by the maker's table: {new}"),
        Line(
            "small",
            "suited",
            35,
            "hone",
            "hone the bore {window} for this piston; measure the piston itself first",
            "bore",
            ("the gap of its rings",),
        ),
        Line("large", "liner", 50, "exchange the liner", "{new}", "bore", ("its piston and rings",)),
        Line("large", "resized", 70, "bore and hone"),
    ),
    "ring-gap": (
        Line(
            "small",
            "adjusted",
            10,
            "file",
            "file one end square, in all {amount}, and deburr: after some turns measure; turns left = turns made x "
            "gap still wanted / gap gained",
        ),
        Line(
            "large",
            "said",
            10,
            "check the ring",
            "is it the ring of this bore and groove, squared in its own bore? try another of the set",
            general=True,
        ),
        Line("large", "gap_by_bore", 12, "check the bore"),
        Line("large", "resized", 70, "bore and hone", part="cylinder"),
    ),
    "ring-side-clearance": (
        Line("both", "renewed", 20, "new rings", "{new}", "shaft"),
        Line("both", "renewed", 50, "new piston", "{new}", "bore", ("its own new rings", "piston to bore again")),
    ),
    "liner-protrusion": (
        Line(
            "both",
            "said",
            5,
            "seat again",
            "clean seat and flange, press the liner down, measure at four points, and try liners in other bores",
            general=True,
        ),
        Line(
            "small",
            "pieces",
            20,
            "shim",
            "under the flange: {new}",
            "liner-insert-thickness",
            ("measure the stand-out of its neighbours too",),
            effect=1,
            piece_replaced=False,
        ),
        Line(
            "small",
            "adjusted",
            25,
            "shim",
            "it must stand higher by {amount}: a shim under the flange, where the maker has them",
            general=True,
        ),
        Line(
            "large",
            "adjusted",
            60,
            "recut the counterbore",
            "it must stand lower by {amount}: the counterbore cut deeper, where the maker allows",
            general=True,
        ),
    ),
    "piston-protrusion": (
        Line("both", "matching", 10, "gasket by protrusion", "the largest mean of all pistons picks: {new}"),
        Line(
            "large",
            "said",
            60,
            "other parts",
            "it must stand lower by {amount}: another piston or rod, or a thicker gasket where the page has one",
            general=True,
        ),
        Line(
            "small",
            "said",
            60,
            "other parts",
            "it must stand higher by {amount}: another piston or rod, or the deck surfaced as far as its page allows",
            general=True,
        ),
    ),
    "head-flatness": (
        Line(
            "both",
            "surfaced",
            40,
            "surface",
            "take {amount} off the whole face",
            drags=("valve recession and protrusion afterwards", "the thickness that is left"),
        ),
    ),
    "deck-flatness": (
        Line(
            "both",
            "surfaced",
            60,
            "surface",
            "take {amount} off the whole face",
            drags=("piston and liner protrusion afterwards", "the block's height that is left"),
        ),
    ),
    **UNITS,
}
"""Remedies of those quantities that have their own; UNITS those of the engine's smaller parts."""

BY_KIND: Mapping[str, tuple[Line, ...]] = {
    "fit": _FIT,
    "size": (
        Line("both", "renewed", 50, "exchange"),
        Line("both", "resized", 40, "resize"),
    ),
    "form": (
        Line("both", "cleaned", 40, "clean up", "machine the {label} only until it is round and straight"),
        Line("both", "resized", 60, "resize"),
        Line(
            "both",
            "said",
            80,
            "exchange",
            "straighten, machine or exchange the part: {amount} is too much",
            general=True,
        ),
    ),
    "spring": (Line("both", "renewed", 20, "exchange"),),
    "other": (
        Line("both", "said", 50, "other parts", "set, shim or exchange the parts: {amount} is wanted", general=True),
    ),
}
"""Remedies of all other quantities by kind; a `fit` has a bore and a shaft."""


def lines_of(item: str, kind: str, is_fit: bool) -> tuple[Line, ...]:
    """The table's lines for a quantity."""
    if item in LINES:
        return LINES[item]
    return BY_KIND["fit" if is_fit else kind if kind in BY_KIND else "other"]
