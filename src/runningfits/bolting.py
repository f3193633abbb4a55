"""Wrench and bolt worked out: adapters, usable span, threads, proof loads, preload with its scatter, stretch."""

import re
from dataclasses import dataclass
from fractions import Fraction
from math import cos, pi, radians

from .dataset import Dataset
from .numerals import parse

TESTED_FROM = 0.2
"""Share of its largest value from which a torque wrench is tested (ISO 6789)."""

SCATTER = 0.30
"""Share by which the preload of a torque wrench may be off: common practice, 25 % to 35 %, no source."""

STEEL = 207e9
"""Young's modulus of steel in pascals: common practice, 205 to 210 GPa, no source."""

PSI = 4.4482216152605 / 0.0254**2
STRESS = {"MPa": 1e6, "ksi": 1000 * PSI}
"""Pascals by unit of stress; a thousand pounds per square inch from the exact pound-force and inch (NIST SP 811)."""


class BoltError(ValueError):
    """A thread, grade or length that cannot be worked with; the message says what was expected."""


@dataclass(frozen=True)
class Friction:
    """Nut factor K of T = K d F, and where it is from."""

    factor: float
    source: str


DRY = Friction(0.20, "gives with 3/4 of the proof load grades 5 and 8 of TM 10-6640-238-13, table G-1, clean and dry")
OILED = Friction(0.16, "VDI 2230 tables at a friction of 0.12: 0.156 to 0.162; 0.14 at 0.10, 0.19 at 0.14")
FRICTIONS = {"dry": DRY, "as-received": DRY, "oiled": OILED}
"""Nut factor by state of the thread; for compound or sealant nobody knows it but their maker."""


@dataclass(frozen=True)
class Thread:
    """A thread in SI units: nominal diameter, stress area, and where the area is from."""

    name: str
    diameter: float
    area: float
    source: str


def set_on(wanted: float, wrench: float, adapter: float, angle: float) -> float:
    """What a wrench is set to so that the bolt gets `wanted`.

    `wrench` is the length from the square to the middle of the grip, `adapter` from the square to the bolt, `angle` in
    degrees from the line of the wrench outwards: 0 lengthens it, 90 changes nothing, 180 shortens it. Raises BoltError.
    """
    return wanted * wrench / _reach(wrench, adapter, angle)


def on_the_bolt(setting: float, wrench: float, adapter: float, angle: float) -> float:
    """What the bolt gets of a setting, lengths and angle as for `set_on`; raises BoltError."""
    return setting * _reach(wrench, adapter, angle) / wrench


def _reach(wrench: float, adapter: float, angle: float) -> float:
    """Length along the wrench from the bolt to the grip."""
    across = {90.0: 0.0, 270.0: 0.0}.get(angle % 360, cos(radians(angle)))
    reach = wrench + adapter * across
    if wrench <= 0 or adapter < 0 or reach <= 0:
        raise BoltError("the adapter reaches back past the grip: expected a wrench longer than that")
    return reach


def span(least: float | None, most: float) -> tuple[float, float]:
    """What a wrench is good for: from a fifth of its largest value, or from its smallest where that is more."""
    return max(least or 0.0, TESTED_FROM * most), most


METRIC = re.compile(r"M(\d+(?:\.\d+)?)x(\d+(?:\.\d+)?)")
INCH = re.compile(r"(?:(\d+)-)?(?:(\d+)/([1-9]\d*)|(\d+))-(\d+)")


def thread(name: str, data: Dataset) -> Thread:
    """A thread by its designation, such as M10x1.5 or 3/8-16; raises BoltError for what is none.

    Its stress area is the printed one, else worked out from diameter and pitch.
    """
    plain = re.sub(r"\s+|UNC|UNF", "", name.upper().replace("×", "X")).replace("X", "x")
    known = data.keyed("threads").get(plain)
    if known:
        unit = float(data.units[known["unit"]].factor)
        source = data.cite(known["source"], known["page"]).text
        return Thread(plain, float(known["diameter"]) * unit, float(known["stress_area"]) * unit**2, source)
    if metric := METRIC.fullmatch(plain):
        diameter, pitch = (float(n) / 1000 for n in metric.groups())
        return _worked_out(plain, diameter, diameter - 0.9382 * pitch, "pi/4 (d - 0.9382 P)^2, ISO 898-1")
    if (inch := INCH.fullmatch(plain)) and int(inch[5]):
        diameter, pitch = _inches(inch), 0.0254 / int(inch[5])
        return _worked_out(plain, diameter, diameter - 0.9743 * pitch, "pi/4 (D - 0.9743/n)^2, ASME B1.1")
    raise BoltError(f'"{name}" is no thread: expected one such as M10x1.5 or 3/8-16')


