"""The bench page, and the data that it judges by as scripts that also load from a folder on a stick."""

import json
from typing import Any

from ..asking import DETAIL_WORDS
from ..cautions import CAUTIONS
from ..dataset import Dataset
from ..engine_models import OTHER, Model
from ..faces.words import INTERFERENCE, WORDS
from ..judging.against import DOUBTS
from ..judging.two_ways import CAUSES
from ..rows import Cite, Row, document_words, page_words
from ..rulebook import Rule, rules
from ..sheets import sheet_form
from ..sheets.blank import engine_unit
from ..sheets.vocabulary import known_threads
from ..shown import places_of
from ..tables import LIMITS
from ..units import Unit
from .html import engine_name, text, to_row

SCRIPTS = (
    *(f"assets/judge/{n}.js" for n in ("exact", "places", "rows", "build", "lines", "closeness", "resolving")),
    *(f"assets/judge/{n}.js" for n in ("asking", "open_questions", "choosing", "bounds", "coverage", "uncertainty")),
    *(f"assets/judge/{n}.js" for n in ("grid", "temperature", "scatter", "values", "repeats", "case", "deriving")),
    *(f"assets/judge/{n}.js" for n in ("fits", "spots", "thin", "walled", "cases", "by_way", "sense", "against")),
    *(f"assets/judge/{n}.js" for n in ("shape", "unlimited", "strips")),
    *(f"assets/judge/{n}.js" for n in ("sized", "resized", "expected", "slips", "tool_faults", "form_faults")),
    *(
        f"assets/judge/{n}.js"
        for n in ("build_faults", "part_sizes", "reading_faults", "torque_faults", "faults", "torque_rows")
    ),
    *(f"assets/judge/{n}.js" for n in ("fasteners", "rounds", "torque", "torque_slips", "decide", "able")),
    *(f"assets/judge/{n}.js" for n in ("two_ways", "assumed", "shown", "unmeasured")),
    "assets/judge.js",
    *(
        f"assets/bench/{n}.js"
        for n in ("elements", "numbers", "store", "address", "record", "words", "measured", "building", "draw")
    ),
    *(
        f"assets/bench/{n}.js"
        for n in ("pad", "keys", "steps", "tool", "plan", "absurd", "verdict", "importing", "stages")
    ),
    *(f"assets/bench/{n}.js" for n in ("followed", "tightening", "papers", "summary", "sheets", "kit", "standing")),
    *(f"assets/bench/{n}.js" for n in ("answering", "taking", "reading", "wrench", "noticing", "frame")),
    "assets/bench.js",
)
"""Scripts of the page in the order in which they need each other."""

SHARED = "bench-shared.js"
"""Vocabularies, instruments, rules and the list of engines: what is not one engine's."""


def pages(data: Dataset) -> dict[str, str]:
    """The bench page by its site path."""
    return {"bench.md": f"---\ntitle: The bench\nwide: true\n---\n\n# The bench\n\n{body(data)}\n"}


def body(data: Dataset) -> str:
    """The page's body as HTML: what is there without script, and the scripts."""
    scripts = "".join(f'<script src="{s}"></script>' for s in (*SCRIPTS[:-1], SHARED, SCRIPTS[-1]))
    cautions = "".join(f"<p>{text(c)}</p>" for c in CAUTIONS)
    return (
        '<link rel="stylesheet" href="assets/bench.css">'
        f'<div id="bench" class="bench"><div class="bench-cautions">{cautions}</div>'
        "<noscript><p>This page judges in the browser and needs script. Without it: write a sheet with "
        "<code>runningfits sheet</code> and judge it with <code>runningfits check</code>.</p></noscript></div>"
        f"{scripts}"
    )


def scripts(data: Dataset) -> dict[str, str]:
    """Scripts with the data of the page, by site path: one of what is shared, one of each engine's rows."""
    engines = {f"bench/{e}.js": called("runningFits.engine", engine(data, e)) for e in data.engines}
    return {SHARED: called("runningFits.shared", shared(data))} | engines


