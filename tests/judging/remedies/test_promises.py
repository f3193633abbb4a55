"""Each remedy applied on paper gives the fit that it promised: every item of fifty engines, both sides out."""

import random
import re
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import pytest

from runningfits.build import Build, size_from
from runningfits.choosing import choose
from runningfits.dataset import Dataset
from runningfits.judging.against import DOUBTS
from runningfits.judging.bounds import bounds, together
from runningfits.judging.remedies.trouble import wanted

from ...shop import judge

Json = dict[str, Any]

OUT = ("loose", "past-new", "tight")
DIGITS = 6
ENGINES = sorted(Dataset().engines)
SOME = sorted(random.Random(4).sample(ENGINES, 50))
TOOLS = {
    "bore": {"instrument": "bore-gauge", "resolution": "0.001", "mpe": "0.001", "unit": "mm"},
    "shaft": {"instrument": "outside-micrometer", "resolution": "0.001", "mpe": "0.001", "unit": "mm"},
    "gap": {"instrument": "dial-indicator", "resolution": "0.001", "mpe": "0.001", "unit": "mm"},
}
"""Instruments that leave no doubt, so that what is promised is judged and not the tool."""


def text(value: Fraction) -> str:
    return f"{float(value):.{DIGITS}f}"


def spot(row_position: str, counted: str) -> str:
    first = re.split("[,-]", row_position)[0]
    return "1" if row_position == "all" and counted else first if first.isdigit() else row_position


def part_of(quantity: Json) -> str:
    if quantity["kind"] == "size":
        inside = quantity["limit_side"] == "upper" and quantity["instrument"] != "outside-micrometer"
        return "bore" if inside else "shaft"
    return "gap"


def lines(item: str, at: str, data: Dataset, engine: str, value: Fraction) -> list[Json]:
    """Readings in millimetres that make a value; a fit of two parts has the bore read, and the shaft as printed."""
    quantity = data.quantities[item]
    rows = choose(data, engine, Build(), item, at).rows
    state = rows[0]["state"] if rows and quantity["kind"] == "lash" else ""
    made = {"item": item, "position": at, "unit": "mm"} | ({"state": state} if state else {})
    if not (quantity["outer"] and quantity["inner"] and quantity["kind"] == "clearance"):
        part = part_of(quantity)
        return [made | {"part": part, "value": text(value), "instrument": part}]
    shaft = next(filter(None, (printed(n, at, data, engine) for n in quantity["inner"].split())), None)
    bore = next(filter(None, (printed(n, at, data, engine) for n in quantity["outer"].split())), Fraction(50))
    shaft = shaft or bore - value
    pairs = (("bore", shaft + value), ("shaft", shaft))
    return [made | {"part": p, "value": text(v), "instrument": p} for p, v in pairs]


def printed(item: str, at: str, data: Dataset, engine: str) -> Fraction | None:
    ends = window(item, at, data, engine, Build())
    return None if ends is None or None in ends else (ends[0] + ends[1]) / 2  # type: ignore[operator]


def window(item: str, at: str, data: Dataset, engine: str, build: Build) -> tuple[Fraction | None, ...] | None:
    rows = choose(data, engine, build, item, at).rows
    found = together([bounds(r, data) for r in rows]) if rows else None
    if found is None or not found.judged:
        return None
    return tuple(None if e is None else e * 1000 for e in wanted(found))


def troubles(data: Dataset, engine: str, large: bool) -> Iterator[list[Json]]:
    """Readings that are out on one side, for each item of lengths and place of an engine that one row judges."""
    rows = [r for t in ("clearances", "sizes") for r in data.all_rows(engine, t)]
    for item, at in dict.fromkeys((r.item, spot(r["position"], data.counted_by(r.item))) for r in rows):
        if data.quantities[item]["dimension"] != "length":
            continue
        ends = window(item, at, data, engine, Build())
        end = ends and ends[1 if large else 0]
        if ends is None or end is None:
            continue
        whole = None not in ends and ends[1] - ends[0]  # type: ignore[operator]
        beyond = max(whole or Fraction(0), Fraction(3, 100))
        value = end + beyond if large else end - beyond
        out = lines(item, at, data, engine, value)
        if value > 0 or data.quantities[item]["kind"] == "protrusion" or len(out) == 2:
            yield out


def bench(data: Dataset, engine: str, readings: list[Json], build: Json | None = None) -> Json:
    """The result of the item of the first reading, by simple acceptance: what is promised is judged, not the tools."""
    tools = [{"id": name, **tool} for name, tool in TOOLS.items()]
    more = {"build": build} if build else {}
    found = judge(data, *readings, engine=engine, instruments=tools, decision="simple", **more)["results"]
    return next(r for r in found if r["item"] == readings[0]["item"])


def done(result: Json, option: Json, readings: list[Json], data: Dataset) -> Iterator[tuple[list[Json], str]]:
    """Readings once a remedy was done, for each end of its promise: the part at an end of what it must be, else the
    fit itself as the page promises it."""
    promised, sides = option["result"], {r["part"]: Fraction(r["value"]) for r in readings}
    for end in ("lower", "upper"):
        if promised[end] is None:
            continue
        value = Fraction(promised[end]) * factor(promised["unit"], data)
        if len(sides) == 1 and (value > 0 or "gap" in sides):
            yield [readings[0] | {"value": text(value)}], end
        elif len(sides) == 2 and promised["uncertainty"] == "0":
            made = by_page(option, value, sides, data.quantities[result["item"]], data)
            yield [r | {"value": text(made[r["part"]])} for r in readings], end
        for change in option["parts"] if len(sides) == 2 and promised["uncertainty"] != "0" else ():
            part = side_of(change["item"], data.quantities[result["item"]])
            if part:
                size = text(at_end(change, end, part, promised) * factor(change["unit"], data))
                yield [r | {"value": size} if r["part"] == part else r for r in readings], end


