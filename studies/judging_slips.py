"""Readings of honest sheets that are taken for slips, and planted slips that are named."""

from fractions import Fraction
from random import Random
from typing import Any

from honest import DATA, INCH, PLACES, SEED, TOOLS, read

import runningfits as rf

FALSE_ALARMS = 0.2
"""Goal: percent of honest readings that may be taken for slips."""

EARLIER = {"ten times": 60, "a tenth": 60, "inch for millimetre": 59, "a turn": 43, "digits exchanged": 19}
"""Of the same planted slips, how many version 0.2.0 named."""

SLIPS = ("ten times", "a tenth", "inch for millimetre", "a turn", "digits exchanged")
SLIP_RULES = ("B101", "B102", "B103", "B105")
"""Bench rules that say that a reading may be a slip."""

HONEST_SHEETS, PLANTED_SHEETS = 60, 60
STATES = {"new": (0.0015, 0.005), "worn": (0.005, 0.007), "out": (0.0071, 0.011), "tight": (0.0002, 0.0014)}
"""True clearances of the main bearings in inches, by the state of a sheet."""

TORN = "cummins-ntc-400"


def sheet(state: str, rng: Random) -> dict[str, Any]:
    """An honest sheet of the launch's main engine: mains by bore gauge, micrometer and strip, end play, stand-outs."""
    low, high = STATES[state]
    mic, gauge, strip, dial = (
        rng.uniform(-1, 1) * TOOLS[n].limit for n in ("micrometer", "bore gauge", "strip", "dial")
    )
    tools = [
        {"id": n.replace(" ", "-"), "instrument": t.kind, "unit": "in"} | ({"set_on": t.set_on} if t.set_on else {})
        for n, t in TOOLS.items()
        if n in ("micrometer", "bore gauge", "strip", "dial", "feeler pair")
    ]
    readings: list[dict[str, str]] = []
    for number in range(1, PLACES + 1):
        journal = rng.uniform(4.4986, 4.4999) * INCH
        clearance = rng.uniform(low, high) * INCH
        for name, part, truth, off in (
            ("bore gauge", "bore", journal + clearance, mic + gauge),
            ("micrometer", "shaft", journal, mic),
        ):
            for direction in ("vertical", "horizontal"):
                value, _ = read(TOOLS[name], truth, off, 1.0, rng)
                readings.append(_line("main-bearing-clearance", str(number), part, value, name, 4, direction))
        if number in (2, 5):
            value, half = read(TOOLS["strip"], clearance, strip, 1.0, rng)
            if value - half > 0:
                readings.append(
                    _line("main-bearing-clearance", str(number), "strip", value - half, "strip", 4, upper=value + half)
                )
    play = {"new": (0.008, 0.016), "worn": (0.0175, 0.0215), "out": (0.023, 0.03), "tight": (0.0005, 0.0065)}[state]
    value, _ = read(TOOLS["dial"], rng.uniform(*play) * INCH, dial, 1.0, rng)
    readings.append(_line("crank-end-play", "thrust", "gap", value, "dial", 4))
    for number in range(1, 7):
        out = rng.uniform(0.003, 0.006) if state != "tight" else rng.uniform(0.0005, 0.0028)
        value, _ = read(TOOLS["dial"], out * INCH, dial, 1.0, rng)
        readings.append(_line("liner-protrusion", str(number), "gap", value, "dial", 4))
    return {"engine": TORN, "instruments": tools, "readings": readings}


def _line(
    item: str,
    position: str,
    part: str,
    si: Fraction,
    tool: str,
    digits: int,
    direction: str = "",
    upper: Fraction | None = None,
) -> dict[str, str]:
    line = {"item": item, "position": position, "part": part, "unit": "in", "instrument": tool.replace(" ", "-")}
    line["value"] = _text(si, digits)
    if upper is not None:
        line["to"] = _text(upper, digits)
    return line | ({"direction": direction} if direction else {})


def _text(si: Fraction, digits: int) -> str:
    return f"{float(si / Fraction('0.0254')):.{digits}f}"


def planted(kind: str, rng: Random) -> tuple[dict[str, Any], int] | None:
    """A sheet of a new engine with one slip, and the number of that reading; None where the slip changes nothing."""
    whole = sheet("new", rng)
    sized = [n for n, r in enumerate(whole["readings"]) if r["part"] in ("bore", "shaft")]
    number = rng.choice(sized if kind in ("a turn", "digits exchanged") else range(len(whole["readings"])))
    line = whole["readings"][number]
    if kind == "inch for millimetre":
        line["unit"] = "mm"
        return whole, number
    changes = {
        "ten times": lambda x: f"{10 * float(x):.3f}",
        "a tenth": lambda x: f"{float(x) / 10:.5f}",
        "a turn": lambda x: f"{float(x) + rng.choice((-0.025, 0.025)):.4f}",
        "digits exchanged": lambda x: _exchanged(x, rng),
    }
    value = changes[kind](line["value"])
    if value == line["value"]:
        return None
    line["value"] = value
    if "to" in line:
        line["to"] = changes[kind](line["to"])
    return whole, number


def _exchanged(text: str, rng: Random) -> str:
    """A number with two neighbouring digits after the point exchanged."""
    first = rng.choice(range(text.index(".") + 1, len(text) - 1))
    return text[:first] + text[first + 1] + text[first] + text[first + 2 :]


def suspected(whole: dict[str, Any]) -> set[int]:
    """Numbers of the readings that a bench rule takes for a slip."""
    found = rf.check(whole, DATA).findings
    return {
        int(f.row.removeprefix("readings-")) for f in found if f.code in SLIP_RULES and f.row.startswith("readings-")
    }


def false_alarms(state: str) -> tuple[int, int]:
    """Readings of honest sheets of a state, and how many of them are taken for slips."""
    rng = Random(f"{SEED} honest {state}")
    sheets = [sheet(state, rng) for _ in range(HONEST_SHEETS)]
    return sum(len(s["readings"]) for s in sheets), sum(len(suspected(s)) for s in sheets)


def named(kind: str) -> tuple[int, int]:
    """Slips planted of a kind, and how many of them are named at their reading or its partner."""
    rng = Random(f"{SEED} planted {kind}")
    made = [m for m in (planted(kind, rng) for _ in range(PLANTED_SHEETS)) if m]
    return len(made), sum(bool(_of_place(s, n) & suspected(s)) for s, n in made)


def _of_place(whole: dict[str, Any], number: int) -> set[int]:
    """Numbers of the readings of the same item and place."""
    line = whole["readings"][number]
    return {
        n for n, r in enumerate(whole["readings"]) if (r["item"], r["position"]) == (line["item"], line["position"])
    }
