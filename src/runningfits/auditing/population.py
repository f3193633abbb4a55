"""How quantities scale across families: statistics of each row, natural logarithms unless said otherwise."""

import sqlite3
import statistics
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from math import exp, log
from typing import Any

FEWEST, FAMILIES = 8, 4
"""A quantity with fewer rows, or rows from fewer families, is judged with all of its kind; a kind with fewer not."""

SCALED = ("size", "clearance", "gap", "end-play", "form", "protrusion", "backlash")
"""Kinds that grow with the engine."""


@dataclass(frozen=True)
class Feature:
    """A statistic of a row: what it is of (quantity or joint), its kind, and its value.

    `times` turns it back into what the page prints, in the row's unit; `over` says that it divides.
    """

    row: str
    engine: str
    group: str
    kind: str
    statistic: str
    value: float
    other: str = ""
    times: float = 1.0
    over: bool = False

    def printed(self, value: float) -> float:
        """What a value of the statistic means for the number that the page prints, in its unit."""
        factor = 1 + value if self.statistic == "implied" else exp(value)
        return self.times / factor if self.over else self.times * factor


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
    r.wear_si, r.middle_si, n.si AS printed_limit, q.kind, q.dimension, q.limit_side, ifnull(u.factor_si, 1) AS factor
    FROM limits r JOIN quantities q USING (quantity) LEFT JOIN unit_factors u ON u.unit = r.unit
      LEFT JOIN numbers n ON n.row = r.row AND n.line = r.line AND n."column" = 'limit'
    WHERE :engine IN ('', r.engine)"""
    return _dicts(base, query, engine)


def _torques(base: sqlite3.Connection, engine: str) -> Iterator[dict[str, Any]]:
    query = """SELECT row, engine, joint || '-torque step ' || step AS quantity, joint, step,
    low_si, high_si, middle_si, 'tightening' AS kind, 'new' AS class, ifnull(u.factor_si, 1) AS factor
    FROM torques LEFT JOIN unit_factors u USING (unit) WHERE action = 'tighten' AND :engine IN ('', engine)"""
    return _dicts(base, query, engine)


def value(r: dict[str, Any]) -> float | None:
    """One number for a row in SI: the middle of its range, the single value, or the one end or limit printed."""
    if r["low_si"] is not None and r["high_si"] is not None:
        return float(r["low_si"] + r["high_si"]) / 2
    ends = (r["middle_si"], r["high_si"], r["low_si"], r.get("wear_si") if r.get("kind") == "size" else None)
    return next((float(e) for e in ends if e is not None), None)


def scales(limits: Iterable[dict[str, Any]], levels: dict[str, float]) -> dict[str, float]:
    """How large each engine is, as the median over its sizes of log(size) - level; engines with five sizes or more."""
    sized = ((r, value(r)) for r in limits if r["kind"] == "size" and r["quantity"] in levels)
    return _medians(((r["engine"], log(v) - levels[r["quantity"]]) for r, v in sized if v and v > 0), 5)


Maker = Callable[..., Feature]


def _kind(r: dict[str, Any]) -> str:
    """Kind of a row: those of one kind and dimension are judged together, a spring's load not with its length."""
    return str(r["kind"]) if r.get("dimension", "length") == "length" else f"{r['kind']} ({r['dimension']})"


def _of_limit(r: dict[str, Any], scale: float) -> Iterator[Feature]:
    make = _maker(r, r["quantity"], _kind(r))
    shift = scale if r["kind"] in SCALED and r["dimension"] == "length" else 0.0
    v, low, high = value(r), r["low_si"], r["high_si"]
    if v is not None and v > 0:
        yield make("level", log(v) - shift, exp(shift))
    if low is not None and high is not None and high > low:
        if r["class"] != "selective":
            yield make("width", log(high - low))
        if low > 0 and r["kind"] != "size":
            yield make("span", log(high / low), low)
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
            yield make("limit", log(r["wear_si"]) - shift, exp(shift))
    else:
        beyond = r["wear_si"] - end if up else end - r["wear_si"]
        if beyond > abs(end) * 1e-9:
            yield make("reach", log(beyond))
            if r["kind"] != "size" and end > 0 and up:
                yield make("growth", log(r["wear_si"] / end), end)


