"""Where on a part its readings were taken, and what they therefore do not prove of a fit or a size."""

import re
from collections.abc import Iterable
from functools import cache

from ..closeness import same_at
from ..dataset import Dataset
from . import grid
from .case import Case
from .values import Value

LYING = ("opposed",)
"""Layouts of engines whose cylinders lie: their split stands upright, that of all others is level."""

TIGHTER_ELSEWHERE = ("along-pin", "crown", "split")
"""Keys of what was read where its fit is widest: that it is loose is not proven either."""


@cache
def words(data: Dataset, *tells: str) -> frozenset[str]:
    """Words of `directions.csv` that tell one of some things: `along-pin`, `at-split` ..."""
    return frozenset(w for w, row in data.keyed("directions").items() if set(tells) & set(row["tells"].split()))


@cache
def families(data: Dataset) -> tuple[frozenset[str], ...]:
    """Words that tell places along, or directions across, one thing: of two words of a family one is not the other."""
    table = data.keyed("directions")
    names = sorted({f for row in table.values() for f in row["family"].split()})
    return tuple(frozenset(w for w, row in table.items() if f in row["family"].split()) for f in names)


def unproven(case: Case, value: Value, engine: str, data: Dataset) -> str:
    """The key of what the spots of the readings leave open; empty where nothing.

    `along-pin`: a piston that was read along its pin alone. `crown`: one that was read at its crown, or at its crown
    and along its pin. `split`: shells that were read at their split alone. All are tighter elsewhere, so that only what
    is tight is proven. `elsewhere`: the bore was read at another place, or in another direction, than the shaft.
    `direction`: the directions that are told are none by which it counts, nor two that lie across each other. `across`:
    a difference between directions of which one is told by a word that is not known. `below-rings`: a cylinder that was
    read only where the rings do not reach. `height`: a piston that was read at another height than pages print its size
    at.
    """
    bores, shafts = case.parts.get("bore", ()), case.parts.get("shaft", ())
    if value.way == "strip":
        return "split" if has_shells(case, data) and _all_in(words(data, "at-split"), case.parts["strip"]) else ""
    if value.method == "cross-difference":
        return _of_form(case, data)
    if value.way not in ("bore minus shaft", "bore", "shaft"):
        return ""
    if _is_below_rings(case, data):
        return "below-rings"
    if _is_piston(case, data):
        return "" if case.position.endswith("along-pin") or not shafts else _of_piston(case, engine, data)
    layout = data.engines[engine]["layout"]
    return (has_shells(case, data) and _of_shells(bores, layout, data)) or _of_two(value, bores, shafts, data)


def _of_two(value: Value, bores: Iterable[grid.Reading], shafts: Iterable[grid.Reading], data: Dataset) -> str:
    apart = value.way == "bore minus shaft" and any(_apart(bores, shafts, n, data) for n in (0, 1))
    return "elsewhere" if apart else ""


def _of_form(case: Case, data: Dataset) -> str:
    known = {"", *data.keyed("directions")}
    return "across" if any(r.direction not in known for r in case.readings) else ""


def _is_below_rings(case: Case, data: Dataset) -> bool:
    """Whether a cylinder was read only where the rings do not reach."""
    below, bores = words(data, "below-rings"), case.parts.get("bore", ())
    return bool(bores) and all(r.place in below for r in bores) and _is_cylinder(case, data)


def _of_piston(case: Case, engine: str, data: Dataset) -> str:
    shafts = case.parts["shaft"]
    if _all_in(words(data, "along-pin", "at-crown"), shafts):
        return "along-pin" if _all_in(words(data, "along-pin"), shafts) else "crown"
    if _is_at_other_height(case, engine, data):
        return "height"
    return "direction" if _is_unknown(shafts, words(data, "across-pin"), data) else ""


def _is_at_other_height(case: Case, engine: str, data: Dataset) -> bool:
    """Whether each reading of a piston tells its height, and pages print the size of it at other heights alone."""
    sizes = case.quantity["inner"].split() or [case.item]
    printed = [r for s in sizes for r in data.rows(engine, s)]
    told = [case.said.get("at") or _height(r.place) for r in case.parts["shaft"]]
    if not printed or not all(r["at"] for r in printed):
        return False
    return all(h and not any(same_at(h, r, data) for r in printed) for h in told)


def _height(place: str) -> str:
    """The height at which a reading was taken, which stands behind its place."""
    number = re.search(r"[\d.]+ \S+$", place)
    return number[0] if number else ""


def _of_shells(bores: Iterable[grid.Reading], layout: str, data: Dataset) -> str:
    square, level = ("level", "upright") if layout in LYING else ("upright", "level")
    if _all_in(words(data, "at-split", level), bores):
        return "split"
    return "direction" if _is_unknown(bores, words(data, "square-to-split", square), data) else ""


def _all_in(known: frozenset[str], readings: Iterable[grid.Reading]) -> bool:
    """Whether each of some readings was taken in one of the named directions; a place may name it too."""
    found = [{r.direction, r.place.split(" ")[0]} for r in readings]
    return bool(found) and all(f & known for f in found)


def _is_unknown(readings: Iterable[grid.Reading], known: frozenset[str], data: Dataset) -> bool:
    """Whether directions are told, and they are none of those in which it counts, nor two across each other."""
    told = {r.direction for r in readings}
    places = {r.place for r in readings}
    across = any(len(told & family) > 1 for family in families(data))
    return bool(told) and "" not in told and not (told | places) & known and not across


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


def _apart(bores: Iterable[grid.Reading], shafts: Iterable[grid.Reading], way: int, data: Dataset) -> bool:
    """Whether places (0) or directions (1) of bore and shaft are told by words of one family, none of them by both."""
    bore, shaft = ({(r.place, r.direction)[way] for r in part} for part in (bores, shafts))
    return not bore & shaft and any(bore <= family and shaft <= family for family in families(data))
