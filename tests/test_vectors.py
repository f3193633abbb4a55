"""The test vectors: of one form, each reproduced by the code, and worked out once more by other means.

Other means: exact fractions for bounds and decision, `scipy.stats` for probabilities, Student's factor and the ranges
of several readings, definitions taken pair by pair for the values, linear propagation by `uncertainties` and by GTC for
the uncertainty.
"""

import csv
import json
import tomllib
from collections.abc import Callable
from fractions import Fraction
from functools import cache
from itertools import combinations
from math import inf, isinf, nan, pi, sqrt
from statistics import fmean, mean, variance
from typing import Any

import jsonschema
import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.stats import norm, studentized_range
from scipy.stats import t as student

import runningfits as rf
from runningfits import choosing
from runningfits.build import parsed
from runningfits.dataset import Dataset
from runningfits.judging import coverage, decide, grid, temperature, values
from runningfits.judging.bounds import Bounds, bounds, together
from runningfits.judging.instruments import corrections, instruments
from runningfits.judging.scatter import scatters
from runningfits.numerals import plain
from runningfits.places import folder
from runningfits.rows import Cite, Row
from runningfits.sheets.faults import SheetError

Vector = dict[str, Any]

CELLS = ("lower", "upper", "nominal", "tolerance", "limit", "limit_as")


@cache
def files() -> dict[str, dict[str, Any]]:
    return {p.name: json.loads(p.read_text(encoding="utf-8")) for p in sorted(folder("vectors").glob("*.json"))}


def vectors(kind: str = "") -> list[Vector]:
    return [v for f in files().values() for v in f["vectors"] if kind in ("", v["kind"])]


def named(kind: str = "") -> pytest.MarkDecorator:
    return pytest.mark.parametrize("vector", vectors(kind), ids=lambda v: v["id"])


# what the code says


def rows_of(given: dict[str, Any]) -> list[Row]:
    """Rows that print the ranges of a vector."""
    blank = dict.fromkeys((*CELLS, *(f"{c}_2" for c in CELLS), "unit_2"), "")
    cells = {"quantity": given["quantity"], "unit": given["unit"], **blank}
    return [Row("vector", "clearances", "", cells | r, Cite("", "", "", "", "")) for r in given["ranges"]]


def bounds_of(given: dict[str, Any], data: Dataset) -> Bounds:
    all_of = [bounds(row, data) for row in rows_of(given)]
    return together(all_of) if len(all_of) > 1 else all_of[0]


def bounded(given: dict[str, Any], data: Dataset) -> dict[str, Any]:
    """Ends of ranges that all must hold, in the unit of the vector."""
    found, factor = bounds_of(given, data), data.units[given["unit"]].factor
    ends = {"low": found.low, "high": found.high, "limit": found.limit, "nominal": found.nominal}
    shown = {k: e and {"strict": exact(e.strict / factor), "loose": exact(e.loose / factor)} for k, e in ends.items()}
    return shown | {"side": found.side, "floor": found.floor, "open_end": found.open_end}


def decided(given: dict[str, Any], data: Dataset) -> dict[str, Any]:
    """Verdict, probabilities and margins of a value with its expanded uncertainty."""
    found, factor = bounds_of(given, data), data.units[given["unit"]].factor
    if not found.judged:
        return {"verdict": "no-range"}
    value, half = Fraction(given["value"]) * factor, float(Fraction(given["uncertainty"]) * factor)
    middle = (float(found.nominal.strict), float(found.nominal.loose)) if found.nominal else (nan, nan)
    flags = (found.fresh, found.limit is not None, found.wears_up, found.side == "both")
    limits = decide.Limits(*(np.array([x]) for x in (*found.ends(), *middle, *flags)))
    x, u, off = float(value), np.array([half / coverage.NORMAL]), half if given["decision"] == "guarded" else 0.0
    most = inf if given.get("least_only") else x + off
    code = decide.decide(np.array([x - off]), np.array([most]), limits)[0]
    fresh = decide.probability(np.array([x]), u, limits.new_low, limits.new_high)[0] if found.fresh else None
    rated = (found.fresh or found.limit) and not given.get("least_only")
    within = decide.within_limit(np.array([x]), u, limits)[0] if rated else None
    return {
        "verdict": decide.VERDICTS[code],
        "probability": None if fresh is None or not rated else round(float(fresh), 12),
        "probability_within_limit": None if within is None else round(float(within), 12),
        "margins": margins(value, found, factor),
    }


def margins(value: Fraction, found: Bounds, factor: Fraction) -> dict[str, str | None]:
    gaps = {
        "lower": None if found.low is None else value - found.low.strict,
        "upper": None if found.high is None else found.high.strict - value,
        "limit": None if found.limit is None else (found.limit.strict - value) * (1 if found.wears_up else -1),
    }
    return {k: None if v is None else exact(v / factor) for k, v in gaps.items()}


def exact(value: Fraction) -> str:
    """A fraction as a decimal where it ends, else as `a/b`."""
    digits = next((n for n in range(25) if (value * 10**n).denominator == 1), None)
    if digits is None:
        return f"{value.numerator}/{value.denominator}"
    text = f"{abs(int(value * 10**digits)):0{digits + 1}d}"
    return ("-" if value < 0 else "") + (f"{text[:-digits]}.{text[-digits:]}" if digits else text)


def counted(given: dict[str, Any], _: Dataset) -> dict[str, Any]:
    """The value that counts of a grid of readings, and the method that was used."""
    if "bore" in given:
        method = grid.pair_method(given["method"])
        ends = [grid.SINGLE[m](cells(given[p])) for m, p in zip(grid.PAIRED[method], ("bore", "shaft"), strict=True)]
        assert ends[0] is not None and ends[1] is not None
        return {"method": method, "value": exact(ends[0] - ends[1])}
    method = grid.single_method(given["method"], given["part"], given["limit_side"])
    value = grid.SINGLE[method](cells(given["readings"]))
    return {"method": method, "value": None if value is None else exact(value)}


def cells(readings: list[dict[str, str]]) -> grid.Cells:
    """Readings of a grid by place and direction."""
    found: grid.Cells = {}
    for r in readings:
        found.setdefault((r.get("place", ""), r.get("direction", "")), []).append(Fraction(r["value"]))
    return found


