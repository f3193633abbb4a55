"""Which rows of the dataset are true for the engine on the bench, at a place."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from . import numerals, positions
from .build import STANDARD, UNKNOWN, Build, Size, same_size
from .dataset import Dataset
from .engine_models import MODEL, OTHER, Family
from .lines import DETAILS, alike, detail_of, equal, printed_ends, shifted, with_ends
from .rows import Row

SIZE = "size of "
"""How the question for a repair size begins."""

_MOST_BUILDS = 400
_DIRECT = {"strip": "widest-strip", "gap": "widest-gap"}

Said = dict[str, str]
"""What a reading says of its row: `which`, `state`, `method`, `at`, `class`, and the `part` that was measured."""


@dataclass(frozen=True)
class Answer:
    """An answer to a question, in words, and the rows that judge when it is given."""

    word: str
    label: str
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Asked:
    """A question whose answer separates the rows that remain."""

    question: str
    words: str
    answers: tuple[Answer, ...]


@dataclass(frozen=True)
class Choice:
    """Rows that all must hold at a place (the first leads), or the questions that are open, or why there is no row."""

    rows: tuple[Row, ...] = ()
    asked: tuple[Asked, ...] = ()
    passed_over: tuple[Row, ...] = ()
    why: str = ""

    @property
    def row(self) -> Row | None:
        """The row that leads."""
        return self.rows[0] if self.rows else None


@dataclass(frozen=True)
class Here:
    """An item at a place of an engine."""

    data: Dataset
    family: Family
    engine: str
    item: str
    position: str

    @property
    def repair(self) -> tuple[str, str]:
        """The machined part that moves this item's size, and by what share; empty where none does."""
        quantity = self.data.quantities.get(self.item, {})
        return quantity.get("repair", ""), quantity.get("share", "")

    def size(self, build: Build) -> Size | str:
        """The repair size that the build tells for this item here; `unknown` where it tells none for sure."""
        part = self.repair[0]
        if not part:
            return STANDARD
        found = build.size_of(part, self.position)
        own = self.data.counted_by(self.item)
        there = self.data.repair_parts.get(part, "")
        uneven = len({_plain_size(s) for s in build.size.get(part, {}).values()}) > 1
        if uneven and own and there and own != there and self._count(own, build) != self._count(there, build):
            return UNKNOWN
        return found

    def _count(self, column: str, build: Build) -> int | None:
        return self.family.count(column, [build.model] if build.model else ())


def _plain_size(size: Size | str) -> object:
    return size if isinstance(size, str) else (size.value, size.unit if size.value else "")


def choose(data: Dataset, engine: str, build: Build, item: str, position: str, said: Said | None = None) -> Choice:
    """Rows of an item at a position that are true for a build, by the steps of docs/judging.md.

    Raises positions.PositionError for no position, NotInDatasetError for an unknown engine or item.
    """
    here = Here(data, data.family(engine), engine, item, position)
    there = [r for r in data.rows(engine, item, position, build.model or None) if r.table != "torques"]
    rows, passed = decided(there, data)
    rows = [r for r in rows if _said_fits(r, said or {}, data)]
    if not rows:
        return Choice(passed_over=passed, why=_why_none(there, build, here))
    found = _outcomes(rows, build, here, said or {})
    kinds = _distinct([o for _, o in found])
    if len(kinds) > 1:
        return Choice((), tuple(_asked(found, here)), passed)
    lines = kinds[0]
    if len(lines) > 1:
        return Choice((), (_detail(lines, data),), passed)
    return Choice(lines[0], (), passed) if lines else Choice((), (), passed, _why_none(rows, build, here))


def true_for(rows: Iterable[Row], data: Dataset, build: Build, *, sizes: bool = True) -> list[Row]:
    """Rows that no answer of the build contradicts; with `sizes`, only rows of the sizes that the build has."""
    found = []
    for row in rows:
        here = Here(data, data.family(row.engine), row.engine, row.item, row["position"])
        if _admits(row, build, here) and (not sizes or _of_size(row, build, here)):
            found.append(row)
    return found


def decided(rows: Sequence[Row], data: Dataset) -> tuple[list[Row], tuple[Row, ...]]:
    """Rows less those that a line of choices.csv passes over for another of them, and those."""
    ids = {r.id for r in rows}
    over = {c["over"] for c in data.table("choices") if c["row"] in ids and c["over"] in ids}
    return [r for r in rows if r.id not in over], tuple(r for r in rows if r.id in over)