def called(name: str, value: dict[str, Any]) -> str:
    """A call that hands a value to the page; every sign that could end a script or a line is escaped."""
    told = json.dumps(value, ensure_ascii=True, separators=(",", ":")).replace("<", "\\u003c").replace(">", "\\u003e")
    return f"{name}({told});\n"


REPAIR = ("label", "sign", "count", "most", "common")
"""What the judge needs of a machined part."""


def shared(data: Dataset) -> dict[str, Any]:
    """What the judge needs beside one engine's rows."""
    return {
        "version": data.version,
        "units": {u.unit: _unit(u) for u in data.units.values()},
        "quantities": {name: _quantity(q) for name, q in data.quantities.items()},
        "repairs": {r["repair"]: {k: r[k] for k in REPAIR} for r in data.table("repairs")},
        "questions": {q["question"]: q["ask"] for q in data.table("questions")},
        "asking": DETAIL_WORDS,
        "causes": _causes(),
        "doubts": DOUBTS,
        "methods": {m["method"]: m["label"] for m in data.table("methods")},
        "instruments": {i["instrument"]: _instrument(i) for i in data.table("instruments")},
        "materials": {m["material"]: {k: m[k] for k in ("label", "expansion")} for m in data.table("materials")},
        "positions": {p["position"]: _position(p) for p in data.table("positions")},
        "directions": {
            d["direction"]: {k: d[k].split() for k in ("tells", "family")} for d in data.table("directions")
        },
        "states": {s["state"]: s["label"] for s in data.table("states")},
        "joints": {
            j["joint"]: {k: j[k] for k in ("label", "critical", "count", "strip")} for j in data.table("joints")
        },
        "threads": known_threads(data),
        "purposes": {p["purpose"]: p["label"] for p in data.table("purposes")},
        "rules": {r.code: _rule(r) for r in rules("bench")},
        "form": fields(),
        "words": WORDS,
        "interference": INTERFERENCE,
        "cautions": CAUTIONS,
        "engines": [_engine_line(data, e) for e in data.engines],
    }


def _causes() -> dict[str, dict[str, list[str]]]:
    """Likely causes why two ways disagree, by the way of the other and whether it reads larger."""
    found: dict[str, dict[str, list[str]]] = {}
    for (way, larger), causes in CAUSES.items():
        found.setdefault(way, {})["true" if larger else "false"] = list(causes)
    return found


def _unit(unit: Unit) -> dict[str, str]:
    return {"dimension": unit.dimension, "factor": str(unit.factor), "label": unit.label}


def _position(line: dict[str, str]) -> dict[str, Any]:
    return {"label": line["label"], "place": line["kind"] == "place", "within": line["within"].split()}


_OF_QUANTITY = (
    "kind", "label", "dimension", "repair", "share", "limit_side", "method", "instrument", "material", "count",
    "caution", "walls", "both_ends",
)  # fmt: skip


def _quantity(q: dict[str, str]) -> dict[str, Any]:
    lists = {k: q[k].split() for k in ("outer", "inner", "of")}
    return {k: q[k] for k in _OF_QUANTITY} | lists | {"order": int(q["order"])}


_OF_INSTRUMENT = (
    "kind", "label", "resolution", "resolution_in", "mpe", "mpe_percent", "usual", "usual_percent", "repeatability",
    "corrected", "unit", "span_from", "span_to", "standard", "measures", "sets",
)  # fmt: skip


def _instrument(line: dict[str, str]) -> dict[str, str]:
    return {k: line[k] for k in _OF_INSTRUMENT}


def _rule(rule: Rule) -> dict[str, Any]:
    page = f"rules/{rule.code}-{rule.name}.html"
    kept = ("name", "severity", "message", "help", "numbers")
    return {k: getattr(rule, k) for k in kept} | {"page": page}


def _engine_line(data: Dataset, name: str) -> dict[str, str]:
    line = data.engines[name]
    return {"engine": name, "name": engine_name(line), "known": line["also_known_as"]}