NUMBERED = 12, 24
"""The largest numbered inch size, and the fewest threads per inch of one: 10-24 is a number, 1-12 an inch."""


def _inches(found: re.Match[str]) -> float:
    """Diameter in metres of an inch thread: a fraction, whole inches, or a number (0.060 in, 0.013 in more each)."""
    whole, upper, lower, number, per_inch = (int(n) if n else 0 for n in found.groups())
    if found[4] and number <= NUMBERED[0] and per_inch >= NUMBERED[1]:
        return (0.060 + 0.013 * number) * 0.0254
    return float(whole + (Fraction(upper, lower) if found[2] else number)) * 0.0254


def _worked_out(name: str, diameter: float, effective: float, formula: str) -> Thread:
    if not 0 < effective < diameter:
        raise BoltError(f'"{name}" is no thread: its pitch is larger than it')
    return Thread(name, diameter, pi / 4 * effective**2, f"worked out, {formula}")


def proof_load(grade: str, of: Thread, data: Dataset) -> tuple[float, str]:
    """Load in newtons that a bolt of a grade or class must bear without lasting stretch, and its page.

    Raises BoltError with the grades there are for the diameter.
    """
    rows = sorted(data.table("fasteners"), key=lambda r: float(r["up_to"]))
    fit = [r for r in rows if _holds(r, of, data)]
    found = next((r for r in fit if r["grade"] == grade), None)
    if found is None:
        there = ", ".join(sorted({r["grade"] for r in fit}, key=parse))
        raise BoltError(f'no proof stress of grade "{grade}" for {of.name}: expected one of {there or "none"}')
    stress = float(found["proof"]) * STRESS[found["unit"]]
    return stress * of.area, data.cite(found["source"], found["page"]).text


def _holds(row: dict[str, str], of: Thread, data: Dataset) -> bool:
    """Whether a row of property classes is for a thread of its own system and diameter."""
    if (row["diameter_unit"] == "mm") != of.name.startswith("M"):
        return False
    unit = float(data.units[row["diameter_unit"]].factor)
    return float(row["over"]) * unit <= of.diameter * (1 + 1e-9) and of.diameter <= float(row["up_to"]) * unit * (
        1 + 1e-9
    )


def preload(torque: float, diameter: float, factor: float) -> float:
    """Preload in newtons of a torque in newton metres: F = T / (K d)."""
    return torque / (factor * diameter)


def torque_for(load: float, diameter: float, factor: float) -> float:
    """Torque in newton metres for a preload in newtons: T = K d F."""
    return factor * diameter * load


def scattered(load: float, scatter: float) -> tuple[float, float]:
    """Ends of what a preload may be when the wrench reads right and the friction is off by a share."""
    return load * (1 - scatter), load * (1 + scatter)


def stretch(load: float, of: Thread, grip: float, shank: float, modulus: float = STEEL) -> float:
    """How much longer a bolt gets under a load, in metres.

    `grip` is the length from under the head to the nut or the first thread that holds, `shank` the plain part of it
    at full diameter; head and engaged thread are not counted. Raises BoltError.
    """
    return load * _give(of, grip, shank, modulus)


def load_of(longer: float, of: Thread, grip: float, shank: float, modulus: float = STEEL) -> float:
    """Preload in newtons of a measured stretch in metres, lengths as for `stretch`; raises BoltError."""
    return longer / _give(of, grip, shank, modulus)


def _give(of: Thread, grip: float, shank: float, modulus: float) -> float:
    """Stretch in metres per newton."""
    if grip <= 0 or not 0 <= shank <= grip:
        raise BoltError("expected a grip above 0 and a plain shank no longer than it")
    return (shank / (pi / 4 * of.diameter**2) + (grip - shank) / of.area) / modulus
