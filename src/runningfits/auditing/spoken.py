"""Prepared tables of what rows speak of: their words, models and marks, and what documents cover."""

import sqlite3
from collections import defaultdict
from collections.abc import Iterator

from ..engine_models import OTHER, Family
from ..places import folder
from ..rulebook import create
from .form import schema
from .load import Folder

SPOKEN = {
    "row": "TEXT",
    "table": "TEXT",
    "engine": "TEXT",
    "file": "TEXT",
    "line": "INTEGER",
    "column": "TEXT",
    "word": "TEXT",
    "before": "TEXT",
    "kind": "TEXT",
    "covered": "INTEGER",
}
"""Columns of `spoken`, one row a word: the word before it, whether it names a `model`, a `part`, a `place`, one of
several (`which`) or nothing, and whether the row's document covers the model."""

CITED = {"engine": "TEXT", "source": "TEXT", "file": "TEXT", "line": "INTEGER", "covered": "INTEGER"}
"""Columns of `cited`: each document that an engine's rows cite, where first, and whether covers.csv has it."""


def families(found: Folder) -> dict[str, Family]:
    """Models, covers and parts by engine."""
    tables: defaultdict[str, dict[str, list[dict[str, str]]]] = defaultdict(lambda: defaultdict(list))
    for table in ("models", "covers", "parts"):
        for file, _, _, row in found.of(table):
            tables[file.engine][table].append(row)
    engines = {r["engine"] for _, _, _, r in found.of("engines")} | set(tables)
    return {e: Family(*(tables[e][t] for t in ("models", "covers", "parts"))) for e in engines}


def prepare(base: sqlite3.Connection, found: Folder, known: dict[str, Family]) -> None:
    """Add `spoken`, `cited`, `for_models` and `series`, and models, covers and parts with their engine."""
    kinds = {r["position"]: r["kind"] for _, _, _, r in found.of("positions")}
    create(base, "spoken", SPOKEN, list(_spoken(found, known, kinds)))
    create(base, "cited", CITED, list(_cited(found, known)))
    create(base, "for_models", {"row": "TEXT", "model": "TEXT"}, list(_for_models(found, known)))
    base.execute("CREATE INDEX for_models_row ON for_models (row)")
    create(base, "series", {"row": "TEXT", "rest": "TEXT"}, list(_series(found, known)))
    for table in ("models", "covers", "parts", "sought"):
        rows = [(name, table, f.engine, f.file, line, r) for f, line, name, r in found.of(table)]
        names = list(rows[0][5]) if rows else [f["name"] for f in schema(folder("schema"), table)["fields"]]
        columns = {"row": "TEXT", "table": "TEXT", "engine": "TEXT", "file": "TEXT", "line": "INTEGER"}
        create(base, table, columns | dict.fromkeys(names, "TEXT"), [(*r[:5], *r[5].values()) for r in rows])


def _spoken(
    found: Folder, known: dict[str, Family], kinds: dict[str, str]
) -> Iterator[tuple[str, str, str, str, int, str, str, str, str, int]]:
    columns: dict[str, tuple[str, ...]] = dict.fromkeys(("sizes", "clearances", "torques"), ("which", "applies"))
    columns |= {"sequences": ("applies",), "covers": ("applies",), "models": ("has",)}
    for table, names in columns.items():
        for file, line, name, cells in found.of(table):
            family = known.get(file.engine) or Family((), (), ())
            for column in names:
                before = ""
                for word in cells[column].split():
                    kind = kinds.get(word, "") if column == "which" else _kind(family, word)
                    covered = int(kind != "model" or word in family.covered(cells.get("source", "")))
                    yield name, table, file.engine, file.file, line, column, word, before, kind, covered
                    before = word


def _for_models(found: Folder, known: dict[str, Family]) -> Iterator[tuple[str, str]]:
    """Each model that a row is for, by its own words or those of its document's cover."""
    for table in ("sizes", "clearances", "torques"):
        for file, _, name, cells in found.of(table):
            family = known.get(file.engine) or Family((), (), ())
            named = {w for w in cells["applies"].split() if w in family.models}
            yield from ((name, m) for m in named or family.covered(cells["source"]))


_SERIES = ("quantity", "position", "which", "size", "at", "source", "page")
"""Columns in which the rows of one series of size marks are alike."""


def _series(found: Folder, known: dict[str, Family]) -> Iterator[tuple[str, str]]:
    """What each row of a size mark speaks of besides the mark: the question with most answers in its series."""
    groups: defaultdict[tuple[str, ...], list[tuple[str, list[str]]]] = defaultdict(list)
    for file, _, name, cells in found.of("sizes"):
        if cells["class"] == "selective":
            groups[file.engine, *(cells[c] for c in _SERIES)].append((name, cells["applies"].split()))
    for (engine, *_), rows in groups.items():
        question = known[engine].question if engine in known else {}
        answers: defaultdict[str, set[str]] = defaultdict(set)
        for w in {w for _, words in rows for w in words if w in question}:
            answers[question[w]].add(w)
        mark = max(sorted(answers), key=lambda q: len(answers[q]), default="")
        yield from ((name, " ".join(w for w in words if question.get(w, "-") != mark)) for name, words in rows)


def _kind(family: Family, word: str) -> str:
    if word in family.models:
        return "model"
    return "part" if word in family.question and word != OTHER else ""


def _cited(found: Folder, known: dict[str, Family]) -> Iterator[tuple[str, str, str, int, int]]:
    seen: set[tuple[str, str]] = set()
    for table in ("sizes", "clearances", "torques", "sequences"):
        for file, line, _, cells in found.of(table):
            key = file.engine, cells["source"]
            if key not in seen and all(key):
                seen.add(key)
                covers = known[file.engine].covers if file.engine in known else {}
                yield *key, file.file, line, int(cells["source"] in covers)
