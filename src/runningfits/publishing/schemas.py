"""JSON Schemas of the published documents, made from the Table Schemas so that each column is described once.

`python -m runningfits.publishing.schemas DIR` writes them to a folder; `schema/` has them, held to this by a test.
"""

import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from .. import changes, tables
from ..auditing.form import schema
from ..places import folder
from .documents import OF_FAMILY, text

Schema = dict[str, Any]

NUMBER = r"^-?\d+(\.\d+)?$"
"""A number as text, as printed."""

COUNTS = {
    "ranges": "Ranges of sizes, clearances and forms",
    "torque_steps": "Tightening steps",
    "documents": "Documents that gave the rows",
    "read_twice": "Rows that a second, blind reading confirmed",
}


def published() -> dict[str, Schema]:
    """Schemas of the documents of `v1/` by file name."""
    made = {
        "index": ("Index", "The engine families and where their documents are", _index()),
        "engine": ("Engine", "Everything about one engine family: numbers are text, as printed", _engine()),
        "changes": ("Changes", "Rows that differ from the last release", _changes()),
    }
    for name in ("quantities", "sources"):
        described = schema(folder("schema"), name)
        lines = {name: _list(_object(_fields(name)), described["description"])}
        made[name] = (described["title"], described["description"], lines)
    return {f: _document(f, *parts) for n, parts in made.items() for f in [f"published-{n}.json"]}


def _document(file: str, title: str, description: str, parts: Schema) -> Schema:
    """A document: the envelope and its parts. Its id is where it stands, so that it holds at every copy."""
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "$id": file, "title": title}
    return head | {"description": description} | _object(_envelope(file) | parts)


def _envelope(file: str) -> Schema:
    return {
        "$schema": _text("Address of this schema, relative to the document", rf"^(\.\./)?schema/{file[:-5]}\.json$"),
        "schema_version": _text("Version of the form of this document", r"^3\.\d+\.\d+$"),
        "data_version": _text("Version of the data", r"^\d+\.\d+\.\d+$"),
        "generated_at": _text("Date of the data", r"^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}Z$"),
    }


def _object(properties: Schema, description: str = "", optional: Iterable[str] = ()) -> Schema:
    """An object with these properties and no others, all there but the optional ones."""
    said = {"description": description} if description else {}
    required = [k for k in properties if k not in set(optional)]
    return said | {"type": "object", "additionalProperties": False, "required": required, "properties": properties}


def _text(description: str, pattern: str = "") -> Schema:
    return {"type": "string", "description": description} | ({"pattern": pattern} if pattern else {"minLength": 1})


def _list(items: Schema, description: str) -> Schema:
    return {"type": "array", "description": description, "items": items}


def _fields(table: str) -> Schema:
    """Columns of a table as properties: text, null where the page says nothing."""
    return {f["name"]: _field(f) for f in schema(folder("schema"), table)["fields"]}


def _field(f: dict[str, Any]) -> Schema:
    rules = f.get("constraints", {})
    found: Schema = {"title": f["title"], "description": f["description"]}
    kinds = ["string"] if rules.get("required") else ["string", "null"]
    found["type"] = kinds[0] if len(kinds) == 1 else kinds
    if "enum" in rules:
        found["enum"] = [*map(str, rules["enum"]), *([] if rules.get("required") else [None])]
    elif "pattern" in rules:
        found["pattern"] = f"^(?:{rules['pattern']})$"
    elif f["type"] in ("number", "integer"):
        found["pattern"] = NUMBER if f["type"] == "number" else r"^\d+$"
    else:
        found["minLength"] = 1
    return found


def _index() -> Schema:
    document = _text("Address of the engine's document, relative to this one", r"^engines/[a-z0-9-]+\.json$")
    model = {"model": _text("Id of the model"), "label": _text("Its name in the trade")}
    models = _list(_object(model), "Members of the family")
    line = _fields("engines") | {"models": models, "counts": _counts(), "document": document}
    return {"engines": _list(_object(line), "The engine families, by id")}


def _counts() -> Schema:
    return _object({k: {"type": "integer", "minimum": 0, "description": v} for k, v in COUNTS.items()}, "How many rows")


def _engine() -> Schema:
    ranges = _object(_row(tables.LIMITS) | _fields("clearances") | _said())
    steps = _object(_row(("torques",)) | _fields("torques") | _said())
    place = {"id": _text("Id of the row", _id()), **_fields("sequences"), "cite": _cite()}
    return {
        "engine": _object(_fields("engines"), "The engine family"),
        "counts": _counts(),
        **{t: _list(_object(_fields(t)), schema(folder("schema"), t)["description"]) for t in OF_FAMILY},
        "ranges": _list(ranges, "Ranges of sizes, clearances and forms"),
        "torques": _list(steps, "Tightening steps"),
        "sequences": _list(_object(place), "Places of fasteners in the tightening order"),
    }


def _id() -> str:
    return r"^[a-z0-9-]+/[^@]+@[a-z0-9-]+:.+$"


def _row(names: Iterable[str]) -> Schema:
    table = {"description": "Table that the row stands in", "enum": list(names)}
    return {"id": _text("Id of the row, derived from its key", _id()), "table": table}


def _said() -> Schema:
    column = "Column with the misprint"
    misprint = {
        "column": _text(column),
        "printed": _text("The number as printed", NUMBER),
        "corrected": {"type": ["string", "null"], "pattern": NUMBER, "description": "The right one; null: not known"},
        "why": _text("What is wrong"),
        "evidence": _text("Its proof"),
    }
    words = {
        "speaks_of": "In words, for which models, parts and size; null: for every engine of the family",
        "doubt": "In words, what no page says of whom the row is for; null where a page or title names the engine",
    }
    told = {k: {"type": ["string", "null"], "minLength": 1, "description": v} for k, v in words.items()}
    return told | {"cite": _cite(), "misprints": _list(_object(misprint), "Registered misprints of the row")}


def _cite() -> Schema:
    return _object(
        {
            "source": _text("Id of the document"),
            "page": _text("Page as printed"),
            "address": _text("Address of the copy that was read"),
            "text": _text("Document and page in a few words"),
        },
        "Where the row stands",
    )


def _changes() -> Schema:
    cells = {"type": "object", "description": "Cells by column", "additionalProperties": {"type": "string"}}
    change = {
        "kind": {"enum": list(changes.KINDS), "description": "What happened to the row"},
        "table": {"enum": [*tables.PER_ENGINE, *tables.SHARED], "description": "Table of the row"},
        "row": _text("Its id, or its key in a shared table"),
        "old": cells,
        "new": cells,
        "why": {"type": "string", "description": "The registered reason; empty where there is none"},
    }
    counts = {k: {"type": "integer", "minimum": 0, "description": f"Rows {k}"} for k in changes.KINDS}
    return {
        "from": _text("Version compared with; 0.0.0 where there was none", r"^\d+\.\d+\.\d+$"),
        "to": _text("Version of these data", r"^\d+\.\d+\.\d+$"),
        "counts": _object(counts, "How many of each kind"),
        "changes": _list(
            _object(change), "The changes, by table and row; none in a first release, whose rows are counted alone"
        ),
    }


def main(argv: list[str]) -> None:
    """Write the schemas to a folder."""
    for name, found in published().items():
        (Path(argv[0]) / name).write_text(text(found), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main(sys.argv[1:])
