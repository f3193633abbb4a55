"""Example rows of a rule as a small dataset in memory or on disk."""

import copy
import json
import shutil
import sqlite3
from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import Any

from runningfits import tables, tidy
from runningfits.auditing import load, prepare
from runningfits.auditing.form import schema
from runningfits.places import folder

ENGINE = {
    "engine": "example-engine",
    "maker": "Example",
    "designation": "Example",
    "layout": "inline",
    "cycle": "4",
    "fuel": "diesel",
    "cooling": "liquid",
    "source": "example",
    "page": "1",
}
SOURCE = {
    "source": "example",
    "kind": "government-manual",
    "number": "1",
    "title": "Example",
    "publisher": "Example",
    "rights": "none",
}
MODEL = {
    "model": "example-model",
    "label": "Example",
    "cylinders": "4",
    "crankpins": "4",
    "mains": "5",
    "reading": "once",
}
DEFAULTS = {
    "models": MODEL,
    "covers": {"source": "example", "applies": "example-model", "named_by": "printed"},
    "sizes": {"position": "all", "class": "new", "source": "example", "page": "1", "reading": "once"},
    "torques": {
        "position": "all",
        "step": "1",
        "action": "tighten",
        "source": "example",
        "page": "1",
        "reading": "once",
    },
    "sequences": {"source": "example", "page": "1"},
    "engines": ENGINE,
    "sources": SOURCE,
    "pages": {
        "source": "example",
        "page": "1",
        "printed": "yes",
        "address": "https://example.org/1",
        "read_on": "2026-01-01",
    },
    "misprints": {"why": "example", "evidence": "example", "date": "2026-01-01"},
    "choices": {"why": "example", "evidence": "example", "date": "2026-01-01"},
    "renamed": {"why": "example", "date": "2026-01-01"},
    "rereadings": {"date": "2026-01-01"},
    "general_torques": {"thread_state": "dry", "source": "example", "page": "1", "reading": "once"},
}
DEFAULTS["clearances"] = DEFAULTS["sizes"]
OWN = (
    "sources",
    "pages",
    "engines",
    "misprints",
    "choices",
    "renamed",
    "rereadings",
    "guides",
    "materials",
    "fasteners",
    "general_torques",
)
_CITING = ("sizes", "clearances", "torques", "sequences")
FILES = ("file", "text", "hex", "without", "extra", "manifest", "big")


def filled(table: str, row: dict[str, Any]) -> dict[str, str]:
    """A whole row: the given cells, the table's defaults, the rest empty."""
    names = [f["name"] for f in schema(folder("schema"), table)["fields"]]
    return {n: str(row.get(n, DEFAULTS.get(table, {}).get(n, ""))) for n in names}


@cache
def _shared() -> load.Folder:
    found = load.load(folder("data"))
    found.files = [f for f in found.files if not f.engine and f.table not in OWN]
    found.faults = []
    for _, _, _, row in found.of("quantities"):
        row["material"] = ""
    return found


def in_memory(example: dict[str, Any]) -> load.Folder:
    """The real vocabularies with an example's rows as the only ones of an engine."""
    found = copy.deepcopy(_shared())
    given = {t: [filled(t, r) for r in example.get(t, ())] for t in (*tables.SHARED, *tables.PER_ENGINE)}
    given["models"] = given["models"] or [filled("models", {})]
    cited = {(r["source"], r["page"]) for t in _CITING for r in given[t]} | {("example", "1")}
    if "covers" not in example:
        models = " ".join(sorted(r["model"] for r in given["models"]))
        citing = sorted({r["source"] for t in _CITING for r in given[t]})
        given["covers"] = [filled("covers", {"source": s, "applies": models}) for s in citing]
    listed = {(p["source"], p["page"]) for p in given["pages"]}
    given["pages"] += [filled("pages", {"source": s, "page": p}) for s, p in sorted(cited - listed)]
    if "sources" not in example or all(s["source"] != "example" for s in given["sources"]):
        given["sources"].append(filled("sources", {}))
    if not example.get("without_engine"):
        given["engines"].append(filled("engines", {}))
    for table in (*OWN, *tables.PER_ENGINE):
        engine = "example-engine" if table in tables.PER_ENGINE else ""
        file = f"engines/{engine}/{table}.csv" if engine else f"{table}.csv"
        rows = [(n, tables.row_id(table, engine, r) if engine else "", r) for n, r in enumerate(given[table], 2)]
        found.files.append(load.Loaded(table, engine, file, rows))
    load.finish(found)
    return found


