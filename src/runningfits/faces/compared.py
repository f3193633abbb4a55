"""Two sheets of one engine beside each other, as JSON values and as lines."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import groupby
from typing import Any

from ..judging.between import Apart, Comparison, Offset
from ..judging.cases import Bench
from ..judging.naming import place_words
from ..judging.temperature import STEEL, UNKNOWN_KELVIN
from ..scale import Scale
from ..sheets.vocabulary import tool_words
from . import words

TURNS = (("0.5 mm", 5e-4), ("0.025 in", 6.35e-4))
"""A turn of a metric and of an inch micrometer, in words and in metres (common practice)."""

OFFSET_CAUSES = (
    "the two were not set on one standard: try both on the same gauge block, rod or ring",
    "one hand presses harder than the other: try both hands on one part",
)
PLACE_CAUSES = (
    "one of the two numbers was misread or written down wrongly: read both again",
    "it was not read at the same place and in the same direction",
    "a burr, dirt or film under the anvil",
)
"""Likely causes, the likeliest first. Common practice."""


def as_values(found: Comparison, one: Bench, other: Bench, scale: Scale) -> dict[str, Any]:
    """Offsets, places and what one sheet alone has, as JSON values; numbers are text in `unit`."""
    return {
        "unit": scale.unit,
        "agrees": found.agrees,
        "offsets": [_offset(o, one, other, scale) for o in found.offsets],
        "places": [_place(p, one, scale) for p in found.places],
        "only_first": [_named(s, at, one) for s, at in found.alone[0]],
        "only_second": [_named(s, at, one) for s, at in found.alone[1]],
    }


def _offset(o: Offset, one: Bench, other: Bench, scale: Scale) -> dict[str, Any]:
    tools = [_tools(p, bench) for p, bench in ((o.pairs[0].one, one), (o.pairs[0].other, other))]
    numbers = {"difference": scale.text(Fraction(o.mean)), "allowed": scale.up(o.expanded)}
    causes = [] if o.agrees else [*_turns(o.mean, o.expanded), OFFSET_CAUSES[0], *_warmth(o), OFFSET_CAUSES[1]]
    places = [_named(p.size, p.position, one) for p in o.pairs]
    return {"first": tools[0], "second": tools[1]} | numbers | {"agrees": o.agrees, "places": places, "causes": causes}


def _place(p: Apart, one: Bench, scale: Scale) -> dict[str, Any]:
    pair = p.pair
    causes = [] if p.agrees else [*_turns(p.beyond, p.expanded), *PLACE_CAUSES]
    return {
        **_named(pair.size, pair.position, one),
        "first": scale.text(pair.one.value),
        "second": scale.text(pair.other.value),
        "difference": scale.text(Fraction(pair.difference)),
        "beyond_offset": scale.text(Fraction(p.beyond)),
        "allowed": scale.up(p.expanded),
        "agrees": p.agrees,
        "causes": causes,
    }


def _named(size: str, position: str, bench: Bench) -> dict[str, str]:
    label = bench.data.quantities[size]["label"]
    return {"item": size, "label": label, "position": position, "place": place_words(position, bench.data)}


def _tools(value: Any, bench: Bench) -> list[str]:
    readings = bench.sheet.values["readings"]
    return [tool_words(t, bench.data) for t in dict.fromkeys(readings[n]["instrument"] for n in value.readings)]


def _turns(off: float, expanded: float) -> Iterator[str]:
    for text, turn in TURNS:
        if abs(abs(off) - turn) <= expanded < turn / 2:
            yield f"a micrometer was read one turn ({text}) off"
            return


def _warmth(o: Offset) -> Iterator[str]:
    """By how many kelvin parts of steel would be warmer, where warmth could be the cause."""
    sizes = [float(p.one.value) for p in o.pairs if p.part in ("bore", "shaft")]
    if not sizes:
        return
    kelvin = o.mean / (sum(sizes) / len(sizes) * float(STEEL) * 1e-6)
    if abs(kelvin) <= 4 * UNKNOWN_KELVIN:
        warmer = "second" if kelvin > 0 else "first"
        yield f"parts of steel {abs(kelvin):.0f} K warmer on the {warmer} sheet would read so"


def lines(values: dict[str, Any], names: tuple[str, str]) -> Iterator[str]:
    """A comparison in words: offsets first, then the places that stand out, then what one sheet alone has."""
    unit = values["unit"]
    for o in values["offsets"]:
        where = _gathered(o["places"])
        verb = "agree" if o["agrees"] else "DIFFER"
        yield f"{' and '.join(o['first'])} ({names[0]}) and {' and '.join(o['second'])} ({names[1]}) {verb}"
        yield f"  on the average {_signed(o['difference'])} {unit}, allowed {o['allowed']} {unit}; at {where}"
        yield from (f"  perhaps {c}" for c in o["causes"])
    for p in (p for p in values["places"] if not p["agrees"]):
        yield f"{p['label']}, {p['place']}: STANDS OUT, {p['first']} and {p['second']} {unit}"
        yield f"  {_signed(p['beyond_offset'])} {unit} beyond the others' difference, allowed {p['allowed']} {unit}"
        yield from (f"  perhaps {c}" for c in p["causes"])
    if values["places"] and all(p["agrees"] for p in values["places"]):
        yield f"no place stands out of {len(values['places'])}"
    for name, only in zip(names, (values["only_first"], values["only_second"]), strict=True):
        if only:
            yield f"only on {name}: {_gathered(only)}"


def _signed(number: str) -> str:
    return number if number.startswith("-") else f"+{number}"


def _gathered(places: list[dict[str, str]]) -> str:
    """Places in words, gathered by what was read there."""
    by = groupby(sorted(places, key=lambda p: p["label"]), key=lambda p: p["label"])
    return "; ".join(f"{label.lower()} {', '.join(p['place'] for p in group)}" for label, group in by)


def changes(first: dict[str, Any], second: dict[str, Any]) -> dict[str, Any]:
    """What became of an engine between two results: fits then and now, what was done to it, what is open."""
    then = {(r["item"], r["position"], str(r["says"])): r for r in first["results"]}
    now = {(r["item"], r["position"], str(r["says"])): r for r in second["results"]}
    keys = sorted({*then, *now}, key=lambda k: ((now.get(k) or then[k])["order"], k))
    fits = [_fit(then.get(k), now.get(k)) for k in keys if not (now.get(k) or then[k])["derived"]]
    done = [line for line in second["build_words"] if line not in first["build_words"]]
    done += [f"{p['part']}: {' '.join(filter(None, (p['maker'], p['number'])))}" for p in second["parts"]]
    left = [*words.out_lines(second), *(f"not measured: {m}" for m in words.missing_lines(second))]
    return {"stages": [first["stage"], second["stage"]], "fits": fits, "done": done, "open": left}


def _fit(then: dict[str, Any] | None, now: dict[str, Any] | None) -> dict[str, Any]:
    there = now or then
    assert there
    said = {k: there[k] for k in ("item", "label", "position", "place")}
    return said | {"then": _told(then), "now": _told(now)}


def _told(r: dict[str, Any] | None) -> dict[str, Any] | None:
    if r is None:
        return None
    cells = {k: r[k] for k in ("value", "unit", "uncertainty", "verdict")}
    return cells | {"words": ", ".join(filter(None, (words.value_words(r), words.verdict_words(r))))}


def change_lines(values: dict[str, Any]) -> Iterator[str]:
    """What became of an engine, in words: what is open first."""
    yield "Open: " + ("; ".join(values["open"]) if values["open"] else "nothing")
    yield "Done: " + ("; ".join(values["done"]) if values["done"] else "nothing is said of it")
    then, now = values["stages"]
    for f in values["fits"]:
        yield f"{f['label']}, {f['place']}"
        yield f"  {then}: {f['then']['words'] if f['then'] else 'not measured'}"
        yield f"  {now}: {f['now']['words'] if f['now'] else 'not measured'}"
