"""Slips of one number, one unit or two lines: what a reader's eye and hand get wrong."""

import random
from decimal import Decimal

from trying import NUMBERS, Injection, Place, Whole, numbers_of

from runningfits import numerals


def _changed(kind: str, place: Place, column: str, text: str) -> Injection | None:
    old = place.cells[column]
    if text == old or not numerals.NUMBER.fullmatch(text):
        return None
    moved = abs(Decimal(text) - Decimal(old)) / abs(Decimal(old))
    return _of(kind, place, place.cells | {column: text}, column, float(moved))


def _of(kind: str, place: Place, cells: dict[str, str], column: str = "", moved: float = 1.0) -> Injection:
    return Injection(kind, place, ((place, cells),), (), column, moved)


def _body(text: str) -> int:
    """Where the digits start that a reader can take wrong: after the sign and the zero before the point."""
    start = 1 if text.startswith("-") else 0
    return start + 2 if text[start:].startswith("0.") else start


def digit(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """One wrong digit."""
    column = r.choice(numbers_of(place))
    text = place.cells[column]
    at = r.choice([n for n in range(_body(text), len(text)) if text[n].isdigit()])
    other = r.choice([d for d in "0123456789" if d != text[at]])
    return _changed("one wrong digit", place, column, text[:at] + other + text[at + 1 :])


def swap(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """Two neighbouring digits exchanged."""
    column = r.choice(numbers_of(place))
    text = place.cells[column]
    spots = [n for n in range(_body(text), len(text) - 1) if text[n : n + 2].isdigit() and text[n] != text[n + 1]]
    if not spots:
        return None
    at = r.choice(spots)
    return _changed("digits exchanged", place, column, text[:at] + text[at + 1] + text[at] + text[at + 2 :])


def decade(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """The decimal point lost or shifted by one place."""
    column = r.choice(numbers_of(place))
    shifted = Decimal(place.cells[column]).scaleb(r.choice([-1, 1]))
    return _changed("decade lost or added", place, column, numerals.plain(shifted))


def dropped(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """A digit left out."""
    column = r.choice(numbers_of(place))
    text = place.cells[column]
    spots = [n for n in range(_body(text), len(text)) if text[n].isdigit()]
    at = r.choice(spots)
    cut = (text[:at] + text[at + 1 :]).rstrip(".")
    return None if Decimal(cut or "0") == Decimal(text) else _changed("digit dropped", place, column, cut)


def exchanged(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """Lower and upper exchanged, in one unit or in both."""
    pairs = [s for s in ("", "_2") if place.cells.get(f"lower{s}") and place.cells.get(f"upper{s}")]
    chosen = pairs if r.random() < 0.5 else pairs[:1]
    cells = dict(place.cells)
    for s in chosen:
        cells[f"lower{s}"], cells[f"upper{s}"] = cells[f"upper{s}"], cells[f"lower{s}"]
    if not chosen or cells == place.cells or Decimal(cells["lower"]) == Decimal(cells["upper"]):
        return None
    return _of("lower and upper exchanged", place, cells, "lower")


def next_row(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """The numbers of the next line read."""
    rows = [p for p in whole.of(place) if (p.table, p.engine) == (place.table, place.engine)]
    at = rows.index(place)
    for other in rows[at + 1 : at + 2] + rows[max(0, at - 1) : at]:
        same = all(other.cells[k] == place.cells[k] for k in ("unit", "unit_2", "source"))
        moved = {c: other.cells[c] for c in (*NUMBERS, "limit_as") if c in other.cells}
        if same and any(place.cells[c] != moved[c] for c in moved):
            return _of("read off by one row", place, place.cells | moved)
    return None


def other_unit(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """Inch in a millimetre column, or the two columns exchanged."""
    unit, second = place.cells["unit"], place.cells["unit_2"]
    if {unit, second} <= {"mm", "in", ""} and unit:
        cells = {"unit": second, "unit_2": unit} if second else {"unit": "mm" if unit == "in" else "in"}
        return _of("inch for millimetre", place, place.cells | cells, moved=24.4)
    return None


def limit_for_range(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """Limit and the worn end of the range exchanged."""
    if place.table == "torques" or place.cells.get("limit_as") != "value":
        return None
    end = "lower" if whole.quantities[place.cells["quantity"]]["limit_side"] == "lower" else "upper"
    cells = dict(place.cells)
    for s in ("", "_2"):
        cells[end + s], cells["limit" + s] = cells["limit" + s], cells[end + s]
    if not (place.cells[end] and place.cells["limit"]) or Decimal(place.cells[end]) == Decimal(place.cells["limit"]):
        return None
    return _of("limit and range exchanged", place, cells, end)


def sign_lost(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """The sign of a tight fit lost."""
    columns = [c for c in NUMBERS if place.cells.get(c, "").startswith("-")]
    if not columns:
        return None
    cells = place.cells | {c: place.cells[c][1:] for c in columns}
    return _of("sign lost on a tight fit", place, cells, columns[0], 2.0)


SAME = ("quantity", "which", "applies", "size", "class", "at", "source", "page", "state")


def places_exchanged(r: random.Random, place: Place, whole: Whole) -> Injection | None:
    """Two positions of one quantity exchanged."""
    if place.table == "torques":
        return None
    others = [
        p
        for p in whole.of(place)
        if p.table == place.table and p.id != place.id and all(p.cells[k] == place.cells[k] for k in SAME)
    ]
    others = [p for p in others if any(p.cells[c] != place.cells[c] for c in NUMBERS)]
    return both_exchanged("positions exchanged", place, r.choice(others)) if others else None


def both_exchanged(kind: str, place: Place, other: Place) -> Injection:
    """Two rows with each other's numbers."""
    keep = (*NUMBERS, "unit", "unit_2", "limit_as")
    first = place.cells | {c: other.cells[c] for c in keep}
    second = other.cells | {c: place.cells[c] for c in keep}
    return Injection(kind, place, ((place, first), (other, second)), (), "", 1.0)


KINDS = {
    "one wrong digit": (digit, 0.75),
    "digits exchanged": (swap, 0.10),
    "decade lost or added": (decade, 0.03),
    "digit dropped": (dropped, 0.02),
    "lower and upper exchanged": (exchanged, 0.02),
    "read off by one row": (next_row, 0.02),
    "inch for millimetre": (other_unit, 0.02),
    "limit and range exchanged": (limit_for_range, 0.015),
    "sign lost on a tight fit": (sign_lost, 0.01),
    "positions exchanged": (places_exchanged, 0.015),
}
"""Kinds of error and their share of the injections."""