def estimated(given: dict[str, Any], data: Dataset) -> dict[str, Any]:
    """Value with its components, its standard and its expanded uncertainty, in the unit of the vector."""
    factor = data.units[given["unit"]].factor
    found, si = measured(given, data), float(factor)
    parts = [{"cause": c.key, "standard": c.standard / si, "sign": c.sign} for c in found.components if c.standard]
    return {
        "value": float(found.value / factor),
        "bias": float(found.bias / factor),
        "components": parts,
        "standard": found.combined / si,
        "coverage_factor": found.factor,
        "uncertainty": found.expanded / si,
        "least_only": found.least_only,
    }


def read(given: dict[str, Any], data: Dataset) -> tuple[list[grid.Reading], values.Means]:
    """Readings of a vector, and what they were taken with."""
    tools, warmth = instruments(given, data), temperature.temperatures(given, data)
    shifts = corrections(given, data)
    kinds = {t["id"]: data.keyed("instruments")[t["instrument"]]["kind"] for t in given["instruments"]}
    raws = [{"item": given["item"]} | r for r in given["readings"]]
    found = [
        values.reading(r, n, data, warmth, kinds[r["instrument"]], shifts[r["instrument"]]) for n, r in enumerate(raws)
    ]
    groups = [[r for r in found if r.part == p] for p in dict.fromkeys(r.part for r in found)]
    classes = {name: tool.kind for name, tool in tools.items()}
    return found, values.Means(tools, scatters(classes, groups, data), warmth)


def measured(given: dict[str, Any], data: Dataset) -> values.Value:
    (readings, means), method = read(given, data), given["method"]
    if method not in grid.PAIRED:
        single = values.part_value(readings, method, means, readings[0].part in ("bore", "shaft"))
        assert single
        return single
    ways = zip(("bore", "shaft"), grid.PAIRED[method], strict=True)
    ends = [values.part_value([r for r in readings if r.part == p], m, means, True) for p, m in ways]
    assert ends[0] and ends[1]
    return values.difference(ends[0], ends[1], method)


def scattered(given: dict[str, Any], data: Dataset) -> dict[str, Any]:
    """Standard deviation of one reading by instrument with its degrees of freedom, null where it is known."""
    si = float(data.units[given["unit"]].factor)
    found = read(given, data)[1].scatter
    freedom = {name: None if isinf(s.freedom) else s.freedom for name, s in found.items()}
    return {name: {"deviation": s.deviation / si, "freedom": freedom[name]} for name, s in found.items()}


def covered(given: dict[str, Any], _: Dataset) -> dict[str, Any]:
    """A coverage factor, or the error of what is counted of several readings."""
    if "freedom" in given:
        return {"factor": coverage.factor(inf if given["freedom"] is None else given["freedom"])}
    largest = given["counted"] == "largest"
    found = coverage.of_largest(given["count"]) if largest else coverage.of_spread(given["count"], given["groups"])
    return found._asdict()


def judged(given: dict[str, Any], data: Dataset) -> dict[str, Any]:
    """Results and codes of findings of a whole sheet, or the places of its faults."""
    try:
        found = rf.check(given["sheet"], data).as_dict()
    except SheetError as error:
        return {"faults": [f.place for f in error.faults]}
    left = [{k: m[k] for k in ("item", "position", "why")} for m in found["not_judged"]]
    return {
        "results": [result(r) for r in found["results"]],
        "findings": sorted(f["code"] for f in found["findings"]),
        **({"not_judged": left} if left else {}),
        **({"assumed": found["assumed"]} if found["assumed"] else {}),
    }


def result(r: dict[str, Any]) -> dict[str, Any]:
    kept = ("item", "position", "derived", "value", "unit", "uncertainty", "coverage_factor", "verdict", "probability")
    shown = {k: r[k] for k in kept} | {"probability_within_limit": r["probability_within_limit"]}
    shown |= {"row": r["range"]["id"] if r["range"] else None}
    shown |= {k: r[k] for k in ("bias", "least_only", "not_printed", "honed") if r[k]}
    if r["questions"]:
        asked = r["questions"]
        shown["questions"] = [{"question": q["question"], "answers": [answer(a) for a in q["answers"]]} for q in asked]
    if r["passed_over"]:
        shown["passed_over"] = [p["id"] for p in r["passed_over"]]
    return shown


def answer(a: dict[str, Any]) -> dict[str, Any]:
    return {"word": a["word"], "verdict": a["verdict"], "rows": [x["id"] for x in a["ranges"]]}


def tightened(given: dict[str, Any], data: Dataset) -> dict[str, Any]:
    """Torque lines of a sheet with their verdicts, and codes of findings."""
    found = rf.check(given["sheet"], data).as_dict()
    return {"torques": [torque(t) for t in found["torques"]], "findings": sorted(f["code"] for f in found["findings"])}


def torque(t: dict[str, Any]) -> dict[str, Any]:
    shown = {k: t[k] for k in ("joint", "position", "step", "verdict")} | {"row": t["range"] and t["range"]["id"]}
    shown |= {"others": [o["id"] for o in t["others"]]} if t["others"] else {}
    shown |= {"why": t["why"]} if t["why"] else {}
    asked = [{"question": q["question"], "answers": [a["word"] for a in q["answers"]]} for q in t["questions"]]
    return shown | ({"questions": asked} if asked else {})


def remedied(given: dict[str, Any], data: Dataset) -> dict[str, Any]:
    """Remedies of a whole sheet by item and place."""
    results = rf.check(given["sheet"], data).as_dict()["results"]
    return {
        "remedies": {
            f"{r['item']} {r['position']}": [remedy(o) for o in r["remedies"]] for r in results if r["remedies"]
        }
    }


def remedy(o: dict[str, Any]) -> dict[str, Any]:
    shown = {k: o[k] for k in ("action", "general", "permitted")}
    if o["result"]:
        shown["result"] = {k: o["result"][k] for k in ("lower", "upper", "unit", "meets")}
    if o["parts"]:
        shown["parts"] = [{k: c[k] for k in ("item", "lower", "upper", "unit")} for c in o["parts"]]
    shown |= {"size": o["size"]["value"]} if o["size"] else {}
    return shown | ({"pages": [f"{p['source']}:{p['page']}" for p in o["pages"]]} if o["pages"] else {})


