"""Sizes, forms and differences that the readings of other items give, and those that they do not, with why."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from .. import positions
from ..build import Build, uneven
from ..dataset import Dataset
from . import grid
from .case import Case, case

DIAL = ("dial-total", "half-dial")
"""Methods that count the swing of a dial, which diameters do not give."""

NEIGHBOURS = "neighbour-difference"

BY_DIAL = "its page counts the swing of a dial, which diameters do not give"
FROM_NEW = "it counts from the size that the part had when it was new, which the readings do not name"
UNLIKE = "the places are of different sizes"
UNNUMBERED = "which places are neighbours their numbers do not tell"

NO_READING_MENDS = (BY_DIAL, FROM_NEW, UNLIKE, UNNUMBERED)
"""Why readings of these sizes never give a form, however many there are."""

ABOUT = ("which", "class")
"""What readings say of the part itself, not of how or where on it they were taken."""

Unjudged = tuple[Case, str]
"""A case that is not judged, with why."""


@dataclass(frozen=True)
class Grid:
    """Readings of one part of an item at a place, whatever lines of the sheet they stand in."""

    item: str
    position: str
    part: str
    about: tuple[str, ...]
    state: str

    @property
    def said(self) -> dict[str, str]:
        """What the readings say of the part."""
        return {k: v for k, v in zip(ABOUT, self.about, strict=True) if v}


Grids = Mapping[Grid, tuple[grid.Reading, ...]]


def derive(entered: Iterable[Case], data: Dataset, engine: str, build: Build) -> tuple[list[Case], list[Unjudged]]:
    """Cases that the readings give where the dataset has a row, and those that they do not give, with why.

    Lines of one place that differ only in what they say of their row (how or at what height it was measured) are one
    grid: else a form would be split into halves that show nothing.
    """
    cases = list(entered)
    there = {r.item for t in ("sizes", "clearances") for r in data.all_rows(engine, t)}
    lines = {(c.item, c.position) for c in cases}
    found, missing = list[Case](), list[Unjudged]()
    at_places = ((g, r, _here(g, data), False) for g, r in grids(cases, there, data).items())
    between = ((g, r, _among(g, data), True) for g, r in _between(cases, there, data).items())
    for own, readings, told, among in (*at_places, *between):
        made = case(data, engine, build, own.item, own.position, own.said, {own.part: readings}, told)
        made = replace(made, derived=True, again=(own.item, own.position) in lines, among=among)
        if not (made.choice.rows or made.choice.asked) or (told and told != _method_of(made, told)):
            continue
        why = (_why_not_among(made, data, engine, build) if among else "") or _why_not(made)
        if not why:
            found.append(made)
        elif not made.again:
            missing.append((made, why))
    return found, _once(missing)


def _once(missing: Iterable[Unjudged]) -> list[Unjudged]:
    """What is not judged, each item, place and reason once."""
    return list({(c.item, c.position, why): (c, why) for c, why in missing}.values())


def grids(cases: Iterable[Case], there: set[str], data: Dataset) -> Grids:
    """Readings of each size or form that others give, by place, in the order of the sheet."""
    found: dict[Grid, tuple[grid.Reading, ...]] = {}
    for one in cases:
        for name, part in _given(one, data):
            if name in there and one.parts.get(part):
                about = tuple(one.said.get(k, "") for k in ABOUT)
                key = Grid(name, one.position, part, about, one.said.get("state", ""))
                found[key] = (*found.get(key, ()), *(at_height(r, one.said) for r in one.parts[part]))
    return found


def at_height(reading: grid.Reading, said: Mapping[str, str]) -> grid.Reading:
    """A reading whose place is told with the height at which it was taken."""
    return replace(reading, place=f"{reading.place} {said['at']}".strip()) if said.get("at") else reading


def _given(one: Case, data: Dataset) -> list[tuple[str, str]]:
    """Items that a case's readings give besides its own, each with the part whose readings count."""
    sizes = _sizes(one)
    forms = [
        (q, part)
        for q, r in data.quantities.items()
        for n, part in sizes
        if n in r["of"].split() and r["count"] == data.quantities[n]["count"]
    ]
    return [s for s in sizes if s[0] != one.item] + list(dict.fromkeys(forms))


