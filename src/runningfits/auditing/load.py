"""A data folder as tables: rows with their place, and the faults of form and of keys."""

import json
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import islice
from pathlib import Path
from typing import Any

from .. import numerals, positions, tables
from ..places import folder
from ..unusable import UnusableError
from .form import MOST_FAULTS, Fault, parse, read, schema

MOST_ALIKE = 100
"""Rows of an engine that differ in nothing but place, step and page; the data have a fifth of it at most."""


@dataclass
class Loaded:
    """Rows of one table file, each with its line and its id (empty for a shared table)."""

    table: str
    engine: str
    file: str
    rows: list[tuple[int, str, dict[str, str]]]


@dataclass
class Folder:
    """All tables of a dataset, the faults by file, the tables that could not be read at all, and rows beyond number."""

    files: list[Loaded] = field(default_factory=list)
    faults: list[tuple[str, Fault]] = field(default_factory=list)
    unread: set[str] = field(default_factory=set)
    beyond: set[str] = field(default_factory=set)

    def of(self, table: str) -> Iterator[tuple[Loaded, int, str, dict[str, str]]]:
        """Rows of a table over all engines."""
        for file in self.files:
            if file.table == table:
                for line, name, row in file.rows:
                    yield file, line, name, row


def load(data: Path) -> Folder:
    """Read a data folder; raises UnusableError when it is none."""
    if not data.is_dir():
        raise UnusableError(f"{data}: no such folder")
    if not (data / "datapackage.json").is_file():
        raise UnusableError(f"{data}: no datapackage.json; expected the data folder of a dataset")
    found, schemas = Folder(), folder("schema")
    for table, engine, path in tables.paths(data):
        file = _utf_8(path.relative_to(data).as_posix())
        _add(found, table, _utf_8(engine), file, read(path, schema(schemas, table)))
    found.faults.extend(_missing(data))
    finish(found, data)
    return found


def load_whole(data: Path) -> Folder:
    """Read a data folder without a fault of form; raises UnusableError when it is none or has one."""
    found = load(data)
    if found.faults:
        raise UnusableError(f"{data}: {found.faults[0][0]} has faults of form; expected a folder that the audit passes")
    return found


def add_text(found: Folder, table: str, engine: str, file: str, raw: bytes) -> None:
    """Add a table file from its bytes."""
    _add(found, table, engine, file, parse(raw, schema(folder("schema"), table)))


def _add(found: Folder, table: str, engine: str, file: str, sheet: Any) -> None:
    named = table in tables.PER_ENGINE
    rows = [(line, tables.row_id(table, engine, row) if named else "", row) for line, row in sheet.rows]
    found.files.append(Loaded(table, engine, file, rows))
    found.faults.extend((file, f) for f in sheet.faults)
    if not sheet.header:
        found.unread.add(table)


def finish(found: Folder, data: Path | None = None) -> None:
    """Look for faults that need all tables: keys, positions, the manifest."""
    from ..tidy import unsorted

    for file in found.files:
        found.faults.extend((file.file, f) for f in (*_key_faults(file), *_factor_faults(file)))
        if line := unsorted(file.table, [(n, row) for n, _, row in file.rows]):
            found.faults.append(
                (file.file, Fault("unsorted", line, "", "a row out of order", "rows sorted by their key"))
            )
    found.faults.extend(_crowd_faults(found))
    found.faults.extend(_reference_faults(found))
    found.faults.extend(_position_faults(found))
    if data:
        found.faults.extend(_manifest_faults(data))


def _missing(data: Path) -> Iterator[tuple[str, Fault]]:
    for name in tables.SHARED:
        if not (data / f"{name}.csv").is_file():
            yield f"{name}.csv", Fault("no-file", 0, "", "no file", "a table with its header")
    for path in _files(data):
        name = _utf_8(path.relative_to(data).as_posix())
        parts = name.split("/")
        known = (len(parts) == 1 and (path.stem in tables.SHARED or name == "datapackage.json")) or (
            len(parts) == 3 and parts[0] == "engines" and path.stem in tables.PER_ENGINE and path.suffix == ".csv"
        )
        if not known:
            yield name, Fault("stray-file", 0, "", "a file that is no table", "only the tables and datapackage.json")


def _utf_8(name: str) -> str:
    """The name of a file, bytes that are not UTF-8 as escapes."""
    return name.encode("utf-8", "backslashreplace").decode()


def _files(data: Path) -> list[Path]:
    """Every file below a folder, however deep, links to folders not followed."""
    found: list[Path] = []
    folders = [data]
    while folders:
        for path in folders.pop().iterdir():
            if path.is_dir() and not path.is_symlink():
                folders.append(path)
            elif path.is_file():
                found.append(path)
    return sorted(found)


