"""Which rows of the dataset are true for the engine on the bench, at a place, and which questions are open."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from . import asking
from .asking import SIZE, question_words
from .build import STANDARD, UNKNOWN, Build, Size
from .closeness import DETAILS, same_at
from .dataset import Dataset
from .engine_models import MODEL, OTHER, Family
from .here import Here
from .lines import Line, line_key, same_line
from .resolving import admits, decided, of_size, resolved, size_of
from .rows import Row

__all__ = ["NONE", "SIZE", "Answer", "Asked", "Choice", "Said", "choose", "decided", "question_words", "true_for"]

NONE = "none"
"""What a line of a sheet says of a detail where it means the row that names none."""

Said = Mapping[str, str]
"""What a line of a sheet says of its row: `which`, `state`, `method`, `at`, `class`, `purpose`, `thread`, `step`, and
the `part` that was measured."""

_MOST_BUILDS = 2000
_DIRECT = {"strip": "widest-strip", "gap": "widest-gap"}

Outcome = tuple[Line, ...]
"""What a build that answers every question leads to: a line for each detail that a sheet could name."""


@dataclass(frozen=True)
class Answer:
    """An answer to a question, in words, and the lines that may judge when it is given; an empty line is no row."""

    word: str
    label: str
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Asked:
    """A question whose answer separates the rows that remain; `detail` says that a line of the sheet answers it."""

    question: str
    words: str
    answers: tuple[Answer, ...]
    detail: bool = False


@dataclass(frozen=True)
class Choice:
    """Rows that all must hold at a place (the first leads), or the questions that are open, or why there is no row."""

    rows: Line = ()
    asked: tuple[Asked, ...] = ()
    passed_over: tuple[Row, ...] = ()
    why: str = ""

    @property
    def row(self) -> Row | None:
        """The row that leads."""
        return self.rows[0] if self.rows else None

    @property
    def lines(self) -> tuple[Line, ...]:
        """Every line that may judge; an empty one where there may be no row."""
        if not self.asked:
            return (self.rows,)
        return _unlike([line for asked in self.asked for answer in asked.answers for line in answer.lines])


def _unlike(lines: Iterable[Line]) -> tuple[Line, ...]:
    return tuple({line_key(line): line for line in lines}.values())


def choose(data: Dataset, engine: str, build: Build, item: str, position: str, said: Said | None = None) -> Choice:
    """Rows of an item or joint at a position that are true for a build, by the steps of docs/judging.md.

    Raises positions.PositionError for no position, NotInDatasetError for an unknown engine or item.
    """
    here = Here(data, data.family(engine), engine, item, position)
    models = [build.model] if build.model in here.family.models else [*here.family.models, ""]
    there = [r for r in data.rows(engine, item) if any(here.is_at(r, m) for m in models)]
    named = _named(there, said or {}, data)
    rows = _without_open_selections([r for r in named if admits(r, build, here)], build, here)
    found = _outcomes(rows, build, here)
    passed = tuple({r.id: r for _, _, over in found for r in over}.values())
    kinds = _distinct([lines for _, lines, _ in found], data)
    if len(kinds) > 1:
        return Choice((), tuple(_asked(found, here)), passed)
    if len(kinds[0]) > 1 and (column := _untold(kinds[0], said or {})):
        return Choice((), (_detail(column, kinds[0], here, build, said or {}),), passed)
    if kinds[0]:
        return Choice(tuple(r for line in kinds[0] for r in line), (), passed)
    return Choice((), (), passed, _why_none(there, named, rows, build, here))


def true_for(rows: Iterable[Row], data: Dataset, build: Build, *, sizes: bool = True) -> list[Row]:
    """Rows that no answer of the build contradicts; with `sizes`, only rows of the sizes that the build has."""
    found = []
    for row in rows:
        here = Here(data, data.family(row.engine), row.engine, row.item, row["position"])
        if admits(row, build, here) and (not sizes or of_size(row, build, here)):
            found.append(row)
    return found


def _named(rows: Sequence[Row], said: Said, data: Dataset) -> list[Row]:
    """Rows that are not others than the one that a line of a sheet names, those that name its details first."""
    fit = [r for r in rows if _said_fits(r, said, data)]
    for column in DETAILS:
        if said.get(column) and (naming := [r for r in fit if r.cells.get(column)]):
            least = min(len(r[column].split()) for r in naming) if column == "which" else 0
            fit = [r for r in naming if column != "which" or len(r[column].split()) == least]
    return fit


def _said_fits(row: Row, said: Said, data: Dataset) -> bool:
    if row.table == "torques":
        if row["purpose"] != said.get("purpose", "") or row["step"] != said.get("step", row["step"]):
            return False
    else:
        asked = said.get("class", "new")
        if "desired" in (asked, row["class"]) and row["class"] != asked:
            return False
    if not all(_names(row, c, said[c], data) for c in DETAILS if said.get(c)):
        return False
    direct, ways = _DIRECT.get(said.get("part", "")), set(_DIRECT.values())
    other_way = said.get("part") and row.cells.get("method") in ways and row["method"] != direct
    return not (other_way and _twin_by_way(row, data, ways))


def _names(row: Row, column: str, word: str, data: Dataset) -> bool:
    """Whether a row names the word in a column, or nothing there; `none` is for rows that name nothing."""
    cell = row.cells.get(column, "")
    if not cell or word == NONE:
        return not cell
    if column == "at":
        return same_at(word, row, data)
    return word in cell.split() if column == "which" else word == cell


def _twin_by_way(row: Row, data: Dataset, ways: set[str]) -> bool:
    """Whether the same item has a row of another direct way: only then the way of measuring tells rows apart."""
    others = data.rows(row.engine, row.item)
    return any(r["method"] in ways and r["method"] != row["method"] for r in others)


def _without_open_selections(rows: list[Row], build: Build, here: Here) -> list[Row]:
    """Rows less those of a size mark that the build does not tell, where other rows of the build's size remain."""

    def told(row: Row) -> bool:
        asked = here.family.speaks(row).parts
        return all(build.answer(q, here.position, here.family) not in (None, UNKNOWN) for q in asked)

    def fits(row: Row) -> bool:
        return not row.cells.get("size") or (here.size(build) != UNKNOWN and of_size(row, build, here))

    kept = [r for r in rows if r.cells.get("class") != "selective" or told(r)]
    return kept if any(map(fits, kept)) else rows


