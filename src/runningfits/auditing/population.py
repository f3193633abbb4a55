"""How quantities scale across families: statistics of each row, and the bounds that the dataset itself teaches.

Statistics are natural logarithms unless said otherwise. `python -m runningfits.auditing.refit [DIR]` fits the bounds
to a data folder and prints the table `rules/population.csv`.
"""

import sqlite3
import statistics
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from math import exp, log
from pathlib import Path
from typing import Any

from ..places import folder
from ..tables import rows as table_rows

FEWEST, FAMILIES = 8, 4
"""A quantity with fewer rows, or rows from fewer families, is judged with all of its kind; a kind with fewer not."""

MARGIN = 0.35
"""Least margin beyond what was seen, in natural logarithms: a factor of 1.4. Chosen so that about one row in twenty
of a family that the bounds were not fitted to is flagged (docs/rules-study.md)."""

SCALED = ("size", "clearance", "gap", "end-play", "form", "protrusion", "backlash")
"""Kinds that grow with the engine."""


@dataclass(frozen=True)
class Feature:
    """A statistic of a row: what it is of (quantity or joint), its kind, and its value."""

    row: str
    engine: str
    group: str
    kind: str
    statistic: str
    value: float
    other: str = ""


@dataclass(frozen=True)
class Bound:
    """What a statistic may be: number of rows, median, robust spread, and the least and most."""

    group: str
    statistic: str
    n: int
    median: float
    spread: float
    low: float
    high: float


def features(base: sqlite3.Connection, levels: dict[str, float], engine: str = "") -> list[Feature]:
    """Statistics of all rows of a prepared database, or of one engine's.

    `levels` are the median levels of sizes, by quantity.
    """
    limits = list(_limits(base, engine))
    scale = scales(limits, levels)
    found = [f for r in limits for f in _of_limit(r, scale.get(r["engine"], 0.0))]
    found += _siblings(limits)
    torques = list(_torques(base, engine))
    found += [f for r in torques for f in _of_torque(r)]
    found += _siblings(torques)
    return found + list(_implied(base, engine))


def _dicts(base: sqlite3.Connection, query: str, engine: str) -> Iterator[dict[str, Any]]:
    cursor = base.execute(query, {"engine": engine})
    names = [d[0] for d in cursor.description]
    for values in cursor:
        yield dict(zip(names, values, strict=True))


def _limits(base: sqlite3.Connection, engine: str = "") -> Iterator[dict[str, Any]]:
    query = """SELECT r.row, r.engine, r.quantity, r.position, r.class, r.limit_as, r.low_si, r.high_si,
    r.wear_si, r.middle_si, n.si AS printed_limit, q.kind, q.dimension, q.limit_side
    FROM limits r JOIN quantities q USING (quantity) LEFT JOIN numbers n ON n.row = r.row AND n."column" = 'limit'
    WHERE :engine IN ('', r.engine)"""
    return _dicts(base, query, engine)


def _torques(base: sqlite3.Connection, engine: str) -> Iterator[dict[str, Any]]:
    query = """SELECT row, engine, joint || '-torque step ' || step AS quantity, joint, step,
    low_si, high_si, middle_si, 'tightening' AS kind, 'new' AS class
    FROM torques WHERE action = 'tighten' AND :engine IN ('', engine)"""
    return _dicts(base, query, engine)


def value(r: dict[str, Any]) -> float | None:
    """One number for a row in SI: the middle of its range, the single value, or the one end or limit printed."""
    if r["low_si"] is not None and r["high_si"] is not None:
        return float(r["low_si"] + r["high_si"]) / 2
    ends = (r["middle_si"], r["high_si"], r["low_si"], r.get("wear_si") if r.get("kind") == "size" else None)
    return next((float(e) for e in ends if e is not None), None)


def scales(limits: Iterable[dict[str, Any]], levels: dict[str, float]) -> dict[str, float]:
    """How large each engine is, as the median over its sizes of log(size) - level; engines with five sizes or more."""
    found: defaultdict[str, list[float]] = defaultdict(list)
    for r in limits:
        v = value(r)
        if r["kind"] == "size" and r["quantity"] in levels and v and v > 0:
            found[r["engine"]].append(log(v) - levels[r["quantity"]])
    return {e: statistics.median(v) for e, v in found.items() if len(v) >= 5}


Maker = Callable[[str, float], Feature]


