"""Blank bench sheets written: JSON, XLSX, or a page for A4 and Letter with room for two readings and initials."""

import json
from collections.abc import Callable, Iterator
from functools import partial
from html import escape
from pathlib import Path
from typing import Any

from ..build import UNKNOWN, Build
from ..choosing import question_words
from ..dataset import Dataset
from ..engine_models import MODEL
from ..files import write_whole
from ..sheets import blank, wording, workbook
from ..sheets.blank import Line, measured, tightened
from ..sheets.sheet_form import fields
from ..shown import fastening, label, range_text
from . import record
from .pieces import table
from .report import document
from .words import CAUTIONS

BOXES = '<span class="box"></span><span class="box"></span>'


def write(data: Dataset, engine: str, path: Path, build: Build | None = None, stage: str = "found") -> None:
    """Write a blank sheet of a build in the form that the path's ending names; raises NotInDatasetError."""
    sheet = blank.blank(data, engine, build, stage)
    if path.suffix == ".html":
        write_whole(path, page(sheet, data, build or Build()))
    elif path.suffix == ".xlsx":
        workbook.write(wording.labelled(sheet, data), path, fields())
    else:
        write_whole(path, json.dumps(sheet, indent=1, ensure_ascii=False) + "\n")


def page(sheet: dict[str, Any], data: Dataset, build: Build) -> str:
    """HTML of the blank sheet: a line a place, with the range, the instrument and the page."""
    fields = ("Serial", "Customer", "Date", "Part temperature", "Read by", "Checked by")
    head = "".join(f"<div><dt>{f}</dt><dd></dd></div>" for f in fields)
    head += "".join(f"<div><dt>{escape(k)}</dt><dd>{escape(v)}</dd></div>" for k, v in built(sheet, data))
    cautions = "".join(f"<p>{escape(c)}</p>" for c in CAUTIONS)
    body = f'<header class="head"><h1>{escape(sheet["title"])}: bench sheet</h1><dl>{head}</dl></header>'
    body += f'<div class="cautions">{cautions}</div>' + _readings(sheet["engine"], data, build)
    if sheet["torques"]:
        body += "<h2>Tightening</h2>" + _torques(sheet["engine"], data, build)
    body += record.blank_lines(sheet, data)
    return document(f"{sheet['title']}: bench sheet", body)


def built(sheet: dict[str, Any], data: Dataset) -> list[tuple[str, str]]:
    """The build of a sheet in words; what it leaves open is a line to write on."""
    family = data.family(sheet["engine"])
    build = sheet.get("build", {})
    found = [("Model", _line(family.label(MODEL, build.get("model", UNKNOWN))))]
    for question, answer in build.get("fitted", {}).items():
        found.append((question_words(question, data), _spread(answer, partial(family.label, question))))
    for part, size in build.get("size", {}).items():
        found.append((f"{data.repair_words(part).capitalize()} machined to", _spread(size, _standard)))
    return found


def _standard(size: str) -> str:
    return "standard" if size in ("0", "standard") else size


def _line(word: str) -> str:
    return "____________" if word == UNKNOWN else word


def _spread(answer: Any, words: Callable[[str], str]) -> str:
    if not isinstance(answer, dict):
        return _line(answer) if answer == UNKNOWN else words(answer)
    return ", ".join(f"{'others' if at == 'all' else at}: {words(w)}" for at, w in answer.items())


def _readings(engine: str, data: Dataset, build: Build) -> str:
    rows = []
    for found in _grouped(measured(data, engine, build)):
        line = found[0]
        quantity = data.quantities[line.item]
        tool = data.keyed("instruments")[quantity["instrument"]]["label"].partition(",")[0]
        words = ", ".join(_said(line, data))
        what = f"<strong>{escape(quantity['label'])}</strong>{f' {escape(words)}' if words else ''}"
        what += f'<br><span class="small">{escape(tool)}. {escape(quantity["caution"])}</span>'
        rows.append(
            [what, escape(blank.note(line, data)), "".join(_place(data.place_words(f.place)) for f in found), ""]
        )
    heads = ("Measure, with", "Range, page", "Place, two readings", "Initials")
    return "<h2>Readings, in measuring order</h2>" + table(heads, rows, "sheet")


def _grouped(lines: list[Line]) -> list[list[Line]]:
    """Lines of one item with one range together, so that a range stands once."""
    groups: dict[tuple[object, ...], list[Line]] = {}
    for line in lines:
        key = (line.item, *sorted(line.said.items()), *(r.id for r in line.rows))
        groups.setdefault(key, []).append(line)
    return list(groups.values())


def _said(line: Line, data: Dataset) -> Iterator[str]:
    row = line.rows[0]
    return (data.detail_words(row, column) for column in line.said)


def _place(name: str) -> str:
    return f'<span class="place">{escape(name)} {BOXES}</span>'


def _torques(engine: str, data: Dataset, build: Build) -> str:
    rows = []
    for row in tightened(data, engine, build):
        values, _ = range_text(row, data)
        words = ", ".join(filter(None, (fastening(row), data.purpose_words(row))))
        which = data.detail_words(row, "which") if row["which"] else ""
        what = f"<strong>{escape(label(row, data))}</strong> {escape(which)}"
        what += f'<br><span class="small">{escape(row.cite.text)}</span>'
        cells = (data.place_words(row["position"]), row["step"], values, words)
        rows.append([what, *map(escape, cells), '<span class="box"></span>', ""])
    return table(("Joint, page", "Place", "Step", "Torque", "Thread", "Done", "Initials"), rows)
