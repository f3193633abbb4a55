"""A small good dataset: the shared tables of the real one and one invented engine."""

import csv
import shutil
from pathlib import Path

from runningfits.auditing.form import schema
from runningfits.places import folder
from runningfits.tables import PER_ENGINE, SHARED
from runningfits.tidy import tidy

ENGINE = "example-engine"
MODELS = f"engines/{ENGINE}/models.csv"
COVERS = f"engines/{ENGINE}/covers.csv"
SIZES = f"engines/{ENGINE}/sizes.csv"
CLEARANCES = f"engines/{ENGINE}/clearances.csv"
TORQUES = f"engines/{ENGINE}/torques.csv"
SEQUENCES = f"engines/{ENGINE}/sequences.csv"
CITED = {"source": "example", "page": "1"}
RANGE = {"class": "new", "position": "all", "unit": "in", "unit_2": "mm", **CITED, "reading": "twice"}
STEP = {"position": "all", "action": "tighten", "unit": "N.m", **CITED, "reading": "once"}
JUDGED = ("choices", "misprints", "renamed", "rereadings")
"""Tables about rows of the real engines, which the small dataset does not have."""

ROWS: dict[str, list[dict[str, str]]] = {
    "sources.csv": [
        {
            "source": "example",
            "kind": "government-manual",
            "number": "EX 1",
            "title": "An invented manual",
            "publisher": "Nobody",
            "rights": "invented",
        }
    ],
    "pages.csv": [{**CITED, "printed": "yes", "address": "https://example.org/1", "read_on": "2026-01-02"}],
    "engines.csv": [
        {
            "engine": ENGINE,
            "maker": "Example",
            "designation": "E4",
            "layout": "inline",
            "cycle": "4",
            "fuel": "diesel",
            "cooling": "liquid",
            **CITED,
        }
    ],
    MODELS: [
        {
            "model": "e4",
            "label": "E4",
            "cylinders": "4",
            "crankpins": "4",
            "mains": "5",
            "reading": "once",
            **CITED,
        }
    ],
    COVERS: [{"source": CITED["source"], "applies": "e4", "named_by": "printed", "page": CITED["page"]}],
    SIZES: [
        {
            **RANGE,
            "quantity": "main-journal-diameter",
            "lower": "2.4990",
            "upper": "2.5000",
            "lower_2": "63.475",
            "upper_2": "63.500",
            "limit": "2.4970",
            "limit_as": "value",
            "limit_2": "63.424",
        },
        {
            **RANGE,
            "quantity": "crankpin-diameter",
            "lower": "1.9990",
            "upper": "2.0000",
            "lower_2": "50.775",
            "upper_2": "50.800",
        },
        {
            **RANGE,
            "quantity": "cylinder-bore",
            "lower": "3.5000",
            "upper": "3.5010",
            "lower_2": "88.900",
            "upper_2": "88.925",
        },
    ],
    CLEARANCES: [
        {
            **RANGE,
            "quantity": "crank-end-play",
            "lower": "0.004",
            "upper": "0.009",
            "lower_2": "0.10",
            "upper_2": "0.23",
        },
        {
            **RANGE,
            "quantity": "main-bearing-clearance",
            "position": "1-4",
            "lower": "0.0015",
            "upper": "0.0035",
            "lower_2": "0.038",
            "upper_2": "0.089",
            "limit": "0.0050",
            "limit_as": "value",
            "limit_2": "0.127",
        },
        {
            **RANGE,
            "quantity": "main-bearing-clearance",
            "position": "5",
            "lower": "0.0020",
            "upper": "0.0040",
            "lower_2": "0.051",
            "upper_2": "0.102",
            "limit": "0.0050",
            "limit_as": "value",
            "limit_2": "0.127",
        },
    ],
    TORQUES: [
        {**STEP, "joint": "main-cap", "step": "1", "nominal": "60"},
        {**STEP, "joint": "main-cap", "step": "2", "nominal": "120"},
    ],
    SEQUENCES: [
        {"joint": "main-cap", "order": "1", "column": "1", "row": "1", **CITED},
        {"joint": "main-cap", "order": "2", "column": "2", "row": "1", **CITED},
    ],
}


def make(data: Path) -> Path:
    """Write the small dataset, in canonical form, to a new folder."""
    (data / "engines" / ENGINE).mkdir(parents=True)
    for name in SHARED:
        shutil.copy(folder("data") / f"{name}.csv", data)
    for name in JUDGED:
        _write(data / f"{name}.csv", [])
    shutil.copy(folder("data") / "datapackage.json", data)
    _keep_cited(data)
    for name, rows in ROWS.items():
        _write(data / name, (_read(data / name) if name in ("sources.csv", "pages.csv") else []) + rows)
    tidy(data)
    return data


def _keep_cited(data: Path) -> None:
    """Drop the pages and documents that only rows of the real engines cite."""
    cited = [
        r
        for name in SHARED
        if name not in ("engines", "pages", "sources", *JUDGED)
        for r in _read(data / f"{name}.csv")
    ]
    sources = {r["source"] for r in cited if "source" in r}
    whole = {r["source"] for r in _read(data / "instruments.csv")}
    at = {(r["source"], r["page"]) for r in cited if r.get("page")}
    pages = [r for r in _read(data / "pages.csv") if r["source"] in whole or (r["source"], r["page"]) in at]
    _write(data / "pages.csv", pages)
    _write(data / "sources.csv", [r for r in _read(data / "sources.csv") if r["source"] in sources])


def _read(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _write(path: Path, rows: list[dict[str, str]]) -> None:
    names = [f["name"] for f in schema(folder("schema"), path.stem)["fields"]]
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, names, restval="", lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


def path_of(table: str) -> str:
    """Path of a table inside the small dataset."""
    return f"engines/{ENGINE}/{table}.csv" if table in PER_ENGINE else f"{table}.csv"