def _kind(r: dict[str, Any]) -> str:
    """Kind of a row: those of one kind and dimension are judged together, a spring's load not with its length."""
    return str(r["kind"]) if r.get("dimension", "length") == "length" else f"{r['kind']} ({r['dimension']})"


def _of_limit(r: dict[str, Any], scale: float) -> Iterator[Feature]:
    make = _maker(r, r["quantity"], _kind(r))
    shift = scale if r["kind"] in SCALED and r["dimension"] == "length" else 0.0
    v, low, high = value(r), r["low_si"], r["high_si"]
    if v is not None and v > 0:
        yield make("level", log(v) - shift)
    if low is not None and high is not None and high > low:
        if r["class"] != "selective":
            yield make("width", log(high - low))
        if low > 0 and r["kind"] != "size":
            yield make("span", log(high / low))
    if r["printed_limit"] is not None:
        yield from _limit_features(r, make, shift)


def _limit_features(r: dict[str, Any], make: Maker, shift: float) -> Iterator[Feature]:
    up = r["limit_side"] != "lower"
    end = r["high_si"] if up else r["low_si"]
    end = r["middle_si"] if end is None else end
    if r["limit_as"] == "wear":
        if r["printed_limit"] > 0:
            yield make("wear", log(r["printed_limit"]))
    elif end is None:
        if r["wear_si"] and r["wear_si"] > 0:
            yield make("limit", log(r["wear_si"]) - shift)
    else:
        beyond = r["wear_si"] - end if up else end - r["wear_si"]
        if beyond > abs(end) * 1e-9:
            yield make("reach", log(beyond))
            if r["kind"] != "size" and end > 0 and up:
                yield make("growth", log(r["wear_si"] / end))


def _maker(r: dict[str, Any], group: str, kind: str) -> Maker:
    return lambda statistic, x: Feature(r["row"], r["engine"], group, kind, statistic, x)


def _siblings(limits: list[dict[str, Any]]) -> Iterator[Feature]:
    """Each row against the other rows of its quantity in its engine."""
    groups: defaultdict[tuple[str, str], list[dict[str, Any]]] = defaultdict(list)
    for r in limits:
        v = value(r)
        if v is not None and v > 0 and r["class"] != "repair":
            groups[r["engine"], r["quantity"]].append(r | {"value": v})
    for rows in groups.values():
        rows.sort(key=lambda r: r["value"])
        for n, r in enumerate(rows):
            beside = [o["value"] for o in (*rows[max(0, n - 1) : n], *rows[n + 1 : n + 2])]
            if beside:
                near = min(beside, key=lambda o: abs(log(r["value"] / o)))
                yield _maker(r, r["quantity"].partition(" step")[0], _kind(r))("sibling", log(r["value"] / near))


def _of_torque(r: dict[str, Any]) -> Iterator[Feature]:
    v = value(r)
    if v is None or v <= 0:
        return
    make = _maker(r, f"{r['joint']}-torque", "tightening")
    yield make("level", log(v))
    if r["low_si"] and r["high_si"] and r["high_si"] > r["low_si"]:
        yield make("span", log(r["high_si"] / r["low_si"]))


def _implied(base: sqlite3.Connection, engine: str) -> Iterator[Feature]:
    """What two sizes leave, over the inner one (not a logarithm)."""
    query = """SELECT DISTINCT m.quantity, o.row AS row, o.engine, i.row AS other,
    o.low_si AS ol, o.high_si AS oh, o.middle_si AS om, i.low_si AS il, i.high_si AS ih, i.middle_si AS im
    FROM members m CROSS JOIN members n ON n.quantity = m.quantity AND n.role = 'inner'
    CROSS JOIN limits o ON o.quantity = m.part AND m.role = 'outer'
    CROSS JOIN limits i ON i.engine = o.engine AND i.quantity = n.part AND i.class = o.class
      AND (i.applies = o.applies OR i.applies = '' OR o.applies = '') AND i.size = o.size
      AND (i.position = o.position OR i.position = 'all' OR o.position = 'all')
    WHERE o.class = 'new' AND :engine IN ('', o.engine)"""
    best: dict[tuple[str, str], Feature] = {}
    for r in _dicts(base, query, engine):
        outer = value({"low_si": r["ol"], "high_si": r["oh"], "middle_si": r["om"]})
        inner = value({"low_si": r["il"], "high_si": r["ih"], "middle_si": r["im"]})
        if outer is None or inner is None or inner <= 0:
            continue
        x = (outer - inner) / inner
        for row, other in ((r["row"], r["other"]), (r["other"], r["row"])):
            key = row, r["quantity"]
            if key not in best or abs(x) < abs(best[key].value):
                best[key] = Feature(row, r["engine"], r["quantity"], "clearance", "implied", x, other)
    yield from best.values()