def chosen(given: dict[str, Any], data: Dataset) -> dict[str, Any]:
    """Rows that are true for a build at a place as they are judged by, or the questions that are open."""
    build = parsed(given["build"], data.units)
    found = choosing.choose(data, given["engine"], build, given["item"], given["position"], given["says"])
    asked = [{"question": q.question, "answers": [led_to(a) for a in q.answers]} for q in found.asked]
    return {
        "rows": [ends_of(r) for r in found.rows],
        "questions": asked,
        "passed_over": [r.id for r in found.passed_over],
    }


def led_to(answer: choosing.Answer) -> dict[str, Any]:
    return {"word": answer.word, "rows": list(dict.fromkeys(r.id for line in answer.lines for r in line))}


def ends_of(row: Row) -> dict[str, Any]:
    lower, upper = row.range()
    ends = {"lower": lower, "upper": upper, "nominal": row.value("nominal"), "limit": row.value("limit")}
    shown = {k: None if v is None else plain(v) for k, v in ends.items()}
    return {"id": row.id, "unit": row["unit"], **shown, "also": [f"{c.source}:{c.page}" for c in row.also]}


RUN: dict[str, Callable[[dict[str, Any], Dataset], dict[str, Any]]] = {
    "decide": decided,
    "value": counted,
    "uncertainty": estimated,
    "bounds": bounded,
    "scatter": scattered,
    "coverage": covered,
    "choose": chosen,
    "sheet": judged,
    "remedy": remedied,
    "torque": tightened,
}


@named()
def test_the_code_gives_what_the_vector_expects(vector: Vector, data: Dataset) -> None:
    wanted = {k: v for k, v in vector["expected"].items() if k != "fallen"}
    assert near(RUN[vector["kind"]](vector["given"], data), wanted)


def near(found: Any, expected: Any) -> bool:
    """Whether two values are alike: numbers to 1e-9 of their size, all else equal."""
    if isinstance(expected, dict) and isinstance(found, dict):
        return found.keys() == expected.keys() and all(near(found[k], expected[k]) for k in expected)
    if isinstance(expected, list) and isinstance(found, list):
        return len(found) == len(expected) and all(map(near, found, expected))
    if isinstance(expected, float) and isinstance(found, float):
        return abs(found - expected) <= 1e-9 * max(abs(expected), 1e-30)
    return type(found) is type(expected) and bool(found == expected)


# the files


