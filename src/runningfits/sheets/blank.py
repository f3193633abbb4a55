"""Blank bench sheets of one build: what there is to measure, line by line."""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from ..build import UNKNOWN, Build, Size
from ..choosing import NONE, true_for
from ..choosing import Asked as Question
from ..dataset import Dataset
from ..engine_models import MODEL
from ..mating import measured_size
from ..rows import Row, document_words
from ..shown import range_text
from .entries import Asked, asked
from .measuring import SAID, Line, measured, torque_lines
from .tools import Chest

MOST = 500
"""Characters of a note at most."""


@dataclass(frozen=True)
class Work:
    """What there is to measure for a build, each line with its readings, and what there is to tighten."""

    lines: list[Asked]
    joints: list[Line]

    def doubts(self, data: Dataset) -> list[str]:
        """What no page says about whom a document is for, once a document of the lines."""
        found: dict[str, str] = {}
        for row in (r for line in (*(a.line for a in self.lines), *self.joints) for r in line.rows):
            if words := data.family(row.engine).doubt(row):
                found[row["source"]] = f"{document_words(row.cite.number, row.cite.title)}: {words}"
        return list(found.values())


def work(data: Dataset, engine: str, build: Build) -> Work:
    """The work that the rows of a build ask for; raises NotInDatasetError for an unknown engine."""
    return Work(asked(measured(data, engine, build), data, build), torque_lines(data, engine, build))


def blank(
    data: Dataset, engine: str, build: Build | None = None, stage: str = "found", todo: Work | None = None
) -> dict[str, Any]:
    """A sheet with a line for every reading that the rows of a build ask for, in measuring order, values empty.

    A check passes over lines without a value. `todo` is the work of the build, where it is known already. Raises
    NotInDatasetError for an unknown engine.
    """
    build = build or Build()
    named, unit = data.engine(engine), engine_unit(data, engine)
    chest, todo = Chest(data, unit), todo or work(data, engine, build)
    readings = [r for line in todo.lines for r in _readings(line, data, chest, unit)]
    torques = [_torque(line, data, chest) for line in todo.joints]
    model = data.family(engine).label(MODEL, build.model) if build.model not in ("", UNKNOWN) else ""
    said = "; ".join(todo.doubts(data))
    return {
        "engine": engine,
        "title": f"{named['maker']} {model or named['designation']}",
        "note": _short(said),
        "build": build_values(build, data, engine),
        "stage": stage,
        **dict.fromkeys(("serial", "customer", "date", "checked_by", "second_check_by"), ""),
        **dict.fromkeys(("part_temperature", "room_temperature"), ""),
        "materials": dict.fromkeys(_materials(readings, data), ""),
        "decision": "guarded",
        "parts": [{"part": p, "maker": "", "number": ""} for p in _PARTS],
        "instruments": chest.tools,
        "readings": readings,
        "torques": torques,
    }


_PARTS = ("main bearing shells", "rod bearing shells", "piston rings", "pistons", "rod bolts")
"""Parts whose maker and number a record holds."""


def build_values(build: Build, data: Dataset, engine: str) -> dict[str, Any]:
    """The build as a sheet's values; questions that its rows depend on and that it leaves open are `unknown`."""
    family = data.family(engine)
    listed = family.questions
    given = {q: _plain(a) for q, a in build.fitted.items()}
    known = family.answers(build.model or family.only_model)
    rows = true_for((r for r in data.rows(engine) if r.cells.get("class") != "selective"), data, build)
    depends = {q for r in rows for q in family.speaks(r).parts if q in listed}
    opened = {q: UNKNOWN for q in sorted(depends) if q not in given and q not in known}
    sizes = {p: _plain({k: s if isinstance(s, str) else _size(s) for k, s in a.items()}) for p, a in build.size.items()}
    values: dict[str, Any] = {"model": build.model or family.only_model or UNKNOWN}
    values |= {"size": sizes, "fitted": {**given, **opened}, "documents": sorted(build.documents)}
    return {k: v for k, v in values.items() if v}


def _size(size: Size) -> str:
    return f"{size.value:f} {size.unit}" if size.value else "0"


def _plain(answers: Any) -> Any:
    found = dict(answers)
    return found["all"] if list(found) == ["all"] else found


