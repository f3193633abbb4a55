"""What there is to measure and to tighten for a build, line by line, in the order of the work."""

from collections.abc import Container, Iterator
from dataclasses import dataclass

from .. import positions
from ..build import Build
from ..choosing import NONE, Choice, choose, decided, true_for
from ..dataset import Dataset
from ..here import Here
from ..resolving import admits, of_size
from ..rows import Row


@dataclass(frozen=True)
class Line:
    """Something to measure or to tighten at a place: the item, what tells it from others there, and its rows.

    Where a question is open, the rows are those between which it decides.
    """

    item: str
    place: str
    said: dict[str, str]
    choice: Choice

    @property
    def rows(self) -> tuple[Row, ...]:
        """Rows that judge it, or those between which a question is open."""
        return tuple(r for line in self.choice.lines for r in line)


def measured(data: Dataset, engine: str, build: Build) -> list[Line]:
    """What to measure for a build, in measuring order; a desired range alone is asked for as that."""
    rows = [r for r in data.rows(engine) if r.table != "torques"]
    spots: dict[tuple[str, str], set[str]] = {}
    for row in sorted(rows, key=lambda r: (int(data.quantities[r.item]["order"]), r.item, _place_rank(r["position"]))):
        for place in places(row, data, build):
            if _asks(row, place, data, build):
                spots.setdefault((row.item, place), set()).add(row["class"])
    starts = [(spot, {"class": "desired"} if found == {"desired"} else {}) for spot, found in spots.items()]
    lines = [line for (item, place), said in starts for line in _lines(data, engine, build, item, place, said)]
    return [line for line in lines if line.rows]


def _place_rank(position: str) -> tuple[int, str]:
    return (0 if position == "all" else 1, position)


def _asks(row: Row, place: str, data: Dataset, build: Build) -> bool:
    """Whether a row is true for a build at a place, and none is that choices.csv prefers to it there."""
    here = Here(data, data.family(row.engine), row.engine, row.item, place)

    def fits(other: Row) -> bool:
        return admits(other, build, here) and of_size(other, build, here)

    before = data.preferred.get(row.id, ())
    model = build.model if build.model in here.family.models else None
    preferred = [r for r in data.rows(row.engine, row.item) if r.id in before] if before else []
    return fits(row) and not any(data.is_at(r, place, model) and fits(r) for r in preferred)


def _lines(data: Dataset, engine: str, build: Build, item: str, place: str, said: dict[str, str]) -> Iterator[Line]:
    """Lines of an item at a place: one for each thing that a reading itself would have to name."""
    todo = [said]
    while todo:
        said = todo.pop(0)
        choice = choose(data, engine, build, item, place, said)
        asked = choice.asked[0] if choice.asked else None
        if asked and asked.detail and asked.question not in said:
            todo += [{**said, asked.question: a.word} for a in asked.answers if a.word]
        else:
            yield Line(item, place, said | _state(choice, data), choice)


def _state(choice: Choice, data: Dataset) -> dict[str, str]:
    """The state in which a lash is to be measured, where all of its rows print the same: the sheet says so."""
    states = {r["state"] for r in choice.rows if data.quantities[r.item]["kind"] == "lash"}
    return {"state": states.pop()} if len(states) == 1 and "" not in states else {}


def places(row: Row, data: Dataset, build: Build) -> list[str]:
    """Places to measure for a row: each number where they are known, else the row's own position.

    A named place of something that each cylinder has, such as a ring, is there once a cylinder.
    """
    model = build.model if build.model in data.family(row.engine).models else None
    count, position = data.count(row.engine, row.item, model), row["position"]
    numbers = [str(n) for n in range(1, (count or 0) + 1)]
    if position == "all":
        return numbers or ["all"]
    found = positions.places(position, count)
    if found:
        return [str(n) for n in found]
    return [f"{n}/{position}" for n in numbers if in_each(row.item, data)] or [position]