def by_page(option: Json, value: Fraction, sides: dict[str, Fraction], quantity: Json, data: Dataset) -> Json:
    """Bore and shaft of a fit that the page promises, with the part that is machined in the middle of its window."""
    for change in option["parts"]:
        ends = [Fraction(e) * factor(change["unit"], data) for e in (change["lower"], change["upper"]) if e]
        middle = sum(ends) / len(ends)
        if side_of(change["item"], quantity) == "bore":
            return {"bore": middle, "shaft": middle - value}
        if side_of(change["item"], quantity) == "shaft":
            return {"bore": middle + value, "shaft": middle}
    return {"bore": sides["shaft"] + value, "shaft": sides["shaft"]}


def factor(unit: str, data: Dataset) -> Fraction:
    return data.units[unit].factor * 1000


def side_of(item: str, quantity: Json) -> str:
    if item in quantity["outer"].split():
        return "bore"
    return "shaft" if item in quantity["inner"].split() else ""


def at_end(change: Json, end: str, part: str, promised: Json) -> Fraction:
    """The size of a part that gives an end of a promised fit; its middle where the promise is one number."""
    low, high = Fraction(change["lower"]), Fraction(change["upper"])
    if promised["lower"] == promised["upper"]:
        return (low + high) / 2
    return low if (end == "lower") == (part == "bore") else high


def step(number: str, unit: str, data: Dataset) -> Fraction:
    return factor(unit, data) / 10 ** len(number.partition(".")[2])


HOLDS = {
    "new": ("new",),
    "wear-limit": ("worn", "serviceable", "new"),
    "agrees": ("agrees",),
    "outside": OUT,
}
"""Verdicts that a promise is kept by; where it may come out inside or outside any verdict does, and where the
tools are too coarse for the range the value alone is held."""


@pytest.mark.parametrize("engine", SOME)
def test_a_remedy_gives_what_it_promised(data: Dataset, engine: str) -> None:
    broken = [b for large in (True, False) for r in troubles(data, engine, large) for b in broken_by(r, engine, data)]
    assert broken == []


def broken_by(readings: list[Json], engine: str, data: Dataset) -> Iterator[str]:
    """Promises that judging again does not keep, or of something forbidden, and troubles without a remedy."""
    result = bench(data, engine, readings)
    if result["verdict"] in OUT and not result["remedies"]:
        yield f"nothing to do: {result['item']}"
    for option in result["remedies"]:
        yield from contradicted(option, readings[0]["position"], engine, data)
        promised = option["result"]
        if option["permitted"] is False and (promised or not option["why"]):
            yield f"forbidden, yet promised or without a reason: {option['text']}"
        size = option["size"]
        build = (
            {"size": {size["part"]: size["value"]}} if size and promised and promised["uncertainty"] == "0" else None
        )
        for new, end in done(result, option, readings, data) if promised else ():
            again = bench(data, engine, new, build)
            apart = abs(
                Fraction(promised[end]) * factor(promised["unit"], data)
                - Fraction(again["value"]) * factor(again["unit"], data)
            )
            shown = [step(promised[end], promised["unit"], data)]
            shown += [step(c["lower"], c["unit"], data) for c in option["parts"] if c["lower"]]
            kept = again["verdict"] in HOLDS.get(promised["meets"], (again["verdict"],))
            kept = kept or again["needs"] == DOUBTS["wide"]
            if apart > sum(shown) or not kept:
                yield f"{result['item']}: {option['text']}: {promised} gave {again['value']}, {again['verdict']}"
            rows = {again["range"]["id"], *(o["id"] for o in again["others"])} if again["range"] else set()
            if build and promised["row"] not in rows:
                yield f"{result['item']}: {option['text']}: {promised['row']}, judged by {rows or again['verdict']}"


def contradicted(option: Json, at: str, engine: str, data: Dataset) -> Iterator[str]:
    """Windows of parts that reach beyond what the part's own rows allow with wear."""
    size = option["size"]
    build = Build(size={size["part"]: {"all": size_from(size["value"], data.units)}}) if size else Build()
    for change in option["parts"] if option["permitted"] is not False else ():
        rows = choose(data, engine, build, change["item"], at).rows
        allowed = together([bounds(r, data) for r in rows]) if rows else None
        if allowed is None or None in (change["lower"], change["upper"]):
            continue
        low, high = (Fraction(change[e]) * data.units[change["unit"]].factor for e in ("lower", "upper"))
        least, most = (None if e is None else e.strict for e in (allowed.wear_low, allowed.wear_high))
        if (least is not None and low < least) or (most is not None and high > most):
            yield f"{option['text']}: beyond {[r.id for r in rows]}"


@pytest.mark.parametrize("engine", ["detroit-53-inline", "gm-ecotec-2-2-l61", "toyota-1fz-fe"])
def test_some_is_forbidden(data: Dataset, engine: str) -> None:
    """The promises of these engines hold something that is forbidden, so that it is known to be looked at."""
    results = (bench(data, engine, r) for r in troubles(data, engine, False))
    assert any(o["permitted"] is False for found in results for o in found["remedies"])
