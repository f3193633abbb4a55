"""A sheet resolved once: what was measured where, and the rows that are true for it."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from .. import choosing
from ..build import STAGES, Build, parsed
from ..choosing import Choice
from ..dataset import Dataset
from ..rows import Row
from ..sheets.placed import Sheet
from . import grid, values
from .temperature import Temperatures, temperatures
from .values import Instrument

SAYS = ("which", "state", "method", "at", "class")
"""What a reading can say of its row."""

DIAL = ("dial-total", "half-dial")
"""Methods that count the swing of a dial, which diameters do not give."""


@dataclass(frozen=True)
class Case:
    """One item at one place: what its readings say, they themselves by part, the rows that are true for it.

    `sizes` are the rows of the bore and of the shaft of a fit. `derived` says that the readings were entered for
    another item.
    """

    item: str
    position: str
    said: Mapping[str, str]
    quantity: Mapping[str, str]
    parts: Mapping[str, tuple[grid.Reading, ...]]
    choice: Choice
    sizes: Mapping[str, Choice]
    derived: bool = False

    @property
    def readings(self) -> Iterator[grid.Reading]:
        """Readings of all parts."""
        for found in self.parts.values():
            yield from found

    def method(self, row: Row | None) -> str:
        """Which of the readings count: the row's own method, else the quantity's."""
        return (row["method"] if row else "") or self.quantity["method"]


@dataclass(frozen=True)
class Bench:
    """A sheet with everything that follows from it alone: build, stage, instruments, temperatures, cases."""

    sheet: Sheet
    data: Dataset
    engine: str
    build: Build
    stage: str
    tools: Mapping[str, Instrument]
    temperatures: Temperatures
    cases: tuple[Case, ...]

    @property
    def decision(self) -> str:
        """`guarded` or `simple`."""
        return str(self.sheet.values.get("decision", "guarded"))


def bench(sheet: Sheet, data: Dataset) -> Bench:
    """The sheet resolved; a derived case stands after those that were entered."""
    given, engine = sheet.values, sheet.values["engine"]
    build = parsed(given.get("build", {}), data.units)
    known, tools = temperatures(given, data), values.instruments(given, data)
    groups = _groups(given["readings"], data, known, values.corrections(given, data))
    entered = [_case(data, engine, build, *g) for g in groups]
    derived = _derived(entered, data, engine, build)
    stage = given.get("stage", STAGES[0])
    return Bench(sheet, data, engine, build, stage, tools, known, (*entered, *derived))


_Group = tuple[str, str, dict[str, str], dict[str, tuple[grid.Reading, ...]]]


def _groups(
    readings: list[dict[str, Any]], data: Dataset, known: Temperatures, shifts: dict[str, Fraction]
) -> list[_Group]:
    """Readings of one item and place that say the same of their row, by part."""
    groups: defaultdict[tuple[str, ...], defaultdict[str, list[grid.Reading]]] = defaultdict(lambda: defaultdict(list))
    for index, raw in enumerate(readings):
        key = raw["item"], raw["position"], *(raw.get(s, "") for s in SAYS)
        groups[key][raw["part"]].append(
            values.reading(raw, index, data, known, shifts.get(raw["instrument"], Fraction(0)))
        )
    return [
        (key[0], key[1], {s: w for s, w in zip(SAYS, key[2:], strict=True) if w}, {p: tuple(r) for p, r in g.items()})
        for key, g in groups.items()
    ]


def _case(
    data: Dataset,
    engine: str,
    build: Build,
    item: str,
    position: str,
    said: dict[str, str],
    parts: dict[str, tuple[grid.Reading, ...]],
    derived: bool = False,
) -> Case:
    way = {"part": next(iter(parts))} if len(parts) == 1 else {}
    choice = choosing.choose(data, engine, build, item, position, said | way)
    quantity = data.quantities[item]
    about = {k: v for k, v in said.items() if k in ("which", "class")}
    sizes: dict[str, Choice] = {}
    for part, names in (("bore", quantity["outer"]), ("shaft", quantity["inner"])):
        for name in names.split():
            if part not in sizes or sizes[part].row is None:
                sizes[part] = choosing.choose(data, engine, build, name, position, about)
    return Case(item, position, said, quantity, parts, choice, sizes, derived)


def _derived(entered: list[Case], data: Dataset, engine: str, build: Build) -> list[Case]:
    """Sizes and forms that the same grid of readings gives, where the dataset has a row for them."""
    asked, found = {(c.item, c.position) for c in entered}, dict[tuple[str, str], Case]()
    there = {r.item for t in ("sizes", "clearances") for r in data.all_rows(engine, t)}
    for case in entered:
        for name, part in _given(case, data):
            key = name, case.position
            if name not in there or key in asked or key in found or not case.parts.get(part):
                continue
            said = {k: v for k, v in case.said.items() if k in ("which", "class")}
            made = _case(data, engine, build, name, case.position, said, {part: case.parts[part]}, derived=True)
            if made.choice.row is None or made.choice.row["method"] not in DIAL:
                found[key] = made
    return list(found.values())


def _given(case: Case, data: Dataset) -> list[tuple[str, str]]:
    """Items that a case's readings give besides its own, each with the part whose readings count."""
    quantity = case.quantity
    own = "bore" if quantity["limit_side"] == "upper" else "shaft"
    sizes = [(n, "bore") for n in quantity["outer"].split()] + [(n, "shaft") for n in quantity["inner"].split()]
    if quantity["kind"] == "size":
        sizes = [(case.item, own)]
    forms = [(q, part) for q, r in data.quantities.items() for n, part in sizes if n in r["of"].split()]
    return [s for s in sizes if s[0] != case.item] + forms
