"""Blank bench sheets written: JSON, XLSX, or a page for A4 and Letter with room for two readings and initials."""

import json
from html import escape
from pathlib import Path
from typing import Any

from ..dataset import Dataset
from ..files import write_whole
from ..rows import Row
from ..sheets import blank, workbook
from ..sheets.blank import measured, places, tightened
from ..sheets.sheet_form import fields
from ..shown import fastening, label, range_text
from .report import document, table
from .words import CAUTIONS

BOXES = '<span class="box"></span><span class="box"></span>'


def write(data: Dataset, engine: str, path: Path) -> None:
    """Write a blank sheet in the form that the path's ending names; raises NotInDatasetError for an unknown engine."""
    sheet = blank.blank(data, engine)
    if path.suffix == ".html":
        write_whole(path, page(sheet, data))
    elif path.suffix == ".xlsx":
        workbook.write(sheet, path, fields())
    else:
        write_whole(path, json.dumps(sheet, indent=1, ensure_ascii=False) + "\n")


def page(sheet: dict[str, Any], data: Dataset) -> str:
    """HTML of the blank sheet: a line a place, with the range, the instrument and the page."""
    fields = ("Serial", "Customer", "Date", "Part temperature", "Read by", "Checked by")
    head = "".join(f"<div><dt>{f}</dt><dd></dd></div>" for f in fields)
    cautions = "".join(f"<p>{escape(c)}</p>" for c in CAUTIONS)
    body = f'<header class="head"><h1>{escape(sheet["title"])}: bench sheet</h1><dl>{head}</dl></header>'
    body += f'<div class="cautions">{cautions}</div>' + _readings(sheet["engine"], data)
    if sheet["torques"]:
        body += "<h2>Tightening</h2>" + _torques(sheet["engine"], data)
    return document(f"{sheet['title']}: bench sheet", body)


def _readings(engine: str, data: Dataset) -> str:
    rows = []
    for row in measured(data, engine):
        quantity = data.quantities[row.item]
        values, limit = range_text(row, data)
        tool = data.keyed("instruments")[quantity["instrument"]]["label"].partition(",")[0]
        what = _named(quantity["label"], row, f"{tool}. {quantity['caution']}")
        found = escape(values) + (f"<br>limit {escape(limit)}" if limit else "")
        rows.append([what, found, "".join(_place(p) for p in places(row, data)), ""])
    heads = ("Measure, with, page", "Range", "Place, two readings", "Initials")
    return "<h2>Readings, in measuring order</h2>" + table(heads, rows, "sheet")


def _named(label: str, row: Row, more: str) -> str:
    variant = f" {escape(row['variant'])}" if row["variant"] else ""
    small = f'<br><span class="small">{escape(more.strip())} {escape(row.cite.text)}</span>'
    return f"<strong>{escape(label)}</strong>{variant}{small}"


def _place(name: str) -> str:
    return f'<span class="place">{escape(name)} {BOXES}</span>'


def _torques(engine: str, data: Dataset) -> str:
    rows = []
    for row in tightened(data, engine):
        values, _ = range_text(row, data)
        what = _named(label(row, data), row, "")
        words = ", ".join(filter(None, (fastening(row), "only for measuring" if row["purpose"] else "")))
        cells = (row["position"], row["step"], values, words)
        rows.append([what, *map(escape, cells), '<span class="box"></span>', ""])
    return table(("Joint, page", "Place", "Step", "Torque", "Thread", "Done", "Initials"), rows)
