"""How often intervals of honest readings hold the truth, and how wide they are for it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from random import Random
from typing import Any

import numpy as np
from honest import CALM, DATA, INCH, PLACES, SEED, TOOLS, Cell, Reading, counted, exact, readings, taken_with, truth_of

from runningfits.judging import grid, values
from runningfits.judging.temperature import STEEL, temperatures

SHEETS, MORE_SHEETS = 60, 300
HANDS = ((1, 0.0), (1, 1.0), (2, 1.0), (3, 1.0), (5, 1.0), (2, 5.0))
"""How often each place is read, and the spread of the hand as a multiple of its class's usual one."""

CLEAR, CLOSE = 0.955, 0.93
"""Share of held intervals below which a cell is looked at with more sheets, and share of the goal for U above which:
the half-width that holds 95 % of the errors is known to 5 % from the first sheets, to 2 % from all."""

BORE_ALIKE = "bore alike"
"""Shape of a fit whose bore is alike at all places and whose shaft is not."""

COVERED, WIDE, WIDE_ONCE, BOUND_HELD = 94.0, 1.25, 1.4, 97.5
"""Goals: percent held, mean U over what it need be with repeats and without, percent held by a lone leaf."""


def _sheet(cell: Cell, rng: Random) -> list[tuple[values.Value, float]]:
    """Values and truths of the places of one sheet."""
    return _fits(cell, rng) if cell.way.startswith("bore less shaft") else _parts(cell, rng)


def _parts(cell: Cell, rng: Random) -> list[tuple[values.Value, float]]:
    tool = TOOLS[cell.way]
    sized = tool.part in ("bore", "shaft")
    groups, truths = [], []
    for _ in range(PLACES):
        truth = truth_of(cell, 0.0635 if sized else 0.006 * INCH, rng)
        scale = rng.uniform(-1, 1) * tool.limit
        if tool.set_on:
            scale += rng.uniform(-1, 1) * TOOLS[tool.set_on].limit
        if tool.how != "scale":
            truth = {k: max(v, 0.0015 * INCH) for k, v in truth.items()}
        groups.append(readings(cell.way, truth, cell, scale, rng))
        truths.append(counted(cell.method, truth))
    taken = taken_with(groups)
    found = [values.part_value(g, cell.method, taken, False) for g in groups]
    return [(v, t) for v, t in zip(found, truths, strict=True) if v]


def _fits(cell: Cell, rng: Random) -> list[tuple[values.Value, float]]:
    """Bore less shaft: the micrometer measures the shaft and sets the bore gauge."""
    ways = grid.PAIRED[cell.method]
    bores, shafts, truths = [], [], []
    warm = _warmth(cell, rng)
    for _ in range(PLACES):
        mic, gauge = (rng.uniform(-1, 1) * TOOLS[n].limit for n in ("micrometer", "bore gauge"))
        shaft = truth_of(replace(cell, shape="varied") if cell.shape == BORE_ALIKE else cell, 0.0635, rng)
        bore = truth_of(replace(cell, shape="alike") if cell.shape == BORE_ALIKE else cell, 0.0635 + 0.003 * INCH, rng)
        truths.append(counted(ways[0], bore) - counted(ways[1], shaft))
        grown = {
            "bore": {k: v * warm.bore for k, v in bore.items()},
            "shaft": {k: v * warm.shaft for k, v in shaft.items()},
        }
        bores.append(
            _corrected(readings("bore gauge", grown["bore"], cell, mic + gauge, rng, **warm.of("bore")), warm.back_bore)
        )
        shafts.append(
            _corrected(readings("micrometer", grown["shaft"], cell, mic, rng, **warm.of("shaft")), warm.back_shaft)
        )
    taken = taken_with([*bores, *shafts], warm.sheet)
    found = []
    for bore_read, shaft_read, truth in zip(bores, shafts, truths, strict=True):
        a, b = values.part_value(bore_read, ways[0], taken, True), values.part_value(shaft_read, ways[1], taken, True)
        assert a and b
        found.append((values.difference(a, b, cell.method), truth))
    return found


@dataclass(frozen=True)
class Warm:
    """Factors by which bore and shaft seem larger than at 20 degrees Celsius, and by which a sheet takes them back."""

    sheet: Any
    bore: float = 1.0
    shaft: float = 1.0
    back_bore: float = 1.0
    back_shaft: float = 1.0
    expansions: tuple[Fraction, Fraction] = (STEEL, STEEL)
    known: bool = True

    def of(self, part: str) -> dict[str, Any]:
        """What a reading of a part says of its warmth."""
        return {"expansion": self.expansions[part == "shaft"], "temperature_known": self.known}


IRON, ALUMINIUM = (Fraction(DATA.keyed("materials")[m]["expansion"]) for m in ("grey-iron", "aluminium-356"))