def _key_faults(file: Loaded) -> Iterator[Fault]:
    described = schema(folder("schema"), file.table)
    key = described["primaryKey"]
    seen: dict[tuple[str, ...], int] = {}
    for line, _, row in file.rows:
        value = tuple(row[k] for k in key)
        if value in seen:
            shown = ", ".join(filter(None, value))
            yield Fault("key-twice", line, key[0], f"the key {shown} again", f"one row a key (line {seen[value]})")
        seen.setdefault(value, line)


_ALIKE = {
    "sizes": ("quantity", "which", "applies", "size", "class", "state", "method", "at"),
    "clearances": ("quantity", "which", "applies", "size", "class", "state", "method", "at"),
    "torques": ("joint", "which", "applies", "purpose", "thread"),
}


def _crowd_faults(found: Folder) -> Iterator[tuple[str, Fault]]:
    """Rows of an engine beyond all number that differ in nothing but place, step and page.

    Rules compare such rows one with another; those beyond the number are named once and not compared.
    """
    for file in found.files:
        groups: defaultdict[tuple[str, ...], list[tuple[int, str]]] = defaultdict(list)
        for line, name, row in file.rows if file.table in _ALIKE else ():
            groups[tuple(row[c] for c in _ALIKE[file.table])].append((line, name))
        for key, rows in groups.items():
            if len(rows) > MOST_ALIKE:
                found.beyond.update(name for _, name in rows[MOST_ALIKE:])
                what = f"{len(rows)} rows of {key[0]} that differ in place and page alone"
                fault = Fault("too-many", rows[MOST_ALIKE][0], _ALIKE[file.table][0], what, f"at most {MOST_ALIKE}")
                yield file.file, fault


def _factor_faults(file: Loaded) -> Iterator[Fault]:
    """Factors of units that are no number above 0; such a cell is emptied."""
    for line, _, row in file.rows if file.table == "units" else ():
        if row["factor"] and not _positive(row["factor"]):
            yield Fault("bound", line, "factor", numerals.shown(row["factor"]), "a number or fraction above 0")
            row["factor"] = ""


def _positive(text: str, longest: int = 40) -> bool:
    try:
        return len(text) <= longest and Fraction(text) > 0
    except (ValueError, ZeroDivisionError):
        return False


def _reference_faults(found: Folder) -> Iterator[tuple[str, Fault]]:
    known: dict[tuple[str, tuple[str, ...]], set[tuple[str, ...]]] = {}
    for file in found.files:
        for key in schema(folder("schema"), file.table).get("foreignKeys", ()):
            wanted = (key["reference"]["resource"], tuple(key["reference"]["fields"]))
            if wanted[0] in found.unread:
                continue
            if wanted not in known:
                known[wanted] = {tuple(r[f] for f in wanted[1]) for _, _, _, r in found.of(wanted[0])}
            for fault in islice(_unknown(file, key["fields"], wanted[0], known[wanted]), MOST_FAULTS):
                yield file.file, fault


def _unknown(file: Loaded, fields: list[str], target: str, known: set[tuple[str, ...]]) -> Iterator[Fault]:
    for line, _, row in file.rows:
        value = tuple(row[f] for f in fields)
        if all(value) and value not in known:
            shown = ", ".join(value)
            yield Fault(
                "unknown-key", line, fields[-1], f'"{shown}"', f"a row of {target}.csv{_near(value[-1], known)}"
            )


def _near(text: str, known: Iterable[tuple[str, ...]]) -> str:
    words = set(text.split("-"))
    near = sorted({k[-1] for k in known if words & set(k[-1].split("-"))})
    return f", such as {', '.join(near[:5])}" if near else ""


def _position_faults(found: Folder) -> Iterator[tuple[str, Fault]]:
    named = {r["position"] for _, _, _, r in found.of("positions") if r["kind"] != "which"}
    texts: list[tuple[str, str, set[str], str]] = [
        (t, "position", named, "all, 1-4 or 1,3,5, or a named position") for t in ("sizes", "clearances", "torques")
    ]
    for table, column, known, expected in (*texts, ("sequences", "row", set[str](), "place numbers such as 3 or 2,4")):
        for file, line, _, row in found.of(table):
            try:
                if row[column]:
                    positions.check(row[column], known)
            except positions.PositionError as error:
                yield file.file, Fault("position", line, column, str(error), expected)


def _manifest_faults(data: Path) -> Iterator[tuple[str, Fault]]:
    from ..tidy import manifest

    name = "datapackage.json"
    try:
        text = tables.manifest_text(data)
        described = json.loads(text)
        wanted = manifest(data, described) if isinstance(described, dict) else ""
    except (ValueError, RecursionError, tables.TableError) as error:
        yield name, Fault("manifest-json", getattr(error, "lineno", 0), "", f"{error}", "a JSON document")
        return
    if not isinstance(described, dict) or not isinstance(described.get("version"), str):
        yield name, Fault("manifest-version", 0, "", "no version", "an object with a version such as 1.0.0")
    elif text != wanted:
        yield (
            name,
            Fault(
                "manifest-stale", 0, "", "a list that does not fit the files or schemas", "the list as tidy writes it"
            ),
        )
