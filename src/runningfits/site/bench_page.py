"""The bench page, and the data that it judges by as scripts that also load from a folder on a stick."""

import json
from typing import Any

from ..dataset import Dataset
from ..faces.words import CAUTIONS, WORDS
from ..rows import Row
from ..rulebook import Rule, rules
from ..sheets import sheet_form
from ..shown import places_of, range_text
from ..tables import LIMITS
from ..units import Unit
from .html import engine_name, text, to_page, to_row

SCRIPTS = (
    *(f"assets/judge/{n}.js" for n in ("exact", "rows", "values", "slips", "faults")),
    "assets/judge.js",
    *(f"assets/bench/{n}.js" for n in ("elements", "record", "words", "draw", "pad", "steps", "verdict", "summary")),
    "assets/bench.js",
)
"""Scripts of the page in the order in which they need each other."""

SHARED = "bench-shared.js"
"""Vocabularies, instruments, rules and the list of engines: what is not one engine's."""


def pages(data: Dataset) -> dict[str, str]:
    """The bench page by its site path."""
    return {"bench.md": f"---\ntitle: The bench\nhide: [navigation, toc]\n---\n\n# The bench\n\n{body(data)}\n"}


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
    engines = {f"bench/{e}.js": _call("engine", engine(data, e)) for e in data.engines}
    return {SHARED: _call("shared", shared(data))} | engines


def _call(name: str, value: dict[str, Any]) -> str:
    """A call that hands a value to the page; every sign that could end a script or a line is escaped."""
    told = json.dumps(value, ensure_ascii=True, separators=(",", ":")).replace("<", "\\u003c").replace(">", "\\u003e")
    return f"runningFits.{name}({told});\n"


def shared(data: Dataset) -> dict[str, Any]:
    """What the judge needs beside one engine's rows."""
    return {
        "version": data.version,
        "units": {
            u.unit: {"dimension": u.dimension, "factor": str(u.factor), "label": u.label} for u in data.units.values()
        },
        "quantities": {name: _quantity(q) for name, q in data.quantities.items()},
        "methods": {m["method"]: m["label"] for m in data.table("methods")},
        "instruments": {i["instrument"]: _instrument(i) for i in data.table("instruments")},
        "positions": {
            p["position"]: {"label": p["label"], "within": p["within"].split()} for p in data.table("positions")
        },
        "states": {s["state"]: s["label"] for s in data.table("states")},
        "rules": {r.code: _rule(r) for r in rules("bench")},
        "form": fields(),
        "words": WORDS,
        "cautions": CAUTIONS,
        "engines": [_engine_line(data, e) for e in data.engines],
    }


def _unit(unit: Unit) -> dict[str, str]:
    return {"dimension": unit.dimension, "factor": str(unit.factor), "label": unit.label}


def _position(line: dict[str, str]) -> dict[str, Any]:
    return {"label": line["label"], "within": line["within"].split()}


def _quantity(q: dict[str, str]) -> dict[str, Any]:
    kept = {k: q[k] for k in ("kind", "label", "dimension", "limit_side", "method", "instrument", "count", "caution")}
    return kept | {k: q[k].split() for k in ("outer", "inner", "of")} | {"order": int(q["order"])}


def _instrument(line: dict[str, str]) -> dict[str, str]:
    return {k: line[k] for k in ("label", "resolution", "mpe", "mpe_percent", "unit", "standard")}


def _rule(rule: Rule) -> dict[str, str]:
    page = f"rules/{rule.code}-{rule.name}.html"
    kept = ("name", "severity", "message", "help")
    return {k: getattr(rule, k) for k in kept} | {"page": page}


def _engine_line(data: Dataset, name: str) -> dict[str, str]:
    line = data.engines[name]
    return {"engine": name, "name": engine_name(line), "known": line["also_known_as"]}


def fields() -> dict[str, dict[str, dict[str, Any]]]:
    """Fields of a bench sheet, of its instruments and of its readings, from the sheet's schema."""
    schema = sheet_form.schema()
    tables = {t: schema["properties"][t]["items"] for t in ("instruments", "readings")}
    return {"sheet": _fields(schema, schema)} | {t: _fields(part, schema) for t, part in tables.items()}


def _fields(part: dict[str, Any], schema: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {n: _field(f, schema) | {"required": n in part["required"]} for n, f in part["properties"].items()}


def _field(field: dict[str, Any], schema: dict[str, Any]) -> dict[str, Any]:
    name = field.get("$ref", "").rpartition("/")[2]
    whole = schema["$defs"].get(name, {}) | field
    kept = ("type", "pattern", "maxLength", "minLength", "maxItems", "enum", "format")
    return {k: whole[k] for k in kept if k in whole} | {"title": whole.get("description", "")}


def engine(data: Dataset, name: str) -> dict[str, Any]:
    """An engine for the page: its name, how many places it has, its rows, which of them are passed over."""
    line = data.engine(name)
    family = data.family(name)
    counts = {k: n for k in ("cylinders", "crankpins", "mains") if (n := family.count(k))}
    found = [r for t in LIMITS for r in data.all_rows(name, t)]
    ids = {r.id for r in found}
    choices = [[c["row"], c["over"]] for c in data.table("choices") if c["row"] in ids]
    head = {"engine": name, "name": engine_name(line), "note": line["note"], "counts": counts}
    return head | {"rows": [_row(r, data) for r in found], "choices": choices}


def _row(row: Row, data: Dataset) -> dict[str, Any]:
    """A row: cells as printed, the corrected value of each misprint (null where none is known), words, links."""
    printed, limits = range_text(row, data)
    corrected = {c: m["corrected"] or None for c, m in row.misprints.items()}
    return {
        "id": row.id,
        "table": row.table,
        "cells": {k: v for k, v in row.cells.items() if v},
        "corrected": corrected,
        "misprints": {c: m["why"] for c, m in row.misprints.items()},
        "text": printed,
        "limit_text": limits,
        "place": places_of(row, data),
        "cite": row.cite.text,
        "address": row.cite.address if row.cite.address.startswith(("https://", "http://")) else "",
        "link": to_row(row, ""),
        "source": to_page(row.cite, ""),
    }