def test_the_files_fit_their_schema() -> None:
    form = json.loads((folder("schema") / "vectors.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(form)
    found = [f"{n} {e.json_path}: {e.message}" for n, f in files().items() for e in validator(form).iter_errors(f)]
    assert len(files()) > 3 and not found


def validator(form: dict[str, Any]) -> jsonschema.Draft202012Validator:
    return jsonschema.Draft202012Validator(form)


def test_a_vector_without_an_expectation_is_found() -> None:
    form = json.loads((folder("schema") / "vectors.json").read_text(encoding="utf-8"))
    file = json.loads(json.dumps(files()["decide.json"]))
    del file["vectors"][0]["expected"]["margins"]
    file["vectors"][1]["given"]["value"] = 0.003
    file["vectors"][2]["kind"] = "guess"
    assert len({e.json_path for e in validator(form).iter_errors(file)}) == 3


def test_ids_are_unique_and_sorted() -> None:
    ids = [v["id"] for v in vectors()]
    assert len(ids) == len(set(ids))
    withdrawn = [i for f in files().values() for i in f.get("withdrawn", {})]
    assert set(withdrawn).isdisjoint(ids) and "V0434" in withdrawn
    assert all(sorted(own) == own for own in ([v["id"] for v in f["vectors"]] for f in files().values()))


def test_a_file_holds_one_kind() -> None:
    assert all({v["kind"] for v in f["vectors"]} == {f["kind"]} for f in files().values())


def test_no_vector_is_there_twice() -> None:
    given = [json.dumps(v["given"], sort_keys=True) for v in vectors()]
    assert len(given) == len(set(given))


def test_every_verdict_and_every_slip_is_covered() -> None:
    from runningfits.faces.words import WORDS

    whole = [v["expected"] for kind in ("sheet", "torque") for v in vectors(kind)]
    results = [r for e in whole for r in (*e.get("results", ()), *e.get("torques", ()))]
    shown = {r["verdict"] for r in results} | {v["expected"]["verdict"] for v in vectors("decide")}
    codes = {c for e in whole for c in e.get("findings", ())}
    rules = [tomllib.loads(p.read_text(encoding="utf-8")) for p in folder("rules").glob("B*.toml")]
    wanted = set(WORDS) | {r["code"] for r in rules if r["scope"] == "bench"}
    assert shown | codes == wanted


def test_every_method_is_covered(data: Dataset) -> None:
    assert {v["expected"]["method"] for v in vectors("value")} == set(data.keyed("methods"))
    assert {v["given"]["method"] for v in vectors("uncertainty")} >= {"largest", "mean", "half-dial", "end-difference"}


# bounds and decision by other means

MILLIMETRES = {"mm": Fraction(1), "in": Fraction("25.4")}
PLAYS = {"clearance", "end-play", "backlash", "gap", "lash"}
TIMES = {
    "clearance": (6, 12),
    "pin-in-piston-clearance": (10, 40),
    "gap": (5, 12),
    "end-play": (12, 15),
    "backlash": (10, 15),
    "lash": (Fraction(5, 2), Fraction(5, 2)),
    "protrusion": (7, 7),
}
"""How many times the least the most of a range and the limit may be (docs/judging.md)."""
End = tuple[Fraction, Fraction]
"""An end by the stricter and by the other of what is printed for it."""


@cache
def quantities() -> dict[str, dict[str, str]]:
    with (folder("data") / "quantities.csv").open(encoding="utf-8", newline="") as file:
        return {q["quantity"]: q for q in csv.DictReader(file)}


class ByHand:
    """Ends of the printed ranges of a vector in its unit: every number that is printed for an end, as a list."""

    def __init__(self, given: dict[str, Any]) -> None:
        self.unit, self.quantity = given["unit"], quantities()[given["quantity"]]
        self.rows = [self.row(r) for r in given["ranges"]]
        there = [r for r in self.rows if any(r[k] for k in ("low", "high", "limit", "nominal"))] or self.rows
        sides = {r["side"] for r in there if r["limit"]} or {r["side"] for r in there}
        self.side = sides.pop() if len(sides) == 1 else "both"
        self.low, self.high = self.joined(there, "low", max, min), self.joined(there, "high", min, max)
        down = self.side == "lower"
        self.limit = self.joined(self.limits(there, down), "limit", *((max, min) if down else (min, max)))
        single = [n for r in there for n in r["nominal"]]
        fresh = self.low or self.high
        self.nominal = (max(a for a, _ in single), min(b for _, b in single)) if single and not fresh else None
        self.nothing = Fraction(1, 10**9) / MILLIMETRES.get(self.unit, Fraction(1))
        self.floor = any(r["floor"] for r in there) and not any(r["low"] and max(r["low"]) for r in there)
        self.scant = max([*(r["scant"] for r in there if not self.low), Fraction(0)])
        amplest = [r["ample"] for r in there if r["ample"] and not (self.high or self.limit)]
        self.ample = min(amplest) if amplest else None

    @staticmethod
    def limits(rows: list[dict[str, Any]], down: bool) -> list[dict[str, Any]]:
        """Rows with what each allows with wear; a lone limit does not widen the range of another document."""
        limited = [r for r in rows if r["limit"]]
        if not limited or any(r["low"] or r["high"] for r in limited):
            return limited
        return [{"limit": r["limit"] or r["low" if down else "high"]} for r in rows]

    @staticmethod
    def joined(rows: list[dict[str, Any]], end: str, strict: Any, loose: Any) -> End | None:
        found = [x for r in rows for x in r[end]]
        return (strict(found), loose(found)) if found else None

    def row(self, printed: dict[str, str]) -> dict[str, Any]:
        one, other = self.ends(printed, ""), self.ends(printed, "_2")
        step = min((s for s in (one["step"], other["step"]) if s is not None), default=Fraction(0))
        found: dict[str, Any] = {"side": one["side"], "nominal": [one["nominal"]] if one["nominal"] else []}
        for end in ("low", "high", "limit"):
            both = [x for x in (one[end], other[end]) if x is not None]
            found[end] = both[:1] if one[end] is None or len(both) < 2 or abs(both[0] - both[1]) <= step / 2 else both
            found[end] = [] if one[end] is None else found[end]
        most = max(found["high"] or found["limit"] or [Fraction(1)])
        least = max(found["low"], default=Fraction(0))
        play = self.quantity["kind"] in PLAYS and not found["nominal"]
        floor = play and most > 0 and least == 0
        of_range, of_limit = TIMES.get(self.quantity["quantity"]) or TIMES.get(self.quantity["kind"], (0, 0))
        scant, ample = Fraction(0), Fraction(0)
        if floor and not found["low"] and one["side"] != "lower":
            scant = (min(found["high"] or [0]) / of_range) or (min(found["limit"] or [0]) / of_limit)
        if of_range and least > 0 and not found["high"] and not found["limit"]:
            ample = max(found["low"]) * of_range
        return found | {"floor": floor, "scant": scant, "ample": ample}

    def ends(self, printed: dict[str, str], suffix: str) -> dict[str, Any]:
        """Ends by one printed unit."""
        to = MILLIMETRES.get(printed.get("unit_2", self.unit) if suffix else self.unit, Fraction(1))
        factor = to / MILLIMETRES.get(self.unit, Fraction(1))
        texts = {c: printed.get(c + suffix) for c in CELLS if c != "limit_as" and printed.get(c + suffix)}
        n = {c: Fraction(t) * factor for c, t in texts.items() if t}
        low, high = n.get("lower"), n.get("upper")
        if "tolerance" in n:
            low, high = n["nominal"] - n["tolerance"], n["nominal"] + n["tolerance"]
        limit, side = n.get("limit"), self.quantity["limit_side"]
        if limit is not None and printed["limit_as"] == "wear":
            base = next((b for b in (low if side == "lower" else high, n.get("nominal")) if b is not None), None)
            limit = None if base is None else base - limit if side == "lower" else base + limit
        if side == "both" and limit is not None:
            side = "lower" if low is not None and limit <= low else "upper"
        if limit is not None:
            own = [x for x in (limit, low if side == "lower" else high) if x is not None]
            limit = min(own) if side == "lower" else max(own)
        half = Fraction(1, 10 ** len((texts.get("nominal") or "").partition(".")[2])) * factor / 2
        alone = "nominal" in n and low is None and high is None
        nominal = (n["nominal"] - half, n["nominal"] + half) if alone else None
        digits = [Fraction(1, 10 ** len(t.partition(".")[2])) for t in texts.values() if t and float(t)]
        step = max(digits) * factor if digits else None
        return {"low": low, "high": high, "limit": limit, "side": side, "nominal": nominal, "step": step}

    @property
    def mates(self) -> bool:
        name, fits = self.quantity["quantity"], quantities().values()
        mating = any(name in (q["outer"] + " " + q["inner"]).split() for q in fits)
        return self.quantity["kind"] == "size" and (mating or self.quantity["both_ends"] == "yes")

    def new(self) -> tuple[Any, Any]:
        """Ends of the new range, strict and loose; an open one infinite; a play must be above zero by a nanometre's
        thousandth."""
        low, high = self.low or (-inf, -inf), self.high or (self.ample or inf, inf)
        least = max(low[0], self.nothing, self.scant), max(low[1], self.nothing)
        return (least if self.floor else low), high

    def allowed(self) -> tuple[Any, Any]:
        """Ends of what is allowed with wear."""
        low, high = self.new()
        if self.limit and self.side == "lower":
            low = self.limit
        elif self.limit:
            high = self.limit
        if self.mates and self.nominal and self.side == "lower":
            high = self.nominal[1], inf
        elif self.mates and self.nominal:
            low = self.nominal[0], -inf
        return low, high

    def verdict(self, least: Any, most: Any) -> str:
        """Verdict on an interval, by cases."""
        (low, _), (high, _) = self.allowed()
        fresh = bool(self.low or self.high)
        beyond = self.beyond(least, most)
        if beyond:
            return beyond
        if self.nominal and not self.limit:
            return "agrees" if most < inf and least <= self.nominal[1] and most >= self.nominal[0] else "cannot-tell"
        if least < low or most > high:
            return "serviceable" if self.by_value(least, most) else "cannot-tell"
        (new_low, new_low_loose), (new_high, new_high_loose) = self.new()
        if fresh and new_low <= least and most <= new_high:
            return "new"
        return "worn" if fresh and (most < new_low_loose or least > new_high_loose) else "serviceable"

    def by_value(self, least: Any, most: Any) -> bool:
        """Whether a value lies within the limit and agrees with a printed value that bounds it on the other side."""
        if not (self.nominal and self.limit and most < inf):
            return False
        if self.side == "lower":
            return bool(least >= self.limit[0] and least <= self.nominal[1])
        return bool(most <= self.limit[0] and most >= self.nominal[0])

    def beyond(self, least: Any, most: Any) -> str:
        """The verdict on what lies beyond what is allowed for sure."""
        (_, low), (_, high) = self.allowed()
        if self.nominal and not self.limit:
            low, high = min(self.nominal), max(self.nominal)
        down = self.side == "lower"
        off = "below" if most < low else "above" if least > high else ""
        if not off:
            return ""
        if (off == "below") == down:
            return "loose" if self.limit or self.side == "both" else "past-new"
        return "tight"


@named("bounds")
def test_bounds_from_the_printed_numbers(vector: Vector) -> None:
    hand, expected = ByHand(vector["given"]), vector["expected"]
    for end in ("low", "high", "limit", "nominal"):
        found = expected[end]
        assert (found and (Fraction(found["strict"]), Fraction(found["loose"]))) == getattr(hand, end), end
    assert (expected["side"], expected["floor"]) == (hand.side, hand.floor)
    lone = hand.nominal and not (hand.low or hand.high)
    (low, _), (high, _) = hand.allowed()
    unworn, worn = (high == inf, "upper"), (low == -inf, "lower")
    order = (unworn, worn) if hand.side == "lower" else (worn, unworn)
    missing = next((end for is_open, end in order if is_open), "")
    assert expected["open_end"] == (missing if hand.mates and not lone else "")


@named("decide")
def test_decision_in_fractions(vector: Vector) -> None:
    """ISO 14253-1: proved only where the whole interval lies on one side; simple acceptance takes the value alone."""
    given, expected, hand = vector["given"], vector["expected"], ByHand(vector["given"])
    if expected["verdict"] == "no-range":
        assert not (hand.low or hand.high or hand.limit or hand.nominal)
        return
    value = Fraction(given["value"])
    u = Fraction(given["uncertainty"]) if given["decision"] == "guarded" else Fraction(0)
    assert expected["verdict"] == hand.verdict(value - u, inf if given.get("least_only") else value + u)
    # a touching interval would hang on the last bit of a float
    ends = {x for e in (hand.low, hand.high, hand.limit, hand.nominal) if e for x in e}
    assert not u or {value - u, value + u}.isdisjoint(ends)


@named("decide")
def test_probability_by_the_normal_distribution(vector: Vector) -> None:
    """JCGM 106:2012, 7.2 to 7.4: the share of a normal distribution about the value that lies between the limits."""
    given, expected, hand = vector["given"], vector["expected"], ByHand(vector["given"])
    if expected["verdict"] == "no-range":
        return
    bound = bool(given.get("least_only"))
    fresh = share(given, *hand.new()) if (hand.low or hand.high) and not bound else None
    low, high = hand.allowed()
    if hand.nominal and hand.limit:
        low, high = (low, (inf, inf)) if hand.side == "lower" else ((-inf, -inf), high)
    within = share(given, low, high) if (hand.low or hand.high or hand.limit) and not bound else None
    for name, wanted in (("probability", fresh), ("probability_within_limit", within)):
        assert expected[name] == (None if wanted is None else pytest.approx(wanted, abs=1e-9))


def share(given: dict[str, Any], low: Any, high: Any) -> float:
    """Share between the strict ends; U holds 95 % of the distribution."""
    value, standard = float(Fraction(given["value"])), float(Fraction(given["uncertainty"])) / 1.96
    least, most = float(low[0]), float(high[0])
    if not standard:
        return float(least <= value <= most)
    return float(norm.cdf(most, value, standard) - norm.cdf(least, value, standard))


@named("decide")
def test_margins_by_subtraction(vector: Vector) -> None:
    """To the strict ends, positive inside."""
    given, expected, hand = vector["given"], vector["expected"], ByHand(vector["given"])
    if expected["verdict"] == "no-range":
        return
    value = Fraction(given["value"])
    sign = 1 if hand.side == "lower" else -1
    wanted = {
        "lower": hand.low and value - hand.low[0],
        "upper": hand.high and hand.high[0] - value,
        "limit": hand.limit and sign * (value - hand.limit[0]),
    }
    found = {k: None if v is None else Fraction(v) for k, v in expected["margins"].items()}
    assert found == wanted


# factors of several readings by other means


@named("coverage")
def test_factors_by_scipy(vector: Vector) -> None:
    """Student's quantile, the normal distribution of a largest and the studentized range of scipy."""
    given, expected = vector["given"], vector["expected"]
    if "freedom" in given:
        freedom = inf if given["freedom"] is None else given["freedom"]
        assert expected["factor"] == pytest.approx(student.ppf(0.975, freedom), abs=0.01)
        return
    wanted = order(given["counted"], given["count"], given.get("groups", 1))
    assert (expected["alone"], expected["lift"], expected["reach"]) == pytest.approx(wanted, abs=3e-4)


HELD = 0.955


@cache
def order(counted: str, count: int, groups: int = 1) -> tuple[float, float, float]:
    """Error of one place (or two) alone; of all alike its mean, and how far beyond that 95.5 % of it end."""
    largest = counted == "largest"

    def below(x: float) -> float:
        if largest:
            return float(norm.cdf(x)) ** count
        return float(studentized_range.cdf(x, count, inf)) ** groups if x > 0 else 0.0

    held = HELD ** (1 / count) if largest else HELD ** (1 / groups)
    top = norm.ppf(held) if largest else studentized_range.ppf(held, count, inf)
    lift = float(quad(lambda x: 1 - below(x), 0, 9)[0] - quad(below, -9, 0)[0])
    return 1.0 if largest else sqrt(2), lift, float(top) - lift


@named("scatter")
def test_scatter_by_pooling(vector: Vector, data: Dataset) -> None:
    """JCGM 100:2008, 4.2.4: repeats of one place pooled; below six degrees the usual repeatability joins as four."""
    given, classes = vector["given"], data.keyed("instruments")
    for tool in given["instruments"]:
        wanted = pooled_by_hand(given, tool["id"], usual_scatter(given, classes[tool["instrument"]], data))
        found = vector["expected"][tool["id"]]
        freedom = inf if found["freedom"] is None else found["freedom"]
        assert (found["deviation"], freedom) == pytest.approx(wanted, rel=1e-9)


def usual_scatter(given: dict[str, Any], kind: dict[str, str], data: Dataset) -> float:
    factor = data.units[kind["unit"]].factor / data.units[given["unit"]].factor
    return float(Fraction(kind["repeatability"] or 0) * factor)


def pooled_by_hand(given: dict[str, Any], tool: str, usual: float) -> tuple[float, float]:
    """Standard deviation and degrees of freedom of one instrument."""
    groups: dict[tuple[str, ...], list[float]] = {}
    for r in given["readings"]:
        if r["instrument"] == tool:
            groups.setdefault((r["part"], *at(r)), []).append(float(r["value"]))
    more = [g for g in groups.values() if len(g) > 1]
    freedom, squares = sum(len(g) - 1 for g in more), sum(variance(g) * (len(g) - 1) for g in more)
    if freedom >= 6 or not usual:
        return (sqrt(squares / freedom), freedom) if freedom else (0.0, inf)
    return (sqrt((squares + 4 * usual**2) / (freedom + 4)), freedom + 4) if freedom else (usual, inf)


# the value by other means

Grid = dict[tuple[str, str], Fraction]


def averaged(readings: list[dict[str, str]]) -> Grid:
    places = dict.fromkeys((r.get("place", ""), r.get("direction", "")) for r in readings)
    return {p: mean(Fraction(r["value"]) for r in readings if at(r) == p) for p in places}


def at(reading: dict[str, str]) -> tuple[str, str]:
    return reading.get("place", ""), reading.get("direction", "")


def pairs(found: Grid, alike: int) -> list[Fraction]:
    """Differences of all pairs that agree in place (0) or direction (1)."""
    return [abs(a[1] - b[1]) for a, b in combinations(found.items(), 2) if a[0][alike] == b[0][alike]]


def neighbours(found: Grid) -> Fraction | None:
    """Largest step from one place to the next, each place by the mean of what was read there."""
    places = sorted({p for p, _ in found}, key=[p for p, _ in found].index)
    level = [mean(v for (p, _), v in found.items() if p == place) for place in places]
    return max((abs(level[n] - level[n + 1]) for n in range(len(level) - 1)), default=None)


DEFINITIONS: dict[str, Callable[[Grid], Fraction | None]] = {
    "cross-difference": lambda g: max(pairs(g, 0), default=None),
    "end-difference": lambda g: max(pairs(g, 1), default=None),
    "spread": lambda g: max((abs(a - b) for a, b in combinations(g.values(), 2)), default=None),
    "neighbour-difference": neighbours,
    "half-dial": lambda g: sorted(g.values())[-1] / 2,
    **dict.fromkeys(("largest", "dial-total", "total-travel", "widest-gap"), lambda g: sorted(g.values())[-1]),
    **dict.fromkeys(("smallest", "widest-strip"), lambda g: sorted(g.values())[0]),
    **dict.fromkeys(("mean", "mean-then-largest"), lambda g: mean(g.values())),
}
"""What the words of data/methods.csv say, pair by pair and by sorting."""


@named("value")
def test_value_by_definition(vector: Vector) -> None:
    given, expected = vector["given"], vector["expected"]
    if "bore" not in given:
        value = DEFINITIONS[expected["method"]](averaged(given["readings"]))
    else:
        words = expected["method"].removesuffix("-shaft").split("-bore-minus-")
        ends = [DEFINITIONS[w](averaged(given[p])) for w, p in zip(words, ("bore", "shaft"), strict=True)]
        value = None if None in ends else ends[0] - ends[1]  # type: ignore[operator]
    assert value == (None if expected["value"] is None else Fraction(expected["value"]))


# the uncertainty by other means


@named("uncertainty")
@pytest.mark.parametrize("library", ["uncertainties", "GTC"])
def test_uncertainty_by_linear_propagation(vector: Vector, library: str, data: Dataset) -> None:
    """JCGM 100:2008, 5.1.2 and 5.2.2: the measurand written out as a sum of errors, one variable for each cause."""
    quantity, spread = libraries(library)
    errors, expected = Errors(vector["given"], data, quantity), vector["expected"]
    assert spread(errors.measurand()) == pytest.approx(expected["standard"], rel=1e-6)
    assert expected["coverage_factor"] == pytest.approx(student.ppf(0.975, errors.freedom(expected)), abs=0.01)
    assert expected["least_only"] == errors.bound


@named("uncertainty")
def test_ends_of_what_the_value_may_be(vector: Vector, data: Dataset) -> None:
    """Where one place stands out and where all are alike, 95 % lie between the ends; the value is their middle."""
    quantity, spread = libraries("uncertainties")
    errors, alike = (Errors(vector["given"], data, quantity, way) for way in (False, True))
    alone, reach, expected = spread(errors.measurand()), one_sided(alike), vector["expected"]
    wider = expected["coverage_factor"] / 1.96
    above, below = (wider * end for end in ends(alone, reach, errors.lifts))
    bias = (above - below) / 2
    if vector["given"]["method"] in SPREADS:
        bias = max((min(above, errors.value) - below) / 2, 0.0)
    near_enough = 1e-3 * expected["uncertainty"]
    assert expected["uncertainty"] == pytest.approx(below + bias, abs=near_enough)
    assert expected["bias"] == pytest.approx(bias, abs=near_enough)
    assert expected["value"] == pytest.approx(errors.value - expected["bias"], rel=1e-9, abs=1e-9)


ONE_SIDED = float(norm.ppf(HELD))


def one_sided(errors: "Errors") -> float:
    """Share HELD of the sum on one side: the widest of the limits as a rectangle, all else as one normal error."""
    parts = {v: u for v, u in errors.measurand().error_components().items() if u}
    flat = [parts.get(v, 0.0) for cause, v in errors.known.items() if cause[0] not in ("repeats", "step")]
    flat += [parts.get(errors.known.get(cause), 0.0) for cause in errors.flat]
    half, rest = (
        sqrt(3) * max(flat, default=0.0),
        sqrt(sum(u * u for u in parts.values()) - max(flat, default=0.0) ** 2),
    )
    if not half or rest < 1e-6 * half:
        return (2 * HELD - 1) * half + ONE_SIDED * rest

    def held(x: float) -> float:
        return float(quad(lambda t: norm.cdf((x - t) / rest), -half, half)[0]) / (2 * half)

    return float(brentq(lambda x: held(x) - HELD, 0, half + 2 * rest, xtol=1e-6 * half))


def ends(alone: float, reach: float, lifts: list[float]) -> tuple[float, float]:
    """How far readings may lie above and below the truth."""
    up, down = sum(max(x, 0.0) for x in lifts), sum(max(-x, 0.0) for x in lifts)
    if not up and not down:
        return 1.96 * alone, 1.96 * alone

    def rest(end: float) -> float:
        return float(norm.isf(max(norm.cdf(end, scale=alone) - HELD, 0.02), scale=alone))

    return up + reach if up else rest(down + reach), down + reach if down else rest(up + reach)


def libraries(name: str) -> tuple[Callable[[float], Any], Callable[[Any], float]]:
    """How a library makes an error of a standard uncertainty, and gives the standard uncertainty of a sum."""
    module = pytest.importorskip(name)
    if name == "GTC":
        return lambda u: module.ureal(0, u), lambda x: float(module.uncertainty(x))
    return lambda u: module.ufloat(0, u), lambda x: float(x.s)


CELSIUS = {"C": (Fraction(1), 0), "F": (Fraction(5, 9), 32)}
SPREADS = ("cross-difference", "end-difference", "spread", "neighbour-difference")


def warm(text: str) -> Fraction:
    """Degrees Celsius of a text such as 21 C or 70 F."""
    number, unit = text.split()
    factor, zero = CELSIUS[unit]
    return (Fraction(number) - zero) * factor


class Errors:
    """Errors of a vector's measurand: one variable for each cause, shared wherever the cause is the same."""

    def __init__(
        self, given: dict[str, Any], data: Dataset, quantity: Callable[[float], Any], alike: bool = False
    ) -> None:
        self.given, self.data, self.quantity, self.alike = given, data, quantity, alike
        self.tools = {t["id"]: t for t in given["instruments"]}
        self.known: dict[tuple[str, ...], Any] = {}
        self.value, self.lifts = 0.0, list[float]()
        self.flat = set[tuple[str, ...]]()
        self.bound = False

    def error(self, standard: float, *cause: str) -> Any:
        if not standard:
            return 0.0
        if cause not in self.known:
            self.known[cause] = self.quantity(standard)
        return self.known[cause]

    def kind(self, tool: str) -> dict[str, str]:
        return self.data.keyed("instruments")[self.tools[tool]["instrument"]]

    def limit(self, tool: str, name: str, size: float = 0.0) -> float:
        own, kind = self.tools[tool], self.kind(tool)
        if name == "mpe" and "mpe_percent" in own:
            return float(own["mpe_percent"]) / 100 * size
        unit = own["unit"] if name in own else kind["unit"]
        text = own.get(name) or kind.get(name) or (kind["usual"] if name == "mpe" else "") or "0"
        return abs(float(Fraction(text) * self.data.units[unit].factor / self.data.units[self.given["unit"]].factor))

    def deviation(self, tool: str) -> tuple[float, float]:
        return pooled_by_hand(self.given, tool, usual_scatter(self.given, self.kind(tool), self.data))

    # temperature

    def material(self, raw: dict[str, str]) -> str:
        """Material of a part: of the reading, of the sheet for that size, else the usual one."""
        fit = quantities()[self.given["item"]]
        size = (fit["outer" if raw["part"] == "bore" else "inner"].split() or [self.given["item"]])[0]
        named = raw.get("material") or self.given.get("materials", {}).get(size)
        return str(named or quantities()[size]["material"])

    def alpha(self, raw: dict[str, str]) -> float:
        name = self.material(raw)
        return float(self.data.keyed("materials")[name]["expansion"]) if name else 11.5

    def at_twenty(self, raw: dict[str, str]) -> float:
        """Middle of a reading, its instrument's known correction added, at 20 degrees Celsius."""
        ends = [float(raw["value"]), float(raw.get("to", raw["value"]))]
        middle = sum(ends) / 2 + float(self.tools[raw["instrument"]].get("correction", 0))
        if raw["part"] not in ("bore", "shaft"):
            return middle
        part = float(warm(raw.get("temperature", self.given.get("part_temperature", "20 C"))))
        sheet = float(warm(self.given.get("part_temperature", "20 C")))
        room = float(warm(self.given["room_temperature"])) if "room_temperature" in self.given else (sheet + 20) / 2
        return middle * (1 + 1e-6 * (11.5 * (room - 20) - self.alpha(raw) * (part - 20)))

    def growth(self, part: str, raws: list[dict[str, str]], size: float) -> Any:
        """What temperatures add (JCGM 100:2008, H.1.3)."""
        kelvin = float(self.given["temperature_spread"].partition(" ")[0])
        alphas = [self.alpha(r) for r in raws]
        found = self.error(size * max(alphas) * 1e-6 * kelvin / sqrt(3), "apart", part)
        unlike = 11.5 - max(alphas, key=lambda a: abs(a - 11.5))
        if "part_temperature" not in self.given and not all("temperature" in r for r in raws):
            shop = self.error(1.0, "shop")
            found += shop * (size * unlike * 1e-6 * 10 / sqrt(3))
        if "part_temperature" in self.given and "room_temperature" not in self.given:
            half = abs(float(warm(self.given["part_temperature"])) - 20) / 2
            found += self.error(1.0, "room") * (size * 11.5e-6 * half / sqrt(3)) if half else 0.0
        return found

    # a part

    def part(self, part: str, method: str) -> Any:
        if method == "half-dial":
            found = self.part(part, "dial-total")
            self.value, self.lifts = self.value / 2, [x / 2 for x in self.lifts]
            return found / 2
        raws = [r for r in self.given["readings"] if r["part"] == part]
        cells: dict[tuple[str, str], list[float]] = {}
        for r in raws:
            cells.setdefault(at(r), []).append(self.at_twenty(r))
        counted = DEFINITIONS[method]({k: Fraction(fmean(v)) for k, v in cells.items()})
        assert counted is not None
        size = abs(float(counted))
        chance, lift = self.chance(part, raws, cells, method)
        self.lifts, self.value = [lift], float(counted)
        feelers = [r for r in raws if self.kind(r["instrument"])["kind"] == "feeler-gauge" and "to" not in r]
        self.bound = part == "gap" and bool(feelers)
        found = chance + self.scale(part, raws, method, size)
        warms = part in ("bore", "shaft") and method not in SPREADS
        return found + self.growth(part, raws, size) if warms else found

    def chance(
        self, part: str, raws: list[dict[str, str]], cells: dict[tuple[str, str], list[float]], method: str
    ) -> tuple[Any, float]:
        """Errors of repeats and steps of what is counted, and by how much several alike lift it."""
        level = {k: fmean(v) for k, v in cells.items()}
        alike = len({v for c in cells.values() for v in c}) == 1
        marks = max(float(r.get("to", r["value"])) - float(r["value"]) for r in raws)
        width = marks or max(self.limit(r["instrument"], "resolution") for r in raws)
        fewest = min(map(len, cells.values()))
        repeated, step = self.of_place(raws, width, fewest)
        if method in ("mean", "mean-then-largest"):
            spread, shared = 1 / sqrt(len(level)), 1 / sqrt(len(set(level.values())))
            return self.error(repeated * spread, "repeats", part) + self.error(step * shared, "step", part), 0.0
        (alone, lift, reach), lowered = self.order(method, list(level))
        factor = reach / ONE_SIDED if self.alike else alone
        self.flat |= {("step", part)} if alike else set()
        stepped = self.error(step * alone if alike else step * lowered * factor, "step", part)
        lift *= lowered * (repeated if alike else sqrt(repeated**2 + step**2))
        if method in SPREADS:
            lift += width / 4 * lowered / fewest**2
        lift = -lift if method in ("smallest", "widest-strip") else lift
        return self.error(repeated * lowered * factor, "repeats", part) + stepped, lift

    def of_place(self, raws: list[dict[str, str]], width: float, count: int) -> tuple[float, float]:
        """What hand and steps give the mean of so many readings of a place: what repeats show goes, the rest stays."""
        tool = max((r["instrument"] for r in raws), key=lambda t: self.deviation(t)[0])
        usual = usual_scatter(self.given, self.kind(tool), self.data)
        repeats, freedom = pooled_by_hand(self.given, tool, 0.0)
        if isinf(freedom) and count == 1:
            return usual, width / sqrt(12)
        hand = usual / width
        in_steps = hand / sqrt(pi) if hand < sqrt(1 / pi) / 2 else hand**2 + 1 / (4 * pi)
        own = 0 if isinf(freedom) else freedom
        common = 4 if usual and own < 6 else 0
        shown = (own * (repeats / width) ** 2 + common * in_steps) / (own + common)
        left = 1 / 12 - 1 / (4 * pi) if shown > 1 / (2 * pi) else 1 / 12 - shown + pi * shown**2
        return width * sqrt(shown / count), width * sqrt(left)

    @staticmethod
    def order(method: str, places: list[tuple[str, str]]) -> tuple[tuple[float, float, float], float]:
        """Error of what is counted of cells, and what a mean at each place lowers it by."""
        if method not in SPREADS:
            return order("largest", len(places)), 1.0
        if method == "spread":
            return order("spread", len(places)), 1.0
        by_place = [len([p for p in places if p[0] == name]) for name in dict.fromkeys(p[0] for p in places)]
        if method == "neighbour-difference":
            return order("spread", 2, len(by_place) - 1), 1 / sqrt(min(by_place))
        by = 0 if method == "cross-difference" else 1
        groups = [n for n in (len([p for p in places if p[by] == name]) for name in {p[by] for p in places}) if n > 1]
        return order("spread", max(groups), len(groups)), 1.0

    def scale(self, part: str, raws: list[dict[str, str]], method: str, size: float) -> Any:
        """Errors of the scales: none in a difference by one, each by its share in a mean, else the widest."""
        used = sorted({r["instrument"] for r in raws})
        averaged = method in ("mean", "mean-then-largest")
        if method in SPREADS and len(used) == 1:
            return 0.0
        if not averaged and method not in SPREADS:
            used = [max(used, key=lambda t: self.limit(t, "mpe", size))]
        found: Any = 0.0
        for tool in used:
            share = fmean(r["instrument"] == tool for r in raws) if averaged else 1.0
            found += share * self.error(self.limit(tool, "mpe", size) / sqrt(3), "scale", tool, part)
            found += share * self.error(self.limit(tool, "zero_shift") / sqrt(3), "zero", tool)
            if base := self.tools[tool].get("set_on"):
                found += share * self.error(self.limit(base, "mpe") / sqrt(3), "scale", base, "shaft")
                found += share * self.error(self.limit(base, "zero_shift") / sqrt(3), "zero", base)
        return found

    def measurand(self) -> Any:
        method = self.given["method"]
        if "-bore-minus-" not in method:
            return self.part(self.given["readings"][0]["part"], method)
        bore, shaft = method.removesuffix("-shaft").split("-bore-minus-")
        first, value, lifts = self.part("bore", bore), self.value, self.lifts
        second = self.part("shaft", shaft)
        self.value, self.lifts = value - self.value, [*lifts, *(-x for x in self.lifts)]
        return first - second

    def freedom(self, expected: dict[str, Any]) -> float:
        """Effective degrees of freedom (JCGM 100:2008, G.4.1): only repeats have a number of them."""
        below = 0.0
        for c in expected["components"]:
            if c["cause"].startswith("repeats on the "):
                part = c["cause"].removeprefix("repeats on the ")
                tools = [r["instrument"] for r in self.given["readings"] if r["part"] == part]
                below += c["standard"] ** 4 / max(map(self.deviation, tools))[1]
        return expected["standard"] ** 4 / below if below else inf


@named("uncertainty")
def test_components_of_one_cause_add_with_their_sign(vector: Vector) -> None:
    """JCGM 100:2008, 5.2.2, note 1: the printed components alone give the printed sum."""
    sums: dict[str, float] = {}
    for c in vector["expected"]["components"]:
        sums[c["cause"]] = sums.get(c["cause"], 0.0) + c["sign"] * c["standard"]
    assert sqrt(sum(s * s for s in sums.values())) == pytest.approx(vector["expected"]["standard"], rel=1e-12)
