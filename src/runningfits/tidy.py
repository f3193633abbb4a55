"""The canonical form of a data folder."""

import csv
import io
import json
from itertools import pairwise
from pathlib import Path
from typing import Any

from . import tables
from .auditing.form import schema
from .files import clear, write_whole
from .places import folder
from .unusable import UnusableError

_LIMITS = ("quantity", "position", "class", "which", "applies", "size", "state", "method", "at", "source", "page")
_SORT_WORDS = {
    "sizes": _LIMITS,
    "clearances": _LIMITS,
    "torques": ("joint", "which", "applies", "position", "purpose", "thread", "source", "page", "step"),
    "sequences": ("joint", "applies", "source", "page", "order"),
}


def tidy(data: Path) -> tuple[list[str], list[str]]:
    """Put every table of a data folder into canonical form; names of the files that changed, and of those left alone.

    Bytes: UTF-8, LF, quotes only where needed, rows sorted, cells trimmed. The manifest lists every file. A file
    whose header or rows do not have the form is left as it is: the audit says what is wrong. What a run that was ended
    left unfinished goes. Raises UnusableError when the folder is no dataset.
    """
    if not (data / "datapackage.json").is_file():
        raise UnusableError(f"{data}: no datapackage.json; expected the data folder of a dataset")
    for base in (data, *tables.engine_folders(data)):
        clear(base)
    changed, left = [], []
    for table, _, path in tables.paths(data):
        raw, name = _tidied(table, path), path.relative_to(data).as_posix()
        if raw is None:
            left.append(name)
        elif raw != path.read_bytes():
            write_whole(path, raw)
            changed.append(name)
    return changed + _write_manifest(data), left


def _write_manifest(data: Path) -> list[str]:
    path = data / "datapackage.json"
    try:
        text = tables.manifest_text(data)
        described = json.loads(text)
        if not isinstance(described, dict):
            raise UnusableError(f"{path}: expected a JSON object")
        written = manifest(data, described)
        written.encode("utf-8")
    except (ValueError, RecursionError) as error:
        raise UnusableError(f"{path}: {error}; expected a JSON document") from error
    if written == text:
        return []
    write_whole(path, written)
    return ["datapackage.json"]


def _tidied(table: str, path: Path) -> bytes | None:
    """Canonical bytes of a table, or None where its form does not allow it."""
    names = [f["name"] for f in schema(folder("schema"), table)["fields"]]
    if path.stat().st_size > tables.MOST_BYTES:
        return None
    try:
        text = path.read_bytes().decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
        rows = _trimmed(text, names)
    except (UnicodeDecodeError, csv.Error):
        return None
    return None if rows is None else render(table, names, rows).encode("utf-8")


def _trimmed(text: str, names: list[str]) -> list[dict[str, str]] | None:
    """Rows of a table with its cells trimmed; None, without reading on, where the header or a row is another."""
    rows = []
    lines = ([c.strip() for c in cells] for _, cells in tables.numbered(text) if cells)
    if next(lines, None) != names:
        return None
    for cells in lines:
        if len(cells) != len(names):
            return None
        rows.append(dict(zip(names, cells, strict=True)))
    return rows


def render(table: str, names: list[str], rows: list[dict[str, str]]) -> str:
    """Canonical text of a table's rows."""
    key = _SORT_WORDS.get(table) or tuple(schema(folder("schema"), table)["primaryKey"])
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(names)
    for row in sorted(rows, key=lambda r: [_rank(k, r[k]) for k in key]):
        writer.writerow([row[n] for n in names])
    return out.getvalue()


def _rank(column: str, text: str) -> tuple[Any, ...]:
    """Rank of a cell: numbers by value, `new` before the other classes, `all` before places."""
    if column == "class":
        return (("new", "desired", "selective", "repair").index(text) if text in _CLASSES else 9, text)
    if column == "position":
        return (0 if text == "all" else 1 if not text[:1].isdigit() else 2, text)
    if text.isascii() and text.isdigit() and len(text) < 10:
        return (0, int(text), text)
    return (1, text)


_CLASSES = ("new", "desired", "selective", "repair")


def manifest(data: Path, described: dict[str, Any]) -> str:
    """Text of the manifest: what `described` says of the package, and every file with its schema."""
    kept = {k: v for k, v in described.items() if k != "resources"}
    head = json.dumps(kept, indent=2, ensure_ascii=False).removesuffix("}").rstrip("\n")
    lines = [json.dumps(r, ensure_ascii=False, separators=(", ", ": ")) for r in _resources(data)]
    return head + ("," if kept else "") + '\n  "resources": [\n    ' + ",\n    ".join(lines) + "\n  ]\n}\n"


def _resources(data: Path) -> list[dict[str, Any]]:
    base = folder("schema")
    return [
        {
            "name": f"{engine}-{table}" if engine else table,
            "type": "table",
            "path": path.relative_to(data).as_posix(),
            "scheme": "file",
            "format": "csv",
            "mediatype": "text/csv",
            "encoding": "utf-8",
            "dialect": {"delimiter": ",", "lineTerminator": "\n", "quoteChar": '"', "doubleQuote": True},
            "schema": _lean(schema(base, table)),
        }
        for table, engine, path in tables.paths(data)
    ]


def _lean(described: dict[str, Any]) -> dict[str, Any]:
    """A schema without its prose: names, types, constraints and keys."""
    fields = [{k: f[k] for k in ("name", "type", "constraints") if k in f} for f in described["fields"]]
    return {"fields": fields} | {k: described[k] for k in ("primaryKey", "foreignKeys") if k in described}


def unsorted(table: str, rows: list[tuple[int, dict[str, str]]]) -> int | None:
    """Line of the first row that is out of order, or None."""
    key = _SORT_WORDS.get(table) or tuple(schema(folder("schema"), table)["primaryKey"])
    ranks = [([_rank(k, row[k]) for k in key], line) for line, row in rows]
    return next((b[1] for a, b in pairwise(ranks) if b[0] < a[0]), None)
