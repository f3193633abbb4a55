"""An invented engine in a small dataset of its own, and bench sheets for it."""

import json
import math
import shutil
from pathlib import Path
from typing import Any

from runningfits import check, tables
from runningfits.auditing.form import schema
from runningfits.dataset import Dataset
from runningfits.places import folder
from runningfits.sheets import grids
from runningfits.tidy import render

from .auditing.examples import ENGINE, SOURCE, filled

OWN = ("engines", "sources", "pages", "choices", "misprints", "renamed", "rereadings", "guides")
FACTS = ("cylinders", "crankpins", "mains", "bore", "stroke", "unit")
SECOND = {**SOURCE, "source": "example-2", "number": "2"}
MODEL = {
    "model": "example-model",
    "label": "Example",
    "reading": "once",
    "cylinders": "4",
    "crankpins": "4",
    "mains": "5",
}
SOURCES = ("example", "example-2")
PAGES = [{"source": s, "page": p} for s in ("example", "example-2") for p in ("1", "2")]

TOOLS: dict[str, dict[str, str]] = {
    "mic-1": {"instrument": "outside-micrometer", "resolution": "0.0001", "mpe": "0.0001", "unit": "in"},
    "mic-2": {"instrument": "outside-micrometer", "resolution": "0.0001", "mpe": "0.0001", "unit": "in"},
    "bore-1": {"instrument": "bore-gauge", "resolution": "0.0001", "mpe": "0.0001", "unit": "in", "set_on": "mic-1"},
    "caliper-1": {"instrument": "caliper"},
    "strip-1": {"instrument": "strip", "resolution": "0.0005", "mpe": "0.0003", "unit": "in"},
    "feeler-1": {"instrument": "feeler-gauge", "resolution": "0.001", "mpe": "0.0003", "unit": "in"},
    "dial-1": {"instrument": "dial-indicator", "resolution": "0.0001", "mpe": "0.0002", "unit": "in"},
    "load-1": {"instrument": "spring-tester"},
    "scale-1": {"instrument": "mass-scale"},
    "wrench-1": {"instrument": "torque-wrench", "resolution": "1", "mpe_percent": "4", "unit": "lbf.ft"},
}
"""Instruments by the names that the readings use; those of which nothing is said take the limits of their class."""

HANDS = {
    "bore": 0.0025 / 25.4,
    "shaft": 0.002 / 25.4,
    "gap": 0.003 / 25.4,
    "strip": 0.004 / 25.4,
    "caliper": 0.012 / 25.4,
}
"""Usual repeatability in inches of bore gauge, micrometer, dial, strip and caliper (instruments.csv)."""

U_FIT = 1.96 * math.sqrt(2 * (0.0001**2 / 12) + 0.0001**2 / 3 + HANDS["bore"] ** 2 + HANDS["shaft"] ** 2)
"""U in inches of bore gauge and micrometer: two steps and the gauge's limit of 0.0001 in, the micrometer's cancels; and
the usual repeatability of both."""

USUAL = {"bore": "bore-1", "shaft": "mic-1", "gap": "dial-1", "strip": "strip-1"}


def shop(base: Path, engine: dict[str, str] | None = None, **given: list[dict[str, str]]) -> Dataset:
    """A dataset of the shared vocabularies and one invented engine, with the rows given by table.

    Counts, bore and stroke in `engine` are those of its one model, where no models are given.
    """
    data = base / "data"
    rows = data / "engines" / "example-engine"
    rows.mkdir(parents=True)
    for name in tables.SHARED:
        if name not in OWN:
            shutil.copy(folder("data") / f"{name}.csv", data)
    facts = {k: v for k, v in (engine or {}).items() if k in FACTS}
    line = {**ENGINE, **{k: v for k, v in (engine or {}).items() if k not in FACTS}}
    own = {"engines": [line], "sources": [SOURCE, SECOND], "pages": PAGES}
    models = given.get("models", [MODEL | facts])
    covers = " ".join(sorted(m["model"] for m in models))
    given = {"covers": [{"source": s, "applies": covers, "named_by": "printed"} for s in SOURCES]} | given
    given |= {"models": models}
    for name in OWN:
        _write(data / f"{name}.csv", name, own.get(name, []) + given.get(name, []))
    for name in tables.PER_ENGINE:
        _write(rows / f"{name}.csv", name, given.get(name, []))
    (data / "datapackage.json").write_text(json.dumps({"name": "example", "version": "1.2.3"}), encoding="utf-8")
    return Dataset(data)


