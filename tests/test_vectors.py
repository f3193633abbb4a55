"""The test vectors: of one form, each reproduced by the code, and worked out once more by other means.

Other means: exact fractions for the decision, `scipy.stats.norm` for the probabilities, definitions taken pair by pair
for the values, linear propagation by `uncertainties` and by GTC for the uncertainty.
"""

import json
import tomllib
from collections.abc import Callable
from fractions import Fraction
from functools import cache
from itertools import combinations, product
from math import inf, sqrt
from statistics import fmean, mean, variance
from typing import Any

import jsonschema
import numpy as np
import pytest
from scipy.stats import norm

import runningfits as rf
from runningfits import choosing
from runningfits.build import parsed
from runningfits.dataset import Dataset
from runningfits.judging import decide, grid, temperature, values
from runningfits.judging.bounds import Bounds, bounds
from runningfits.numerals import plain
from runningfits.places import folder
from runningfits.rows import Cite, Row
from runningfits.sheets.faults import SheetError

Vector = dict[str, Any]

OF_SIDE = {"upper": "main-bearing-clearance", "lower": "main-journal-diameter", "both": "valve-lash"}
"""A quantity of each side on which wear is limited."""

CELLS = ("lower", "upper", "nominal", "tolerance", "limit", "limit_as")

ELSEWHERE = {
    "followed": "tightening",
    "low": "tightening",
    "high": "tightening",
    "out-of-order": "tightening",
    **{f"B20{n}": "tightening" for n in range(1, 9)},
}
"""Verdict words and bench rules without a vector, with the reason: the vectors are of readings, tightening has tests of
its own."""


@cache
def files() -> dict[str, dict[str, Any]]:
    return {p.name: json.loads(p.read_text(encoding="utf-8")) for p in sorted(folder("vectors").glob("*.json"))}


def vectors(kind: str = "") -> list[Vector]:
    return [v for f in files().values() for v in f["vectors"] if kind in ("", v["kind"])]


def named(kind: str = "") -> pytest.MarkDecorator:
    return pytest.mark.parametrize("vector", vectors(kind), ids=lambda v: v["id"])


# what the code says


def decided(given: dict[str, Any], data: Dataset) -> dict[str, Any]:
    """Verdict, probabilities and margins of a value with its expanded uncertainty."""
    cells = {"quantity": OF_SIDE[given["limit_side"]], "unit": given["unit"], **dict.fromkeys(CELLS, "")}
    row = Row("vector", "clearances", "", cells | given["range"], Cite("", "", "", "", ""))
    found, factor = bounds(row, data), data.units[given["unit"]].factor
    if not found.judged:
        return {"verdict": "no-range"}
    value, half = Fraction(given["value"]) * factor, float(Fraction(given["uncertainty"]) * factor)
    x, u = np.array([float(value)]), np.array([half / 2])
    ends = [np.array([e]) for e in found.floats()]
    guard = decide.COVERAGE_FACTOR * u if given["decision"] == "guarded" else np.zeros(1)
    code = decide.decide(x, guard, *ends, np.array([found.wears_up]))[0]
    fresh = float(decide.probability(x, u, ends[0], ends[1])[0])
    within = float(decide.probability(x, u, ends[2], ends[3])[0])
    return {
        "verdict": decide.VERDICTS[code],
        "probability": None if np.isnan(fresh) else round(fresh, 12),
        "probability_within_limit": round(within, 12),
        "margins": margins(value, found, bool(given["range"].get("limit")), factor),
    }


