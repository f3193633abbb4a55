"""Honest readings of known truths: instruments by their class, hands, and how a reading comes about."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import floor
from random import Random
from typing import Any

import runningfits as rf
from runningfits.judging import grid, values
from runningfits.judging.instruments import instruments
from runningfits.judging.scatter import scatters
from runningfits.judging.temperature import temperatures

SEED = 20261126
PLACES = 7
"""Places of a sheet: the main bearings of a six."""

INCH = 0.0254
DATA = rf.load()
CALM = temperatures({"part_temperature": "20 degC", "room_temperature": "20 degC"}, DATA)


@dataclass(frozen=True)
class Tool:
    """An instrument of the study by its class: step or distance of marks in SI, what it reads, what it was set on."""

    kind: str
    step: float
    part: str
    how: str = "scale"
    set_on: str = ""

    @cached_property
    def exact(self) -> Fraction:
        """Its step, exact: so many half thousandths of an inch."""
        return Fraction(round(self.step / INCH * 20000), 20000) * Fraction("0.0254")

    @property
    def row(self) -> dict[str, str]:
        """Its class."""
        return DATA.keyed("instruments")[self.kind]

    def number(self, column: str) -> float:
        """A number of its class in SI units."""
        return float(Fraction(self.row[column] or 0) * DATA.units[self.row["unit"]].factor)

    @cached_property
    def limit(self) -> float:
        """Limit of its error."""
        return self.number("mpe") or self.number("usual")

    @cached_property
    def hand(self) -> float:
        """Usual spread of one reading."""
        return self.number("repeatability")


TOOLS = {
    "micrometer": Tool("outside-micrometer", 0.0001 * INCH, "shaft"),
    "bore gauge": Tool("bore-gauge", 0.0001 * INCH, "bore", set_on="micrometer"),
    "caliper": Tool("caliper", 0.0005 * INCH, "shaft"),
    "dial": Tool("dial-indicator", 0.0005 * INCH, "gap"),
    "dial on a bridge": Tool("dial-on-bridge", 0.0005 * INCH, "gap"),
    "feeler pair": Tool("feeler-gauge", 0.001 * INCH, "gap", how="leaves"),
    "lone leaf": Tool("feeler-gauge", 0.001 * INCH, "gap", how="leaf"),
    "strip": Tool("strip", 0.0005 * INCH, "strip", how="leaves"),
}
MARKS = ("feeler pair", "strip")


@dataclass(frozen=True)
class Cell:
    """What is simulated: a way of measuring, a method of counting over a grid of places and directions, a hand.

    `shape` says whether the part is alike at all places; `warmth` whether it is at 20 degrees Celsius, warm and
    measured so, or of unlike materials at a temperature that nobody gave.
    """

    way: str
    method: str
    grid: tuple[int, int]
    shape: str
    repeats: int
    spread: float
    warmth: str = "20 °C"


Reading = grid.Reading
Truth = dict[tuple[str, str], float]


def exact(value: float) -> Fraction:
    return Fraction(round(value * 1e10), 10**10)


def read(tool: Tool, truth: float, scale: float, spread: float, rng: Random) -> tuple[Fraction, Fraction]:
    """Middle and half-width that a tool shows for a true size, off by `scale` and by the hand."""
    seen = truth + scale + rng.gauss(0.0, spread * tool.hand)
    if tool.how == "scale":
        return round(seen / tool.step) * tool.exact, Fraction(0)
    low = floor(seen / tool.step)
    if tool.how == "leaf":
        return max(low, 1) * tool.exact, Fraction(0)
    return (low + Fraction(1, 2)) * tool.exact, tool.exact / 2


def truth_of(cell: Cell, size: float, rng: Random) -> Truth:
    """True sizes of a part by place and direction."""
    places, directions = cell.grid
    base = size + rng.uniform(-1, 1) * 0.002 * INCH
    names = [(f"p{p}", f"d{d}") for p in range(places) for d in range(directions)]
    return {n: base + (0.0 if cell.shape == "alike" else rng.uniform(0, 0.0015) * INCH) for n in names}


def readings(name: str, truth: Truth, cell: Cell, scale: float, rng: Random, **more: Any) -> list[Reading]:
    tool, found = TOOLS[name], []
    for place, direction in truth:
        for _ in range(cell.repeats):
            middle, half = read(tool, truth[place, direction], scale, cell.spread, rng)
            found.append(
                Reading(
                    index=len(found),
                    part=tool.part,
                    place=place,
                    direction=direction,
                    value=middle,
                    half_width=half,
                    instrument=name,
                    least_only=tool.how == "leaf",
                    **more,
                )
            )
    return found


def taken_with(groups: Iterable[list[Reading]], warmth: Any = CALM) -> values.Means:
    listed = [
        {"id": n, "instrument": t.kind, "unit": "mm", "resolution": f"{t.step * 1000:.6f}"}
        | ({"set_on": t.set_on} if t.set_on else {})
        for n, t in TOOLS.items()
    ]
    tools = instruments({"instruments": listed}, DATA)
    return values.Means(tools, scatters({n: t.kind for n, t in TOOLS.items()}, groups, DATA), warmth)


def counted(method: str, truth: Truth) -> float:
    counted = grid.SINGLE["dial-total" if method == "half-dial" else method]({k: [v] for k, v in truth.items()})
    assert counted is not None
    return float(counted) / (2 if method == "half-dial" else 1)