def _write(path: Path, table: str, rows: list[dict[str, str]]) -> None:
    names = [f["name"] for f in schema(folder("schema"), table)["fields"]]
    path.write_text(render(table, names, [filled(table, r) for r in rows]), encoding="utf-8", newline="\n")


def row(quantity: str, lower: str = "", upper: str = "", limit: str = "", **more: str) -> dict[str, str]:
    """A range in inches, with its wear limit as a value."""
    cells = {"quantity": quantity, "lower": lower, "upper": upper, "limit": limit, "unit": "in"}
    return cells | {"limit_as": "value" if limit else ""} | more


def parts(question: str, *words: str) -> list[dict[str, str]]:
    """Answers to a question about what is fitted, labelled by their words without hyphens."""
    lines = [{"question": question, "part": w, "label": w.replace("-", " ")} for w in words]
    return [line | {"source": "example", "page": "1"} for line in lines]


def step(joint: str, number: str, lower: str = "", upper: str = "", **more: str) -> dict[str, str]:
    """A tightening step in pound feet."""
    return {"joint": joint, "step": number, "lower": lower, "upper": upper, "unit": "lbf.ft"} | more


def reading(item: str, part: str, value: str, position: str = "1", **more: str) -> dict[str, str]:
    """A reading in inches, with the usual instrument of its part."""
    cells = {"item": item, "position": position, "part": part, "value": value, "unit": "in"}
    return cells | {"instrument": USUAL[part]} | more


def fit(item: str, bore: str, shaft: str, position: str = "1", **more: str) -> list[dict[str, str]]:
    """A bore and a shaft."""
    return [reading(item, "bore", bore, position, **more), reading(item, "shaft", shaft, position, **more)]


def torque(joint: str, number: int, value: str, **more: Any) -> dict[str, Any]:
    """A torque line in pound feet."""
    cells: dict[str, Any] = {"joint": joint, "position": "all", "step": number, "value": value, "unit": "lbf.ft"}
    return cells | {"instrument": "wrench-1"} | more


def sheet(*readings: dict[str, str], engine: str = "example-engine", **more: Any) -> dict[str, Any]:
    """A sheet with all the tools, without a difference of temperature unless one is given."""
    tools = [{"id": name, **tool, **more.pop(name.replace("-", "_"), {})} for name, tool in TOOLS.items()]
    fields: dict[str, Any] = {"engine": engine, "title": "Invented", "temperature_spread": "0 K"}
    return fields | {"instruments": tools, "readings": list(readings)} | more


def judge(data: Dataset, *readings: dict[str, str], **more: Any) -> dict[str, Any]:
    """The whole result of a sheet, as JSON values."""
    return check(sheet(*readings, **more), data).as_dict()


def one(result: dict[str, Any], item: str, position: str = "1") -> dict[str, Any]:
    """The result of one item at one position, which must be there once."""
    (found,) = [r for r in result["results"] if (r["item"], r["position"]) == (item, position)]
    return dict(found)


def codes(result: dict[str, Any]) -> list[str]:
    """Codes of the findings, in order."""
    return sorted(f["code"] for f in result["findings"])


def grid(book: Any, title: str) -> list[tuple[Any, ...]]:
    """Cells of a grid of a workbook, line by line, headings first."""
    at = table = "readings" if title == "readings" else "sheet"
    found = []
    for line in book[table].iter_rows():
        told = [c.value for c in line if c.value is not None]
        at = str(told[0]) if len(told) == 1 and told[0] in grids.TITLES else at
        found += [line] if at == title and told and told != [title] else []
    return found
