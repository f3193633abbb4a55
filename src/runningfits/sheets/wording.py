"""Words of a bench sheet: read as people write them, and written as labels for people to read."""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from typing import Any

from ..build import UNKNOWN
from ..dataset import Dataset
from ..engine_models import MODEL
from ..near import Words, key
from ..numerals import shown
from .faults import SheetFault, Step
from .placed import Sheet
from .vocabulary import Vocabulary, tool_words, unit_word

Turn = Callable[[str, str, list[Step]], str]
"""What a word of a kind of list at a path of the sheet becomes."""

FIELDS = {"engine": "engine", "stage": "stage", "decision": "decision", "guides": "guide", "honing_unit": "unit"}
TOOL = {"id": "tool", "instrument": "class", "unit": "unit", "set_on": "tool"}
READING = {
    "item": "quantity",
    "position": "place",
    "part": "part",
    "place": "spot",
    "direction": "spot",
    "unit": "unit",
    "instrument": "tool",
    "which": "which",
    "state": "state",
    "method": "method",
    "class": "range",
    "material": "material",
}
TORQUE = {
    "joint": "joint",
    "position": "place",
    "unit": "unit",
    "instrument": "tool",
    "which": "which",
    "purpose": "purpose",
    "thread": "screw",
    "thread_state": "thread",
}
TABLES = {"instruments": TOOL, "readings": READING, "torques": TORQUE}
"""Which closed list each field is of, by table."""


def turned(values: dict[str, Any], turn: Turn) -> dict[str, Any]:
    """A sheet's values with every word of a closed list turned; what is no text stays as it is."""
    found = {k: turn(FIELDS[k], v, [k]) if k in FIELDS and isinstance(v, str) else v for k, v in values.items()}
    for table, kinds in TABLES.items():
        if isinstance(lines := values.get(table), list):
            found[table] = [_line(line, kinds, [table, n], turn) for n, line in enumerate(lines)]
    if isinstance(build := values.get("build"), dict):
        found["build"] = _build(build, turn)
    if isinstance(named := values.get("materials"), dict):
        found["materials"] = _answers(named, "quantity", ["materials"], lambda _: "material", turn)
    return found


def _line(line: Any, kinds: Mapping[str, str], path: list[Step], turn: Turn) -> Any:
    if not isinstance(line, dict):
        return line
    return {k: turn(kinds[k], v, [*path, k]) if k in kinds and isinstance(v, str) else v for k, v in line.items()}


def _build(build: dict[str, Any], turn: Turn) -> dict[str, Any]:
    found = dict(build)
    if isinstance(build.get("model"), str):
        found["model"] = turn(MODEL, build["model"], ["build", "model"])
    for name, kind, of in (("fitted", "question", "answer {}"), ("size", "repair", "size")):
        if isinstance(given := build.get(name), dict):
            found[name] = _answers(given, kind, ["build", name], of.format, turn)
    if isinstance(listed := build.get("documents"), list):
        at: list[Step] = ["build", "documents"]
        found["documents"] = [turn("document", d, [*at, n]) if isinstance(d, str) else d for n, d in enumerate(listed)]
    return found


def _answers(
    given: dict[str, Any], kind: str, path: list[Step], of: Callable[[str], str], turn: Turn
) -> dict[str, Any]:
    """Answers by question, one for all places or one a place; the question names the list of its answers."""
    found: dict[str, Any] = {}
    for question, answer in given.items():
        word, at = turn(kind, str(question), [*path, question]), [*path, question]
        if isinstance(answer, dict):
            found[word] = {
                turn("place", str(p), [*at, p]): turn(of(word), a, [*at, p]) if isinstance(a, str) else a
                for p, a in answer.items()
            }
        else:
            found[word] = turn(of(word), answer, at) if isinstance(answer, str) else answer
    return found


def _again(values: dict[str, Any], known: Vocabulary) -> Iterator[tuple[list[Step], tuple[str, str]]]:
    """Answers of a build that stand for the same as another one: where, and what was found and expected there."""
    build = values.get("build")
    for name, kind in (("fitted", "question"), ("size", "repair")):
        given = build.get(name) if isinstance(build, dict) else None
        if isinstance(given, dict):
            yield from _twice(given, kind, ["build", name], known)
            for question, answer in given.items():
                if isinstance(answer, dict):
                    yield from _twice(answer, "place", ["build", name, question], known)


def _twice(
    given: dict[str, Any], kind: str, path: list[Step], known: Vocabulary
) -> Iterator[tuple[list[Step], tuple[str, str]]]:
    first: dict[str, str] = {}
    for text, answer in given.items():
        word = _word(kind, str(text), known)[0]
        if word in first:
            other = first[word]
            told = f"{shown(str(text))} with {_said(answer)}", f"one answer: {shown(other)} has {_said(given[other])}"
            yield [*path, text], told
        first.setdefault(word, text)


def _said(answer: Any) -> str:
    return shown(answer) if isinstance(answer, str) else "answers of its own"


