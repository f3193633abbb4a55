"""Where on a part its readings were taken, and what they therefore do not prove of a fit or a size."""

from collections.abc import Iterable

from ..dataset import Dataset
from . import grid
from .case import Case
from .values import Value

ALONG_PIN = frozenset(
    (
        *("along-pin", "along-the-pin", "pin", "pin-axis", "pin-bosses", "bosses", "at-bosses", "minor-axis"),
        *("gudgeon", "gudgeon-pin", "along-gudgeon-pin", "wrist-pin", "along-wrist-pin", "piston-pin"),
        *("axial", "lengthwise", "longitudinal", "fore-and-aft", "front-rear", "small-way", "narrow-way"),
    )
)
"""Words of a sheet for the direction along the piston pin, across which a skirt is the largest."""

ACROSS_PIN = frozenset(
    (
        *("across-pin", "across-the-pin", "square-to-pin", "across", "crosswise", "transverse", "major-axis"),
        *("thrust", "thrust-face", "thrust-faces", "across-gudgeon-pin", "across-wrist-pin", "large-way", "wide-way"),
    )
)
"""Words for the direction square to the piston pin."""

AT_SPLIT = frozenset(
    (
        *(
            "at-split",
            "at-the-split",
            "split",
            "split-line",
            "at-parting-line",
            "parting-line",
            "parting",
            "parting-face",
        ),
        *("joint", "joint-face", "joint-line", "cap-joint", "across-joint", "across-joint-face", "mating-face"),
        *(
            "sideways",
            "side",
            "side-to-side",
            "lateral",
            "crosswise",
            "across",
            "transverse",
            "9-3",
            "3-9",
            "port-starboard",
        ),
    )
)
"""Words for the direction from one split of a pair of shells to the other, where they are relieved."""

SQUARE_TO_SPLIT = frozenset(
    (
        "square-to-split",
        "across-split",
        "load",
        "in-line-with-rod",
        "along-rod",
        "rod-axis",
        "up-and-down",
        "12-6",
        "6-12",
    )
)
"""Words for the direction square to the split, in which the load comes."""

BELOW_RINGS = frozenset(
    ("bottom", "skirt", "lower", "low", "below-rings", "below-ring-travel", "unworn", "bdc", "base")
)
"""Words for places of a cylinder that the rings do not reach, so that it is not worn there."""

LEVEL, UPRIGHT = "horizontal", "vertical"
LYING = ("opposed",)
"""Layouts of engines whose cylinders lie: their split stands upright, that of all others is level."""

FAMILIES = (
    frozenset(("front", "rear", "centre", "center", "middle")),
    frozenset(("top", "bottom", "centre", "center", "middle")),
    frozenset(("vertical", "horizontal")),
    frozenset(("axial", "thrust")),
    frozenset(("lengthwise", "crosswise")),
    frozenset(("at-split", "square-to-split")),
)
"""Words that tell places along, or directions across, one thing: of two words of a family one is not the other."""


TIGHTER_ELSEWHERE = ("along-pin", "split")
"""Keys of what was read where its fit is widest: that it is loose is not proven either."""


def unproven(case: Case, value: Value, layout: str, data: Dataset) -> str:
    """The key of what the spots of the readings leave open; empty where nothing.

    `along-pin`: a piston that was read along its pin alone. `split`: shells that were read at their split alone. In
    both the other direction is the tighter one, so that only what is tight is proven. `elsewhere`: the bore was read at
    another place, or in another direction, than the shaft. `direction`: the one direction that is told is by a word
    that is not known. `below-rings`: a cylinder that was read only where the rings do not reach.
    """
    bores, shafts = case.parts.get("bore", ()), case.parts.get("shaft", ())
    if value.way == "strip":
        return "split" if has_shells(case, data) and _all_in(AT_SPLIT, case.parts["strip"]) else ""
    if value.way not in ("bore minus shaft", "bore", "shaft"):
        return ""
    if bores and all(r.place in BELOW_RINGS for r in bores) and _is_cylinder(case, data):
        return "below-rings"
    if _is_piston(case, data):
        return "" if case.position.endswith("along-pin") or not shafts else _of_piston(shafts)
    if has_shells(case, data) and (found := _of_shells(bores, layout)):
        return found
    apart = value.way == "bore minus shaft" and any(_apart(bores, shafts, n) for n in (0, 1))
    return "elsewhere" if apart else ""


def _of_piston(shafts: Iterable[grid.Reading]) -> str:
    if _all_in(ALONG_PIN, shafts):
        return "along-pin"
    return "direction" if _in_one_unknown(shafts, ACROSS_PIN) else ""


def _of_shells(bores: Iterable[grid.Reading], layout: str) -> str:
    square, level = (LEVEL, UPRIGHT) if layout in LYING else (UPRIGHT, LEVEL)
    if _all_in(AT_SPLIT | {level}, bores):
        return "split"
    return "direction" if _in_one_unknown(bores, SQUARE_TO_SPLIT | {square}) else ""


def _all_in(words: frozenset[str], readings: Iterable[grid.Reading]) -> bool:
    """Whether each of some readings was taken in one of the named directions; a place may name it too."""
    found = [{r.direction, r.place} for r in readings]
    return bool(found) and all(f & words for f in found)


def _in_one_unknown(readings: Iterable[grid.Reading], known: frozenset[str]) -> bool:
    """Whether all readings were taken in one direction, told by a word that is none of those in which it counts."""
    told = {r.direction for r in readings}
    return len(told) == 1 and not told & {"", *known}


def _is_cylinder(case: Case, data: Dataset) -> bool:
    """Whether the bore of a fit, or what a size is of, is that in which a piston runs."""
    if case.quantity["kind"] == "clearance":
        return _is_piston(case, data)
    fits = [q for q in data.quantities.values() if q["kind"] == "clearance" and case.item in q["outer"].split()]
    return case.quantity["kind"] == "size" and any(is_oval(q["inner"].split(), data) for q in fits)


def _is_piston(case: Case, data: Dataset) -> bool:
    """Whether the shaft of a fit, or what a size is of, is meant to be out of round."""
    if case.quantity["kind"] not in ("clearance", "size"):
        return False
    return is_oval(case.quantity["inner"].split() or [case.item], data)


def is_oval(sizes: list[str], data: Dataset) -> bool:
    """Whether a part is meant to be out of round: its form has two ends."""
    return any(
        q["limit_side"] == "both" and q["kind"] == "form" and set(sizes) & set(q["of"].split())
        for q in data.quantities.values()
    )


def has_shells(case: Case, data: Dataset) -> bool:
    """Whether the bore of a fit, or what a size is of, is that of shells with a wall."""
    if case.quantity["kind"] not in ("clearance", "size"):
        return False
    sizes = [case.item] if case.quantity["kind"] == "size" else case.quantity["outer"].split()
    return any(data.quantities[s]["walls"] for s in sizes)


def _apart(bores: Iterable[grid.Reading], shafts: Iterable[grid.Reading], way: int) -> bool:
    """Whether places (0) or directions (1) of bore and shaft are told by words of one family, none of them by both."""
    bore, shaft = ({(r.place, r.direction)[way] for r in part} for part in (bores, shafts))
    return not bore & shaft and any(bore <= family and shaft <= family for family in FAMILIES)
