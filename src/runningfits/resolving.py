"""Rows that judge an item at a place, for a build that answers every question: the steps of docs/judging.md."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from . import numerals, positions
from .build import STANDARD, UNKNOWN, Build, Size, same_size
from .dataset import Dataset
from .engine_models import MODEL, Family
from .lines import Line, alike, merged, printed_ends, same_line, shifted, with_ends
from .rows import Row

DETAILS = ("which", "thread", "state", "method", "at")
"""Columns that a line of a sheet can name itself, where rows differ by nothing else."""


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
        own, there = self.data.counted_by(self.item), self.data.repair_parts.get(part, "")
        uneven = len({_plain_size(s) for s in build.size.get(part, {}).values()}) > 1
        if uneven and own and there and own != there and self._count(own, build) != self._count(there, build):
            return UNKNOWN
        return build.size_of(part, self.position)

    def _count(self, column: str, build: Build) -> int | None:
        return self.family.count(column, [build.model] if build.model else ())

    def is_at(self, row: Row, model: str) -> bool:
        """Whether a row speaks of this place, in a model."""
        if row.table == "torques":
            return self._meets(row, model)
        return self.data.is_at(row, self.position, model or None)

    def _meets(self, row: Row, model: str) -> bool:
        if row["position"] == "all" or self.position in ("all", row["position"]):
            return True
        count = self.data.count(row.engine, row.item, model or None)
        there = positions.places(row["position"], count)
        asked = positions.numbers(self.position) or positions.places(self.position, count)
        return bool(there and asked and set(asked) & set(there))


def _plain_size(size: Size | str) -> object:
    return size if isinstance(size, str) else (size.value, size.unit if size.value else "")


def admits(row: Row, build: Build, here: Here) -> bool:
    """Whether no answer of the build contradicts what a row speaks of."""
    speaks = here.family.speaks(row)
    model = build.answer(MODEL, here.position, here.family)
    known = model in here.family.models and model not in speaks.models
    if known and (speaks.names_model or row["source"] not in build.documents):
        return False
    for question, parts in speaks.parts.items():
        answer = build.answer(question, here.position, here.family)
        if answer not in (None, UNKNOWN) and answer not in parts:
            return False
    return True


def of_size(row: Row, build: Build, here: Here) -> bool:
    """Whether a row has the build's repair size, or none and may be shifted to it."""
    wanted = here.size(build)
    if isinstance(wanted, str) or not row.cells.get("size"):
        return True
    return bool(wanted.value) and same_size(size_of(row), wanted, here.data.units)


def size_of(row: Row) -> Size:
    """The repair size that a row bears."""
    return Size(Decimal(row["size"]), row["unit"]) if row.cells.get("size") else STANDARD


def resolved(rows: Sequence[Row], build: Build, here: Here) -> tuple[tuple[Line, ...], tuple[Row, ...]]:
    """Lines that judge, one for each detail that a sheet could name, and the rows that choices.csv passes over."""
    model = build.answer(MODEL, here.position, here.family) or ""
    model = model if model in here.family.models else ""
    there = [_marked(r, model, here) for r in rows if admits(r, build, here) and here.is_at(r, model)]
    there = _before_wider(_before_silent(_sized(there, build, here), here), here)
    there, passed = decided(there, here.data)
    return _lines(there, here), passed


def decided(rows: Sequence[Row], data: Dataset) -> tuple[list[Row], tuple[Row, ...]]:
    """Rows less those that a line of choices.csv passes over for another of them, and those."""
    ids = {r.id for r in rows}
    over = {i for i in ids if not ids.isdisjoint(data.preferred.get(i, ()))}
    return [r for r in rows if r.id not in over], tuple(r for r in rows if r.id in over)


def _marked(row: Row, model: str, here: Here) -> Row:
    marks = [here.family.doubt(row)]
    if model and model not in here.family.speaks(row).models:
        marks.append("of a document for other models, which the sheet admits")
    return replace(row, marks=(*row.marks, *filter(None, marks)))


