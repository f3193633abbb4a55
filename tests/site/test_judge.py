"""The judge of the bench page gives what the Python code gives: on every vector, and on sheets made by chance."""

import json
import random
import subprocess
from decimal import Decimal
from fractions import Fraction
from math import erf
from pathlib import Path
from statistics import NormalDist
from typing import Any

import pytest
from scipy.stats import norm

import runningfits as rf
from runningfits.dataset import Dataset
from runningfits.degrees import celsius
from runningfits.judging import decide
from runningfits.rows import Row
from runningfits.rulebook import rules
from runningfits.scale import Scale
from runningfits.sheets.faults import SheetError
from runningfits.site import bench_page
from runningfits.units import rounded

from .. import shop
from ..test_vectors import near, result, torque, vectors
from .tools import node

RUNNER = Path(__file__).with_name("judge_runner.js")
SEED, SHEETS = 20261125, 500
ENGINES = (
    "amc-360", "cummins-ntc-400", "cummins-b-series", "detroit-53-inline", "detroit-8v-71t", "deutz-912",
    "gm-6-2-diesel", "isuzu-c240", "kohler-command-ch18-745", "nissan-h20", "perkins-4-236",
    "unidentified-tm-5-6115-545-34",
)  # fmt: skip

Json = dict[str, Any]

MIRRORED = [v for v in vectors() if v["kind"] != "remedy"]
"""Vectors of what the page works out: remedies are the command's, and the page says so."""


def answers(data: Dataset, jobs: list[Json]) -> list[Any]:
    """What the judge answers to jobs, with the data as the page's scripts give them."""
    return answered(list(bench_page.scripts(data).values()), jobs)


