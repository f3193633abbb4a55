"""Questions to the builder and their answers, in words."""

from collections.abc import Sequence

from .build import UNKNOWN, Build
from .dataset import Dataset
from .engine_models import MODEL
from .here import Here
from .rows import Row

SIZE = "size of "
"""How the question for a repair size begins."""

DETAIL_WORDS = {
    "which": "Which of them was it?",
    "thread": "Which thread has it?",
    "state": "In what state was it measured?",
    "method": "How was it measured?",
    "at": "Where was it measured, or under what load?",
}
"""Questions that a line of a sheet answers itself, by its column."""


def question_words(question: str, data: Dataset) -> str:
    """A question to the builder in words."""
    if question == MODEL:
        return "Which model is it?"
    if question.startswith(SIZE):
        return f"To what size is the {data.repair_words(question.removeprefix(SIZE))} machined?"
    asked = data.keyed("questions")
    return asked[question]["ask"] if question in asked else f"Which {question.replace('-', ' ')}?"


def answer_words(question: str, word: str, here: Here) -> str:
    """An answer to a question about the build, in words."""
    return word if question.startswith(SIZE) else here.family.label(question, word)


def cell(row: Row, column: str) -> str:
    """What a row says of a detail."""
    return f"{row['at']} {row['at_unit']}".strip() if column == "at" else row.cells.get(column, "")


def detail_answers(rows: Sequence[Row], column: str, data: Dataset) -> list[tuple[str, str]]:
    """Words that a line of a sheet may say in a column to tell rows apart, each with its label."""
    found: dict[str, str] = {}
    for row in rows:
        text = cell(row, column)
        for word in (text.split() if column == "which" else [text]) if text else ["none"]:
            found.setdefault(word, _detail_label(word, column, data))
    return list(found.items())


def _detail_label(word: str, column: str, data: Dataset) -> str:
    if word == "none":
        return "none of these"
    table = {"which": "positions", "state": "states", "method": "methods"}.get(column)
    listed = data.keyed(table) if table else {}
    label = listed[word].get("label") if word in listed else ""
    return label or (f"at {word}" if column == "at" else word.replace("-", " ") if table else word)


def why_not_admitted(rows: Sequence[Row], build: Build, here: Here) -> str:
    """Whom the pages that print it are for, in a sentence: the models, of rows for this model the fitted parts."""
    family = here.family
    model = build.answer(MODEL, here.position, family)
    models: set[str] = set()
    parts: set[str] = set()
    for row in rows:
        speaks = family.speaks(row)
        if model in family.models and model not in speaks.models:
            models |= {family.models[m].label for m in speaks.models}
        else:
            parts |= {_contradicted(row, build, here)} - {""}
    whom = sorted(parts) or sorted(models)
    listed = "; ".join(whom[:4]) + (" and others" if len(whom) > 4 else "")
    return f"the pages that print it are for {listed}" if listed else "no page that was read prints it"


def _contradicted(row: Row, build: Build, here: Here) -> str:
    """The parts of a row that an answer of the build contradicts, in words."""
    family = here.family
    found = []
    for question, words in family.speaks(row).parts.items():
        answer = build.answer(question, here.position, family)
        if answer not in (None, UNKNOWN, *words):
            found += [family.label(question, w) for w in sorted(words)]
    return ", ".join(found)
