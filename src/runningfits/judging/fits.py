"""Fits of bores and shafts that were entered as items of their own, and those that they do not give, with why."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from ..build import Build
from ..dataset import Dataset
from . import grid
from .case import Case, case
from .deriving import Unjudged, at_height

_Spot = tuple[str, str]
"""A place, and which of several alike there."""

_Read = Mapping[_Spot, tuple[grid.Reading, ...]]


def fits(entered: Sequence[Case], data: Dataset, engine: str, build: Build) -> tuple[list[Case], list[Unjudged]]:
    """Fits that two sizes give which were entered apart, and those for which one is missing or does not belong."""
    whole = {(c.item, c.position) for c in entered if c.parts.get("bore") and c.parts.get("shaft")}
    lines = {(c.item, c.position) for c in entered}
    found, missing = list[Case](), list[Unjudged]()
    for name in data.quantities:
        pairs = list(_pairs(entered, name, data, engine))
        for spot, parts in pairs:
            said = {"which": spot[1]} if spot[1] else {}
            made = replace(case(data, engine, build, name, spot[0], said, parts), derived=True)
            if (name, spot[0]) in whole or not (made.choice.rows or made.choice.asked):
                continue
            why = _lacking(made, pairs) or _not_alike(made, data, engine, build)
            if not why:
                found.append(made)
            elif (name, spot[0]) not in lines:
                missing.append((made, why))
    return found, missing


def joined(entered: Sequence[Case], made: Sequence[Case], data: Dataset, engine: str, build: Build) -> list[Case]:
    """Cases that were entered, a fit that was read itself with the bore and the shaft that were entered apart.

    Two results of one place would leave it to the builder which of them to believe.
    """
    parts = {_fit_at(one): one.parts for one in made}
    return [
        case(data, engine, build, one.item, one.position, dict(one.said), {**one.parts, **parts[_fit_at(one)]})
        if _fit_at(one) in parts and not set(one.parts) & {"bore", "shaft"}
        else one
        for one in entered
    ]


def apart(entered: Sequence[Case], made: Iterable[Case]) -> list[Case]:
    """Fits that two sizes give, without those that joined a fit which was read itself."""
    whole = {_fit_at(c) for c in entered if c.parts.get("bore") and c.parts.get("shaft")}
    return [one for one in made if _fit_at(one) not in whole]


def _fit_at(one: Case) -> tuple[str, str, str]:
    return one.item, one.position, one.said.get("which", "")


def _pairs(
    entered: Iterable[Case], name: str, data: Dataset, engine: str
) -> Iterator[tuple[_Spot, dict[str, tuple[grid.Reading, ...]]]]:
    """Readings of the bore and the shaft of a fit by where they were taken, those of one place together."""
    quantity = data.quantities[name]
    bores, shafts = (_measured(entered, quantity[s].split(), p) for s, p in (("outer", "bore"), ("inner", "shaft")))
    if not bores or not shafts or not data.rows(engine, name):
        return
    spots = dict.fromkeys((*bores, *shafts))
    for position in dict.fromkeys(place for place, _ in spots):
        for spot in (s for s in spots if s[0] == position):
            yield spot, {part: read[spot] for part, read in (("bore", bores), ("shaft", shafts)) if spot in read}


def _measured(entered: Iterable[Case], sizes: list[str], part: str) -> _Read:
    """Readings of a bore or shaft by where they were taken: of its own item, or of a fit of that size."""
    found: dict[_Spot, tuple[grid.Reading, ...]] = {}
    for one in entered:
        own = one.quantity["outer" if part == "bore" else "inner"].split()
        if one.parts.get(part) and (one.item in sizes or set(own) & set(sizes)):
            spot = one.position, one.said.get("which", "")
            found[spot] = (*found.get(spot, ()), *(at_height(r, one.said) for r in one.parts[part]))
    return found


def _lacking(fit: Case, pairs: Iterable[tuple[_Spot, Mapping[str, object]]]) -> str:
    """That a fit lacks its bore or shaft at a place, which stands elsewhere on the sheet; empty where it has both."""
    if len(fit.parts) == 2:
        return ""
    part, other = ("shaft", "bore") if "bore" in fit.parts else ("bore", "shaft")
    if fit.position == "all":
        return f"its {part} was entered place by place: enter its {other} so too"
    if any(place == "all" and part in parts for (place, _), parts in pairs):
        return f"its {part} was entered for all places at once: enter it place by place"
    return f"its {part} was not measured at this place"


def _not_alike(fit: Case, data: Dataset, engine: str, build: Build) -> str:
    """Why a bore and a shaft do not give a fit at a place; empty where they do."""
    sizes = [n for side in ("outer", "inner") for n in fit.quantity[side].split()]
    family, model = data.family(engine), [build.model] if build.model else []
    columns = {data.counted_by(n) for n in sizes}
    counts = {c and family.count(c, model) for c in columns}
    alike = len(counts) == 1 and (None not in counts or len(columns) == 1)
    return "" if alike else "its bore and its shaft are not counted alike: enter both as readings of the fit"