def answered(scripts: list[str], jobs: list[Json]) -> list[Any]:
    told = json.dumps({"scripts": scripts, "jobs": jobs})
    done = subprocess.run([node(), str(RUNNER)], input=told, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return list(json.loads(done.stdout))


@pytest.fixture(scope="module")
def vector_answers(data: Dataset) -> dict[str, Any]:
    jobs = [{"kind": v["kind"], "given": v["given"]} for v in MIRRORED]
    return dict(zip((v["id"] for v in MIRRORED), answers(data, jobs), strict=True))


@pytest.mark.parametrize("vector", MIRRORED, ids=lambda v: v["id"])
def test_vector(vector: Json, vector_answers: dict[str, Any]) -> None:
    found, expected = vector_answers[vector["id"]], vector["expected"]
    if vector["kind"] == "sheet":
        found = as_vector(found, expected)
    if vector["kind"] == "torque":
        assert not found["faults"]
        lines = list(map(torque, found["torques"]))
        found = {"torques": lines, "findings": sorted(f["code"] for f in found["findings"])}
    if vector["kind"] == "choose":
        rows = [{k: r[k] for k in r if k != "marks"} for r in found["rows"]]
        found = found | {"rows": rows, "questions": questions(found)}
        found = {k: found[k] for k in expected if k != "fallen"} | {k: v for k, v in expected.items() if k == "fallen"}
    assert alike(found, expected)


def as_vector(found: Json, expected: Json) -> Json:
    """An answer on a sheet in the form of a vector's expectation."""
    assert not found["refused"]
    if found["faults"]:
        return {"faults": [f["place"] for f in found["faults"]]}
    results = [as_result(r, want) for r, want in zip(found["results"], expected["results"], strict=True)]
    told = {"results": results, "findings": sorted(f["code"] for f in found["findings"])}
    return told | {k: v for k, v in (("not_judged", found["notJudged"]), ("assumed", found["assumed"])) if v}


IF_ANY = ("questions", "passed_over", "bias", "least_only", "not_printed", "honed")
"""Fields of a result that a vector has only where there is something."""


def as_result(found: Json, want: Json) -> Json:
    """A result with the fields that a vector names, and with nothing of those that it leaves out."""
    assert all(bool(found[k]) == (k in want) for k in IF_ANY)
    return {k: questions(found) if k == "questions" else found[k] for k in want}


def questions(found: Json) -> list[Json]:
    """Open questions of the page in the form of a vector."""
    return [{"question": q["question"], "answers": [as_answer(a) for a in q["answers"]]} for q in found["questions"]]


def as_answer(found: Json) -> Json:
    told = {"word": found["word"], "rows": led_to(found)}
    return told | {"verdict": found["verdict"]} if "verdict" in found else told


def led_to(found: Json) -> list[str]:
    """Ids of the rows that an answer leads to, each once."""
    return list(dict.fromkeys(name for line in found["lines"] for name in line))


def alike(found: Any, expected: Any) -> bool:
    """Whether two values are alike; JSON from node writes 1.0 as 1."""
    if isinstance(expected, float) and isinstance(found, int):
        return near(float(found), expected)
    if isinstance(expected, dict):
        return (
            isinstance(found, dict)
            and found.keys() == expected.keys()
            and all(alike(found[k], expected[k]) for k in found)
        )
    if isinstance(expected, list):
        return len(found) == len(expected) and all(map(alike, found, expected))
    return near(found, expected) or (isinstance(expected, float) and abs(found - expected) < 1e-9)


# sheets that are none


READ = {"item": "main-journal-diameter", "position": "1", "part": "shaft", "value": "62.95", "unit": "mm"}
READ |= {"instrument": "mic-1"}
MIC = {"id": "mic-1", "instrument": "outside-micrometer"}

HOSTILE = [
    ({"readings": [None]}, ("readings[0]", "null", "an object")),
    ({"instruments": [None]}, ("instruments[0]", "null", "an object")),
    ({"torques": [5]}, ("torques[0]", "5", "an object")),
    ({"parts": ["x"]}, ("parts[0]", '"x"', "an object")),
    (
        {"instruments": [{"id": "mic-1", "instrument": "constructor"}]},
        ("instruments[0].instrument", '"constructor"', "a class of the dataset"),
    ),
    (
        {"readings": [READ | {"item": "constructor"}]},
        ("readings[0].item", '"constructor"', "a quantity of the dataset"),
    ),
    ({"readings": [READ | {"instrument": "__proto__"}]}, ("readings[0].instrument", '"__proto__"', "")),
    ({"honing_unit": "toString"}, ("honing_unit", '"toString"', "a unit of length")),
    ({"readings": [READ | {"value": "0,05"}]}, ("readings[0].value", '"0,05"', "write a decimal point, not a comma")),
    ({"readings": [READ | {"value": 0.05}]}, ("readings[0].value", "0.05", 'text, written as text: "0.05"')),
]
"""What stands in a sheet that is otherwise good, and the place, the value and words of the fault."""


def test_a_sheet_that_is_none_is_told_in_a_sentence(data: Dataset) -> None:
    good = {"engine": "nissan-h20", "title": "x", "instruments": [MIC], "readings": [READ]}
    sheets = [good | odd for odd, _ in HOSTILE]
    found = answers(data, [{"kind": "sheet", "given": {"sheet": s}} for s in sheets])
    for told, (_, (place, value, expected)) in zip(found, HOSTILE, strict=False):
        (fault, *_) = told["faults"]
        assert (fault["place"], fault["found"]) == (place, value)
        assert expected in fault["expected"]
    for sheet in sheets:
        with pytest.raises(SheetError):
            rf.check(sheet, data)


def test_an_instrument_may_be_called_what_it_likes(data: Dataset) -> None:
    tool, line = MIC | {"id": "constructor"}, READ | {"instrument": "constructor"}
    sheet = {"engine": "nissan-h20", "title": "x", "instruments": [tool], "readings": [line]}
    (found,) = answers(data, [{"kind": "sheet", "given": {"sheet": sheet}}])
    assert [r["verdict"] for r in found["results"]] == ["cannot-tell"]


# arithmetic


def test_normal_distribution(data: Dataset) -> None:
    points = [n / 37 for n in range(-400, 401)]
    (found,) = answers(data, [{"kind": "normal", "given": points}])
    assert max(abs(a - float(norm.cdf(x))) for a, x in zip(found, points, strict=True)) < 1e-14


def test_error_function_and_quantile(data: Dataset) -> None:
    points = [n / 37 for n in range(-250, 251)]
    shares = [n / 997 for n in range(1, 997)] + [1e-9, 1e-6, 1 - 1e-9]
    erfs, quantiles = answers(data, [{"kind": "erf", "given": points}, {"kind": "quantile", "given": shares}])
    assert max(abs(a - erf(x)) for a, x in zip(erfs, points, strict=True)) < 1e-14
    normal = NormalDist()
    assert max(abs(a - normal.inv_cdf(p)) for a, p in zip(quantiles, shares, strict=True)) < 1e-13


def test_temperatures_as_people_write_them(data: Dataset) -> None:
    given = ["20", "20 C", "20 c", "20 °C", "21.5 degC", "68 F", "70.1 degF", "-4°F", "295 K", "0"]
    (found,) = answers(data, [{"kind": "celsius", "given": given}])
    assert list(map(Fraction, found)) == [celsius(t, data) for t in given]


def test_fractions_become_the_nearest_number(data: Dataset) -> None:
    chance = random.Random(SEED)
    pairs = [(chance.randint(-(10**30), 10**30), chance.randint(1, 10**30)) for _ in range(500)]
    given = [f"{a}/{b}" for a, b in pairs] + ["9007199254740993", "0.1", "0", "-0.00000000000000000000123"]
    (found,) = answers(data, [{"kind": "numbers", "given": given}])
    assert [float(Fraction(t)) for t in given] == found


def test_rounding_is_half_to_even(data: Dataset) -> None:
    given = [
        (t, p)
        for t in ("0.00125", "0.00135", "-0.00125", "2.5", "3.5", "-2.5", "0.0004", "7/3", "-7/3", "0")
        for p in range(6)
    ]
    (found,) = answers(data, [{"kind": "rounded", "given": given}])
    wanted = [rounded(Fraction(t), Fraction(1, 10**p)) for t, p in given]
    assert [Decimal(t) for t in found] == [Decimal(t) for t in wanted] and found == wanted


def test_uncertainty_is_rounded_up_alike(data: Dataset) -> None:
    chance = random.Random(SEED)
    powers = [10.0**n for n in range(-9, 7)]
    given = [*powers, *(p * (1 - 1e-16) for p in powers), *(10 ** chance.uniform(-9, 6) for _ in range(400))]
    (found,) = answers(data, [{"kind": "up", "given": given}])
    assert [Scale("m", Fraction(1), Fraction(1)).up(x) for x in given] == found


# sheets made by chance

FINE = {"resolution": "0.0001", "mpe": "0.0001", "unit": "in"}
TOOLS = [
    {"id": "mic-1", "instrument": "outside-micrometer", **FINE},
    {"id": "mic-2", "instrument": "outside-micrometer", "resolution": "0.001", "unit": "mm", "zero_shift": "0.002"},
    {
        "id": "bore-1",
        "instrument": "bore-gauge",
        "resolution": "0.0001",
        "mpe": "0.0001",
        "unit": "in",
        "set_on": "mic-1",
    },
    {"id": "bore-2", "instrument": "bore-gauge", "resolution": "0.002", "mpe": "0.003", "unit": "mm"},
    {"id": "caliper-1", "instrument": "caliper"},
    {"id": "caliper-2", "instrument": "caliper-inside-depth"},
    {"id": "feeler-1", "instrument": "feeler-gauge", "resolution": "0.001", "mpe": "0.0003", "unit": "in"},
    {"id": "dial-1", "instrument": "dial-indicator"},
    {"id": "strip-1", "instrument": "strip", "mpe": "0.0003", "unit": "in"},
]
FOR = {
    "bore": ("bore-1", "bore-1", "bore-2", "caliper-2", "caliper-1"),
    "shaft": ("mic-1", "mic-1", "mic-2", "caliper-1"),
    "gap": ("feeler-1", "dial-1", "dial-1"),
    "strip": ("strip-1",),
}
SLIPS = (10, Fraction(1, 10), Fraction("25.4"), 1 / Fraction("25.4"))


class Chance:
    """Sheets by chance: rows of an engine, measured near their ends, now and then with a slip."""

    def __init__(self, data: Dataset, seed: int) -> None:
        self.data, self.random = data, random.Random(seed)

    def sheet(self) -> Json:
        engine = self.random.choice(ENGINES)
        build = self.build(engine)
        rows = [r for t in ("sizes", "clearances") for r in self.data.all_rows(engine, t)]
        rows = [r for r in rows if self.data.quantities[r.item]["dimension"] == "length"]
        readings: list[Json] = []
        for row in self.random.sample(rows, 3):
            readings += self.readings(row)
        decision = self.random.choice(("guarded", "guarded", "simple"))
        found = {"engine": engine, "build": build, "decision": decision, "instruments": TOOLS, "readings": readings}
        found |= {"honing_allowance": "0.05", "honing_unit": "mm"}
        return found | self.warmth() | self.materials(readings)

    def build(self, engine: str) -> Json:
        """Answers by chance: some given, some unknown, some left out, some for one place alone."""
        family, chance = self.data.family(engine), self.random
        found: Json = {"model": chance.choice([*family.models, "unknown"])} if chance.random() < 0.6 else {}
        fitted: Json = {}
        for question, words in family.questions.items():
            if chance.random() < 0.6:
                one = chance.choice([*words, "other", "unknown"])
                fitted[question] = {"all": one, "2": chance.choice(words)} if chance.random() < 0.2 else one
        sizes: Json = {}
        for line in self.data.table("repairs"):
            if chance.random() < 0.2:
                sign = "-" if line["sign"] == "minus" else ""
                one = sign + chance.choice(("0.25 mm", "0.010 in", "0.50 mm", "0.020 in", "1.0 mm"))
                sizes[line["repair"]] = chance.choice((one, one, "unknown", "standard", {"all": one, "2": "0"}))
        documents = [chance.choice([*family.covers])] if chance.random() < 0.2 else []
        return {k: v for k, v in (found | {"fitted": fitted, "size": sizes, "documents": documents}).items() if v}

    def warmth(self) -> Json:
        """Temperatures as people write them, now and then one that no shop has."""
        chance = self.random
        found = {
            "temperature_spread": chance.choice(("", "0 K", "2.5 K", "3 degF")),
            "part_temperature": chance.choice(("", "", "20 C", "68 F", "35", "40 °C", "295 K", "900")),
            "room_temperature": chance.choice(("", "", "", "18 degC", "20")),
        }
        return {k: v for k, v in found.items() if v}

    def materials(self, readings: list[Json]) -> Json:
        """Materials of some sizes; of some readings a material or temperature of their own."""
        chance, known = self.random, [*self.data.keyed("materials")]
        for raw in readings:
            if raw["part"] in ("bore", "shaft") and chance.random() < 0.05:
                raw.update(chance.choice(({"material": chance.choice(known)}, {"temperature": "45 C"})))
        sizes = ("piston-skirt-diameter", "cylinder-bore", "main-journal-diameter", "valve-stem-diameter")
        found = {s: chance.choice(known) for s in sizes if chance.random() < 0.15}
        return {"materials": found} if found else {}

    def readings(self, row: Row) -> list[Json]:
        position, named = self.position(row), self.random.random() < 0.8
        words: Json = {"item": row.item, "position": position}
        words |= {"which": row["which"].split()[0]} if row["which"] and named else {}
        words |= {c: row[c] for c in ("state", "method") if row[c] and self.random.random() < 0.2}
        words |= {"at": f"{row['at']} {row['at_unit']}"} if row["at"] and self.random.random() < 0.3 else {}
        words |= {"class": row["class"]} if row["class"] != "new" else {}
        found = []
        for part, size in self.parts(row):
            tool = self.random.choice(FOR[part])
            for place, direction in self.grid():
                for _ in range(self.random.choice((1, 1, 1, 2, 3))):
                    found.append(words | place | direction | self.value(part, size, row["unit"], tool))
        return found

    def position(self, row: Row) -> str:
        count = self.data.count(row.engine, row.item)
        number = str(self.random.randint(1, count or 4))
        named = not row["position"][0].isdigit()
        if row["position"] == "all":
            return self.random.choice((number, number, "all", "front", "rear", f"{number}/intake", "centre"))
        return self.random.choice((row["position"], f"{number}/{row['position']}")) if named else row["position"][0]

    def parts(self, row: Row) -> list[tuple[str, Fraction]]:
        """Parts to read and the size about which readings fall, in the row's unit."""
        quantity, about = self.data.quantities[row.item], self.about(row)
        if quantity["inner"] and self.random.random() < 0.6:
            size = self.size(row, quantity["inner"].split()[0]) or Fraction(60)
            found = [("bore", size + about), ("shaft", size)][: self.random.choice((2, 2, 2, 2, 1))]
            return found + [(self.random.choice(("gap", "strip")), about)] * (self.random.random() < 0.2)
        if quantity["kind"] == "size":
            return [("bore" if quantity["limit_side"] == "upper" else "shaft", about)]
        if quantity["of"] and self.random.random() < 0.7:
            size = self.size(row, quantity["of"].split()[0]) or Fraction(50)
            return [("shaft", size)]
        return [(self.random.choice(("gap", "gap", "gap", "strip")), about)]

    def about(self, row: Row) -> Fraction:
        ends = [*row.range(), row.limit(self.data.quantities[row.item]["limit_side"]), row.value("nominal")]
        known = [Fraction(e) for e in ends if e is not None] or [Fraction(1)]
        return self.random.choice([*known, sum(known) / len(known)])

    def size(self, row: Row, quantity: str) -> Fraction | None:
        """Size of a part in the row's unit, where the engine has a row for it."""
        found = [r for r in self.data.all_rows(row.engine, "sizes") if r.item == quantity]
        if not found:
            return None
        other = found[0]
        return self.about(other) * self.data.units[other["unit"]].factor / self.data.units[row["unit"]].factor

    def grid(self) -> list[tuple[Json, Json]]:
        places = self.random.choice(((), (), ("front", "rear"), ("front", "centre", "rear")))
        directions = self.random.choice(((), ("vertical", "horizontal")))
        named = [{"place": p} for p in places] or [{}]
        across = [{"direction": d} for d in directions] or [{}]
        return [(p, d) for p in named for d in across]

    def value(self, part: str, size: Fraction, unit: str, tool: str) -> Json:
        shift = Fraction(self.random.gauss(0, 0.0008)) / (Fraction("0.03937") if unit == "mm" else 1)
        value = size + shift
        if self.random.random() < 0.04:
            value *= self.random.choice(SLIPS)
        if self.random.random() < 0.03:
            value += Fraction("0.025") if unit == "in" else Fraction("0.5")
        if self.random.random() < 0.15:
            value, unit = (value * Fraction("25.4"), "mm") if unit == "in" else (value / Fraction("25.4"), "in")
        text = rounded(value, Fraction(1, 10 ** (4 if unit == "in" else 3)))
        found = {"part": part, "value": text, "unit": unit, "instrument": tool}
        if part in ("gap", "strip") and self.random.random() < 0.3:
            found["to"] = rounded(value + Fraction("0.0007") * (1 if unit == "in" else 25), Fraction(1, 10**4))
        return found


@pytest.fixture(scope="module")
def by_chance(data: Dataset) -> list[Json]:
    chance = Chance(data, SEED)
    return [chance.sheet() for _ in range(SHEETS)]


@pytest.fixture(scope="module")
def both(data: Dataset, by_chance: list[Json]) -> list[tuple[Json, Json]]:
    """Each sheet as Python judges it, or the places of its faults, and as the page judges it."""
    found = answers(data, [{"kind": "sheet", "given": {"sheet": s}} for s in by_chance])
    return list(zip((judged(s, data) for s in by_chance), found, strict=True))


def judged(sheet: Json, data: Dataset) -> Json:
    try:
        return rf.check(sheet, data).as_dict()
    except SheetError as error:
        return {"faults": [f.place for f in error.faults]}


SAME = (
    "item", "label", "position", "says", "derived", "value", "unit", "uncertainty", "coverage_factor", "bias",
    "least_only", "as_read", "method", "way", "readings", "components", "verdict", "probability",
    "probability_within_limit", "not_printed", "interference", "margins", "agreement", "settled", "why", "needs",
    "honed", "order", "caution",
)  # fmt: skip
RANGE = (
    "id", "lower", "upper", "limit", "nominal", "unit", "applies", "size", "state", "reading", "misprints", "marks",
    "also", "note",
)  # fmt: skip


def test_sheets_by_chance(both: list[tuple[Json, Json]]) -> None:
    """Every field but those that the page does not work out: rules of thumb, remedies.

    Faults in any order: a script's objects bear numbered places first.
    """
    for python, page in both:
        if "faults" in python:
            assert sorted(f["place"] for f in page["faults"]) == sorted(python["faults"])
            continue
        assert page["faults"] == [] and page["refused"] == [] and page["assumed"] == python["assumed"]
        assert page["missing"] == [{k: m[k] for k in ("item", "position")} for m in python["not_measured"]]
        assert page["notJudged"] == [{k: m[k] for k in ("item", "position", "why")} for m in python["not_judged"]]
        assert len(page["results"]) == len(python["results"])
        for r, want in zip(page["results"], python["results"], strict=True):
            same_result(r, want)


def same_result(found: Json, want: Json) -> None:
    """The same verdict, numbers, rows, questions and words."""
    assert {k: found[k] for k in SAME} == {k: want[k] for k in SAME}
    assert found["row"] == result(want)["row"]
    assert found["passed_over"] == [p["id"] for p in want["passed_over"]]
    assert found["range"] == (want["range"] and {k: want["range"][k] for k in RANGE})
    assert [(o["id"], o["verdict"]) for o in found["others"]] == [(o["id"], o["verdict"]) for o in want["others"]]
    same_questions(found["questions"], want["questions"])


def same_questions(found: list[Json], wanted: list[Json]) -> None:
    """The same questions in the same words, each answer with the same label, rows and verdict."""
    assert [(q["question"], q["words"]) for q in found] == [(q["question"], q["words"]) for q in wanted]
    for q, want in zip(found, wanted, strict=True):
        told = [(a["word"], a["label"], a["verdict"], led_to(a)) for a in q["answers"]]
        assert told == [(a["word"], a["label"], a["verdict"], [x["id"] for x in a["ranges"]]) for a in want["answers"]]


PAIRED = ("B105", "B109")
"""Rules on a pair of readings: which of several partners their message names is left open."""


def test_findings_by_chance(both: list[tuple[Json, Json]]) -> None:
    for python, page in both:
        if "faults" not in python:
            assert list(map(told, page["findings"])) == list(map(told, python["findings"]))
            wanted = [(f["column"], f["message"], f["help"]) for f in python["findings"] if f["code"] not in PAIRED]
            alone = [f for f in page["findings"] if f["code"] not in PAIRED]
            assert [(f"readings[{f['reading']}].value", f["message"], f["help"]) for f in alone] == wanted


def test_the_page_has_every_bench_rule_on_readings(data: Dataset) -> None:
    """The sets of rules are compared by name: a rule that Python gains or loses is missed here."""
    (codes,) = answers(data, [{"kind": "codes", "given": None}])
    on_readings = [r.code for r in rules("bench") if "bench_readings" in r.query]
    assert codes == on_readings
    assert {r.code for r in rules("bench")} - set(codes) == {f"B2{n:02}" for n in range(1, 13)}


def told(finding: Json) -> tuple[str, str, str]:
    return finding["code"], finding["name"], finding["severity"]


def test_chance_reaches_every_verdict_and_most_slips(both: list[tuple[Json, Json]]) -> None:
    judged_ones = [p for p, _ in both if "faults" not in p]
    verdicts = {r["verdict"] for p in judged_ones for r in p["results"]}
    codes = {f["code"] for p in judged_ones for f in p["findings"]}
    assert verdicts == set(decide.VERDICTS)
    assert codes >= {"B101", "B102", "B103", "B104", "B105", "B106", "B107", "B108", "B109", "B110"}
    assert sum(len(p["results"]) for p in judged_ones) > SHEETS * 2
    results = [r for p in judged_ones for r in p["results"]]
    assert {a["word"] for r in results for q in r["questions"] for a in q["answers"]} > {"other"}
    kept = ("settled", "others", "passed_over", "bias", "least_only", "not_printed", "agreement")
    assert all(any(r[k] for r in results) for k in kept)
    assert {r["coverage_factor"] for r in results} > {"1.96", None}
    assert all(any(p[k] for p in judged_ones) for k in ("not_measured", "not_judged", "assumed"))
    assert any("worked out" in m for r in results if r["range"] for m in r["range"]["marks"])
    assert len(judged_ones) < len(both), "no sheet by chance is at fault"


PLACES = (
    "all", "1-4", "2,3", "centre", "rear", "outer-ends", "intermediate", "front-intermediate", "rear-intermediate",
)  # fmt: skip


@pytest.mark.parametrize("known", [PLACES, PLACES[1:3]], ids=["many rows", "two spans"])
@pytest.mark.parametrize("mains", ["", "1", "2", "4", "5", "7"])
def test_the_closest_row_of_every_place(tmp_path: Path, mains: str, known: tuple[str, ...]) -> None:
    main = "main-bearing-clearance"
    rows = [shop.row(main, f"0.00{n}0", "0.0100", position=p) for n, p in enumerate(known, 1)]
    data = shop.shop(tmp_path, {"mains": mains}, clearances=rows)
    numbered = map(str, range(1, int(mains or 8) + 1))
    positions = [*numbered, *PLACES[3:], "front", "all", f"{mains or 2}/rear", "thrust"]
    asked = shop.sheet(*(shop.reading(main, "gap", "0.0095", p) for p in positions))
    (found,) = answers(data, [{"kind": "sheet", "given": {"sheet": asked}}])
    wanted = rf.check(asked, data).as_dict()["results"]
    ids = [(r["position"], r["range"] and r["range"]["id"], [o["id"] for o in r["others"]]) for r in wanted]
    assert [(r["position"], r["row"], [o["id"] for o in r["others"]]) for r in found["results"]] == ids
    assert len({i for _, i, _ in ids}) > 1


# what it leaves to `runningfits check`


def sheet_of(**more: Any) -> Json:
    reading = {
        "item": "crank-end-play",
        "position": "thrust",
        "part": "gap",
        "value": "0.010",
        "unit": "in",
        "instrument": "dial-1",
    }
    return {"engine": "cummins-ntc-400", "instruments": TOOLS, "readings": [reading | more.pop("reading", {})]} | more


@pytest.mark.parametrize(
    ("sheet", "why"),
    [
        (sheet_of(guides="tm-10-3930-647-14-p"), "rules of thumb"),
    ],
)
def test_what_would_change_a_verdict_is_refused_whole(data: Dataset, sheet: Json, why: str) -> None:
    (found,) = answers(data, [{"kind": "sheet", "given": {"sheet": sheet}}])
    assert (found["refused"], found["results"]) == ([why], [])


def test_of_two_ways_the_less_uncertain_decides_and_the_other_is_compared(data: Dataset) -> None:
    where = {"item": "main-bearing-clearance", "position": "1", "unit": "in"}
    readings = [
        where | {"part": "bore", "value": "4.5026", "instrument": "bore-1"},
        where | {"part": "shaft", "value": "4.4992", "instrument": "mic-1"},
        where | {"part": "strip", "value": "0.0010", "instrument": "strip-1"},
    ]
    sheet = {"engine": "cummins-ntc-400", "instruments": TOOLS, "readings": readings}
    (found,) = answers(data, [{"kind": "sheet", "given": {"sheet": sheet}}])
    main, journal = found["results"]
    assert (main["way"], main["value"]) == ("bore minus shaft", "0.00340")
    (other,) = main["agreement"]
    assert (other["way"], other["value"], other["agrees"]) == ("strip", "0.00100", False)
    assert "the shaft was turned on the strip" in other["causes"]
    assert (journal["verdict"], journal["value"]) == ("new", "4.49920")


@pytest.mark.parametrize(
    ("field", "wrong"),
    [("instrument", "dial-1"), ("instrument", "wrench-9"), ("unit", "no-such"), ("joint", "no-such"),
     ("position", "4-1"), ("position", "1,1"), ("position", "nowhere"), ("position", "9"), ("which", "no-such"),
     ("step", 0), ("step", "1"), ("cycle", 51), ("value", "1e3"), ("thread_state", "wet")],
)  # fmt: skip
def test_a_fault_of_a_torque_line_is_found_where_the_command_finds_it(data: Dataset, field: str, wrong: object) -> None:
    torque = {"joint": "rod-cap", "position": "1", "step": 1, "value": "72", "unit": "lbf.ft", "instrument": "wrench-1"}
    tools = [*TOOLS, {"id": "wrench-1", "instrument": "torque-wrench", "mpe_percent": "4", "unit": "lbf.ft"}]
    sheet = sheet_of(torques=[torque | {field: wrong}]) | {"instruments": tools}
    with pytest.raises(SheetError) as python:
        rf.check(sheet, data)
    (found,) = answers(data, [{"kind": "sheet", "given": {"sheet": sheet}}])
    assert {f["place"] for f in found["faults"]} == {f.place for f in python.value.faults}
