"""Faults of a reading: numbers that no part can have, temperatures that no shop has."""

import re
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from ..dataset import Dataset
from ..degrees import bare, celsius, kelvin
from ..mating import makes_a_fit, measured_size
from ..numerals import parse, shown
from .entries import CROSS, ENDS, SPREAD
from .faults import SheetFault, Step
from .placed import Sheet

COLDEST, HOTTEST = -40, 100
"""Temperatures of parts and instruments, in degrees Celsius, beyond which a sheet has a slip."""

FARTHEST_APART = 50
"""By how many kelvin part and instrument may differ where nobody knows by how much: more has been measured."""

WARM_SHOP = 40
"""The warmest that a number without its unit is taken for degrees Celsius; beyond it, it may be Fahrenheit."""

ORDINARY = (-10, 45)
"""Temperatures of a shop, in degrees Celsius, beyond which the wrong scale is likelier than the weather."""

FIT_APART = 30
"""By how many kelvin the parts of one fit may differ: beyond it the correction for warmth outgrows the fit."""

PLAYS = ("gap", "end-play", "backlash", "clearance", "lash")
"""Kinds of quantities of which a gap is read itself."""

AMOUNTS = ("form", "size", "spring", "force", "torque", "mass")
"""Kinds of quantities that are an amount, without a sign; a protrusion, an angle or a fit has one."""


def temperature_faults(sheet: Sheet, data: Dataset) -> Iterator[SheetFault]:
    """Temperatures that no shop has, or that may be of either scale, a spread beyond reason.

    Parts may be warm from the washer where another temperature of the sheet is an ordinary one.
    """
    found: list[tuple[str, list[Step]]] = [
        (sheet.values[k], [k]) for k in ("part_temperature", "room_temperature") if k in sheet.values
    ]
    for number, reading in enumerate(sheet.values["readings"]):
        if "temperature" in reading:
            found.append((reading["temperature"], ["readings", number, "temperature"]))
    for text, path in found:
        if not COLDEST <= celsius(text, data) <= HOTTEST:
            expected = f"a temperature from {COLDEST} degC to {HOTTEST} degC"
            yield SheetFault(sheet.place(path), shown(text), expected)
        elif bare(text) and celsius(text, data) > WARM_SHOP:
            yield SheetFault(sheet.place(path), shown(text), f"its unit: {text.strip()} C or {text.strip()} F")
        elif _is_odd(text, data) and (path == ["room_temperature"] or all(_is_odd(t, data) for t, _ in found)):
            yield SheetFault(sheet.place(path), shown(text), _which_scale(text, path, data))
    spread = sheet.values.get("temperature_spread", "0 K")
    if not 0 <= kelvin(spread, data) <= FARTHEST_APART:
        expected = f"a difference from 0 K to {FARTHEST_APART} K"
        yield SheetFault(sheet.place(["temperature_spread"]), shown(spread), expected)


def _is_ordinary(degrees: Fraction) -> bool:
    return ORDINARY[0] <= degrees <= ORDINARY[1]


def _is_odd(text: str, data: Dataset) -> bool:
    """Whether a temperature may be in the other scale: no shop is so warm or cold. One in kelvin is meant as it is."""
    return not text.strip().endswith("K") and not _is_ordinary(celsius(text, data))


def _which_scale(text: str, path: list[Step], data: Dataset) -> str:
    """What to write for the other scale, and for a temperature that is meant as it stands."""
    number = re.sub("[^0-9.,+-]", "", text)
    own, other = ("F", "C") if text.strip()[-1:] in "Ff" else ("C", "F")
    here, there = celsius(f"{number} {own}", data), celsius(f"{number} {other}", data)
    slip = f"{number} {other}, which is {_in_scale(there, own)} °{own}, or " if _is_ordinary(there) else ""
    kept = f"{float(here) + 273.15:.2f} K if it was {number} °{own} ({_in_scale(here, other)} °{other}) indeed"
    return slip + kept + ("" if path == ["room_temperature"] else ", or that of the room too if only the parts were so")


def _in_scale(degrees: Fraction, scale: str) -> str:
    return f"{float(degrees if scale == 'C' else degrees * 9 / 5 + 32):.0f}"


def fit_faults(sheet: Sheet, data: Dataset, path: list[Step], reading: dict[str, Any]) -> Iterator[SheetFault]:
    """The fault of a reading whose part was far warmer or colder than the other part of its fit."""
    if "temperature" not in reading:
        return
    own = celsius(reading["temperature"], data)
    for other in sheet.values["readings"]:
        told = other.get("temperature", sheet.values.get("part_temperature"))
        if told and _is_mate(reading, other, data) and abs(celsius(told, data) - own) > FIT_APART:
            expected = f"at most {FIT_APART} K from the {other['part']} of its fit, which was at {told}"
            yield SheetFault(sheet.place([*path, "temperature"]), shown(reading["temperature"]), expected)
            return


