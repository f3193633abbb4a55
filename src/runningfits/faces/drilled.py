"""A drill as people see it: the table to fill in, the page to print, the key with its reasons, the marks."""

import csv
import io
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from ..cautions import CAUTIONS
from ..dataset import Dataset
from ..judging.teaching.exercise import Answer, Drill, Task
from ..judging.teaching.inventing import CALLS, OPEN
from ..judging.teaching.marking import COLUMNS, Mark
from ..sheets.vocabulary import tool_words
from . import row_words, templating, words
from .pieces import table

ASKED = (
    f"Call: {', '.join(CALLS[:-1])} or {CALLS[-1]}. Read again: yes, where a reading cannot be right and must be taken "
    "again before anything is said. Good is what may stay as it is: new, or worn inside the limit."
)
"""What the apprentice is to do."""

Json = dict[str, Any]


def title(drill: Drill, seed: str) -> str:
    """A drill's name."""
    return f"Drill {seed}: {drill.result.sheet['title']}"


def cells(drill: Drill) -> list[list[str]]:
    """Cells of COLUMNS of each place, the answers empty."""
    return [_cells(n, t, r, drill) for n, (t, r) in enumerate(_results(drill), 1)]


def csv_text(drill: Drill) -> str:
    """The table to fill in, as CSV that a spreadsheet opens."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\r\n").writerows([COLUMNS, *cells(drill)])
    return "\ufeff" + text.getvalue()


def page(drill: Drill, seed: str) -> str:
    """The table as a page to print."""
    name = title(drill, seed)
    return templating.page(
        "drill.html",
        title=name,
        fields={
            "Engine": drill.result.sheet["title"],
            "Data": f"Running Fits {drill.result.data.version}",
            "Name": "",
            "Date": "",
        },
        asked=ASKED,
        invented=INVENTED,
        cautions=CAUTIONS,
        table=table(COLUMNS, cells(drill), "sheet"),
    )


INVENTED = (
    "All readings are invented; the ranges and pages are real. Parts at 20 °C, instruments as their class allows."
)


def key_lines(drill: Drill) -> Iterator[str]:
    """The key: what a good apprentice says of each place, and why."""
    for number, (task, result) in enumerate(_results(drill), 1):
        yield f"{number} {result['label']}, {words.place(result)}: {answer_words(task.answer)}"
        yield from (f"    {line}" for line in reasons(task, result))


def mark_lines(drill: Drill, marks: Sequence[Mark]) -> Iterator[str]:
    """Each answer marked, the wrong ones with what was to be said and why; last how many are right."""
    for number, (mark, (task, result)) in enumerate(zip(marks, _results(drill), strict=True), 1):
        name = f"{number} {result['label']}, {words.place(result)}"
        if mark.right:
            yield f"{name}: right"
            continue
        said = f'wrong, "{answer_words(mark.said)}"' if mark.said else "no answer"
        yield f"{name}: {said}; it is: {answer_words(task.answer)}"
        yield from (f"    {line}" for line in reasons(task, result))
    yield f"{sum(m.right for m in marks)} of {len(marks)} right"


def key_values(drill: Drill) -> list[Json]:
    """The key as JSON values, a place each."""
    return [
        {
            "number": number,
            "item": result["item"],
            "label": result["label"],
            "place": words.place(result),
            "answer": _answer_values(task.answer),
            "reasons": reasons(task, result),
        }
        for number, (task, result) in enumerate(_results(drill), 1)
    ]


def mark_values(drill: Drill, marks: Sequence[Mark]) -> Json:
    """The marks as JSON values: each place of the key with what was said, and how many are right."""
    places = [
        key | {"said": _answer_values(m.said) if m.said else None, "right": m.right}
        for key, m in zip(key_values(drill), marks, strict=True)
    ]
    return {"right": sum(m.right for m in marks), "places": places}


def _answer_values(answer: Answer) -> Json:
    return {"call": answer.call, "read_again": answer.again}


def answer_words(answer: Answer) -> str:
    """An answer in words."""
    return "read again" if answer.again else answer.call or "no call"


def reasons(task: Task, result: Json) -> list[str]:
    """Why a place is what it is: what was planted, what the judge says of it."""
    seen = [f"{words.value_words(result)}: {words.verdict_words(result)}"] if result["value"] else []
    seen += words.suspected_lines(result) or ([result["needs"]] if result["needs"] else [])
    planted = [f"planted: {task.plant.slip}"] if task.plant.slip else []
    if task.answer == Answer(OPEN, False):
        planted = ["planted: the true value lies on the end itself"]
    return [*planted, *seen, f"by the book {_book(result)} [{result['cite']['text']}]"]


def _results(drill: Drill) -> list[tuple[Task, Json]]:
    """Places with the judge's result as JSON values."""
    values = drill.result.as_dict()["results"]
    named = {(r["item"], r["position"], tuple(sorted(r["says"].items()))): r for r in values if not r["derived"]}
    return [(t, named[t.plant.key]) for t in drill.tasks]


def _cells(number: int, task: Task, result: Json, drill: Drill) -> list[str]:
    read = "; ".join(_readings(task.plant.readings, drill.result.data))
    known = (result["label"], words.place(result), read, _book(result), result["cite"]["text"])
    return [str(number), *known, "", ""]


def _book(result: Json) -> str:
    return row_words.starred_range(result["range"])


def _readings(readings: Sequence[Json], data: Dataset) -> Iterator[str]:
    """Readings in words, those of one part, unit and instrument together."""
    for (part, unit, tool), group in groupby(readings, lambda r: (r["part"], r["unit"], r["instrument"])):
        spots = "; ".join(_at_spot(spot, list(read)) for spot, read in groupby(group, _spot))
        yield f"{part}: {spots} {unit} ({tool_words(tool, data)})"


def _spot(r: Json) -> str:
    return ", ".join(r[k].replace("-", " ") for k in ("place", "direction") if r.get(k))


def _at_spot(spot: str, readings: list[Json]) -> str:
    """The readings of one spot of a part."""
    values = ", ".join(f"{r['value']} to {r['to']}" if "to" in r else r["value"] for r in readings)
    return f"{spot} {values}".strip()