def _maker(r: dict[str, Any], group: str, kind: str) -> Maker:
    """How to make the features of a row; `times` in SI."""
    return lambda statistic, x, times=1.0, other="": Feature(
        r["row"], r["engine"], group, kind, statistic, x, other, times / r["factor"]
    )


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
            beside = [*rows[max(0, n - 1) : n], *rows[n + 1 : n + 2]]
            if beside:
                near = min(beside, key=lambda o: abs(log(r["value"] / o["value"])))
                make, x = _maker(r, r["quantity"].partition(" step")[0], _kind(r)), log(r["value"] / near["value"])
                yield make("sibling", x, near["value"], near["row"])


def _of_torque(r: dict[str, Any]) -> Iterator[Feature]:
    v = value(r)
    if v is None or v <= 0:
        return
    make = _maker(r, f"{r['joint']}-torque", "tightening")
    yield make("level", log(v))
    if r["low_si"] and r["high_si"] and r["high_si"] > r["low_si"]:
        yield make("span", log(r["high_si"] / r["low_si"]), r["low_si"])


def _implied(base: sqlite3.Connection, engine: str) -> Iterator[Feature]:
    """What two sizes leave, over the inner one (not a logarithm)."""
    query = """SELECT DISTINCT m.quantity, o.row AS row, o.engine, i.row AS other,
    o.low_si AS ol, o.high_si AS oh, o.middle_si AS om, i.low_si AS il, i.high_si AS ih, i.middle_si AS im,
    ou.factor_si AS of, iu.factor_si AS if
    FROM members m CROSS JOIN members n ON n.quantity = m.quantity AND n.role = 'inner'
    CROSS JOIN limits o ON o.quantity = m.part AND m.role = 'outer'
    CROSS JOIN limits i ON i.engine = o.engine AND i.quantity = n.part AND i.class = o.class
      AND (i.applies = o.applies OR i.applies = '' OR o.applies = '') AND i.size = o.size
      AND (i.position = o.position OR i.position = 'all' OR o.position = 'all')
    JOIN unit_factors ou ON ou.unit = o.unit JOIN unit_factors iu ON iu.unit = i.unit
    WHERE o.class = 'new' AND :engine IN ('', o.engine)"""
    best: dict[tuple[str, str], Feature] = {}
    for r in _dicts(base, query, engine):
        outer = value({"low_si": r["ol"], "high_si": r["oh"], "middle_si": r["om"]})
        inner = value({"low_si": r["il"], "high_si": r["ih"], "middle_si": r["im"]})
        if outer is None or inner is None or inner <= 0:
            continue
        x = (outer - inner) / inner
        both = ((r["row"], r["other"], inner / r["of"], False), (r["other"], r["row"], outer / r["if"], True))
        for row, other, times, over in both:
            key = row, r["quantity"]
            if key not in best or abs(x) < abs(best[key].value):
                best[key] = Feature(row, r["engine"], r["quantity"], "clearance", "implied", x, other, times, over)
    yield from best.values()


def levels(base: sqlite3.Connection) -> dict[str, float]:
    """Median level of each size that many families have, once the size of the engines is taken out."""
    return polished(sizes(base))


Sizes = list[tuple[str, str, float]]


def sizes(base: sqlite3.Connection) -> Sizes:
    """Engine, quantity and logarithm of every size."""
    found = [r for r in _limits(base) if r["kind"] == "size"]
    return [(r["engine"], r["quantity"], log(v)) for r in found if (v := value(r)) and v > 0]


def polished(known: Sizes, rounds: int = 20) -> dict[str, float]:
    """Median level of each size by median polish."""
    known = _common(known)
    scale: dict[str, float] = {}
    found: dict[str, float] = {}
    for _ in range(rounds):
        found = _medians((q, x - scale.get(e, 0.0)) for e, q, x in known)
        scale = _medians(((e, x - found[q]) for e, q, x in known), 5)
        middle = statistics.median(scale.values()) if scale else 0.0
        scale = {e: s - middle for e, s in scale.items()}
    return found


def _medians(known: Iterable[tuple[str, float]], fewest: int = 1) -> dict[str, float]:
    groups: defaultdict[str, list[float]] = defaultdict(list)
    for group, x in known:
        groups[group].append(x)
    return {g: statistics.median(v) for g, v in groups.items() if len(v) >= fewest}


def _common(known: Sizes) -> Sizes:
    """Sizes of the quantities that have rows and families enough."""
    engines: defaultdict[str, list[str]] = defaultdict(list)
    for engine, quantity, _ in known:
        engines[quantity].append(engine)
    wanted = {q for q, e in engines.items() if len(e) >= FEWEST and len(set(e)) >= FAMILIES}
    return [k for k in known if k[1] in wanted]