def _sized(rows: list[Row], build: Build, here: Here) -> list[Row]:
    """Rows of the build's repair size, else standard rows moved to it; a document's own size lends no end of it.

    A row for a machined part that prints no size stands for every repair size and never for the standard one.
    """
    wanted, known = here.size(build), here.data.units
    unsized = [r for r in rows if not r.cells.get("size")]
    standard = [r for r in unsized if r.cells.get("class") != "repair"]
    if isinstance(wanted, str) or not wanted.value:
        return standard
    of_that = [r for r in rows if r.cells.get("size") and same_size(size_of(r), wanted, known)]
    exact = [r for r in of_that if size_of(r) == wanted]
    found = exact or [_taken_for(r, wanted) for r in of_that] or [r for r in unsized if r not in standard]
    moved = [m for r in standard if (m := shifted(r, here.repair[1], wanted, known)) is not None]
    if not found:
        return moved
    return found + [m for m in moved if any(_lends(m, f, here.data) for f in found)]


def _taken_for(row: Row, wanted: Size) -> Row:
    return replace(row, marks=(*row.marks, f"printed for {size_of(row).text}, taken for {wanted.text}"))


def _lends(row: Row, other: Row, data: Dataset) -> bool:
    """Whether a row prints an end that another of its document and detail does not."""
    more = not printed_ends(row) <= printed_ends(other)
    return more and other["source"] == row["source"] and compatible(row, other, data)


def _parts(row: Row, here: Here) -> frozenset[str]:
    """Questions about fitted parts that a row answers, and its size where it bears one."""
    sized = frozenset(("size",)) if row.cells.get("size") else frozenset()
    return frozenset(here.family.speaks(row).parts) | sized


def _before_silent(rows: list[Row], here: Here) -> list[Row]:
    """Rows less those silent on a fitted part that another names, save for an end that only they print there."""

    def falls(row: Row, other: Row) -> bool:
        same = _same_thing(other, row, here.data)
        return same and _names_more(other, row, here) and not _lends(row, other, here.data)

    return [r for r in rows if not any(falls(r, o) for o in rows)]


def _same_thing(one: Row, other: Row, data: Dataset) -> bool:
    """Whether two rows may speak of one thing: the same of several alike, or one of them does not say which."""
    same = all(one.cells.get(c) == other.cells.get(c) for c in ("purpose", "step"))
    return same and all(_agree(one, other, c, data) for c in ("which", "thread"))


def _names_more(row: Row, other: Row, here: Here) -> bool:
    """Whether a row names all fitted parts that another names and more, or in one document the model too."""
    mine, theirs = _parts(row, here), _parts(other, here)
    if theirs < mine:
        return True
    names, silent = here.family.speaks(row).names_model, not here.family.speaks(other).names_model
    return row["source"] == other["source"] and names and silent and theirs <= mine


def _before_wider(rows: list[Row], here: Here) -> list[Row]:
    """Rows of the closest place, save for an end that only a wider row of the same document prints there."""

    def falls(row: Row) -> bool:
        near = [o for o in rows if _rank(o, here) < _rank(row, here) and _alike_measured(o, row, here.data)]
        return bool(near) and not any(_lends(row, o, here.data) for o in near)

    return [r for r in rows if not falls(r)]


def _alike_measured(one: Row, other: Row, data: Dataset) -> bool:
    """Whether two rows do not name two of several alike, two states, two lengths or two steps."""
    return _same_thing(one, other, data) and all(_agree(one, other, c, data) for c in ("state", "at"))


def _rank(row: Row, here: Here) -> tuple[int, int]:
    place = row["position"]
    if row.table == "torques":
        return (2, 0) if place == "all" and here.position != "all" else (0, 0)
    number, name = positions.split(here.position)
    if place == "all":
        return 2, 0
    if place == name or place == str(number):
        return 0, 0
    return 1, len(positions.numbers(place))


def compatible(one: Row, other: Row, data: Dataset) -> bool:
    """Whether one reading could be of both rows: each detail is the same, or one of them is silent on it."""
    return _same_thing(one, other, data) and all(_agree(one, other, c, data) for c in DETAILS)


def _agree(one: Row, other: Row, column: str, data: Dataset) -> bool:
    return not one.cells.get(column) or not other.cells.get(column) or same_detail(one, other, column, data)


def same_detail(one: Row, other: Row, column: str, data: Dataset) -> bool:
    """Whether two rows say the same in a detail; numbers that a condition is given by within half a printed digit."""
    mine, theirs = one.cells.get(column, ""), other.cells.get(column, "")
    if mine == theirs:
        return column != "at" or not mine or one["at_unit"] == other["at_unit"]
    return column == "at" and bool(mine and theirs) and same_at(f"{mine} {one['at_unit']}", other, data)


