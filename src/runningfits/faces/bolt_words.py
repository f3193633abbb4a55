"""What a wrench and a bolt were worked out to, as JSON values and in lines."""

from math import floor, log10
from typing import Any

from .. import bolting, units
from ..dataset import Dataset

Answer = tuple[dict[str, Any], list[str]]
"""What was found, as JSON values and in lines."""

Ends = tuple[float | None, float]
"""Smallest and largest value of a wrench in newton metres."""

TORQUES = ("N.m", "lbf.ft", "lbf.in", "kgf.m", "kgf.cm")


def _in_all(si: float, data: Dataset) -> dict[str, str]:
    return {u: _text(si / float(data.units[u].factor)) for u in TORQUES}


def converted(si: float, known: str, data: Dataset) -> Answer:
    """A torque in all units, with the trap of the unit that it was given in."""
    shown_in = _in_all(si, data)
    lines = [f"{text:>10} {name}" for name, text in shown_in.items()]
    trap = {
        "lbf.in": "lbf.in read as lbf.ft tightens twelve times too much: twelve lbf.in are one lbf.ft.",
        "lbf.ft": "lbf.ft read as lbf.in tightens to a twelfth: twelve lbf.in are one lbf.ft.",
        "N.m": "N.m read as lbf.ft tightens by 36 % too much.",
    }.get(known, "kgf.m and kgf.cm differ by a hundred; kgf.cm is near to lbf.in by name alone.")
    return {"unit": known, "in": shown_in, "trap": trap}, [*lines, trap]


def adapted(
    given: float, unit: units.Unit, arms: tuple[float, float, float], is_setting: bool, ends: Ends | None
) -> Answer:
    """Setting of a wrench with an adapter and what the bolt gets, the one of the other, and whether the wrench fits.

    `arms` are the two lengths in metres and the angle in degrees.
    """
    other = (bolting.on_the_bolt if is_setting else bolting.set_on)(given, *arms)
    setting, bolt = (given, other) if is_setting else (other, given)
    name, factor = unit.unit, float(unit.factor)
    found: dict[str, Any] = {"set": _text(setting / factor), "on_the_bolt": _text(bolt / factor), "unit": name}
    found["factor"] = _text(setting / bolt)
    lines = [f"set the wrench to {found['set']} {name}: the bolt gets {found['on_the_bolt']} {name}"]
    lines.append("It holds only with the hand in the middle of the grip, and no extension that gives way.")
    if ends is not None:
        fit, words = spanned(ends, unit, setting)
        found |= {"span": fit}
        lines += words
    return found, lines


def spanned(ends: Ends, unit: units.Unit, setting: float | None = None) -> Answer:
    """What a wrench of two ends in SI is good for, and whether a setting lies in it."""
    least, most = bolting.span(*ends)
    name, factor = unit.unit, float(unit.factor)
    found: dict[str, Any] = {"from": _text(least / factor), "to": _text(most / factor), "unit": name}
    lines = [f"tested from {found['from']} to {found['to']} {name}: a fifth of its range upward (ISO 6789)"]
    if setting is not None:
        found["inside"] = least * (1 - 1e-9) <= setting <= most * (1 + 1e-9)
        outside = "OUT: the setting lies outside; take another wrench"
        lines.append("the setting lies inside" if found["inside"] else outside)
    return found, lines


Bolt = tuple[str, float, str]
"""Grade, proof load in newtons, and its page."""


def preloaded(
    torque: float, bolt: bolting.Thread, grade: Bolt, friction: bolting.Friction, scatter: float, data: Dataset
) -> Answer:
    """The preload of a torque with its scatter, against the proof load."""
    name, proof, _ = grade
    load = bolting.preload(torque, bolt.diameter, friction.factor)
    low, high = bolting.scattered(load, scatter)
    shares = [f"{100 * x / proof:.0f}" for x in (load, low, high)]
    found = {"torque": _in_all(torque, data), **_loads(load, bolt, grade), "k": f"{friction.factor:g}"}
    found |= {"k_source": friction.source, "scatter_percent": f"{100 * scatter:g}"}
    found |= {"least": _newtons(low), "most": _newtons(high), "percent_least": shares[1], "percent_most": shares[2]}
    lines = [
        f"{found['torque']['N.m']} N.m ({found['torque']['lbf.ft']} lbf.ft) on {bolt.name}, grade {name}:",
        f"preload {_kilo(load)}, by its scatter {_kilo(low)} to {_kilo(high)}",
        f"{shares[0]} % of the proof load of {_kilo(proof)}, by its scatter {shares[1]} % to {shares[2]} %",
        *(["OUT: it may pass the proof load, and the bolt stays longer"] if high > proof else []),
        f"T = K d F with K {friction.factor:g}: {friction.source}",
        f"scatter {100 * scatter:g} %: "
        + ("common practice for a torque wrench, 25 % to 35 %, no source" if scatter == bolting.SCATTER else "given"),
        *_sources(bolt, grade),
        "It is an estimate: the torque of the engine's page rules.",
    ]
    return found, lines


def stretched(load: float, longer: float, bolt: bolting.Thread, grade: Bolt, modulus: float) -> Answer:
    """A stretch and its preload, against the proof load."""
    found = {"stretch": {"mm": f"{1000 * longer:.4f}", "in": f"{longer / 0.0254:.5f}"}, **_loads(load, bolt, grade)}
    steel = "common practice for steel, no source" if modulus == bolting.STEEL else "given"
    lines = [
        f"stretch {found['stretch']['mm']} mm ({found['stretch']['in']} in) on {bolt.name}, grade {grade[0]}:",
        f"preload {_kilo(load)}, {found['percent_of_proof']} % of the proof load of {_kilo(grade[1])}",
        *(["OUT: past the proof load, the bolt stays longer"] if load > grade[1] else []),
        f"Young's modulus {modulus / 1e9:g} GPa: {steel}; head and engaged thread not counted",
        *_sources(bolt, grade),
        "It is an estimate: the stretch of the engine's page rules.",
    ]
    return found, lines


def _loads(load: float, bolt: bolting.Thread, grade: Bolt) -> dict[str, Any]:
    name, proof, page = grade
    return {
        "thread": bolt.name,
        "grade": name,
        "preload": _newtons(load),
        "proof_load": _newtons(proof),
        "percent_of_proof": f"{100 * load / proof:.0f}",
        "stress_area_source": bolt.source,
        "proof_source": page,
    }


def _sources(bolt: bolting.Thread, grade: Bolt) -> list[str]:
    return [f"stress area: {bolt.source}", f"proof stress: {grade[2]}"]


def _newtons(load: float) -> dict[str, str]:
    return {"kN": _text(load / 1000), "lbf": _text(load / 4.4482216152605)}


def _kilo(load: float) -> str:
    return "{kN} kN ({lbf} lbf)".format_map(_newtons(load))


def _text(value: float, digits: int = 4) -> str:
    """A number with so many significant digits, without a power of ten."""
    if not value:
        return "0"
    places = digits - 1 - floor(log10(abs(value)))
    return f"{round(value, places):.{max(0, places)}f}"
