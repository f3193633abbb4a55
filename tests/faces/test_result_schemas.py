"""JSON Schemas of results, findings and rules: what the code makes fits, and nothing else does."""

import copy
import json
import random
import tomllib
from collections.abc import Iterator
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from referencing import Registry, Resource

import runningfits as rf
from runningfits import rulebook, tables
from runningfits.build import Build
from runningfits.dataset import Dataset
from runningfits.faces.report import page
from runningfits.faces.words import WORDS
from runningfits.judging.decide import VERDICTS
from runningfits.numerals import plain
from runningfits.places import folder
from runningfits.sheets import blank, measuring

from ..shop import fit, judge, parts, reading, row, shop, step, torque

NAMES = ("finding", "result", "rule")


@cache
def schema(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((folder("schema") / f"{name}.json").read_text(encoding="utf-8"))
    return found


@cache
def validator(name: str) -> jsonschema.Draft202012Validator:
    known = Registry().with_resources([(f"{n}.json", Resource.from_contents(schema(n))) for n in NAMES])
    return jsonschema.Draft202012Validator(schema(name), registry=known)


def faults(name: str, value: Any) -> list[str]:
    return [f"{e.json_path}: {e.message}" for e in validator(name).iter_errors(value)]


@pytest.fixture(scope="module")
def everything(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """A result with something in every field."""
    every = {"source": "example-2", "applies": "steel-pan", "nominal": "0.002", "note": "a note"}
    both = {"lower_2": "0.025", "upper_2": "0.089", "unit_2": "mm", "state": "cold"}
    clearances = [
        row("main-bearing-clearance", "0.0015", "0.0030", "0.0050", state="caps-torqued", note="a note"),
        row("ring-gap", "0.010", "0.012", applies="ring-a"),
        row("ring-gap", "0.012", "0.022", applies="ring-b"),
        row("main-journal-taper", limit="0.0005"),
        row("tappet-clearance", "", "0.0040"),
        row("crank-end-play", "0.10", "0.23", unit="mm", lower_2="0.004", upper_2="0.009", unit_2="in"),
        row("piston-clearance", "0.0030", "0.0050", "0.0080"),
        row("rod-side-clearance", "0.004", "0.012", "0.276"),
        row("cam-end-play", limit="0.010", nominal="0.003"),
        row("idler-end-play", "0.003", "0.007", "0.009"),
        row("idler-end-play", "0.004", "0.008", page="2"),
        row("rocker-clearance", "0.001", "0.003", applies="steel-pan", page="2", state="cold"),
        row("rocker-clearance", "0.0010", "0.0035", "0.050", **every, **both),
        row("rocker-clearance", "0.0010", "0.0035", "0.0276", **every, **both, page="2"),
        row("piston-clearance", "0.0030", "0.0050", "0.0080", page="2"),
        row("spring-load", "50", "60", which="inner-spring", unit="lbf", applies="steel-pan"),
        row("spring-load", "70", "80", which="outer-spring", unit="lbf", applies="cast-pan"),
        row("spring-load", "40", "45", which="inner-spring", unit="lbf", applies="cast-pan"),
        row("head-flatness", "", "0.004"),
    ]
    doubt = {"applies": "example-model", "named_by": "inferred", "note": "four rods"}
    covers = [doubt | {"source": s} for s in ("example", "example-2")]
    wrong = {"column": "limit", "printed": "0.276", "corrected": "0.0276", "why": "a decade is lost"}
    high = {"column": "upper", "printed": "350", "corrected": "35", "why": "a zero too many"}
    steps = [
        step("main-cap", "1", "30", "350", thread_state="oiled", reuse="no"),
        step("main-cap", "2", nominal="70", tolerance="5"),
        step("oil-pan", "1", "8", "10", applies="steel-pan"),
        step("oil-pan", "1", "6", "7", applies="cast-pan"),
        step("fan", "1", nominal="20", tolerance="2", thread_state="oiled", reuse="no", source="example-2"),
        step("fan", "1", nominal="20", tolerance="2", thread_state="oiled", reuse="no", source="example-2", page="2"),
        step("fan", "1", "30", "35", thread_state="oiled", reuse="once"),
        step("fan", "1", "30", "35", thread_state="oiled", reuse="once", page="2"),
        step("governor", "1", nominal="20", tolerance="2"),
        step("governor", "1", "30", "350", source="example-2"),
    ]
    data = shop(
        tmp_path_factory.mktemp("schemas"),
        clearances=clearances,
        sizes=[
            row("piston-skirt-diameter", "4.0160", "4.0180", size="0.020", **{"class": "repair"}),
            row("head-material-removal", limit="0.008"),
            row("pin-diameter", "1.0100", "1.0105", size="0.010", **{"class": "repair"}),
            row("pin-diameter", "1.0101", "1.0106", size="0.010", page="2", **{"class": "repair"}),
        ],
        torques=steps,
        choices=[
            {
                "row": f"example-engine/idler-end-play/all@example:{p}",
                "over": f"example-engine/idler-end-play/all@example:{q}",
            }
            for p, q in (("2", "1"),)
        ],
        guides=[
            {
                "quantity": "crank-end-play",
                "per": "crank-end-play",
                "bound": "wear",
                "offset": "0.005",
                "unit": "in",
                "source": "example",
                "page": "1",
            }
        ],
        covers=covers,
        parts=parts("oil-pan", "steel-pan", "cast-pan") + parts("ring", "ring-a", "ring-b"),
        misprints=[
            {"row": "example-engine/rocker-clearance/all/steel-pan/cold@example-2:1", **wrong, "printed": "0.050"},
            {"row": "example-engine/rod-side-clearance/all@example:1", **wrong},
            {"row": "example-engine/main-cap/all/step-1@example:1", **high},
            {"row": "example-engine/governor/all/step-1@example-2:1", **high},
        ],
    )
    main = "main-bearing-clearance"
    readings = [
        *fit(main, "2.5070", "2.4998", "1"),
        reading(main, "strip", "0.0015", "1", to="0.0020"),
        *fit(main, "2.5013", "2.4998", "2"),
        *fit(main, "2.5022", "24.998", "3"),
        reading("ring-gap", "gap", "0.015"),
        reading("crank-end-play", "gap", "0.0060", "thrust"),
        reading("valve-lash", "gap", "0.014"),
        reading("rod-side-clearance", "gap", "0.006"),
        reading("cam-end-play", "gap", "0.004"),
        reading("tappet-clearance", "gap", "0.002"),
        reading(main, "bore", "2.5022", "5"),
        *(
            reading(main, "bore", v, "4", place=p)
            for p, v in (("front", "2.5022"), ("rear", "2.5023"), ("top", "2.5024"))
        ),
        reading(main, "shaft", "2.4998", "4"),
        reading("idler-end-play", "gap", "0.005"),
        *fit("piston-clearance", "4.0030", "3.9920"),
        reading("rocker-clearance", "gap", "0.0020"),
        reading("spring-load", "gap", "55", "2", which="inner-spring", unit="lbf", instrument="load-1"),
        reading("head-flatness", "gap", "0.006"),
        reading("pin-diameter", "shaft", "1.0103", "1"),
    ]
    torques = [
        torque("main-cap", 1, "32"),
        torque("main-cap", 2, "70"),
        torque("oil-pan", 1, "9"),
        torque("starter", 1, "9"),
        torque("fan", 1, "20", cycle=2),
        torque("governor", 1, "20"),
    ]
    return judge(
        data,
        *readings,
        torques=torques,
        build={
            "model": "example-model",
            "size": {"piston-pin": "0.010 in"},
            "fitted": {"oil-pan": {"1": "steel-pan"}},
        },
        parts=[{"part": "rod bolts", "maker": "Example Works", "number": "12-34", "note": "new"}],
        mic_1={"correction": "0.0001"},
        honing_allowance="0.002",
        honing_unit="in",
    )


def test_a_result_with_everything_fits(everything: dict[str, Any]) -> None:
    assert faults("result", everything) == []
    assert faults("result", json.loads(json.dumps(everything))) == []


@pytest.mark.parametrize("decision", ["guarded", "simple"])
def test_the_result_of_the_demo_fits(data: Dataset, root: Path, decision: str) -> None:
    demo = json.loads((root / "docs" / "demo" / "launch.json").read_text(encoding="utf-8"))
    assert faults("result", rf.check(demo | {"decision": decision}, data).as_dict()) == []


def filled(data: Dataset, engine: str, share: str) -> dict[str, Any]:
    """A blank sheet of an engine with a value in every line: so far up or beyond each row's range."""
    whole = blank.blank(data, engine)
    for tool in whole["instruments"]:
        if tool["instrument"] not in ("torque-wrench", "caliper"):
            kind = data.keyed("instruments")[tool["instrument"]]
            tool.update(mpe=kind["mpe"] or kind["usual"], unit=kind["unit"], mpe_percent="")
    rows = {(n.item, n.place): n.rows[0] for n in measuring.measured(data, engine, Build())}
    for line in whole["readings"]:
        found = rows[line["item"], line["position"]]
        low, high = (v if v is not None else found.value("limit") or found.value("nominal") for v in found.range())
        middle = (low or Decimal(1)) + Decimal(share) * abs((high or Decimal(1)) - (low or Decimal(1)))
        clearance = data.quantities[line["item"]]["kind"] == "clearance"
        size = Decimal(50) if clearance and line["part"] in ("bore", "shaft") else Decimal(0)
        line["value"] = plain(size if size and line["part"] == "shaft" else abs(size + middle))
        line["unit"] = found["unit"]
    for line in whole["torques"]:
        line["value"] = "50"
    return whole


ENGINES = [r["engine"] for r in tables.rows(folder("data") / "engines.csv")]
SOME = sorted(random.Random(5).sample(ENGINES, 50))


@pytest.mark.parametrize(("engine", "share"), [(e, ("0.5", "3")[n % 2]) for n, e in enumerate(SOME)])
def test_results_of_fifty_engines_fit(data: Dataset, engine: str, share: str) -> None:
    whole = filled(data, engine, share)
    result = rf.check(whole, data)
    assert len([j for j in result.judged if not j.case.derived]) >= 8
    assert faults("result", result.as_dict()) == []
    assert page(result.as_dict(), result.sheet, data).startswith("<!doctype html>")


def test_a_result_of_one_torque_fits(data: Dataset) -> None:
    found = judge(data, engine="nissan-h20", torques=[torque("main-cap", 1, "88", unit="N.m")])
    assert faults("result", found) == []
    assert (found["results"], found["not_judged"], found["assumed"]) == ([], [], [])


def fields(value: Any, at: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """Paths of the fields that hold something, list items taken together."""
    if isinstance(value, dict):
        for key, inner in value.items():
            if inner not in (None, [], {}, ""):
                yield (*at, key)
                yield from fields(inner, (*at, key))
    elif isinstance(value, list):
        for inner in value:
            yield from fields(inner, at)


def properties(node: dict[str, Any], at: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """Paths of the properties of the schema of a result, its own definitions followed."""
    defined = schema("result")["$defs"]
    for part in (node, *node.get("anyOf", ()), node.get("items", {})):
        own = defined[part["$ref"].rpartition("/")[2]] if part.get("$ref", "").startswith("#/") else part
        for key, inner in own.get("properties", {}).items():
            yield (*at, key)
            yield from properties(inner, (*at, key))


def test_the_schema_of_a_result_has_no_field_that_is_never_filled(everything: dict[str, Any]) -> None:
    listed = set(properties(schema("result")))
    assert len(listed) > 80
    assert listed - set(fields(everything)) == set()


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("engine",), "NTC 400"),
        (("decision",), "generous"),
        (("results", 0, "verdict"), "good"),
        (("results", 0, "value"), 0.0024),
        (("results", 0, "value"), "2.4e-3"),
        (("results", 0, "uncertainty"), "-0.1"),
        (("results", 0, "probability"), "1"),
        (("results", 0, "coverage_factor"), "-2"),
        (("results", 0, "coverage_factor"), 1.96),
        (("results", 0, "bias"), "some"),
        (("results", 0, "least_only"), "no"),
        (("results", 0, "not_printed"), ["middle"]),
        (("not_judged", 0, "why"), ""),
        (("assumed",), "nothing"),
        (("results", 0, "range", "lower"), "0,0015"),
        (("results", 0, "range", "id"), "no-page"),
        (("results", 0, "cite", "page"), ""),
        (("results", 0, "order"), 0),
        (("torques", 0, "verdict"), "new"),
        (("torques", 0, "range", "action"), "hit"),
        (("findings", 0, "severity"), "fatal"),
        (("findings", 0, "code"), "Z101"),
    ],
)
def test_a_wrong_value_does_not_fit(everything: dict[str, Any], path: tuple[str | int, ...], value: Any) -> None:
    wrong: Any = copy.deepcopy(everything)
    inner = wrong
    for key in path[:-1]:
        inner = inner[key]
    inner[path[-1]] = value
    (fault,) = faults("result", wrong)
    assert str(path[-1]) in fault


OBJECTS: list[tuple[str | int, ...]] = [
    (),
    ("results", 0),
    ("results", 0, "range"),
    ("results", 0, "cite"),
    ("results", 0, "margins"),
    ("results", 0, "components", 0),
    ("results", 0, "agreement", 0),
    ("results", 0, "remedies", 1),
    ("torques", 0),
    ("torques", 0, "range"),
    ("not_judged", 0),
    ("findings", 0),
]


@pytest.mark.parametrize("path", OBJECTS)
def test_a_field_too_many_or_too_few_does_not_fit(everything: dict[str, Any], path: tuple[str | int, ...]) -> None:
    wrong: Any = copy.deepcopy(everything)
    inner = wrong
    for key in path:
        inner = inner[key]
    inner["surprise"] = "x"
    assert any("surprise" in f for f in faults("result", wrong))
    del inner["surprise"]
    assert faults("result", wrong) == []
    del inner[next(iter(inner))]
    assert faults("result", wrong) != []


@pytest.mark.parametrize("name", ["result", "size", "parts"])
def test_a_field_too_many_in_a_part_of_a_remedy_does_not_fit(everything: dict[str, Any], name: str) -> None:
    wrong: Any = copy.deepcopy(everything)
    found = next(o[name] for r in wrong["results"] for o in r["remedies"] if o[name])
    inner = found[0] if name == "parts" else found
    inner["surprise"] = "x"
    assert any("surprise" in f for f in faults("result", wrong))
    del inner["surprise"]
    del inner[next(iter(inner))]
    assert faults("result", wrong) != []


def test_the_verdicts_are_those_of_the_code() -> None:
    listed = schema("result")["$defs"]
    assert listed["verdict"]["enum"] == list(VERDICTS)
    assert all(
        f"{v}:" in listed["verdict"]["description"] or f"{v}," in listed["verdict"]["description"] for v in VERDICTS
    )
    steps = listed["torque"]["properties"]["verdict"]["enum"]
    assert set(steps) | set(VERDICTS) == set(WORDS)


def test_findings_of_an_audit_fit(tmp_path: Path) -> None:
    clearances = [row("crank-end-play", "0.009", "0.004"), row("nothing", "1", "2")]
    report = rf.audit(shop(tmp_path, clearances=clearances).path).as_dict()
    assert report["findings"]
    for finding in report["findings"]:
        assert faults("finding", finding) == []


@pytest.mark.parametrize("path", sorted(folder("rules").glob("*.toml")), ids=lambda p: p.stem)
def test_a_rule_fits(path: Path) -> None:
    assert faults("rule", tomllib.loads(path.read_text(encoding="utf-8"))) == []


@pytest.fixture
def rule() -> dict[str, Any]:
    found: dict[str, Any] = tomllib.loads((folder("rules") / "B101-ten-times-off.toml").read_text(encoding="utf-8"))
    return found


@pytest.mark.parametrize("part", rulebook.PARTS)
def test_a_rule_without_a_part_does_not_fit(rule: dict[str, Any], part: str) -> None:
    del rule[part]
    assert any(f"'{part}' is a required property" in f for f in faults("rule", rule))


@pytest.mark.parametrize(
    ("part", "value"),
    [
        ("code", "B1"),
        ("name", "Ten times"),
        ("severity", "fatal"),
        ("scope", "dataset"),
        ("why", " "),
        ("bad", []),
        ("good", [{}]),
        ("good", [{"nowhere": [{"a": "b"}]}]),
        ("good", [{"sizes": [{"lower": 1}]}]),
        ("author", "someone"),
    ],
)
def test_a_wrong_rule_does_not_fit(rule: dict[str, Any], part: str, value: Any) -> None:
    assert faults("rule", rule | {part: value}) != []


def test_the_schema_of_rules_is_that_of_the_code() -> None:
    found = schema("rule")
    assert set(found["required"]) == set(rulebook.PARTS)
    assert set(found["properties"]) == {*rulebook.PARTS, *rulebook.OPTIONAL}
    assert found["properties"]["severity"]["enum"] == list(rulebook.SEVERITIES)
    assert schema("finding")["properties"]["severity"]["enum"] == list(rulebook.SEVERITIES)
    listed = {n for n, p in found["$defs"]["example"]["properties"].items() if p.get("$ref") == "#/$defs/rows"}
    assert listed == {*tables.SHARED, *tables.PER_ENGINE}


def test_a_bench_rule_is_shown_by_sheets_and_no_other_rule_is() -> None:
    for scope in ("dataset", "bench"):
        examples = [(r.code, e) for r in rulebook.rules(scope) for e in (*r.bad, *r.good)]
        assert {("sheet" in e) for _, e in examples} == {scope == "bench"}


def described(node: Any, path: str = "") -> Iterator[str]:
    """Paths of the properties that have no description."""
    if isinstance(node, dict):
        for key, inner in node.get("properties", {}).items():
            if path.rpartition("/")[2] != "then" and path.rpartition("/")[2] not in ("if", "else"):
                yield from () if inner.get("description") else (f"{path}/{key}",)
        for key, inner in node.items():
            yield from described(inner, f"{path}/{key}")
    elif isinstance(node, list):
        for inner in node:
            yield from described(inner, path)


@pytest.mark.parametrize("name", NAMES)
def test_every_property_is_described(name: str) -> None:
    found = schema(name)
    jsonschema.Draft202012Validator.check_schema(found)
    assert found["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert found["title"] and found["description"]
    assert list(described(found)) == []