def _said_fits(row: Row, said: Said, data: Dataset) -> bool:
    """Whether a row is not another than the one that a reading names by its own columns."""
    asked = said.get("class", "new")
    if "desired" in (asked, row["class"]) and row["class"] != asked:
        return False
    if said.get("which") and row["which"] and said["which"] not in row["which"].split():
        return False
    if said.get("at") and not _same_at(row, said, data):
        return False
    if any(said.get(c) and row[c] and said[c] != row[c] for c in ("state", "method")):
        return False
    direct = _DIRECT.get(said.get("part", ""))
    ways = set(_DIRECT.values())
    return not (
        said.get("part") and row["method"] in ways and row["method"] != direct and _twin_by_way(row, data, ways)
    )


def _twin_by_way(row: Row, data: Dataset, ways: set[str]) -> bool:
    """Whether the same item has a row of another direct way: only then the way of measuring tells rows apart."""
    others = data.rows(row.engine, row.item)
    return any(r["method"] in ways and r["method"] != row["method"] for r in others)


def _same_at(row: Row, said: Said, data: Dataset) -> bool:
    if not row["at"]:
        return False
    text, _, unit = said["at"].partition(" ")
    known = data.units
    if unit not in known or row["at_unit"] not in known:
        return text == row["at"]
    if known[unit].dimension != known[row["at_unit"]].dimension:
        return False
    one = Fraction(numerals.parse(text)) * known[unit].factor
    other = Fraction(numerals.parse(row["at"])) * known[row["at_unit"]].factor
    return abs(one - other) <= Fraction(numerals.step(row["at"])) * known[row["at_unit"]].factor / 2


def _admits(row: Row, build: Build, here: Here) -> bool:
    """Whether no answer of the build contradicts what a row speaks of."""
    speaks = here.family.speaks(row)
    model = build.answer(MODEL, here.position, here.family)
    if model in here.family.models and model not in speaks.models and row["source"] not in build.documents:
        return False
    if model in here.family.models and speaks.names_model and model not in speaks.models:
        return False
    for question, parts in speaks.parts.items():
        answer = build.answer(question, here.position, here.family)
        if answer not in (None, UNKNOWN) and answer not in parts:
            return False
    return True


def _of_size(row: Row, build: Build, here: Here) -> bool:
    """Whether a row has the build's repair size, or none and may be shifted to it."""
    wanted = here.size(build)
    if isinstance(wanted, str):
        return True
    if not row.cells.get("size"):
        return True
    return bool(wanted.value) and same_size(Size(Decimal(row["size"]), row["unit"]), wanted, here.data.units)


def _outcomes(
    rows: list[Row], build: Build, here: Here, said: Said
) -> list[tuple[dict[str, str], list[tuple[Row, ...]]]]:
    """What each set of answers to the open questions leads to: rows that all must hold, by detail."""
    rows = _without_open_selections(rows, build, here)
    found = []
    for answers, told in _builds(build, here, _open(rows, build, here)):
        found.append((answers, _resolved(rows, told, here)))
        if len(found) == _MOST_BUILDS:
            break
    return found


def _without_open_selections(rows: list[Row], build: Build, here: Here) -> list[Row]:
    """Rows less those of a size mark that the build does not tell, where other rows remain."""

    def told(row: Row) -> bool:
        asked = here.family.speaks(row).parts
        return all(build.answer(q, here.position, here.family) not in (None, UNKNOWN) for q in asked)

    kept = [r for r in rows if r["class"] != "selective" or told(r)]
    return kept or rows


def _open(rows: list[Row], build: Build, here: Here) -> list[str]:
    """Questions that some row depends on and that the build does not answer."""
    family = here.family
    asked = dict.fromkeys(q for r in rows for q in family.speaks(r).parts)
    found = [q for q in asked if build.answer(q, here.position, family) in (None, UNKNOWN)]
    covered = all(family.speaks(r).models >= frozenset(family.models) for r in rows)
    if build.answer(MODEL, here.position, family) in (None, UNKNOWN) and not covered:
        found.insert(0, MODEL)
    if here.size(build) == UNKNOWN and here.repair[0]:
        found.append(SIZE + here.repair[0])
    return found


def _builds(build: Build, here: Here, asked: Sequence[str]) -> Iterator[tuple[dict[str, str], Build]]:
    """Each set of answers to the questions, with the build that has them."""
    if not asked:
        yield {}, build
        return
    question, rest = asked[0], asked[1:]
    for word, told in _told(build, here, question):
        for answers, full in _builds(told, here, rest):
            yield ({question: word} if word else {}) | answers, full


