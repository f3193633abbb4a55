"""Blank bench sheets of one build: what there is to measure, line by line."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from .. import positions
from ..build import UNKNOWN, Build, Size
from ..choosing import Choice, choose, decided, true_for
from ..dataset import Dataset
from ..engine_models import MODEL
from ..rows import Row
from ..shown import range_text
from . import tools

TWICE = 2
"""How often a blank sheet asks for a reading: a second one shows the hand's own spread."""


@dataclass(frozen=True)
class Line:
    """Something to measure at a place: the item, what tells it from others there, and the rows or the open question."""

    item: str
    place: str
    said: dict[str, str]
    choice: Choice

    @property
    def rows(self) -> tuple[Row, ...]:
        """Rows that judge it, or those between which a question is open."""
        return tuple(r for line in self.choice.lines for r in line)


def blank(data: Dataset, engine: str, build: Build | None = None, stage: str = "found") -> dict[str, Any]:
    """A sheet with a line for every reading that the rows of a build ask for, in measuring order, values empty.

    A check passes over lines without a value. Raises NotInDatasetError for an unknown engine.
    """
    build = build or Build()
    named = data.engine(engine)
    unit = engine_unit(data, engine)
    lines = measured(data, engine, build)
    readings = [r for line in lines for r in _readings(line, data, build, unit)]
    torques = list(_torques(data, engine, build))
    classes = list(dict.fromkeys(r["instrument"].removesuffix("-1") for r in (*readings, *torques)))
    model = data.family(engine).label(MODEL, build.model) if build.model not in ("", UNKNOWN) else ""
    return {
        "engine": engine,
        "title": f"{named['maker']} {model or named['designation']}",
        "build": build_values(build, data, engine),
        "stage": stage,
        **dict.fromkeys(("serial", "customer", "date", "checked_by", "second_check_by"), ""),
        "part_temperature": "",
        "decision": "guarded",
        "parts": [{"part": p, "maker": "", "number": ""} for p in _PARTS],
        "instruments": [tools.blank(c, data, unit, classes) for c in classes],
        "readings": readings,
        "torques": torques,
    }


_PARTS = ("main bearing shells", "rod bearing shells", "piston rings", "pistons", "rod bolts")
"""Parts whose maker and number a record holds."""


def build_values(build: Build, data: Dataset, engine: str) -> dict[str, Any]:
    """The build as a sheet's values; questions that its rows depend on and that it leaves open are `unknown`."""
    family = data.family(engine)
    asked = family.questions
    given = {q: _plain(a) for q, a in build.fitted.items()}
    known = family.answers(build.model or family.only_model)
    rows = true_for((r for r in data.rows(engine) if r.cells.get("class") != "selective"), data, build)
    depends = {q for r in rows for q in family.speaks(r).parts if q in asked}
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


def measured(data: Dataset, engine: str, build: Build) -> list[Line]:
    """What to measure for a build, in measuring order."""
    rows, _ = decided([r for r in data.rows(engine) if r.table != "torques"], data)
    there = [r for r in true_for(rows, data, build) if r["class"] != "desired"]
    spots: dict[tuple[str, str], None] = {}
    for row in sorted(there, key=lambda r: (int(data.quantities[r.item]["order"]), r.item, _place_rank(r["position"]))):
        spots |= {(row.item, place): None for place in places(row, data, build)}
    found = [line for item, place in spots for line in _lines(data, engine, build, item, place)]
    return [line for line in found if line.rows]


def _place_rank(position: str) -> tuple[int, str]:
    return (0 if position == "all" else 1, position)


def _lines(data: Dataset, engine: str, build: Build, item: str, place: str) -> Iterator[Line]:
    """Lines of an item at a place: one for each thing that a reading itself would have to name."""
    todo: list[dict[str, str]] = [{}]
    while todo:
        said = todo.pop(0)
        choice = choose(data, engine, build, item, place, said)
        asked = choice.asked[0] if choice.asked else None
        if asked and asked.detail and asked.question not in said:
            todo += [{**said, asked.question: a.word} for a in asked.answers if a.word]
        else:
            yield Line(item, place, said, choice)