def engine_unit(data: Dataset, engine: str) -> str:
    """The unit of length that most of an engine's rows print first: the scale of its instruments."""
    found = Counter(r["unit"] for r in data.rows(engine) if r["unit"] in ("mm", "in"))
    return found.most_common(1)[0][0] if found else "mm"


def _readings(line: Asked, data: Dataset, chest: Chest, unit: str) -> Iterator[dict[str, str]]:
    row, range_of = line.line.rows[0], note(line.line, data)
    with_forms = "; ".join([range_of, *(_gives(f, data) for f in line.gives)])
    for entry in line.entries:
        place, direction = entry.cell
        yield {
            "item": line.line.item,
            "position": line.line.place,
            "part": entry.part,
            **({"place": place} if place else {}),
            **({"direction": direction} if direction else {}),
            "value": "",
            **({"to": ""} if entry.by_leaves else {}),
            "unit": row["unit"] if data.units[row["unit"]].dimension != "length" else unit,
            "instrument": chest.take(entry.tool, entry.set_on),
            **line.line.said,
            "note": _short(with_forms if entry == line.entries[0] else range_of),
        }


def _gives(form: Line, data: Dataset) -> str:
    return f"gives {data.quantities[form.item]['label'].lower()}: {note(form, data)}"


def _short(text: str) -> str:
    """A text that fits the field of a note."""
    return text if len(text) <= MOST else text[: MOST - 2].rpartition(" ")[0] + " …"


def _materials(readings: Iterable[dict[str, str]], data: Dataset) -> list[str]:
    """Sizes that the readings measure and whose usual material is known: the sheet asks for it."""
    sizes = dict.fromkeys(measured_size(r["item"], r["part"], data) for r in readings)
    return [s for s in sizes if s and data.quantities[s]["material"]]


def note(line: Line, data: Dataset) -> str:
    """Range, limit and pages of a line in words, or the question that is open with what each answer leads to."""
    if line.choice.asked:
        return " ".join(_question(a, data) for a in line.choice.asked)
    return " and ".join(_range(row, data) for row in line.choice.rows)


def _question(asked: Question, data: Dataset) -> str:
    answers = []
    for answer in asked.answers:
        ranges = dict.fromkeys(" and ".join(_range(r, data) for r in li) or "no range" for li in answer.lines)
        answers.append(f"{answer.label}: {' or '.join(ranges) or 'no range'}")
    return f"{asked.words} {' · '.join(answers)}."


def _range(row: Row, data: Dataset) -> str:
    """A row in words: range, limit, thread, pages, what was done to choose it; not the doubt of its document."""
    values, limit = range_text(row, data)
    values = "loosen: write 0" if row.cells.get("action") == "loosen" else values
    pages = ", ".join(dict.fromkeys(c.text for c in (row.cite, *row.also)))
    doubt = data.family(row.engine).doubt(row)
    marks = [m for m in row.marks if m != doubt]
    words = (values, f"limit {limit}" if limit else "", row.cells.get("thread_state", ""), pages, *marks)
    return "; ".join(filter(None, words))


def joint_words(line: Line, data: Dataset) -> str:
    """What tells a torque line from others of its joint and place, in words; empty where nothing does."""
    row, known = line.rows[0], data.keyed("positions")
    which = line.said.get("which", "")
    label = "the others" if which == NONE else known[which]["label"] if which else ""
    return ", ".join(filter(None, (label, row["thread"], data.purpose_words(row))))


def _tightened_with(line: Line, data: Dataset) -> str:
    """The class of instrument of a torque line: a stretch is measured with a micrometer."""
    unit = line.rows[0]["unit"]
    return "outside-micrometer" if unit and data.units[unit].dimension == "length" else "torque-wrench"


def _torque(line: Line, data: Dataset, chest: Chest) -> dict[str, Any]:
    return {
        "joint": line.item,
        "position": line.place,
        "step": int(line.said["step"]),
        "value": "",
        "unit": line.rows[0]["unit"] or "N.m",
        "instrument": chest.take(_tightened_with(line, data)),
        "note": _short(": ".join(filter(None, (joint_words(line, data), note(line, data))))),
        **{k: line.said[k] for k in SAID[:3] if k in line.said},
        **({"thread_state": ""} if any(r["thread_state"] for r in line.rows) else {}),
    }