def _told(build: Build, here: Here, question: str) -> Iterator[tuple[str, Build]]:
    family = here.family
    if question.startswith(SIZE):
        part = question.removeprefix(SIZE)
        rows = here.data.rows(here.engine, here.item)
        sizes = dict.fromkeys(Size(Decimal(r["size"]), r["unit"]) for r in rows if r.cells.get("size"))
        for size in (STANDARD, *sizes):
            yield size.text, replace(build, size={**build.size, part: {"all": size}})
        return
    if build.answer(question, here.position, family) not in (None, UNKNOWN):
        yield "", build
        return
    answers: Iterable[str] = family.models if question == MODEL else family.questions.get(question, (OTHER,))
    for word in answers:
        yield word, build.told(question, word)


def _resolved(rows: list[Row], build: Build, here: Here) -> list[tuple[Row, ...]]:
    """Rows that all must hold for a build that answers every question, a tuple for each detail."""
    there = [_marked(r, build, here) for r in rows if _admits(r, build, here)]
    there = _sized(there, build, here)
    there = _before_silent(there, here)
    there = _before_wider(there, here.position)
    groups: dict[tuple[str, ...], list[Row]] = {}
    for row in there:
        groups.setdefault(detail_of(row), []).append(row)
    return _one_of_equal([_together(g, here) for g in groups.values()])


def _marked(row: Row, build: Build, here: Here) -> Row:
    model = build.answer(MODEL, here.position, here.family)
    marks = [here.family.doubt(row)]
    if model in here.family.models and model not in here.family.speaks(row).models:
        marks.append("of a document for other models, which the sheet admits")
    return replace(row, marks=(*row.marks, *filter(None, marks)))


def _sized(rows: list[Row], build: Build, here: Here) -> list[Row]:
    """Rows of the build's repair size, else standard rows shifted to it."""
    wanted = here.size(build)
    standard = [r for r in rows if not r.cells.get("size")]
    if isinstance(wanted, str) or not wanted.value:
        return standard
    found = []
    for row in rows:
        own = Size(Decimal(row["size"]), row["unit"]) if row.cells.get("size") else STANDARD
        if own.value and same_size(own, wanted, here.data.units):
            exact = (own.value, own.unit) == (wanted.value, wanted.unit)
            mark = () if exact else (f"printed for {own.text}, taken for {wanted.text}",)
            found.append(replace(row, marks=(*row.marks, *mark)))
    if found:
        return found
    share = here.repair[1]
    return [s for r in standard if (s := shifted(r, share, wanted, here.data.units)) is not None]


def _names(row: Row, here: Here) -> frozenset[str]:
    """Questions about fitted parts that a row answers, and `size` where it bears one."""
    return frozenset(here.family.speaks(row).parts)


def _before_silent(rows: list[Row], here: Here) -> list[Row]:
    """Rows less those silent on a fitted part that another names, save for an end that only they print there."""

    def falls(row: Row) -> bool:
        for other in rows:
            if not _closer(row, other, here):
                continue
            joined = other["source"] == row["source"] and detail_of(other) == detail_of(row)
            if not joined or printed_ends(row) <= printed_ends(other):
                return True
        return False

    return [r for r in rows if not falls(r)]


def _closer(row: Row, other: Row, here: Here) -> bool:
    """Whether `other` names all fitted parts that `row` names and more, or in one document the model too."""
    mine, theirs = _names(row, here), _names(other, here)
    if mine < theirs:
        return True
    same = row["source"] == other["source"]
    named = here.family.speaks(other).names_model and not here.family.speaks(row).names_model
    return same and named and mine <= theirs


def _before_wider(rows: list[Row], position: str) -> list[Row]:
    """Rows of the closest place, save for an end that only a wider row of the same document prints."""
    if not rows:
        return []
    ranks = {r.id: _rank(r, position) for r in rows}
    best = min(ranks.values())
    near = [r for r in rows if ranks[r.id] == best]

    def adds(row: Row) -> bool:
        own = [n for n in near if n["source"] == row["source"] and detail_of(n) == detail_of(row)]
        return bool(own) and not any(printed_ends(row) <= printed_ends(n) for n in own)

    return [r for r in rows if ranks[r.id] == best or adds(r)]


def _rank(row: Row, position: str) -> tuple[int, int]:
    number, name = positions.split(position)
    place = row["position"]
    if place == "all":
        return 2, 0
    if place == name or place == str(number):
        return 0, 0
    return 1, len(positions.numbers(place))


def _together(rows: list[Row], here: Here) -> tuple[Row, ...]:
    """Rows of one detail as lines: ends joined within a document, equal lines of several documents one."""
    by_source: dict[str, list[Row]] = {}
    for row in sorted(rows, key=lambda r: (-len(_names(r, here)), _rank(r, here.position), r["reading"] != "twice")):
        by_source.setdefault(row["source"], []).append(row)
    lines: list[Row] = []
    for found in by_source.values():
        lines += _joined(found, here)
    distinct: list[Row] = []
    for line in sorted(lines, key=lambda r: r["reading"] != "twice"):
        same = next((n for n, d in enumerate(distinct) if alike(d, line, here.data)), None)
        if same is None:
            distinct.append(line)
        else:
            distinct[same] = replace(distinct[same], also=(*distinct[same].also, line.cite))
    return tuple(distinct)