def fields() -> dict[str, Any]:
    """Fields of a bench sheet, of its build, instruments, readings and parts, from the sheet's schema."""
    schema = sheet_form.schema()
    known = schema["properties"]
    parts = {t: known[t]["items"] for t in ("instruments", "readings", "torques", "parts")} | {"build": known["build"]}
    words = {name: _field({"$ref": f"#/$defs/{form}"}, schema) for name, form in _ANSWERS.items()}
    return {"sheet": _fields(schema, schema)} | {t: _fields(part, schema) for t, part in parts.items()} | words


_ANSWERS = {"word": "word", "size": "size", "material": "id"}
"""What stands in the maps of a sheet, with its form in the schema."""


def _fields(part: dict[str, Any], schema: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {n: _field(f, schema) | {"required": n in part.get("required", ())} for n, f in part["properties"].items()}


def _field(field: dict[str, Any], schema: dict[str, Any]) -> dict[str, Any]:
    name = field.get("$ref", "").rpartition("/")[2]
    whole = schema["$defs"].get(name, {}) | field
    kept = ("type", "pattern", "maxLength", "minLength", "maxItems", "enum", "format", "minimum", "maximum")
    return {k: whole[k] for k in kept if k in whole} | {"title": whole.get("description", "")}


def engine(data: Dataset, name: str) -> dict[str, Any]:
    """An engine for the page: its name, models, documents, questions, rows, which of them are passed over."""
    line, family = data.engine(name), data.family(name)
    found = [r for t in LIMITS for r in data.all_rows(name, t)]
    tightened = data.all_rows(name, "torques")
    ids = {r.id for r in (*found, *tightened)}
    choices = [[c["row"], c["over"]] for c in data.table("choices") if c["row"] in ids]
    sources = data.keyed("sources")
    return {
        "engine": name,
        "name": engine_name(line),
        "note": line["note"],
        "layout": line["layout"],
        "unit": engine_unit(data, name),
        "models": {m.model: _model(m) for m in family.models.values()},
        "covers": {c.source: sorted(c.models) for c in family.covers.values()},
        "documents": {s: document_words(sources[s]["number"], sources[s]["title"]) for s in family.covers},
        "questions": {q: list(a) for q, a in family.questions.items()},
        "labels": family.labels,
        "others": {q: family.label(q, OTHER) for q in family.questions},
        "rows": [_row(r, data) for r in found],
        "torques": [_torque(r, data) for r in tightened],
        "sequences": [_turn(r) for r in data.all_rows(name, "sequences")],
        "choices": choices,
    }


def _model(model: Model) -> dict[str, Any]:
    counts = {c: n for c in ("cylinders", "crankpins", "mains") if (n := model.count(c)) is not None}
    return {"label": model.label, "known": model.cells["also_known_as"], "has": sorted(model.has)} | counts


def _row(row: Row, data: Dataset) -> dict[str, Any]:
    """A row: cells as printed, the corrected value of each misprint (null where none is known), words, citation."""
    return {
        "id": row.id,
        "cells": {k: v for k, v in row.cells.items() if v},
        "corrected": {c: m["corrected"] or None for c, m in row.misprints.items()},
        "misprints": {c: {"printed": m["printed"], "why": m["why"]} for c, m in row.misprints.items()},
        "place": places_of(row, data),
        "page": page_words(row["page"]),
        "doubt": data.family(row.engine).doubt(row),
        "cite": _cite(row.cite),
        "marks": [],
        "also": [],
        "link": to_row(row, ""),
    }


def _torque(row: Row, data: Dataset) -> dict[str, Any]:
    """A tightening step as a row whose quantity is its joint, so that it is chosen as any other row is."""
    found = _row(row, data)
    return found | {"cells": found["cells"] | {"quantity": row.item}}


def _turn(row: Row) -> dict[str, Any]:
    """A fastener's place in the printed order, with what it speaks of."""
    cells = {k: v for k, v in row.cells.items() if v} | {"quantity": row.item, "position": "all"}
    return {"cells": cells, "cite": _cite(row.cite)}


def _cite(cite: Cite) -> dict[str, str]:
    return {k: getattr(cite, k) for k in ("source", "page", "address", "text")}