def read(sheet: Sheet, data: Dataset) -> tuple[Sheet, list[SheetFault]]:
    """A sheet with the dataset's own words where exactly one is meant, and a fault for each that is none."""
    if not isinstance(sheet.values, dict):
        return sheet, []
    faults: list[SheetFault] = []
    engine = sheet.values.get("engine")
    known = Vocabulary(data, _family(engine, data) if isinstance(engine, str) else "")

    def turn(kind: str, text: str, path: list[Step]) -> str:
        word, expected = _word(kind, text, known)
        if expected and kind == "which" and known.family:
            expected = known.which_of(_thing(sheet.values, path, known), text)
        if expected:
            faults.append(SheetFault(sheet.place(path), shown(text), expected))
        return word

    faults += [SheetFault(sheet.place(path), *told) for path, told in _again(sheet.values, known)]
    joints = known.words("joint")
    left = frozenset(filter(None, map(joints.meant, sheet.left_joints))) if joints else frozenset()
    items = known.words("quantity")
    meant = [(items.meant(item), _place(place, known)[0]) for item, place in sheet.empty] if items else []
    empty = tuple(dict.fromkeys((item, place) for item, place in meant if item))
    return replace(sheet, values=turned(sheet.values, turn), empty=empty, left_joints=left), faults


def _family(engine: str, data: Dataset) -> str:
    """The engine family that a sheet names; empty where it names none."""
    return engine if engine in data.engines else data.engine_words.meant(engine) or ""


def _thing(values: dict[str, Any], path: list[Step], known: Vocabulary) -> str:
    """The quantity or joint of which a line of the sheet speaks."""
    table, number = path[:2]
    line = values[str(table)][number]
    kind, field = ("joint", "joint") if table == "torques" else ("quantity", "item")
    words, text = known.words(kind), line.get(field)
    return (words.meant(text) if words and isinstance(text, str) else None) or ""


def _word(kind: str, text: str, known: Vocabulary) -> tuple[str, str]:
    """The word that is meant, and what was expected where none is."""
    own = {"tool": tool_id, "spot": lambda t, _: _hyphened(t), "size": size, "unit": _unit}
    if kind in own:
        return own[kind](text, known), ""
    if kind == "place":
        return _place(text, known)
    words = known.words(kind)
    if words is None:
        return text, ""
    word = words.meant(text)
    return (word, "") if word is not None else (text, words.expected(text))


def tool_id(text: str, known: Vocabulary) -> str:
    """The id of an instrument on its sheet, from the id or from what is shown for it."""
    classes = known.words("class")
    named = re.fullmatch(r"(.+?),? no\. ?(\d{1,4})", text.strip(), re.DOTALL)
    word = classes.meant(named[1]) if named and classes else None
    return f"{word}-{named[2]}" if word and named else _hyphened(text)


def _unit(text: str, known: Vocabulary) -> str:
    units = known.words("unit")
    return (unit_word(text, units) if units else None) or text


def _hyphened(text: str) -> str:
    """A name of the sheet's own in small letters, its words joined by hyphens; as it is where it has no such form."""
    plain = re.sub(r"[ _-]+", "-", text.strip().lower())
    return plain if re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", plain) else text


def size(text: str, known: Vocabulary) -> str:
    """A repair size such as `-0.25 mm` from `-0,25mm`, `-.010"` or `Standard`; as it is where it is none."""
    if key(text) in ("unknown", "standard", "std"):
        return UNKNOWN if key(text) == UNKNOWN else "standard"
    found = re.fullmatch(r"([+\u2212-]?)(\d*)(?:\.(\d+)|(?<=0),(\d+))?\s*(\D*)", text.strip(), re.ASCII)
    if not found or not (found[2] or found[3]):
        return text
    units = known.words("unit")
    digits = found[3] or found[4] or ""
    number = f"{found[1].replace(chr(0x2212), '-')}{found[2] or '0'}{'.' if digits else ''}{digits}"
    unit = unit_word(found[5], units) if found[5] and units else ""
    return text if unit is None else f"{number} {unit}".strip()


def _place(text: str, known: Vocabulary) -> tuple[str, str]:
    """A place such as `3/top-ring` from `3/top ring` or `3, top ring`; numbers and spans as they are."""
    named = known.words("named place")
    if named is None or re.fullmatch(r"[\d, -]+", text, re.ASCII):
        return text.replace(" ", ""), ""
    found = []
    for part in re.split(r" *[/,] *", text):
        word = part if part.isascii() and part.isdigit() else named.meant(part)
        if word is None:
            return text, _place_words(part, named)
        found.append(word)
    return "/".join(found), ""


def _place_words(part: str, named: Words) -> str:
    if re.fullmatch(r"\d+ ?[LRlr]|[LRlr] ?\d+", part):
        return "a place such as 3: the cylinders are numbered through, without their bank"
    near = named.nearest(part)
    also = f"; {named.expected(part)}" if near and not re.search(r"\d", part) else ""
    return f"a place such as 3, rear or 3/top ring{also}"


def labelled(sheet: dict[str, Any], data: Dataset) -> dict[str, Any]:
    """A sheet's values with labels for words, for people to read; `read` gives the words back."""
    known = Vocabulary(data, str(sheet.get("engine", "")))

    def turn(kind: str, text: str, _: list[Step]) -> str:
        return text if not text else _label(kind, text, known)

    return turned(sheet, turn)


def in_words(values: dict[str, Any], data: Dataset) -> dict[str, Any]:
    """A sheet's values in the dataset's own words, those that are none as they are."""
    return dict(read(Sheet(values, lambda p: ("", 0, "")), data)[0].values)


def _label(kind: str, text: str, known: Vocabulary) -> str:
    if kind == "tool":
        return tool_words(text, known.data)
    if kind == "spot":
        return text.replace("-", " ")
    if kind == "place":
        named = known.words("named place")
        return "/".join(_unique(p, named) for p in text.split("/")) if named else text
    words = known.words(kind)
    return _unique(text, words) if words and kind != "unit" else text


def _unique(word: str, words: Words) -> str:
    """A word's label, or itself where its label does not lead back to it."""
    label = words.label(word)
    return label if word in words.names and words.meant(label) == word else word