def _joined(rows: list[Row], here: Here) -> list[Row]:
    """Rows of one document, the closest first, joined end by end; rows that speak as closely and differ stay apart."""
    found: list[tuple[Row, Row]] = []
    for row in rows:
        for n, (first, line) in enumerate(found):
            free = not printed_ends(row) & printed_ends(line)
            if row["unit"] == line["unit"] and (free or _speaks_closer(first, row, here)):
                found[n] = first, with_ends(line, row)
                break
        else:
            found.append((row, row))
    return [line for _, line in found]


def _speaks_closer(one: Row, other: Row, here: Here) -> bool:
    """Whether a row stands before another of its document by its parts, its models or its place."""
    return _closer(other, one, here) or _rank(one, here.position) < _rank(other, here.position)


def _one_of_equal(lines: list[tuple[Row, ...]]) -> list[tuple[Row, ...]]:
    """Lines less those whose numbers stand there already."""
    found: list[tuple[Row, ...]] = []
    for line in lines:
        if not any(equal(line, f) for f in found):
            found.append(line)
    return found


def _distinct(found: list[list[tuple[Row, ...]]]) -> list[list[tuple[Row, ...]]]:
    kinds: list[list[tuple[Row, ...]]] = []
    for lines in found:
        if not any(len(lines) == len(k) and all(equal(a, b) for a, b in zip(lines, k, strict=True)) for k in kinds):
            kinds.append(lines)
    return kinds


def _asked(found: list[tuple[dict[str, str], list[tuple[Row, ...]]]], here: Here) -> Iterator[Asked]:
    """Questions whose answer changes the outcome, each answer with the rows that it leads to."""
    for question in dict.fromkeys(q for answers, _ in found for q in answers):
        by_word: dict[str, list[list[tuple[Row, ...]]]] = {}
        for answers, lines in found:
            by_word.setdefault(answers.get(question, ""), []).append(lines)
        sets = [_distinct(v) for w, v in by_word.items() if w]
        if len(sets) > 1 and any(not _same_kinds(sets[0], s) for s in sets[1:]):
            shown = [
                Answer(w, _answer_words(question, w, here), tuple(r for line in v[0] for r in line))
                for w, v in by_word.items()
                if w
            ]
            yield Asked(question, question_words(question, here.data), tuple(shown))


def _same_kinds(one: list[list[tuple[Row, ...]]], other: list[list[tuple[Row, ...]]]) -> bool:
    return len(_distinct([*one, *other])) == len(one) == len(other)


def question_words(question: str, data: Dataset) -> str:
    """A question to the builder in words."""
    if question == MODEL:
        return "Which model is it?"
    if question.startswith(SIZE):
        part = question.removeprefix(SIZE)
        return f"To what size is the {data.repair_words(part)} machined?"
    return data.keyed("questions")[question]["ask"] if question in data.keyed("questions") else question


def _answer_words(question: str, word: str, here: Here) -> str:
    return word if question.startswith(SIZE) else here.family.label(question, word)


_DETAIL_WORDS = {
    "which": "Which of them was measured?",
    "state": "In what state was it measured?",
    "method": "How was it measured?",
    "at": "Where was it measured, or under what load?",
}


def _detail(lines: list[tuple[Row, ...]], data: Dataset) -> Asked:
    """The first column that tells the lines apart, as a question."""
    column = next(c for c in DETAILS if len({line[0].cells.get(c, "") for line in lines}) > 1)
    return Asked(
        column,
        _DETAIL_WORDS[column],
        tuple(Answer(_detail_word(line[0], column), data.detail_words(line[0], column), line) for line in lines),
    )


def _detail_word(row: Row, column: str) -> str:
    return f"{row['at']} {row['at_unit']}" if column == "at" and row["at"] else row.cells.get(column, "")


def _why_none(rows: Sequence[Row], build: Build, here: Here) -> str:
    """Why no row is true here, in a sentence."""
    if not rows:
        return "no page that was read prints it"
    if not any(_admits(r, build, here) for r in rows):
        return "the pages that print it are for another model or other parts"
    wanted = here.size(build)
    if isinstance(wanted, Size) and wanted.value:
        return f"no page that was read prints it for {wanted.text}"
    return "no row fits what the reading says of itself"
