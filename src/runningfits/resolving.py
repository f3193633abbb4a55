"""Rows that judge an item at a place, for a build that answers every question: the steps of docs/judging.md."""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from .build import STANDARD, UNKNOWN, Build, Size, same_size
from .closeness import DETAILS, alike_measured, compatible, lends, names_more, parts_of, rank, same_detail, same_thing
from .dataset import Dataset
from .engine_models import MODEL
from .here import Here
from .lines import Line, alike, merged, printed_ends, same_line, shifted, with_ends
from .rows import Row


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
    return found + [m for m in moved if any(lends(m, f, here.data) for f in found)]


def _taken_for(row: Row, wanted: Size) -> Row:
    return replace(row, marks=(*row.marks, f"printed for {size_of(row).text}, taken for {wanted.text}"))


def _before_silent(rows: list[Row], here: Here) -> list[Row]:
    """Rows less those silent on a fitted part that another names, save for an end that only they print there."""

    def falls(row: Row, other: Row) -> bool:
        same = same_thing(other, row, here.data)
        return same and names_more(other, row, here) and not lends(row, other, here.data)

    return [r for r in rows if not any(falls(r, o) for o in rows)]


def _before_wider(rows: list[Row], here: Here) -> list[Row]:
    """Rows of the closest place, save for an end that only a wider row of the same document prints there."""

    def falls(row: Row) -> bool:
        near = [o for o in rows if rank(o, here) < rank(row, here) and alike_measured(o, row, here.data)]
        return bool(near) and not any(lends(row, o, here.data) for o in near)

    return [r for r in rows if not falls(r)]


def _lines(rows: list[Row], here: Here) -> tuple[Line, ...]:
    """Rows as lines: those of one document joined end by end, those that print the same one with several pages."""
    data = here.data
    groups: list[list[Row]] = []
    for row in sorted(rows, key=lambda r: (-len(parts_of(r, here)), rank(r, here), r["reading"] != "twice")):
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
            closer = names_more(first, row, here) or rank(first, here) < rank(row, here)
            if row["unit"] == line["unit"] and (free or closer):
                found[n] = first, with_ends(line, row)
                break
        else:
            found.append((row, row))
    return [line for _, line in found]


def _lent(lines: list[Line], data: Dataset) -> list[Line]:
    """Lines with the ends that a lone row of their document prints without saying how it is measured."""

    def fills(row: Row, base: Row) -> bool:
        limit_alone = printed_ends(row) == {"limit"} and "limit" not in printed_ends(base)
        same = (row["source"], row["unit"]) == (base["source"], base["unit"])
        return limit_alone and same and compatible(row, base, data)

    alone = [line[0] for line in lines if len(line) == 1]
    lent = [r for r in alone if any(fills(r, o) for o in alone)]
    found: list[Line] = []
    for line in lines:
        base = line[0]
        if base in lent:
            continue
        for row in (r for r in lent if len(line) == 1 and fills(r, base)):
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
