"""JSON documents, citations and metadata of the published form. Numbers are text, as printed."""

import json
import re
from collections import Counter
from typing import Any

from .. import tables
from ..dataset import Dataset
from ..shown import cite_values, counts, row_values
from ..version import SCHEMA_VERSION


def envelope(data: Dataset, made: str, form: str) -> dict[str, str]:
    """What every document bears; `made` is the date of the data, `form` where its schema is, from where it stands."""
    versions = {"schema_version": SCHEMA_VERSION, "data_version": data.version}
    return {"$schema": f"{form}.json", **versions, "generated_at": made}


def engine(data: Dataset, name: str, made: str) -> dict[str, Any]:
    """Everything about one engine: models, what documents are for, ranges, steps and orders with their citation."""
    limits = data.all_rows(name, "sizes") + data.all_rows(name, "clearances")
    steps = data.all_rows(name, "torques")
    orders = [{"id": r.id, **_plain(r.cells), "cite": cite_values(r.cite)} for r in data.all_rows(name, "sequences")]
    return {
        **envelope(data, made, "../schema/published-engine"),
        "engine": _plain(data.engine(name)),
        "counts": counts(data, name),
        **{t: [_plain(r) for r in tables.of_engine(data.path, name, t)] for t in OF_FAMILY},
        "ranges": [row_values(r, data) for r in limits],
        "torques": [row_values(r, data) for r in steps],
        "sequences": orders,
    }


OF_FAMILY = ("models", "covers", "parts")
"""Tables that say what an engine family is."""


def index(data: Dataset, made: str) -> dict[str, Any]:
    """The engines with their counts and the address of their document."""
    listed = [
        {
            **_plain(line),
            "models": _models(data, name),
            "counts": counts(data, name),
            "document": f"engines/{name}.json",
        }
        for name, line in sorted(data.engines.items())
    ]
    return {**envelope(data, made, "schema/published-index"), "engines": listed}


def _models(data: Dataset, name: str) -> list[dict[str, str]]:
    return [{"model": m.model, "label": m.label} for m in data.family(name).models.values()]


def table(data: Dataset, name: str, made: str) -> dict[str, Any]:
    """A shared table as a document."""
    return {**envelope(data, made, f"schema/published-{name}"), name: [_plain(r) for r in data.table(name)]}


def _plain(cells: dict[str, str]) -> dict[str, str | None]:
    return {k: v or None for k, v in cells.items()}


_BIBTEX = str.maketrans(
    {c: f"\\{c}" for c in "&%$#_{}"}
    | {"~": r"\textasciitilde{}", "^": r"\textasciicircum{}", "\\": r"\textbackslash{}"}
)


def bibtex(data: Dataset) -> str:
    """The sources as BibTeX."""
    entries = []
    titles = _titles(data)
    for s in data.table("sources"):
        fields = {
            "author": s["publisher"],
            "title": titles[s["source"]],
            "institution": s["publisher"],
            "number": s["number"],
            "year": _year(s["issued"]),
            "note": s["rights"],
        }
        said = {k: v.translate(_BIBTEX) for k, v in fields.items() if v}
        said["author"] = f"{{{said['author']}}}"  # a body's name is kept whole
        lines = [f"  {k} = {{{v}}}" for k, v in said.items()]
        entries.append(f"@techreport{{{s['source']},\n" + ",\n".join(lines) + "\n}\n")
    return "\n".join(entries)


def csl(data: Dataset) -> list[dict[str, Any]]:
    """The sources as CSL-JSON; who published a document stands as its author, as for bodies without named ones."""
    titles = _titles(data)
    return [_csl(s, titles[s["source"]]) for s in data.table("sources")]


def _csl(s: dict[str, str], title: str) -> dict[str, Any]:
    kind = "standard" if s["kind"] == "standard" else "book" if s["kind"] == "handbook" else "report"
    found = {"id": s["source"], "type": kind, "title": title, "publisher": s["publisher"], "number": s["number"]}
    year = _year(s["issued"])
    said = {k: v for k, v in found.items() if v} | {"author": [{"literal": s["publisher"]}]}
    return said | ({"issued": {"date-parts": [[int(year)]]}} if year else {})


def _titles(data: Dataset) -> dict[str, str]:
    """A title for each source that no other bears: where its own was not seen or stands twice, with its number."""
    listed = data.table("sources")
    often = Counter(s["title"] for s in listed)
    return {
        s["source"]: f"{s['number']} ({s['title'][0].lower()}{s['title'][1:]})"
        if s["title"].startswith("Title not on the page")
        else s["title"]
        if often[s["title"]] == 1
        else f"{s['title']}, {s['number'] or s['issued'] or s['source']}"
        for s in listed
    }


def _year(text: str) -> str:
    found = re.search(r"\b(1[89]|20)\d\d\b", text)
    return found[0] if found else ""


def metadata(data: Dataset, described: dict[str, Any], made: str) -> dict[str, Any]:
    """schema.org/Dataset metadata."""
    licences = [x["path"] for x in described["licenses"]]
    forms = {
        "csv": "text/csv",
        "parquet": "application/vnd.apache.parquet",
        "runningfits.sqlite": "application/vnd.sqlite3",
        "runningfits.xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    }
    return {
        "@context": "https://schema.org/",
        "@type": "Dataset",
        "name": described["title"],
        "description": described["description"],
        "version": data.version,
        "datePublished": made[:10],
        "license": licences[0],
        "isAccessibleForFree": True,
        "creator": {"@type": "Organization", "name": described["title"]},
        "variableMeasured": [q["label"] for q in data.table("quantities")],
        "distribution": [
            {"@type": "DataDownload", "encodingFormat": kind, "contentUrl": name} for name, kind in forms.items()
        ],
    }


def text(value: Any) -> str:
    """A document as text: two blanks a level, one line end at the end."""
    return json.dumps(value, indent=2, ensure_ascii=False) + "\n"