def in_each(item: str, data: Dataset) -> bool:
    """Whether a named place of an item, such as a ring, is there at each of the places that it is counted by.

    Named main bearings (thrust, flywheel end) are places themselves.
    """
    return data.counted_by(item) not in ("", "mains")


def tightened(data: Dataset, engine: str, build: Build | None = None) -> list[Row]:
    """Steps to tighten for a build in the order of the dataset, the passed-over rows of choices.csv left out."""
    rows, _ = decided(true_for(data.all_rows(engine, "torques"), data, build or Build()), data)
    return rows


SAID = ("which", "purpose", "thread", "step")
"""What a torque line of a sheet says of its row."""


def torque_lines(data: Dataset, engine: str, build: Build, joints: Container[str] | None = None) -> list[Line]:
    """Torque lines of a build, one for each step that a sheet can tell from the others; `said` bears the step too.

    With `joints` those of them alone. Kinds of fastener whose steps one page counts through stand in that count.
    """
    found: dict[tuple[object, ...], Line] = {}
    for row in tightened(data, engine, build):
        if joints is not None and row.item not in joints:
            continue
        for word in row["which"].split() or [""]:
            said = {k: v for k, v in ({k: row[k] for k in SAID} | {"which": word}).items() if v}
            line = _torque_line(data, engine, build, row, said)
            if line.rows:
                found.setdefault((line.item, line.place, *sorted(line.said.items())), line)
    return _counted(list(found.values()), numberings(data, engine, build, joints))


def _torque_line(data: Dataset, engine: str, build: Build, row: Row, said: dict[str, str]) -> Line:
    """The line that a row asks for; where others there name a detail that it does not, it says none of them."""
    while True:
        choice = choose(data, engine, build, row.item, row["position"], said)
        asked = choice.asked[0] if choice.asked else None
        if asked is None or not asked.detail or asked.question not in SAID or asked.question in said:
            return Line(row.item, row["position"], said, choice)
        said = {**said, asked.question: NONE}


Counted = tuple[str, str, str, str, int]
"""A step of a page: joint, purpose, kind of fastener, its thread, and the number of the step."""


def numberings(
    data: Dataset, engine: str, build: Build, joints: Container[str] | None = None
) -> list[frozenset[Counted]]:
    """Steps of several kinds of fastener that one page counts through, a set for each such count.

    Where more than one kind begins at 1 each has a count of its own, unless those of one thread alone share one.
    """
    pages: dict[tuple[str, ...], set[Counted]] = {}
    for row in true_for(data.all_rows(engine, "torques"), data, build):
        if joints is None or row.item in joints:
            page = pages.setdefault((row.item, *(row[c] for c in ("purpose", "source", "position"))), set())
            page |= {_key(row, word) for word in row["which"].split() or [""]}
    counts = [c for page in pages.values() for c in ([page] if _is_one(page) else _by_thread(page))]
    return list(dict.fromkeys(frozenset(c) for c in counts if _is_one(c) and len({k[:4] for k in c}) > 1))


def _key(row: Row, word: str) -> Counted:
    return row.item, row["purpose"], "" if word == NONE else word, row["thread"], int(row["step"])


def _is_one(page: set[Counted]) -> bool:
    """Whether at most one kind begins at 1."""
    return sum(step == 1 for *_, step in page) <= 1


def _by_thread(page: set[Counted]) -> list[set[Counted]]:
    return [{k for k in page if k[3] == thread} for thread in sorted({k[3] for k in page})]


def _counted(lines: list[Line], counts: list[frozenset[Counted]]) -> list[Line]:
    """Lines with those of each count in its order, at the places that they had."""
    for count in counts:
        spots = [n for n, line in enumerate(lines) if _key(line.rows[0], line.said.get("which", "")) in count]
        for n, line in zip(spots, sorted((lines[n] for n in spots), key=lambda li: int(li.said["step"])), strict=True):
            lines[n] = line
    return lines
