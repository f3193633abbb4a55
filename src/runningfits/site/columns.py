"""Pages about the form of the data: columns of every table, and the closed lists of words."""

import json
from collections.abc import Iterable
from typing import Any

from .. import tables
from ..auditing.form import schema
from ..dataset import Dataset
from ..places import folder
from .html import heading, page, table, text

LISTS = (
    "units",
    "positions",
    "directions",
    "states",
    "methods",
    "joints",
    "purposes",
    "questions",
    "repairs",
    "instruments",
)
"""Tables that are closed lists of words."""


def pages(data: Dataset) -> dict[str, str]:
    """Columns and words."""
    return {"columns.md": _columns(), "words.md": _words(data)}


def _columns() -> str:
    body = [
        "Made from `schema/`. Every number is kept as its page prints it; a cell is one type, and empty where the page "
        "says nothing. The published form joins the engines and puts the row's id and the engine in front.",
    ]
    for name in (*tables.PER_ENGINE, *tables.SHARED):
        body += _table(name)
    return page("Columns", body)


def _table(name: str) -> Iterable[str]:
    described = schema(folder("schema"), name)
    key = described["primaryKey"]
    yield f"## {heading(name)}.csv"
    yield f"<p>{text(described['description'])}. Key: {text(', '.join(key))}.</p>"
    heads = ("Column", "Type", "What it says", "Allowed", "Example")
    yield table(heads, [_field(f, described) for f in described["fields"]])


def _field(f: dict[str, Any], described: dict[str, Any]) -> list[str]:
    example = f.get("example", "")
    words = example if isinstance(example, str) else json.dumps(example)
    return [
        f"<code>{text(f['name'])}</code>",
        text(f["type"]),
        text(f.get("description", "")),
        _allowed(f, described),
        f"<code>{text(words)}</code>" if words else "",
    ]


def _allowed(f: dict[str, Any], described: dict[str, Any]) -> str:
    """Constraints and the table that a column refers to, in words; a pattern is code."""
    rules = f.get("constraints", {})
    found = ["required"] if rules.get("required") else []
    found += [text(f"one of {', '.join(map(str, rules['enum']))}")] if "enum" in rules else []
    found += [f"pattern <code>{text(rules['pattern'])}</code>"] if "pattern" in rules else []
    found += [f"{k} {rules[k]}" for k in ("minimum", "maximum", "minLength", "maxLength") if k in rules]
    found += [
        f"in {k['reference']['resource']}.csv" for k in described.get("foreignKeys", []) if f["name"] in k["fields"]
    ]
    return "; ".join(found)


def _words(data: Dataset) -> str:
    body = ["The closed lists. A word that is missing is added to its list with a record of why, never written ad hoc."]
    for name in LISTS:
        described = schema(folder("schema"), name)
        fields = described["fields"]
        ids = {f["name"] for f in fields if _is_word(f["name"], described)}
        rows = [[_shown(r[f["name"]], f["name"] in ids) for f in fields] for r in data.table(name)]
        body += [f"## {heading(name.capitalize())}", table([text(f["title"]) for f in fields], rows)]
    return page("Words", body)


def _is_word(column: str, described: dict[str, Any]) -> bool:
    """Whether a column holds words of closed lists, not text for reading."""
    keys = {*described["primaryKey"], *(f for k in described.get("foreignKeys", []) for f in k["fields"])}
    return column in keys or column in WORDS


WORDS = ("within", "kind", "tells", "family")
"""Columns of closed lists that hold their words without saying so by a key."""


def _shown(cell: str, word: bool) -> str:
    return f"<code>{text(cell)}</code>" if word and cell else text(cell)