def on_disk(example: dict[str, Any], base: Path) -> Path:
    """A data folder with an example's fault of form."""
    data = base / "data"
    data.mkdir()
    source = folder("data")
    for table in tables.SHARED:
        if table not in OWN:
            shutil.copy(source / f"{table}.csv", data)
            if table == "quantities":
                _without_materials(data / "quantities.csv")
        elif table not in ("engines", "sources", "pages"):
            (data / f"{table}.csv").write_text(_text(table, []), encoding="utf-8", newline="\n")
    (data / "engines.csv").write_text(_text("engines", [ENGINE]), encoding="utf-8", newline="\n")
    sources = [r["source"] for r in tables.rows(source / "sources.csv")]
    listed = [SOURCE, *({**SOURCE, "source": s} for s in sources)]
    (data / "sources.csv").write_text(_text("sources", listed), encoding="utf-8", newline="\n")
    (data / "pages.csv").write_text(_text("pages", [{}]), encoding="utf-8", newline="\n")
    rows = data / "engines" / "example-engine"
    rows.mkdir(parents=True)
    for name in ("models", "covers"):
        (rows / f"{name}.csv").write_text(_text(name, [{}]), encoding="utf-8", newline="\n")
    row = {"quantity": "crank-end-play", "lower": "0.004", "upper": "0.009", "unit": "in"}
    (rows / "clearances.csv").write_text(_text("clearances", [row]), encoding="utf-8", newline="\n")
    (data / "datapackage.json").write_text(json.dumps({"name": "example", "version": "1.0.0"}), encoding="utf-8")
    tidy.tidy(data)
    _break(example, data, rows)
    return data


def _without_materials(path: Path) -> None:
    """Quantities that name no material: an example has no table of them."""
    rows = [r | {"material": ""} for r in tables.rows(path)]
    path.write_text(_text("quantities", rows), encoding="utf-8", newline="\n")


def _text(table: str, rows: Iterable[dict[str, Any]]) -> str:
    names = [f["name"] for f in schema(folder("schema"), table)["fields"]]
    return tidy.render(table, names, [filled(table, r) for r in rows])


def _break(example: dict[str, Any], data: Path, rows: Path) -> None:
    if "text" in example:
        (rows / f"{example['file']}.csv").write_bytes(example["text"].encode("utf-8"))
    if "hex" in example:
        (rows / f"{example['file']}.csv").write_bytes(bytes.fromhex(example["hex"]))
    if "without" in example:
        (data / f"{example['without']}.csv").unlink()
    if "extra" in example:
        (data / example["extra"]).write_text("a note\n", encoding="utf-8")
    if "manifest" in example:
        text = (data / "datapackage.json").read_text(encoding="utf-8")
        broken = {
            "stale": text.replace('"clearances"', '"clearances-of-old"').replace("-clearances", "-old"),
            "broken": text[:1],
        }
        (data / "datapackage.json").write_text(broken[example["manifest"]], encoding="utf-8")
    if "big" in example:
        with (rows / f"{example['big']}.csv").open("ab") as file:
            file.truncate(25_000_000)


def database(example: dict[str, Any], base: Path) -> sqlite3.Connection:
    """The prepared tables of an example: of rows in memory, or of a folder on disk."""
    if any(k in example for k in FILES):
        return prepare.prepare(load.load(on_disk(example, base)))
    return prepare.prepare(in_memory(example))