ROOM_APART = 30
"""By how many kelvin a part and the instrument may differ: beyond it the correction for warmth outgrows the limits."""


def room_faults(sheet: Sheet, data: Dataset) -> Iterator[SheetFault]:
    """Faults of temperatures of bores and shafts that are far from that of the instruments."""
    given = sheet.values
    room = given.get("room_temperature")
    everywhere = given.get("part_temperature", "20 degC")
    middle = celsius(room, data) if room else (celsius(everywhere, data) + 20) / 2
    told = f"at {room}" if room else "taken to be half way from the parts to 20 C: say room_temperature"
    found: dict[tuple[Step, ...], str] = {}
    for number, reading in enumerate(given["readings"]):
        own = reading.get("temperature")
        path: tuple[Step, ...] = ("readings", number, "temperature") if own else (_said(given),)
        if reading["part"] in ("bore", "shaft") and abs(celsius(own or everywhere, data) - middle) > ROOM_APART:
            found[path] = own or given[_said(given)]
    for path, text in found.items():
        expected = f"at most {ROOM_APART} K between parts and instruments, which were {told}"
        yield SheetFault(sheet.place(list(path)), shown(text), expected)


def _said(given: dict[str, Any]) -> str:
    """The field that says how far parts and instruments are apart, where no reading does."""
    return "part_temperature" if "part_temperature" in given else "room_temperature"


def _is_mate(one: dict[str, Any], other: dict[str, Any], data: Dataset) -> bool:
    size, mate = (measured_size(r["item"], r["part"], data) for r in (one, other))
    return one["position"] == other["position"] and makes_a_fit(size, mate, data)


SHORTEST = 4
"""Letters of the shortest direction that is taken for a known one misspelled."""


def direction_faults(sheet: Sheet, data: Dataset, path: list[Step], reading: dict[str, Any]) -> Iterator[SheetFault]:
    """The fault of a direction that is a known one but for a letter; other words are taken, and prove nothing."""
    told, known = reading.get("direction", ""), data.keyed("directions")
    if len(told) < SHORTEST or told in known:
        return
    if near := next((w for w in sorted(known) if len(w) >= SHORTEST and _is_one_off(told, w)), ""):
        yield SheetFault(sheet.place([*path, "direction"]), shown(told), f"a direction of the list, perhaps {near}")


def _is_one_off(one: str, other: str) -> bool:
    """Whether two words differ by a letter that is more, less or another, or by two letters that changed places."""
    same = next((n for n, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other)))
    a, b = one[same:], other[same:]
    return a[1:] == b or a == b[1:] or a[1:] == b[1:] or (a[:2] == b[1::-1] and a[2:] == b[2:])


def value_faults(sheet: Sheet, data: Dataset, path: list[Step], reading: dict[str, Any]) -> Iterator[SheetFault]:
    """Faults of a reading's number: a sign where there is none, no size, a next leaf that is thinner."""
    quantity, value = data.quantities[reading["item"]], parse(reading["value"])
    at = sheet.place([*path, "value"])
    if _is_play(quantity["kind"], reading["part"]) and value < 0:
        yield SheetFault(at, shown(reading["value"]), "a gap or play of 0 or more")
    elif reading["part"] in ("bore", "shaft") and value <= 0:
        yield SheetFault(at, shown(reading["value"]), "a size above 0")
    elif quantity["kind"] in AMOUNTS and value < 0 and not _swings(quantity, reading, sheet):
        expected = f"0 or more: {quantity['label'].lower()} is an amount without a sign"
        yield SheetFault(at, shown(reading["value"]), expected)
    if "to" in reading and parse(reading["to"]) <= value:
        yield SheetFault(sheet.place([*path, "to"]), shown(reading["to"]), "more than the value")


def _is_play(kind: str, part: str) -> bool:
    """Whether a direct reading is of a gap or a play, which cannot be negative."""
    return part == "strip" or (part == "gap" and kind in PLAYS)


def _swings(quantity: dict[str, str], reading: dict[str, Any], sheet: Sheet) -> bool:
    """Whether a reading may be one of several of which a form is the difference, on both sides of a dial's zero."""
    same = [r for r in sheet.values["readings"] if _of(r) == _of(reading)]
    return quantity["kind"] == "form" and quantity["method"] in (*CROSS, *ENDS, *SPREAD) and len(same) > 1


def _of(reading: dict[str, Any]) -> tuple[str, str, str]:
    return reading["item"], reading["position"], reading["part"]