def _sizes(one: Case) -> list[tuple[str, str]]:
    """What a case measures, each with the part that does: bore and shaft of a fit, else the item itself."""
    outer, inner = one.quantity["outer"].split(), one.quantity["inner"].split()
    if one.quantity["kind"] == "size" or not inner:
        return [(one.item, part) for part in one.parts]
    return [(n, "bore") for n in outer] + [(n, "shaft") for n in inner]


def _here(own: Grid, data: Dataset) -> dict[str, str]:
    """By which method a difference counts that may be taken at one place or between places: here at one place."""
    return {"method": "spread"} if data.quantities[own.item]["method"] == "spread" else {}


def _among(own: Grid, data: Dataset) -> dict[str, str]:
    """The same of a difference between places."""
    return {"method": NEIGHBOURS} if data.quantities[own.item]["count"] else {}


def _method_of(made: Case, told: Mapping[str, str]) -> Mapping[str, str]:
    """The method of the row that was found, as one that was told."""
    row = made.choice.row
    return {"method": made.method(row)} if row else told


def _between(cases: Iterable[Case], there: set[str], data: Dataset) -> Grids:
    """Readings of each size of which some form compares the counted places, each place by its number, in their order.

    Such a form has no count of its own, or a row that counts the difference of neighbours.
    """
    found: dict[Grid, list[tuple[int, grid.Reading]]] = {}
    for one in cases:
        number, name = positions.split(one.position)
        for form, part in _compared(one, data) if number else ():
            if form in there and one.parts.get(part):
                about = (one.said.get("which", ""), one.said.get("class", ""))
                key = Grid(form, name or "all", part, about, one.said.get("state", ""))
                spot = [(number, replace(r, place=str(number), direction="")) for r in one.parts[part]]
                found.setdefault(key, []).extend((n, r) for n, r in spot if n)
    return {k: tuple(r for _, r in sorted(v, key=lambda x: x[0])) for k, v in found.items()}


def _compared(one: Case, data: Dataset) -> Iterator[tuple[str, str]]:
    """Forms that compare the counted places of what a case measures, each with the part whose readings count."""
    for name, form in data.quantities.items():
        found = dict[str, None]()
        for size, part in _sizes(one):
            counted = data.quantities[size]["count"]
            if size in form["of"].split() and counted and (form["count"] != counted or form["method"] == "spread"):
                found[part] = None
        yield from ((name, part) for part in found)


def _why_not(one: Case) -> str:
    """Why the readings do not give what a row of a derived case asks for; empty where they do."""
    row = one.choice.row
    if row and row["method"] in DIAL:
        return BY_DIAL
    method = grid.single_method(one.method(row), next(iter(one.parts)), one.quantity["limit_side"])
    if one.quantity["of"] and method not in grid.DIFFERENCES:
        return FROM_NEW
    if grid.SINGLE[method](grid.cells(list(one.readings))) is None:
        return NEEDS.get(method, "it needs more readings")
    return ""


NEEDS = {
    "cross-difference": "it needs readings in two directions at one place",
    "end-difference": "it needs readings at two places in one direction",
    "spread": "it needs two readings",
    NEIGHBOURS: "it needs readings at two places",
}
"""What a method needs that counts a difference."""


def _why_not_among(one: Case, data: Dataset, engine: str, build: Build) -> str:
    """Why places are not compared; empty where they can be."""
    if uneven(build.size.get(one.quantity["repair"], {})):
        return UNLIKE
    if one.method(one.choice.row) != NEIGHBOURS:
        return ""
    if data.engine(engine)["layout"] != "inline":
        return UNNUMBERED
    numbers = sorted({int(r.place) for r in one.readings})
    if numbers != list(range(numbers[0], numbers[-1] + 1)):
        return "it needs readings at every place between the first and the last that was read"
    return ""
