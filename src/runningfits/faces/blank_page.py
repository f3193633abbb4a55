"""Blank bench sheets written: JSON, XLSX, or a page for A4 and Letter with room for two readings and initials."""

import json
from collections.abc import Callable, Iterator
from functools import partial
from html import escape
from pathlib import Path
from typing import Any

from ..build import UNKNOWN, Build
from ..cautions import CAUTIONS
from ..choosing import question_words
from ..dataset import Dataset
from ..engine_models import MODEL
from ..files import write_whole
from ..lines import line_key
from ..sheets import blank, csvfile, wording, workbook
from ..sheets.entries import Asked, Entry
from ..sheets.measuring import Line
from ..sheets.sheet_form import fields
from ..shown import label
from . import record
from .pieces import table
from .report import document

BOX = '<span class="box"></span>'
FROM_SIZE = ": from the readings of its size"


def write(data: Dataset, engine: str, path: Path, build: Build | None = None, stage: str = "found") -> None:
    """Write a blank sheet of a build in the form that the path's ending names; raises NotInDatasetError."""
    todo = blank.work(data, engine, build or Build())
    sheet = blank.blank(data, engine, build, stage, todo)
    if path.suffix == ".html":
        write_whole(path, page(sheet, data, todo))
    elif path.suffix == ".xlsx":
        workbook.write(wording.labelled(sheet, data), path, fields())
    elif path.suffix == ".csv":
        write_whole(path, csvfile.write(wording.labelled(sheet, data), fields()))
    else:
        write_whole(path, json.dumps(sheet, indent=1, ensure_ascii=False) + "\n")


def page(sheet: dict[str, Any], data: Dataset, todo: blank.Work) -> str:
    """HTML of the blank sheet of a build's work: a line a place, with the range, the instrument and the page."""
    fields = ("Serial", "Customer", "Date", "Part temperature", "Room temperature", "Read by", "Checked by")
    head = "".join(f"<div><dt>{f}</dt><dd></dd></div>" for f in fields)
    head += "".join(f"<div><dt>{escape(k)}</dt><dd>{escape(v)}</dd></div>" for k, v in built(sheet, data))
    cautions = "".join(f"<p>{escape(c)}</p>" for c in (*CAUTIONS, *todo.doubts(data)))
    body = f'<header class="head"><h1>{escape(sheet["title"])}: bench sheet</h1><dl>{head}</dl></header>'
    body += f'<div class="cautions">{cautions}</div>' + _readings(todo.lines, data)
    if todo.joints:
        body += "<h2>Tightening</h2>" + _torques(todo.joints, data)
    body += record.blank_lines(sheet, data)
    title = f"{sheet['title']}: bench sheet"
    return document(title, f'<style>{_pages(title)}</style><div class="blank">{body}</div>')


def _pages(title: str) -> str:
    """Styles that give each printed page its head: what it is of, its number, a line for the engine's serial."""
    name = json.dumps(title, ensure_ascii=True).replace("<", "\\3c ")
    boxes = {"top-left": name, "top-center": '"Serial ______________"', "top-right": PAGE_OF}
    told = " ".join(f"@{box} {{ content: {content}; font: 7pt sans-serif }}" for box, content in boxes.items())
    return f"@page {{ margin: 8mm 8mm 6mm; {told} }}"


PAGE_OF = '"page " counter(page) " of " counter(pages)'


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


def _readings(lines: list[Asked], data: Dataset) -> str:
    rows = []
    for found in _grouped(lines):
        line, entries = found[0].line, found[0].entries
        quantity = data.quantities[line.item]
        words = ", ".join(_said(line, data))
        what = f"<strong>{escape(quantity['label'])}</strong>{f' {escape(words)}' if words else ''}"
        with_tools = f"<br>{escape(_tools(entries, data))}. {escape(quantity['caution'])}" if entries else FROM_SIZE
        what += f'<span class="small">{with_tools}</span>'
        places = "".join(_place(data.place_words(f.line.place), f.entries) for f in found)
        rows.append([what, escape(blank.note(line, data)), places, ""])
    heads = ("Measure, with", "Range, page", "Place, readings", "Initials")
    return "<h2>Readings, in measuring order</h2>" + table(heads, rows, "sheet")


def _grouped(lines: list[Asked]) -> list[list[Asked]]:
    """Lines of one item with one range and the same readings together, so that a range stands once.

    A row that was worked out for a repair size has the id of the standard one: what it says counts too.
    """
    groups: dict[tuple[object, ...], list[Asked]] = {}
    for found in lines:
        line = found.line
        key = (line.item, *sorted(line.said.items()), found.entries, *(line_key(li) for li in line.choice.lines))
        groups.setdefault(key, []).append(found)
    return list(groups.values())


def _said(line: Line, data: Dataset) -> Iterator[str]:
    row = line.rows[0]
    return (f"{w} range" if c == "class" else data.detail_words(row, c) for c, w in line.said.items())


def _tools(entries: tuple[Entry, ...], data: Dataset) -> str:
    """The instruments of a line, and for what where there are several."""
    known = data.keyed("instruments")
    tools = {known[e.tool]["label"].partition(" with ")[0]: e.part for e in entries}
    words = [f"{tool} ({part})" if len(tools) > 1 else tool for tool, part in tools.items()]
    leaves = ": the last leaf that goes, and the next that does not" if any(e.by_leaves for e in entries) else ""
    return " and ".join(words).capitalize() + leaves


def _place(name: str, entries: tuple[Entry, ...]) -> str:
    """A place with a box for each reading, told apart by part, place along it and direction across it."""
    boxes: dict[str, int] = {}
    parts = len({e.part for e in entries})
    for entry in entries:
        words = (entry.part if parts > 1 else "", *(c.replace("-", " ") for c in entry.cell))
        told = " ".join(filter(None, words))
        boxes[told] = boxes.get(told, 0) + 1
    return "".join(_boxes(f"{name} {told}".strip(), number) for told, number in boxes.items())


def _boxes(name: str, number: int) -> str:
    """Boxes for the readings of a place, with its name above them."""
    return f'<span class="place"><span class="name">{escape(name)}</span> {BOX * number}</span>'


def _torques(lines: list[Line], data: Dataset) -> str:
    rows = []
    for line in lines:
        what = f"<strong>{escape(label(line.rows[0], data))}</strong>"
        words = blank.joint_words(line, data)
        cells = (words, data.place_words(line.place), line.said["step"], blank.note(line, data))
        rows.append([what, *map(escape, cells), BOX, ""])
    return table(("Joint", "Which", "Place", "Step", "Torque, page", "Done", "Initials"), rows)