_Found = tuple[dict[str, str], Outcome, tuple[Row, ...]]


def _outcomes(rows: list[Row], build: Build, here: Here) -> list[_Found]:
    """What each set of answers to the open questions leads to, with the rows that choices.csv passes over."""
    found: list[_Found] = []
    for answers, told in _builds(build, here, _open(rows, build, here), rows):
        found.append((answers, *resolved(rows, told, here)))
        if len(found) == _MOST_BUILDS:
            break
    return found


def _open(rows: list[Row], build: Build, here: Here) -> list[str]:
    """Questions that some row depends on and that the build does not answer."""
    family = here.family
    asked = dict.fromkeys(q for r in rows for q in family.speaks(r).parts)
    found = [q for q in asked if build.answer(q, here.position, family) in (None, UNKNOWN)]
    if build.answer(MODEL, here.position, family) in (None, UNKNOWN) and _by_model(rows, here, found):
        found.insert(0, MODEL)
    if here.size(build) == UNKNOWN and here.repair[0]:
        found.append(SIZE + here.repair[0])
    return found


def _by_model(rows: list[Row], here: Here, asked: Sequence[str]) -> bool:
    """Whether the model tells rows apart: by its documents, by its places, or by a part that it always has."""
    family = here.family
    every = frozenset(family.models)
    if any(not family.speaks(r).models >= every for r in rows):
        return True
    if any(len({here.is_at(r, m) for m in family.models}) > 1 for r in rows):
        return True
    return any(len({family.answers(m).get(q) for m in family.models}) > 1 for q in asked)


