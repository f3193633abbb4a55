"""Wrong verdicts with the truth on a limit and beyond it, and how far probabilities are off."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from random import Random

import numpy as np
from honest import INCH, PLACES, SEED, TOOLS, Cell, Reading, readings, taken_with

from runningfits.judging import decide, grid, proving, values
from runningfits.judging.bounds import Bounds, End

ON_LIMIT, BEYOND, OFF, OFF_MARKS = 3.0, 0.5, 0.04, 0.06
"""Goals: percent of one wrong verdict on a limit, within 2 U beyond it; distance of probabilities from shares."""

RANGES = {
    "bearing clearance": ("0.0015", "0.0050", "0.0070", "upper", "clearance"),
    "journal": ("4.4985", "4.5000", "4.4975", "lower", "size"),
    "end play": ("0.0070", "0.0170", "0.0220", "upper", "end-play"),
    "ring gap": ("0.0230", "0.0330", "0.0430", "upper", "gap"),
}
"""New range and wear limit in inches, as pages print them, for the study of verdicts: the launch's main engine."""

JUDGED = {
    "bore less shaft": (
        "bearing clearance",
        Cell("bore less shaft, 1 x 1", "mean-bore-minus-mean-shaft", (1, 1), "alike", 1, 1.0),
    ),
    "bore less shaft, twice": (
        "bearing clearance",
        Cell("bore less shaft, 1 x 1", "mean-bore-minus-mean-shaft", (1, 1), "alike", 2, 1.0),
    ),
    "micrometer": ("journal", Cell("micrometer", "smallest", (1, 1), "alike", 1, 1.0)),
    "micrometer, smallest of six": ("journal", Cell("micrometer", "smallest", (3, 2), "varied", 1, 1.0)),
    "micrometer, smallest of six, all alike": ("journal", Cell("micrometer", "smallest", (3, 2), "alike", 1, 1.0)),
    "dial": ("end play", Cell("dial", "total-travel", (1, 1), "alike", 1, 1.0)),
    "feeler pair": ("ring gap", Cell("feeler pair", "largest", (1, 1), "alike", 1, 1.0)),
    "strip": ("bearing clearance", Cell("strip", "widest-strip", (1, 1), "alike", 1, 1.0)),
}
TRUTHS, TINY = 4000, 1e-9
MARKED = ("feeler pair", "strip")


def _bounds(name: str) -> Bounds:
    low, high, limit, side, kind = RANGES[name]
    ends = [Fraction(x) * Fraction("0.0254") for x in (low, high, limit)]
    return Bounds(*(End(e, e) for e in ends), side=side, mates=kind == "size")


def _measured(cell: Cell, truths: Sequence[float], rng: Random) -> list[values.Value]:
    """Values of places with given truths, sheet by sheet of one hand."""
    return [v for n in range(0, len(truths), PLACES) for v in _of_sheet(cell, truths[n : n + PLACES], rng)]


def _of_sheet(cell: Cell, truths: Sequence[float], rng: Random) -> list[values.Value]:
    pair = cell.way.startswith("bore less")
    names = ("bore gauge", "micrometer") if pair else (cell.way,)
    parts: list[tuple[list[Reading], ...]] = []
    for truth in truths:
        shaft = 0.1143 + rng.uniform(-1, 1) * 1e-4
        mic, own = (rng.uniform(-1, 1) * TOOLS[n].limit for n in (names[-1], names[0]))
        sizes = ((shaft + truth, mic + own), (shaft, mic)) if pair else ((truth, mic),)
        parts.append(
            tuple(readings(n, _places(cell, x, rng), cell, off, rng) for n, (x, off) in zip(names, sizes, strict=True))
        )
    taken = taken_with([g for groups in parts for g in groups])
    ways = grid.PAIRED[cell.method] if pair else (cell.method,)
    return [
        _value([values.part_value(g, w, taken, False) for g, w in zip(gs, ways, strict=True)], cell) for gs in parts
    ]


def _value(made: Sequence[values.Value | None], cell: Cell) -> values.Value:
    first, *rest = [v for v in made if v]
    return values.difference(first, rest[0], cell.method) if rest else first


