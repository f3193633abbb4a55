"""What changed between two versions of the dataset, row by row."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from . import earlier, tables
from .auditing.form import schema
from .auditing.load import load_whole
from .places import folder
from .unusable import UnusableError

Cells = dict[str, str]
KINDS = ("added", "changed", "withdrawn", "renamed")


@dataclass(frozen=True)
class Change:
    """A row that was added, changed, withdrawn or renamed.

    `row` is its id in the new version, or in the old one where it is withdrawn; `old` and `new` are the cells that
    differ, and for a renamed row the ids; `why` tells the registered reason, where there is one.
    """

    kind: str
    table: str
    row: str
    old: Cells
    new: Cells
    why: str = ""


@dataclass(frozen=True)
class Version:
    """A data folder read whole: its version, its rows by table and id, its registers."""

    number: str
    rows: dict[tuple[str, str], Cells]
    renamed: dict[str, str]
    reasons: dict[tuple[str, str], str]


def changes(before: Version, after: Version) -> list[Change]:
    """Changes from one version to another, by table and id."""
    return sorted(_compared(before, after), key=lambda c: (c.table, c.row, c.kind))


def read(data: Path) -> Version:
    """A data folder read whole, of this form or of that before 1.0.0.

    Raises UnusableError when it is no dataset or its form is faulty.
    """
    number = _number(data)
    if number.startswith("0."):
        return Version(number, earlier.rows(data), {}, {})
    found = load_whole(data)
    rows: dict[tuple[str, str], Cells] = {}
    for file in found.files:
        key = schema(folder("schema"), file.table)["primaryKey"]
        for _, name, cells in file.rows:
            rows[file.table, name or "/".join(cells[k] for k in key)] = cells
    renamed = {r["old"]: r["new"] for _, _, _, r in found.of("renamed")}
    reasons = {(r["row"], r["column"]): f"second reading: {r['kind']}" for _, _, _, r in found.of("rereadings")}
    return Version(number, rows, renamed, reasons)


def _number(data: Path) -> str:
    try:
        return str(json.loads(tables.manifest_text(data))["version"])
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as error:
        raise UnusableError(
            f"{data}: no datapackage.json with a version; expected the data folder of a dataset"
        ) from error


def _compared(before: Version, after: Version) -> Iterator[Change]:
    moved = {old: new for old, new in after.renamed.items() if old not in before.renamed}
    came: set[tuple[str, str]] = set()
    for (table, name), cells in before.rows.items():
        here = _now(table, name, cells, moved)
        came.add((table, here))
        now = after.rows.get((table, here))
        if now is None:
            yield Change("withdrawn", table, name, cells, {})
            continue
        if here != name and table in (*tables.PER_ENGINE, "pages"):
            yield Change("renamed", table, here, {"row": name}, {"row": here})
        key = schema(folder("schema"), table)["primaryKey"] if here != name else ()
        differing = [c for c in cells if c not in key and c in now and cells[c] != now[c]]
        if differing:
            why = "; ".join(dict.fromkeys(filter(None, (after.reasons.get((here, c), "") for c in differing))))
            yield Change("changed", table, here, _some(cells, differing), _some(now, differing), why)
    for (table, name), cells in after.rows.items():
        if (table, name) not in before.rows and (table, name) not in came:
            yield Change("added", table, name, {}, cells)


_REGISTERS = {"choices": ("row", "over"), "misprints": ("row", "column"), "rereadings": ("row", "column")}
"""Tables about rows, with the cells of their key: they follow the rows' names."""


def _now(table: str, name: str, cells: Cells, moved: dict[str, str]) -> str:
    """The name that a row of an earlier version has now."""
    if table in _REGISTERS:
        return "/".join(moved.get(cells[k], cells[k]) for k in _REGISTERS[table])
    key = schema(folder("schema"), table)["primaryKey"]
    if table in tables.SHARED and "page" in key and table != "pages":
        at = moved.get(f"{cells['source']}/{cells['page']}", "").partition("/")[2] or cells["page"]
        return "/".join(at if k == "page" else cells[k] for k in key)
    return moved.get(name, name)


def _some(cells: Cells, columns: list[str]) -> Cells:
    return {c: cells.get(c, "") for c in columns}


def as_dict(found: list[Change], old: str, new: str) -> dict[str, Any]:
    """The change list as JSON values, with the two versions and how many changes of each kind there are."""
    counts = {k: sum(c.kind == k for c in found) for k in KINDS}
    return {"from": old, "to": new, "counts": counts, "changes": [{**vars(c)} for c in found]}


def text(found: list[Change], old: str, new: str) -> str:
    """The change list in words: a line a row, rows of the engines in full, shared tables too."""
    lines = [line for c in found for line in _lines(c)]
    counts = ", ".join(f"{sum(c.kind == k for c in found)} {k}" for k in KINDS)
    return "\n".join([*lines, f"{old} to {new}: {counts}"])


def _lines(c: Change) -> Iterator[str]:
    if c.kind == "renamed":
        yield f"renamed {c.table}: {c.old['row']} is now {c.new['row']}"
        return
    yield f"{c.kind} {c.table}: {c.row}{f' ({c.why})' if c.why else ''}"
    if c.kind == "changed":
        for column in c.old:
            yield f"    {column}: {c.old[column] or 'nothing'} is now {c.new[column] or 'nothing'}"
    else:
        cells = c.new or c.old
        numbers = [f"{k} {cells[k]}" for k in (*tables.PRINTED, "unit") if cells.get(k)]
        if numbers:
            yield f"    {', '.join(numbers)}"
