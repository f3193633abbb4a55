"""Blank bench sheets written: JSON, XLSX, or a page for A4 and Letter with room for two readings and initials."""

import json
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

from markupsafe import Markup

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
from . import record, templating
from .pieces import Table, table

Json = dict[str, Any]

BOX = Markup('<span class="box"></span>')
INITIALS = Markup('<span class="box by"></span>')
FROM_SIZE = ": from the readings of its size"


def write(data: Dataset, engine: str, path: Path, build: Build | None = None, stage: str = "found") -> Json:
    """The blank sheet of a build, written in the form that the path's ending names; raises NotInDatasetError."""
    todo = blank.work(data, engine, build or Build())
    sheet = blank.blank(data, engine, build, stage, todo)
    write_sheet(sheet, data, todo, path)
    return sheet


def write_sheet(sheet: Json, data: Dataset, todo: blank.Work, path: Path) -> None:
    """Write a sheet in the form that the path's ending names; a page to print has the lines of `todo`."""
    end = path.suffix.lower()
    if end == ".html":
        write_whole(path, page(sheet, data, todo))
    elif end == ".xlsx":
        workbook.write(wording.labelled(sheet, data), path, fields())
    elif end == ".csv":
        write_whole(path, csvfile.write(wording.labelled(sheet, data), fields()))
    else:
        write_whole(path, json.dumps(sheet, indent=1, ensure_ascii=False) + "\n")


def page(sheet: Json, data: Dataset, todo: blank.Work) -> str:
    """HTML of the blank sheet of a build's work: a line a place, with the range, the instrument and the page."""
    title = f"{sheet['title']}: bench sheet"
    return templating.page(
        "blank.html",
        title=title,
        pages=_pages(title),
        fields=dict.fromkeys(FIELDS, "") | dict(built(sheet, data)),
        cautions=[*CAUTIONS, *todo.doubts(data)],
        heads=("Measure, with", "Range, page", "Place, readings, initials (dotted)"),
        lines=[_line_of(found, data) for found in _grouped(todo.lines)],
        joints=_torques(todo.joints, data),
        record=list(record.blank_lines(sheet, data)),
        box=BOX,
        initials=INITIALS,
    )


FIELDS = ("Serial", "Customer", "Date", "Part temperature", "Room temperature", "Read by", "Checked by")
"""What the head leaves to write in."""


def _pages(title: str) -> Markup:
    """Styles that give each printed page its head: what it is of, its number, a line for the engine's serial."""
    name = json.dumps(title, ensure_ascii=True).replace("<", "\\3c ")
    boxes = {"top-left": name, "top-center": '"Serial ______________"', "top-right": PAGE_OF}
    told = " ".join(f"@{box} {{ content: {content}; font: 7pt sans-serif }}" for box, content in boxes.items())
    return Markup(f"@page {{ margin: 8mm 8mm 6mm; {told} }}")


PAGE_OF = '"page " counter(page) " of " counter(pages)'


def built(sheet: Json, data: Dataset) -> list[tuple[str, str]]:
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


def _line_of(found: list[Asked], data: Dataset) -> Json:
    """A line of the printed sheet: what is measured, with what, its range, and the boxes of its places."""
    line, entries = found[0].line, found[0].entries
    quantity = data.quantities[line.item]
    return {
        "label": quantity["label"],
        "said": ", ".join(_said(line, data)),
        "tools": _tools(entries, data) if entries else FROM_SIZE,
        "measured": bool(entries),
        "caution": quantity["caution"],
        "range": blank.note(line, data),
        "places": [_place(data.place_words(f.line.place), f.entries) for f in found],
    }


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


def _place(name: str, entries: tuple[Entry, ...]) -> dict[str, int]:
    """Names of the boxes of a place with their number, told apart by part, place along it and direction across it."""
    boxes: dict[str, int] = {}
    parts = len({e.part for e in entries})
    for entry in entries:
        words = (name, entry.part if parts > 1 else "", *(c.replace("-", " ") for c in entry.cell))
        told = " ".join(filter(None, words))
        boxes[told] = boxes.get(told, 0) + 1
    return boxes


def _torques(lines: list[Line], data: Dataset) -> Table:
    rows = []
    for line in lines:
        words = blank.joint_words(line, data)
        cells = (words, data.place_words(line.place), line.said["step"], blank.note(line, data))
        rows.append([Markup("<strong>{}</strong>").format(label(line.rows[0], data)), *cells, BOX, ""])
    return table(("Joint", "Which", "Place", "Step", "Torque, page", "Done", "Initials"), rows)