def margins(value: Fraction, found: Bounds, limited: bool, factor: Fraction) -> dict[str, str | None]:
    worn = (found.wear_high if found.wears_up else found.wear_low) if limited else None
    gaps = {
        "lower": None if found.low is None else value - found.low,
        "upper": None if found.high is None else found.high - value,
        "limit": None if worn is None else (worn - value if found.wears_up else value - worn),
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
    found: grid.Cells = {}
    for r in readings:
        found.setdefault((r.get("place", ""), r.get("direction", "")), []).append(Fraction(r["value"]))
    return found


def estimated(given: dict[str, Any], data: Dataset) -> dict[str, Any]:
    """Value with its components, its standard and its expanded uncertainty, in the unit of the vector."""
    factor = data.units[given["unit"]].factor
    found = measured(given, data)
    parts = [
        {"cause": c.key, "standard": c.standard / float(factor), "sign": c.sign} for c in found.components if c.standard
    ]
    standard = found.standard / float(factor)
    expanded = decide.COVERAGE_FACTOR * standard
    return {"value": exact(found.value / factor), "components": parts, "standard": standard, "uncertainty": expanded}


def measured(given: dict[str, Any], data: Dataset) -> values.Value:
    tools = values.instruments(given, data)
    known = temperature.temperatures(given, data)
    readings = [values.reading(r, n, data, known) for n, r in enumerate(given["readings"])]
    kelvin, method = float(known.spread), given["method"]
    if method not in grid.PAIRED:
        thermal = readings[0].part in ("bore", "shaft")
        single = values.part_value(readings, method, tools, kelvin, thermal)
        assert single
        return single
    ways = zip(("bore", "shaft"), grid.PAIRED[method], strict=True)
    ends = [values.part_value([r for r in readings if r.part == p], m, tools, kelvin, True) for p, m in ways]
    assert ends[0] and ends[1]
    return values.difference(ends[0], ends[1], method)


def judged(given: dict[str, Any], data: Dataset) -> dict[str, Any]:
    """Results and codes of findings of a whole sheet, or the places of its faults."""
    try:
        found = rf.check(given["sheet"], data).as_dict()
    except SheetError as error:
        return {"faults": [f.place for f in error.faults]}
    return {
        "results": [result(r) for r in found["results"]],
        "findings": sorted(f["code"] for f in found["findings"]),
    }


def result(r: dict[str, Any]) -> dict[str, Any]:
    kept = ("item", "position", "derived", "value", "unit", "uncertainty", "verdict", "probability")
    shown = {k: r[k] for k in kept} | {"probability_within_limit": r["probability_within_limit"]}
    shown |= {"row": r["range"]["id"] if r["range"] else None}
    if r["questions"]:
        asked = r["questions"]
        shown["questions"] = [{"question": q["question"], "answers": [answer(a) for a in q["answers"]]} for q in asked]
    if r["passed_over"]:
        shown["passed_over"] = [p["id"] for p in r["passed_over"]]
    return shown


def answer(a: dict[str, Any]) -> dict[str, Any]:
    return {"word": a["word"], "verdict": a["verdict"], "rows": [x["id"] for x in a["ranges"]]}


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
    "choose": chosen,
    "sheet": judged,
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


def test_every_verdict_and_every_slip_is_covered_or_has_a_reason() -> None:
    from runningfits.faces.words import WORDS

    results = [r for v in vectors("sheet") for r in v["expected"].get("results", ())]
    shown = {r["verdict"] for r in results} | {v["expected"]["verdict"] for v in vectors("decide")}
    codes = {c for v in vectors("sheet") for c in v["expected"].get("findings", ())}
    rules = [tomllib.loads(p.read_text(encoding="utf-8")) for p in folder("rules").glob("B*.toml")]
    wanted = set(WORDS) | {r["code"] for r in rules if r["scope"] == "bench"}
    assert (shown | codes) & set(ELSEWHERE) == set()
    assert shown | codes | set(ELSEWHERE) == wanted


def test_every_method_is_covered(data: Dataset) -> None:
    assert {v["expected"]["method"] for v in vectors("value")} == set(data.keyed("methods"))
    assert {v["given"]["method"] for v in vectors("uncertainty")} >= {"largest", "mean", "half-dial", "end-difference"}


# the decision by other means


@named("decide")
def test_decision_in_fractions(vector: Vector) -> None:
    """ISO 14253-1: proved only where the whole interval lies on one side; simple acceptance takes the value alone."""
    given, expected = vector["given"], vector["expected"]
    low, high, worn, upward = by_hand(given)
    value = Fraction(given["value"])
    u = Fraction(given["uncertainty"]) if given["decision"] == "guarded" else Fraction(0)
    assert expected["verdict"] == verdict(value - u, value + u, low, high, worn, upward)
    # a touching interval would hang on the last bit of a float
    assert not u or {value - u, value + u}.isdisjoint({low, high, worn})


def by_hand(given: dict[str, Any]) -> tuple[Fraction | None, Fraction | None, Fraction | None, bool]:
    """Ends of the new range, the wear limit as a value, and whether wear goes up."""
    cells = {k: Fraction(v) for k, v in given["range"].items() if k != "limit_as" and v}
    low, high = cells.get("lower"), cells.get("upper")
    if "tolerance" in cells:
        low, high = cells["nominal"] - cells["tolerance"], cells["nominal"] + cells["tolerance"]
    limit, side = cells.get("limit"), given["limit_side"]
    if limit is not None and given["range"]["limit_as"] == "wear":
        base = (low if side == "lower" else high) if low is not None or high is not None else cells.get("nominal")
        limit = None if base is None else base - limit if side == "lower" else base + limit
    down = side == "lower" or (side == "both" and limit is not None and low is not None and limit <= low)
    return low, high, limit, not down


def verdict(
    least: Fraction, most: Fraction, low: Fraction | None, high: Fraction | None, worn: Fraction | None, upward: bool
) -> str:
    """Verdict on an interval, by cases."""
    if low is None and high is None and worn is None:
        return "no-range"
    new = (-inf if low is None else low, inf if high is None else high)
    allowed = widened(new, worn, upward, low is None and high is None)
    if most < allowed[0]:
        return "tight" if upward else "loose"
    if least > allowed[1]:
        return "loose" if upward else "tight"
    if least < allowed[0] or most > allowed[1]:
        return "cannot-tell"
    if low is None and high is None:
        return "worn"
    if least >= new[0] and most <= new[1]:
        return "new"
    return "worn" if most < new[0] or least > new[1] else "cannot-tell"


def widened(
    new: tuple[Fraction | float, Fraction | float], worn: Fraction | None, upward: bool, alone: bool
) -> tuple[Fraction | float, Fraction | float]:
    """What is allowed: the new range, widened on the side of wear by a limit that lies beyond its end."""
    if worn is None:
        return new
    if upward:
        open_end = new[1] == inf
        return new[0], worn if alone or open_end else max(new[1], worn)
    open_end = new[0] == -inf
    return worn if alone or open_end else min(new[0], worn), new[1]


@named("decide")
def test_probability_by_the_normal_distribution(vector: Vector) -> None:
    """JCGM 106:2012, 7.2 to 7.4: the share of a normal distribution about the value that lies between the limits."""
    given, expected = vector["given"], vector["expected"]
    if expected["verdict"] == "no-range":
        return
    low, high, worn, upward = by_hand(given)
    fresh = None if low is None and high is None else share(given, low, high)
    assert expected["probability"] == (None if fresh is None else pytest.approx(fresh, abs=1e-11))
    ends = widened((-inf if low is None else low, inf if high is None else high), worn, upward, fresh is None)
    assert expected["probability_within_limit"] == pytest.approx(share(given, *ends), abs=1e-11)


def share(given: dict[str, Any], low: Fraction | float | None, high: Fraction | float | None) -> float:
    value, standard = float(Fraction(given["value"])), float(Fraction(given["uncertainty"])) / 2
    least, most = -inf if low is None else float(low), inf if high is None else float(high)
    if not standard:
        return float(least <= value <= most)
    return float(norm.cdf(most, value, standard) - norm.cdf(least, value, standard))


@named("decide")
def test_margins_by_subtraction(vector: Vector) -> None:
    given, expected = vector["given"], vector["expected"]
    if expected["verdict"] == "no-range":
        return
    low, high, worn, upward = by_hand(given)
    value = Fraction(given["value"])
    allowed = widened((-inf if low is None else low, inf if high is None else high), worn, upward, low is high is None)
    end = allowed[1 if upward else 0]
    limit = None if worn is None else (end - value if upward else value - end)
    wanted = {"lower": low is not None and value - low, "upper": high is not None and high - value, "limit": limit}
    for name, gap in wanted.items():
        found = expected["margins"][name]
        assert found is None if gap is None or gap is False else Fraction(found) == gap


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
    """JCGM 100:2008, 5.1.2 and 5.2.2, with every reading written out as the sum of its errors."""
    quantity, spread = libraries(library)
    found = Errors(vector["given"], data, quantity).measurand()
    assert spread(found) == pytest.approx(vector["expected"]["standard"], rel=1e-9)
    assert vector["expected"]["uncertainty"] == pytest.approx(2 * vector["expected"]["standard"], rel=1e-12)


def libraries(name: str) -> tuple[Callable[[float], Any], Callable[[Any], float]]:
    """How a library makes an error of a standard uncertainty, and gives the standard uncertainty of a sum."""
    module = pytest.importorskip(name)
    if name == "GTC":
        return lambda u: module.ureal(0, u), lambda x: float(module.uncertainty(x))
    return lambda u: module.ufloat(0, u), lambda x: float(x.s)


class Errors:
    """Errors of the readings of a vector: one variable for each cause, shared wherever the cause is the same."""

    def __init__(self, given: dict[str, Any], data: Dataset, quantity: Callable[[float], Any]) -> None:
        self.given, self.data, self.quantity = given, data, quantity
        self.tools = {t["id"]: t for t in given["instruments"]}
        self.known: dict[tuple[str, ...], Any] = {}

    def error(self, standard: float, *cause: str) -> Any:
        if not standard:
            return 0.0
        if cause not in self.known:
            self.known[cause] = self.quantity(standard)
        return self.known[cause]

    def limit(self, tool: str, name: str, size: float = 0.0) -> float:
        own, kind = self.tools[tool], self.data.keyed("instruments")[self.tools[tool]["instrument"]]
        if name == "mpe" and "mpe_percent" in own:
            return float(own["mpe_percent"]) / 100 * size
        unit = own["unit"] if name in own else kind["unit"]
        text = own.get(name) or kind.get(name) or "0"
        return abs(float(Fraction(text) * self.data.units[unit].factor / self.data.units[self.given["unit"]].factor))

    def reading(self, part: str, place: tuple[str, str]) -> Any:
        """Mean of the repeats at one place and direction with its errors."""
        here = [r for r in self.given["readings"] if r["part"] == part and at(r) == place]
        ends = [(float(Fraction(r["value"])), float(Fraction(r.get("to", r["value"])))) for r in here]
        middle, half = fmean((a + b) / 2 for a, b in ends), max((b - a) / 2 for a, b in ends)
        tool = here[0]["instrument"]
        found = middle + self.error(half / sqrt(3), "marks", part, *place)
        found += self.error(self.limit(tool, "resolution") / sqrt(12), "step", tool, part, *place)
        found += self.error(self.repeated(part) / sqrt(len(here)), "repeats", part, *place)
        found += self.error(self.limit(tool, "mpe", middle) / sqrt(3), "scale", tool, part)
        found += self.error(self.limit(tool, "zero_shift") / sqrt(3), "zero", tool)
        if base := self.tools[tool].get("set_on"):
            found += self.error(self.limit(base, "mpe") / sqrt(3), "scale", base, "shaft")
            found += self.error(self.limit(base, "zero_shift") / sqrt(3), "zero", base)
        return found

    def repeated(self, part: str) -> float:
        """Pooled standard deviation of the repeats (JCGM 100:2008, 4.2.4)."""
        groups: dict[tuple[str, str], list[float]] = {}
        for r in self.given["readings"]:
            if r["part"] == part:
                groups.setdefault(at(r), []).append(float(Fraction(r["value"])))
        more = [g for g in groups.values() if len(g) > 1]
        freedom = sum(len(g) - 1 for g in more)
        return sqrt(sum(variance(g) * (len(g) - 1) for g in more) / freedom) if freedom else 0.0

    def grown(self, part: str, size: float) -> Any:
        """Growth of a part that may be warmer or colder than the instrument (JCGM 100:2008, H.1.3.6)."""
        kelvin = float(self.given.get("temperature_spread", "1 K").partition(" ")[0])
        return self.error(size * 11.5e-6 * kelvin / sqrt(3), "temperature", part)

    def part(self, part: str, method: str) -> Any:
        places = list(dict.fromkeys(at(r) for r in self.given["readings"] if r["part"] == part))
        found = {p: self.reading(part, p) for p in places}
        worth = {p: nominal(x) for p, x in found.items()}
        if method in ("cross-difference", "end-difference", "spread"):
            alike = {"cross-difference": 0, "end-difference": 1}.get(method)
            both = [p for p in product(places, repeat=2) if alike is None or p[0][alike] == p[1][alike]]
            top, bottom = max(both, key=lambda p: worth[p[0]] - worth[p[1]])
            return found[top] - found[bottom]
        if method in ("mean", "mean-then-largest"):
            value = sum(found.values()) / len(found)
        else:
            pick = min if method in ("smallest", "widest-strip") else max
            value = found[pick(places, key=worth.__getitem__)]
        if method == "half-dial":
            value = value / 2
        return value + self.grown(part, nominal(value)) if part in ("bore", "shaft") else value

    def measurand(self) -> Any:
        method = self.given["method"]
        if "-bore-minus-" not in method:
            return self.part(self.given["readings"][0]["part"], method)
        bore, shaft = method.removesuffix("-shaft").split("-bore-minus-")
        return self.part("bore", bore) - self.part("shaft", shaft)


def nominal(x: Any) -> float:
    return float(x) if isinstance(x, int | float) else float(getattr(x, "nominal_value", getattr(x, "x", 0.0)))


@named("uncertainty")
def test_components_of_one_cause_add_with_their_sign(vector: Vector) -> None:
    """JCGM 100:2008, 5.2.2, note 1: the printed components alone give the printed sum."""
    sums: dict[str, float] = {}
    for c in vector["expected"]["components"]:
        sums[c["cause"]] = sums.get(c["cause"], 0.0) + c["sign"] * c["standard"]
    assert sqrt(sum(s * s for s in sums.values())) == pytest.approx(vector["expected"]["standard"], rel=1e-12)