def same_at(text: str, row: Row, data: Dataset) -> bool:
    """Whether `2.07 in` is the number that a row's value depends on, within half a printed digit."""
    number, _, unit = text.strip().partition(" ")
    known, own = data.units, row["at_unit"]
    if unit not in known or own not in known or known[unit].dimension != known[own].dimension:
        return (number, unit or own) == (row["at"], own)
    one = Fraction(numerals.parse(number)) * known[unit].factor
    other = Fraction(numerals.parse(row["at"])) * known[own].factor
    steps = ((number, unit), (row["at"], own))
    return abs(one - other) <= max(Fraction(numerals.step(n)) * known[u].factor for n, u in steps) / 2


def _lines(rows: list[Row], here: Here) -> tuple[Line, ...]:
    """Rows as lines: those of one document joined end by end, those that print the same one with several pages."""
    data = here.data
    groups: list[list[Row]] = []
    for row in sorted(rows, key=lambda r: (-len(_parts(r, here)), _rank(r, here), r["reading"] != "twice")):
        same = next((g for g in groups if all(same_detail(g[0], row, c, data) for c in DETAILS)), None)
        if same is None:
            groups.append([row])
        else:
            same.append(row)
    return _without_equals(_lent([_together(g, here) for g in groups], data), data)


def _together(rows: list[Row], here: Here) -> Line:
    """Rows of one detail, the closest first, as a line."""
    by_source: dict[str, list[Row]] = {}
    for row in rows:
        by_source.setdefault(row["source"], []).append(row)
    joined = [line for found in by_source.values() for line in _joined(found, here)]
    return _one_of_same(sorted(joined, key=lambda r: r["reading"] != "twice"), here.data)


def _one_of_same(rows: list[Row], data: Dataset) -> Line:
    """Rows that print the same as one with the pages of all."""
    found: list[Row] = []
    for row in rows:
        for n, other in enumerate(found):
            if (both := merged(other, row, data)) is not None:
                found[n] = both
                break
        else:
            found.append(row)
    return tuple(found)


def _joined(rows: list[Row], here: Here) -> list[Row]:
    """Rows of one document, the closest first, joined end by end; rows that speak as closely and differ stay apart."""
    found: list[tuple[Row, Row]] = []
    for row in rows:
        for n, (first, line) in enumerate(found):
            free = not printed_ends(row) & printed_ends(line)
            closer = _names_more(first, row, here) or _rank(first, here) < _rank(row, here)
            if row["unit"] == line["unit"] and (free or closer):
                found[n] = first, with_ends(line, row)
                break
        else:
            found.append((row, row))
    return [line for _, line in found]


def _lent(lines: list[Line], data: Dataset) -> list[Line]:
    """Lines with the ends that a lone row of their document prints without saying how it is measured."""

    def lends(row: Row, base: Row) -> bool:
        limit_alone = printed_ends(row) == {"limit"} and "limit" not in printed_ends(base)
        same = (row["source"], row["unit"]) == (base["source"], base["unit"])
        return limit_alone and same and compatible(row, base, data)

    alone = [line[0] for line in lines if len(line) == 1]
    lent = [r for r in alone if any(lends(r, o) for o in alone)]
    found: list[Line] = []
    for line in lines:
        base = line[0]
        if base in lent:
            continue
        for row in (r for r in lent if len(line) == 1 and lends(r, base)):
            base = with_ends(base, row)
        found.append((base, *line[1:]))
    return found


def _without_equals(lines: list[Line], data: Dataset) -> tuple[Line, ...]:
    """Lines less those that print what another prints, its pages added to that one."""
    found: list[Line] = []
    for line in lines:
        same = next((n for n, f in enumerate(found) if _one_line(f, line, data)), None)
        if same is None:
            found.append(line)
        elif not same_line(found[same], line, data) or len(line) == 1:
            found[same] = _one_of_same([*found[same], *line], data)
    return tuple(found)


def _one_line(one: Line, other: Line, data: Dataset) -> bool:
    """Whether no reading can tell two lines apart in its verdict."""
    if same_line(one, other, data):
        return True
    if len(one) == len(other) == 1 and compatible(one[0], other[0], data):
        return merged(one[0], other[0], data) is not None and alike(one[0], other[0], data)
    return False
