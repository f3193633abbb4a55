"""Slips of structure: a row in the wrong place, under the wrong words, in the wrong column or unit."""

import random
from collections.abc import Iterator
from decimal import Decimal

from digit_slips import both_exchanged
from trying import NUMBERS, Injection, Place, Whole

from runningfits import numerals

PAIRS = ("", "_2")
HOUSINGS = {
    "main-housing-bore": "main-journal-diameter",
    "rod-big-end-bore": "crankpin-diameter",
    "cam-housing-bore": "cam-journal-diameter",
    "rod-small-end-bore": "pin-diameter",
    "liner-housing-bore": "liner-bore",
    "valve-guide-housing-bore": "valve-stem-diameter",
    "main-bearing-outside-diameter": "main-journal-diameter",
}
"""What holds a bush, a shell or a liner, and what runs in that."""


def _one(kind: str, place: Place, more: dict[str, str]) -> Injection | None:
    cells = place.cells | more
    return None if cells == place.cells else Injection(kind, place, ((place, cells),), (), "", 1.0)


def pasted(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """A row of another engine, with its page."""
    name = place.cells.get("quantity") or place.cells["joint"]
    into = [p for p in whole.by_quantity[name] if whole.of_engine[p.engine] is not whole.of_engine[place.engine]]
    if not into:
        return None
    at, source, page = r.choice(into), place.cells["source"], place.cells["page"]
    brought = (("sources", whole.sources[source]), ("pages", whole.pages[source, page]))
    return Injection("row of another engine", at, (), ((at, dict(place.cells) | {"applies": ""}),), "", 1.0, brought)


def others_numbers(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """The numbers of another engine's row of the same quantity."""
    name = place.cells.get("quantity") or place.cells["joint"]
    others = [p for p in whole.by_quantity[name] if p.engine != place.engine and _alike(p, place)]
    if not others:
        return None
    other = r.choice(others)
    return _one("numbers of another engine", place, {c: other.cells[c] for c in NUMBERS if c in other.cells})


def _alike(one: Place, other: Place) -> bool:
    same = ("unit", "unit_2", "class", "position", "size", "action", "step", "at")
    filled = all(bool(one.cells.get(c)) == bool(other.cells.get(c)) for c in NUMBERS)
    return filled and all(one.cells.get(k) == other.cells.get(k) for k in same)


def other_document(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """A page of another document of the same engine."""
    here = place.cells["source"]
    pages = sorted({
        (p.cells["source"], p.cells["page"])
        for p in whole.of(place)
        if p.engine == place.engine and p.cells["source"] != here
    })  # fmt: skip
    if not pages:
        return None
    source, page = r.choice(pages)
    return _one("page of another document", place, {"source": source, "page": page})


def _other_torque(kind: str, place: Place, wrong: str) -> Injection | None:
    cells, right = place.cells, "lbf.ft"
    if (
        place.table != "torques"
        or right not in (cells["unit"], cells["unit_2"])
        or wrong in (cells["unit"], cells["unit_2"])
    ):
        return None
    return _one(kind, place, {"unit" if cells["unit"] == right else "unit_2": wrong})


def inch_pound(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """Pound inch for pound foot, or the other way round."""
    for column in ("unit", "unit_2"):
        if place.cells[column] in ("lbf.in", "lbf.ft"):
            other = "lbf.ft" if place.cells[column] == "lbf.in" else "lbf.in"
            return _one("pound inch for pound foot", place, {column: other})
    return None


def newton_metre(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """Newton metre for pound foot in a row of one unit."""
    if place.cells["unit_2"] or place.cells["unit"] not in ("lbf.ft", "N.m"):
        return None
    return _one("newton metre for pound foot", place, {"unit": "N.m" if place.cells["unit"] == "lbf.ft" else "lbf.ft"})


def _moved(kind: str, place: Place, old: str, new: str, limit_as: str) -> Injection | None:
    cells = {new + s: place.cells[old + s] for s in PAIRS} | {old + s: "" for s in PAIRS}
    return _one(kind, place, cells | {"limit_as": limit_as})


def upper_in_limit(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """The upper end of a range typed in the column of limits."""
    if place.table == "torques" or not (place.cells["lower"] and place.cells["upper"]) or place.cells["limit"]:
        return None
    return _moved("upper end in the column of limits", place, "upper", "limit", "value")


def limit_in_upper(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """A wear limit that stands alone typed in the column of upper ends."""
    if place.table == "torques" or not place.cells["limit"] or any(place.cells[c] for c in NUMBERS if "limit" not in c):
        return None
    return _moved("lone limit in the column of upper ends", place, "limit", "upper", "")


def valves_exchanged(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """Intake and exhaust exchanged."""
    if place.table == "torques" or place.cells["position"] != "intake":
        return None
    same = ("quantity", "which", "applies", "size", "class", "at", "source", "page", "state")
    for p in whole.of(place):
        alike = p.table == place.table and all(p.cells[k] == place.cells[k] for k in same)
        if alike and p.cells["position"] == "exhaust" and any(p.cells[c] != place.cells[c] for c in NUMBERS):
            return both_exchanged("intake and exhaust exchanged", place, p)
    return None


def wear_for_value(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """A limit taken for an amount of wear, or an amount for a limit."""
    kind = place.cells.get("limit_as")
    if not kind:
        return None
    return _one("wear for value", place, {"limit_as": "wear" if kind == "value" else "value"})


def under_other_words(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """The same row once more under other words."""
    if place.table == "torques":
        return None
    cells = dict(place.cells)
    words = [k for k in ("which", "applies", "state", "method") if cells[k]]
    if words and r.random() < 0.5:
        cells[r.choice(words)] = ""
    elif cells["position"] == "all":
        cells["position"] = r.choice(["1", "front", "rear", "intake", "exhaust", "top-ring", "thrust"])
    else:
        cells["position"] = "all"
    return Injection("the same row under other words", place, (), ((place, cells),), "", 1.0)


def housing_with_journal(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """A housing's bore with the numbers of what runs in it."""
    inner = HOUSINGS.get(place.cells.get("quantity", ""))
    same = ("engine", "source", "class")
    for p in whole.of(place) if inner else ():
        alike = all(p.cells.get(k) == place.cells.get(k) for k in same) and p.engine == place.engine
        if alike and p.cells.get("quantity") == inner and p.cells["unit"] == place.cells["unit"] and p.cells["lower"]:
            cells = {c: p.cells[c] for c in (*NUMBERS, "limit_as", "unit_2")}
            return _one("housing with the journal's numbers", place, cells)
    return None


def wrong_quantity(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """Another quantity of the same part."""
    if place.table == "torques":
        return None
    mine = whole.quantities[place.cells["quantity"]]
    part = mine["quantity"].split("-")[0]
    in_sizes = ("size", "spring", "angle", "mass")
    others = [
        q["quantity"]
        for q in whole.quantities.values()
        if q["quantity"].split("-")[0] == part and q["dimension"] == mine["dimension"] and q is not mine
        and (q["kind"] in in_sizes) == (mine["kind"] in in_sizes)
    ]  # fmt: skip
    return _one("another quantity of the same part", place, {"quantity": r.choice(sorted(others))}) if others else None


def spread_too_wide(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """A limit for the spread of a quantity, ten times as large."""
    if not place.cells.get("quantity", "").endswith("-difference"):
        return None
    return _tenfold("spread limit ten times", place)


def taper_too_large(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """A taper or out-of-round beside its twin, ten times as large."""
    name = place.cells.get("quantity", "")
    twin = {"taper": "out-of-round", "round": "taper"}.get(name.split("-")[-1])
    twins = [p for p in whole.of(place) if twin and p.engine == place.engine]
    wanted = name.replace("out-of-round", twin) if twin == "taper" else name.replace("taper", twin or "")
    if not any(p.cells.get("quantity") == wanted and p.cells["source"] == place.cells["source"] for p in twins):
        return None
    return _tenfold("form ten times its twin's", place)


def block_height(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """The deck height of a block or the length of a rod with a wrong leading digit, in both units."""
    if place.cells.get("quantity") not in ("block-height", "rod-length", "crank-stroke"):
        return None
    factor = r.choice(["0.5", "2", "0.3"])
    return _scaled("block or rod or stroke out of proportion", place, Decimal(factor))


def _tenfold(kind: str, place: Place) -> Injection | None:
    return _scaled(kind, place, Decimal(10))


def _scaled(kind: str, place: Place, factor: Decimal) -> Injection | None:
    cells = {}
    for c in NUMBERS:
        if text := place.cells.get(c):
            value = Decimal(text) * factor
            cells[c] = numerals.plain(value.quantize(numerals.step(text)) if factor != 10 else value)
    return _one(kind, place, cells)


def coarse_inch(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """The inch side rounded until its last digit is as large as the range."""
    suffix = next((s for s in PAIRS if place.cells["unit" + s] == "in"), None)
    if suffix is None or not place.cells["unit_2"] or not (place.cells["lower"] and place.cells["upper"]):
        return None
    low, high = (place.cells[e + suffix] for e in ("lower", "upper"))
    if not low or not high or Decimal(high) <= Decimal(low):
        return None
    step = Decimal(1).scaleb((Decimal(high) - Decimal(low)).adjusted() + 1)
    cells = {e + suffix: numerals.plain(Decimal(place.cells[e + suffix]).quantize(step)) for e in ("lower", "upper")}
    return _one("inch side too coarse", place, cells) if step < 1 else None


def zeros_stripped(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """Trailing zeros of a whole table stripped, as a spreadsheet does."""
    rows = [p for p in whole.of(place) if (p.table, p.engine) == (place.table, place.engine)]
    changed = [(p, p.cells | c) for p in rows if (c := dict(_stripped(p)))]
    return Injection("trailing zeros stripped", place, tuple(changed), (), "", 0.0) if len(changed) > 5 else None


def _stripped(place: Place) -> Iterator[tuple[str, str]]:
    for c in NUMBERS:
        text = place.cells.get(c, "")
        if "." in text and text.endswith("0"):
            yield c, text.rstrip("0").rstrip(".")


KINDS = {
    "row of another engine": pasted,
    "page of another document": other_document,
    "pound inch for pound foot": inch_pound,
    "upper end in the column of limits": upper_in_limit,
    "intake and exhaust exchanged": valves_exchanged,
    "wear for value": wear_for_value,
    "the same row under other words": under_other_words,
    "housing with the journal's numbers": housing_with_journal,
    "spread limit ten times": spread_too_wide,
    "form ten times its twin's": taper_too_large,
    "inch side too coarse": coarse_inch,
    "trailing zeros stripped": zeros_stripped,
    "block or rod or stroke out of proportion": block_height,
    "another quantity of the same part": wrong_quantity,
    "newton metre for pound foot": newton_metre,
    "lone limit in the column of upper ends": limit_in_upper,
    "numbers of another engine": others_numbers,
}
"""Kinds of error of structure."""