def _places(cell: Cell, smallest: float, rng: Random) -> dict[tuple[str, str], float]:
    """True sizes of a part by place and direction, of which the smallest is given."""
    places, directions = cell.grid
    keys = [(f"p{p}", f"d{d}") for p in range(places) for d in range(directions)]
    more = 0.0 if cell.shape == "alike" else 0.0015 * INCH
    least = rng.choice(keys)
    return {k: smallest + (0.0 if k == least else rng.uniform(0, more)) for k in keys}


def _verdicts(found: Sequence[values.Value], bounds: Bounds) -> tuple[list[str], list[float | None]]:
    """Verdict of each value and its probability of lying in the new range; None where the judge does not tell it."""
    limits = decide.Limits(*(np.array([x] * len(found)) for x in proving.limits_of(bounds)))
    least, most = np.array([v.least for v in found]), np.array([v.most for v in found])
    middle, standard = np.array([float(v.value) for v in found]), np.array([v.standard for v in found])
    share = decide.probability(middle, standard, limits.new_low, limits.new_high)
    told = [proving.told(v, float(s)) for v, s in zip(found, share, strict=True)]
    return [decide.VERDICTS[c] for c in decide.decide(least, most, limits)], told


def _is_wrong(verdict: str, truth: float, bounds: Bounds) -> bool:
    low, high, limit = (float(e.strict) for e in (bounds.low, bounds.high, bounds.limit) if e)
    new = low <= truth <= high
    allowed = low <= truth <= limit if bounds.wears_up else limit <= truth <= high
    return {
        "new": not new,
        "worn": new or not allowed,
        "serviceable": not allowed,
        "loose": allowed,
        "tight": allowed,
    }.get(verdict, False)


@dataclass(frozen=True)
class Wrong:
    """Of a way: the worst share of one wrong verdict in percent, on a limit and within 2 U beyond one, and which."""

    way: str
    on: float
    on_verdict: str
    beyond: float
    beyond_verdict: str
    calibration: float


def wrong(numbered: tuple[int, str]) -> Wrong:
    """Wrong verdicts and calibration of one way of measuring."""
    number, way = numbered
    name, cell = JUDGED[way]
    bounds, rng = _bounds(name), Random(f"{SEED} verdicts {number}")
    ends = [float(e.strict) for e in (bounds.low, bounds.high, bounds.limit) if e]
    expanded = _measured(cell, ends[:1] * PLACES, rng)[0].expanded
    on = beyond = (0.0, "none")
    for end in ends:
        near = [end + rng.choice((-TINY, TINY)) for _ in range(TRUTHS)]
        on = max(on, _worst(cell, near, bounds, rng))
        for side in (-1, 1):
            off = [end + side * rng.uniform(0, 2 * expanded) for _ in range(TRUTHS)]
            beyond = max(beyond, _worst(cell, off, bounds, rng))
    return Wrong(way, on[0], on[1], beyond[0], beyond[1], _calibration(cell, bounds, ends, expanded, rng))


def _worst(cell: Cell, truths: list[float], bounds: Bounds, rng: Random) -> tuple[float, str]:
    """The largest share of one wrong verdict in percent, and that verdict."""
    verdicts, _ = _verdicts(_measured(cell, truths, rng), bounds)
    missed = [v for v, t in zip(verdicts, truths, strict=True) if _is_wrong(v, t, bounds)]
    return max(((100 * missed.count(v) / len(truths), v) for v in set(missed)), default=(0.0, "none"))


def _calibration(cell: Cell, bounds: Bounds, ends: list[float], expanded: float, rng: Random) -> float:
    """Largest distance, over ten bins, of the mean probability of the new range from the share that lies in it."""
    low, high = min(ends[:2]), max(ends[:2])
    truths = [rng.choice((low, high)) + rng.uniform(-3, 3) * expanded for _ in range(5 * TRUTHS)]
    truths = [t for t in truths if t > 0]
    _, shares = _verdicts(_measured(cell, truths, rng), bounds)
    inside = [low <= t <= high for t in truths]
    bins: dict[int, list[tuple[float, bool]]] = {}
    for share, held in zip(shares, inside, strict=True):
        if share is None:
            continue
        bins.setdefault(min(int(share * 10), 9), []).append((share, held))
    return max(
        abs(sum(p for p, _ in b) / len(b) - sum(h for _, h in b) / len(b)) for b in bins.values() if len(b) > 200
    )
