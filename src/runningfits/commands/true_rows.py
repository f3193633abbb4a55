"""Rows of an engine as they are for a build: of its model, its parts and its repair sizes."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from .. import positions
from ..build import Build, Size, uneven
from ..choosing import true_for
from ..dataset import Dataset
from ..here import Here
from ..lines import line_key, shifted
from ..rows import Row


def by_place(there: list[Row], data: Dataset, build: Build, position: str | None) -> list[Row]:
    """Rows as they are for a build: those of every place, and those of a place where the build is another one."""
    found = _true(there, data, build)
    number = positions.split(position)[0] if position else None
    for place in [str(number)] if number else _own_places(build):
        for item in dict.fromkeys(r.item for r in there if data.counted_by(r.item)):
            wide = [r for r in there if r.item == item and r["position"] == "all"]
            own = _true([replace(r, cells={**r.cells, "position": place}) for r in wide], data, build)
            if _told(own) != _told(_true(wide, data, build)):
                others = [r if (r.item, r["position"]) != (item, "all") else _except(r, place) for r in found]
                found = [r for r in others if not number or (r.item, r["position"]) != (item, "all")] + own
    return found


def _own_places(build: Build) -> list[str]:
    """Numbered places of which a build says something of their own."""
    answers = [*build.fitted.values(), *build.size.values()]
    return sorted({p for a in answers if uneven(a) for p in a if p.isdecimal()}, key=int)


def _except(row: Row, place: str) -> Row:
    """A row of every place that is not true at one of them."""
    return replace(row, marks=(*row.marks, f"not at {place}"))


def _told(rows: Iterable[Row]) -> set[tuple[str, ...]]:
    """What rows say, wherever it is."""
    return {line_key((replace(r, cells={**r.cells, "position": ""}),)) for r in rows}


def _true(rows: Iterable[Row], data: Dataset, build: Build) -> list[Row]:
    return list(_to_size(true_for(rows, data, build), data, build))


def _to_size(rows: Iterable[Row], data: Dataset, build: Build) -> Iterator[Row]:
    """Rows as they are for a build's repair sizes: a size's own row, else the standard one moved."""
    rows = list(rows)
    own = {r.item for r in rows if r.cells.get("size")}
    for row in rows:
        here = Here(data, data.family(row.engine), row.engine, row.item, row["position"])
        wanted = here.size(build)
        if not isinstance(wanted, Size) or not wanted.value or row.cells.get("size"):
            yield row
        elif row.item not in own and (moved := shifted(row, here.repair[1], wanted, data.units)):
            yield moved
