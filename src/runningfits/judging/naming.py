"""Rows, places and pages as JSON values and words, the same in every part of a result."""

from collections.abc import Mapping
from typing import Any

from .. import positions
from ..choosing import NONE
from ..dataset import Dataset
from ..numerals import plain
from ..resolving import size_of
from ..rows import Cite, Row


def cited(c: Cite) -> dict[str, str]:
    """Where a row stands: document, printed page, address, and both in a few words."""
    return {"source": c.source, "page": c.page, "address": c.address, "text": c.text}


def misprints(row: Row) -> list[dict[str, str | None]]:
    """Registered misprints of a row: column, printed and corrected number, what is wrong."""
    keys = ("printed", "corrected", "why")
    return [{"column": column, **{k: m[k] or None for k in keys}} for column, m in row.misprints.items()]


def place_words(position: str, data: Dataset) -> str:
    """A place of a sheet in words, such as `3, top ring`."""
    named = data.keyed("positions")
    try:
        number, name = positions.split(position)
    except positions.PositionError:
        return position
    return ", ".join(filter(None, (str(number or ""), named[name]["label"] if name in named else name or "")))


def said_words(said: Mapping[str, str], data: Dataset) -> list[str]:
    """What a line of a sheet says of its row, in words."""
    tables = {"which": "positions", "state": "states", "method": "methods", "purpose": "purposes"}
    found = []
    for column, word in said.items():
        if word == NONE:
            found.append(NO_WORDS[column])
            continue
        listed = data.keyed(tables[column]) if column in tables else {}
        label = listed[word]["label"] if word in listed else word
        found.append({"at": f"at {label}", "class": f"{label} range"}.get(column, label))
    return found


NO_WORDS = {
    "which": "none of those that pages name",
    "state": "in no state that pages name",
    "method": "by no method that pages name",
    "at": "at no number that pages name",
    "purpose": "for no other purpose",
    "thread": "no thread that pages name",
}
"""What a line says with the answer that none of a list is meant."""


def row_range(row: Row, data: Dataset) -> dict[str, Any]:
    """A row's range in the printed unit, with the second unit as printed and what is known about it."""
    low, high = row.range()
    limit = row.limit(data.quantities[row.item]["limit_side"])
    texts = {"lower": low, "upper": high, "limit": limit, "nominal": row.value("nominal")}
    state = data.keyed("states").get(row["state"], {}).get("label") or row["state"]
    return {
        "id": row.id,
        **{k: None if v is None else plain(v) for k, v in texts.items()},
        "unit": row["unit"],
        "printed": row.printed,
        "unit_2": row["unit_2"] or None,
        "applies": data.family(row.engine).words(row["applies"]) or None,
        "size": size_of(row).text if row.cells.get("size") else None,
        "state": state or None,
        "reading": row["reading"],
        "misprints": misprints(row),
        "marks": list(row.marks),
        "also": [cited(c) for c in row.also],
        "note": row["note"] or None,
    }


def method_words(method: str, data: Dataset) -> str:
    """A method of counting readings in words."""
    return data.keyed("methods").get(method, {}).get("label") or method.replace("-", " ")