def tightened(data: Dataset, engine: str, build: Build | None = None) -> list[Row]:
    """Steps to tighten for a build in the order of the dataset, the passed-over rows of choices.csv left out."""
    rows, _ = decided(data.all_rows(engine, "torques"), data)
    return true_for(rows, data, build or Build())


def places(row: Row, data: Dataset, build: Build) -> list[str]:
    """Places to measure for a row: each number where they are known, else the row's own position."""
    model = build.model if build.model in data.family(row.engine).models else None
    count = data.count(row.engine, row.item, model)
    if row["position"] == "all":
        return [str(n) for n in range(1, count + 1)] if count else ["all"]
    found = positions.places(row["position"], count)
    return [str(n) for n in found] if found else [row["position"]]


def _readings(line: Line, data: Dataset, build: Build, unit: str) -> Iterator[dict[str, str]]:
    quantity = data.quantities[line.item]
    row = line.rows[0]
    for part, kind, size in _parts(quantity, row, data, build):
        tool = tools.of_size(kind, size, data)
        reading = {
            "item": line.item,
            "position": line.place,
            "part": part,
            "value": "",
            "unit": row["unit"] if data.units[row["unit"]].dimension != "length" else unit,
            "instrument": f"{tool}-1",
            **line.said,
            "note": note(line, data)[:500],
        }
        yield from (dict(reading) for _ in range(TWICE))


def note(line: Line, data: Dataset) -> str:
    """Range, limit and pages of a line in words, or the question that is open."""
    if line.choice.asked:
        return " ".join(a.words for a in line.choice.asked)
    found = []
    for row in line.choice.rows:
        values, limit = range_text(row, data)
        pages = ", ".join(dict.fromkeys(c.text for c in (row.cite, *row.also)))
        found.append("; ".join(filter(None, (values, f"limit {limit}" if limit else "", pages, *row.marks))))
    return " and ".join(found)


def _parts(quantity: dict[str, str], row: Row, data: Dataset, build: Build) -> list[tuple[str, str, Fraction | None]]:
    """Part, instrument and size in metres of each reading of a quantity."""
    if quantity["outer"] and quantity["kind"] == "clearance":
        sides = (("bore", quantity["outer"].split()[0]), ("shaft", quantity["inner"].split()[0]))
        found = [(part, data.quantities[q]["instrument"], _usual_size(q, row, data, build)) for part, q in sides]
        known = next((s for _, _, s in found if s), None)
        return [(part, kind, size or known) for part, kind, size in found]
    if quantity["kind"] == "size":
        part = "bore" if quantity["limit_side"] == "upper" else "shaft"
        return [(part, quantity["instrument"], middle(row, data))]
    return [("gap", quantity["instrument"], None)]


def _usual_size(quantity: str, row: Row, data: Dataset, build: Build) -> Fraction | None:
    """Size in metres of the part that a quantity measures, from a row of the engine."""
    rows = true_for((r for r in data.rows(row.engine, quantity)), data, build)
    return next((s for r in rows if (s := middle(r, data))), None)


def middle(row: Row, data: Dataset) -> Fraction | None:
    """The middle of a row's range, or the end that it prints, in SI units."""
    ends: list[Decimal] = [v for v in (*row.range(), row.value("nominal")) if v is not None]
    ends = ends or [v for v in (row.value("limit"),) if v is not None and row["limit_as"] != "wear"]
    if not ends:
        return None
    return sum(map(Fraction, ends), Fraction()) / len(ends) * data.units[row["unit"]].factor


def _torques(data: Dataset, engine: str, build: Build) -> Iterator[dict[str, Any]]:
    for row in tightened(data, engine, build):
        values, _ = range_text(row, data)
        values = "loosen: write 0" if row["action"] == "loosen" else values
        note = "; ".join(filter(None, (values, row["thread_state"], row.cite.text)))
        line = {
            "joint": row.item,
            "position": row["position"],
            "step": int(row["step"]),
            "value": "",
            "unit": row["unit"] or "N.m",
            "instrument": "torque-wrench-1",
            "note": note[:500],
        }
        yield (
            line
            | {k: row[k].split()[0] for k in ("which", "purpose") if row[k]}
            | ({"thread": row["thread"]} if row["thread"] else {})
        )