def fit(base: sqlite3.Connection) -> list[Bound]:
    """Bounds fitted to a prepared database, by quantity where it has rows enough, and by kind."""
    return bounds_of(features(base, levels(base)))


def bounds_of(known: Iterable[Feature]) -> list[Bound]:
    """Bounds fitted to statistics, by quantity where it has rows enough, and by kind."""
    found: defaultdict[tuple[str, str], list[Feature]] = defaultdict(list)
    for f in known:
        found[f.group, f.statistic].append(f)
        found[f"all {f.kind}", f.statistic].append(f)
    return [b for (group, statistic), fs in sorted(found.items()) if (b := _bound(group, statistic, fs))]


def levels(base: sqlite3.Connection, rounds: int = 20) -> dict[str, float]:
    """Median level of each size that many families have, once the size of the engines is taken out (median polish)."""
    scale: dict[str, float] = {}
    found: dict[str, float] = {}
    sizes = _common([(r, log(v)) for r in _limits(base) if r["kind"] == "size" and (v := value(r)) and v > 0])
    for _ in range(rounds):
        groups: defaultdict[str, list[float]] = defaultdict(list)
        for r, x in sizes:
            groups[r["quantity"]].append(x - scale.get(r["engine"], 0.0))
        found = {q: statistics.median(v) for q, v in groups.items()}
        scale = scales([r for r, _ in sizes], found)
        middle = statistics.median(scale.values()) if scale else 0.0
        scale = {e: s - middle for e, s in scale.items()}
    return found


def _common(sizes: list[tuple[dict[str, Any], float]]) -> list[tuple[dict[str, Any], float]]:
    """Sizes of the quantities that have rows and families enough."""
    engines: defaultdict[str, list[str]] = defaultdict(list)
    for r, _ in sizes:
        engines[r["quantity"]].append(r["engine"])
    wanted = {q for q, e in engines.items() if len(e) >= FEWEST and len(set(e)) >= FAMILIES}
    return [(r, x) for r, x in sizes if r["quantity"] in wanted]


def _bound(group: str, statistic: str, fs: list[Feature]) -> Bound | None:
    """Bounds beyond what is seen by a robust spread, and never by less than the margin."""
    values = [f.value for f in fs]
    families = len({f.engine for f in fs})
    if len(values) < FEWEST or families < FAMILIES:
        return None
    middle = statistics.median(values)
    spread = 1.4826 * statistics.median(abs(v - middle) for v in values)
    margin = max(spread, MARGIN / 400 if statistic == "implied" else MARGIN)
    return Bound(group, statistic, len(values), middle, spread, min(values) - margin, max(values) + margin)


@cache
def bounds(path: Path | None = None) -> dict[tuple[str, str], Bound]:
    """The stored bounds by group and statistic."""
    rows = table_rows(path or folder("rules") / "population.csv")
    return {(r["group"], r["statistic"]): _read(r) for r in rows}


def _read(r: dict[str, str]) -> Bound:
    numbers = [float(r[k]) for k in ("median", "spread", "low", "high")]
    return Bound(r["group"], r["statistic"], int(r["n"]), *numbers)


def judged(
    base: sqlite3.Connection, known: dict[tuple[str, str], Bound], engine: str = ""
) -> Iterator[tuple[Any, ...]]:
    """Rows of the prepared table `features`, in the order of COLUMNS, of all engines or of one."""
    levels = {b.group: b.median for b in known.values() if b.statistic == "level"}
    for f in features(base, levels, engine):
        bound = known.get((f.group, f.statistic)) or known.get((f"all {f.kind}", f.statistic))
        if bound:
            plain = [f.value, bound.low, bound.high]
            if f.statistic != "implied":
                plain = [exp(x) for x in plain]
            yield f.row, f.engine, f.statistic, f.other, f.value, bound.low, bound.high, *plain, bound.group, bound.n


COLUMNS = {
    "row": "TEXT",
    "engine": "TEXT",
    "statistic": "TEXT",
    "other": "TEXT",
    "value": "REAL",
    "low": "REAL",
    "high": "REAL",
    "plain": "REAL",
    "least": "REAL",
    "most": "REAL",
    "group": "TEXT",
    "n": "INTEGER",
}
"""Columns of the prepared table `features`."""