def _warmth(cell: Cell, rng: Random) -> Warm:
    if cell.warmth == "20 °C":
        return Warm(CALM)
    steel, iron, aluminium = (float(x) * 1e-6 for x in (STEEL, IRON, ALUMINIUM))
    if cell.warmth == "not given":
        off = rng.uniform(-10, 10)
        bore, shaft = (1 + (a - steel) * off for a in (iron, aluminium))
        return Warm(temperatures({}, DATA), bore, shaft, 1.0, 1.0, (IRON, ALUMINIUM), False)
    part, apart = rng.uniform(25, 45), (rng.uniform(-1, 1), rng.uniform(-1, 1))
    sheet = temperatures({"part_temperature": f"{part:.3f} degC", "room_temperature": "18 degC"}, DATA)
    factors = [1 + a * (part + d - 20) - steel * -2 for a, d in zip((iron, aluminium), apart, strict=True)]
    back = [1 + steel * -2 - a * (float(sheet.part) - 20) for a in (iron, aluminium)]
    return Warm(sheet, *factors, *back, (IRON, ALUMINIUM), True)


def _corrected(readings: list[Reading], factor: float) -> list[Reading]:
    return readings if factor == 1.0 else [replace(r, value=r.value * exact(factor)) for r in readings]


GRIDS = {
    "mean": (3, 2),
    "mean-then-largest": (3, 1),
    "largest": (3, 2),
    "smallest": (3, 2),
    "spread": (3, 2),
    "cross-difference": (3, 2),
    "end-difference": (3, 2),
    "neighbour-difference": (4, 1),
}


def cells() -> list[Cell]:
    """All that is simulated, way by way."""
    plan: list[tuple[str, str, tuple[int, int], tuple[str, ...]]] = []
    shapes = ("alike", "varied")
    plan += [("micrometer", m, g, shapes) for m, g in GRIDS.items()]
    plan += [("bore gauge", m, GRIDS[m], shapes) for m in ("mean", "largest", "cross-difference")]
    plan += [(f"bore less shaft, {g[0]} x {g[1]}", m, g, shapes) for m in grid.PAIRED for g in ((1, 1), (3, 2))]
    plan += [("micrometer", "largest", (1, 1), ("alike",)), ("caliper", "smallest", (1, 2), shapes)]
    plan += [("dial", m, (1, 1), ("alike",)) for m in ("dial-total", "half-dial", "total-travel")]
    plan += [
        ("dial on a bridge", m, g, shapes)
        for m, g in (("mean-then-largest", (2, 1)), ("neighbour-difference", (4, 1)), ("smallest", (4, 1)))
    ]
    plan += [("feeler pair", "widest-gap", (1, 1), ("alike",)), ("feeler pair", "largest", (4, 1), shapes)]
    plan += [
        ("lone leaf", "largest", (1, 1), ("alike",)),
        ("strip", "widest-strip", (1, 1), ("alike",)),
        ("strip", "widest-strip", (3, 1), shapes),
    ]
    found = [Cell(w, m, g, s, n, h) for w, m, g, ss in plan for s in ss for n, h in HANDS]
    pair = "mean-bore-minus-mean-shaft"
    found += [
        Cell("bore less shaft, 1 x 1", pair, (1, 1), "alike", n, h, w) for w in ("warm", "not given") for n, h in HANDS
    ]
    found += [
        Cell("bore less shaft, 3 x 2", "largest-bore-minus-largest-shaft", (3, 2), BORE_ALIKE, n, h) for n, h in HANDS
    ]
    return found


@dataclass(frozen=True)
class Covered:
    """Of a cell: percent of intervals that hold the truth, and mean U over the half-width that holds 95 % of errors."""

    cell: Cell
    held: float
    ratio: float


def covered(numbered: tuple[int, Cell]) -> Covered:
    """Coverage of one cell."""
    number, cell = numbered
    rng = Random(f"{SEED} {number}")
    trials = [t for _ in range(SHEETS) for t in _sheet(cell, rng)]
    close = cell.spread == 1.0 and _ratio(trials) > CLOSE * _widest(cell)
    if close or _share_held(trials) < CLEAR:
        trials += [t for _ in range(MORE_SHEETS) for t in _sheet(cell, rng)]
    return Covered(cell, 100 * _share_held(trials), _ratio(trials))


def _ratio(trials: Sequence[tuple[values.Value, float]]) -> float:
    """Mean U over the half-width that holds 95 % of the errors; 0 where there are none."""
    half = float(np.quantile([abs(float(v.value) - t) for v, t in trials], 0.95))
    return float(np.mean([v.expanded for v, _ in trials])) / half if half else 0.0


def _widest(cell: Cell) -> float:
    """How many times that half-width U may be."""
    return WIDE_ONCE if cell.repeats == 1 else WIDE


def _share_held(trials: Sequence[tuple[values.Value, float]]) -> float:
    return sum(v.least <= t + 1e-12 and t <= v.most + 1e-12 for v, t in trials) / len(trials)


def missed(found: Covered) -> list[str]:
    """The goal of a cell that it misses."""
    cell = found.cell
    goal = BOUND_HELD if cell.way == "lone leaf" else COVERED
    return [f"holds {found.held:.1f} %"] if found.held < goal and (cell.spread <= 1.0 or cell.repeats > 1) else []


def is_wide(found: Covered) -> bool:
    """Whether U of a hand of its class's own spread is wider than the goal."""
    cell = found.cell
    measured = cell.spread == 1.0 and cell.way != "lone leaf"
    return measured and round(found.ratio, 2) > _widest(cell)