def _builds(
    build: Build, here: Here, asked: Sequence[str], rows: Sequence[Row]
) -> Iterator[tuple[dict[str, str], Build]]:
    """Each set of answers to the questions, with the build that has them."""
    if not asked:
        yield {}, build
        return
    question, rest = asked[0], asked[1:]
    for word, told in _told(build, here, question, rows):
        for answers, full in _builds(told, here, rest, rows):
            yield ({question: word} if word else {}) | answers, full


def _told(build: Build, here: Here, question: str, rows: Sequence[Row]) -> Iterator[tuple[str, Build]]:
    family = here.family
    if question.startswith(SIZE):
        part = question.removeprefix(SIZE)
        sizes: dict[Size, None] = dict.fromkeys(size_of(r) for r in rows if r.cells.get("size"))
        for size in (STANDARD, *sizes):
            yield size.text, replace(build, size={**build.size, part: {"all": size}})
        return
    if build.answer(question, here.position, family) not in (None, UNKNOWN):
        yield "", build
        return
    for word in _possible(question, rows, family):
        yield word, build.told(question, word)


def _possible(question: str, rows: Sequence[Row], family: Family) -> Iterable[str]:
    """Answers to a question; those parts that no row here names count as one."""
    if question == MODEL:
        return family.models
    words = family.questions.get(question, (OTHER,))
    named = {p for r in rows for p in family.speaks(r).parts.get(question, ())}
    silent = [w for w in words if w not in named]
    return [w for w in words if w in named or w == silent[0]]


def _distinct(found: Iterable[Outcome], data: Dataset) -> list[Outcome]:
    kinds: list[Outcome] = []
    for lines in found:
        if not any(_same_outcome(lines, k, data) for k in kinds):
            kinds.append(lines)
    return kinds


def _same_outcome(one: Outcome, other: Outcome, data: Dataset) -> bool:
    return len(one) == len(other) and all(any(same_line(a, b, data) for b in other) for a in one)


def _asked(found: Sequence[_Found], here: Here) -> Iterator[Asked]:
    """Questions whose answer changes the outcome, each answer with the lines that it may lead to."""
    for question in dict.fromkeys(q for answers, _, _ in found for q in answers):
        by_word: dict[str, list[Outcome]] = {}
        for answers, lines, _ in found:
            if answers.get(question):
                by_word.setdefault(answers[question], []).append(lines)
        sets = [_distinct(v, here.data) for v in by_word.values()]
        if all(_same_kinds(sets[0], s, here.data) for s in sets[1:]):
            continue
        answers_shown = [
            Answer(w, asking.answer_words(question, w, here), tuple(line for o in v for line in o or ((),)))
            for w, v in zip(by_word, sets, strict=True)
        ]
        yield Asked(question, question_words(question, here.data), tuple(answers_shown))


def _same_kinds(one: list[Outcome], other: list[Outcome], data: Dataset) -> bool:
    return len(_distinct([*one, *other], data)) == len(one) == len(other)


def _untold(lines: Outcome, said: Said) -> str:
    """The first column that tells lines apart and of which the sheet says nothing; empty where there is none."""
    apart = (c for c in DETAILS if not said.get(c) and len({asking.cell(line[0], c) for line in lines}) > 1)
    return next(apart, "")


def _detail(column: str, lines: Outcome, here: Here, build: Build, said: Said) -> Asked:
    """The question that a column's word on the sheet answers."""
    answers = []
    for word, label in asking.detail_answers([line[0] for line in lines], column, here.data):
        choice = choose(here.data, here.engine, build, here.item, here.position, {**said, column: word})
        answers.append(Answer(word, label, choice.lines))
    return Asked(column, asking.DETAIL_WORDS[column], tuple(answers), detail=True)


def _why_none(there: Sequence[Row], named: Sequence[Row], rows: Sequence[Row], build: Build, here: Here) -> str:
    """Why no row is true here, in a sentence."""
    if not there:
        return "no page that was read prints it"
    if not named:
        if here.item in here.data.joints:
            return "the pages print it, but not for the fasteners, thread, purpose or step that the sheet says"
        return "the pages print it, but none as the sheet says that it was measured"
    wanted = here.size(build)
    if rows and isinstance(wanted, Size):
        return f"no page that was read prints it for {wanted.text}"
    return asking.why_not_admitted(named, build, here)
