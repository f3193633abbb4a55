"""A sheet resolved once: what was measured where, and the rows that are true for it."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from .. import choosing
from ..build import STAGES, Build, parsed
from ..choosing import Choice
from ..dataset import Dataset
from ..rows import Row
from ..sheets.placed import Sheet
from . import grid, values
from .instruments import corrections, instruments
from .scatter import scatters
from .temperature import Temperatures, temperatures
from .values import Means

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
    """A sheet with everything that follows from it alone: build, stage, instruments, temperatures, cases.

    `unjudged` are forms and sizes that the dataset has for a part on the sheet and that are not judged, with why.
    """

    sheet: Sheet
    data: Dataset
    engine: str
    build: Build
    stage: str
    means: Means
    cases: tuple[Case, ...]
    unjudged: tuple[tuple[Case, str], ...] = ()

    @property
    def decision(self) -> str:
        """`guarded` or `simple`."""
        return str(self.sheet.values.get("decision", "guarded"))


def bench(sheet: Sheet, data: Dataset) -> Bench:
    """The sheet resolved; a derived case stands after those that were entered."""
    given, engine = sheet.values, sheet.values["engine"]
    build = parsed(given.get("build", {}), data.units)
    warmth, tools = temperatures(given, data), instruments(given, data)
    groups = _groups(given, data, warmth)
    kinds = {name: tool.kind for name, tool in tools.items()}
    scatter = scatters(kinds, [list(r) for *_, parts in groups for r in parts.values()], data)
    entered = [_case(data, engine, build, *g) for g in groups]
    derived, unjudged = _derived(entered, data, engine, build)
    made, apart = _fits(entered, data, engine, build)
    return Bench(
        sheet=sheet,
        data=data,
        engine=engine,
        build=build,
        stage=given.get("stage", STAGES[0]),
        means=Means(tools, scatter, warmth),
        cases=(*entered, *derived, *made),
        unjudged=(*unjudged, *apart),
    )


_Group = tuple[str, str, dict[str, str], dict[str, tuple[grid.Reading, ...]]]


def _groups(given: dict[str, Any], data: Dataset, warmth: Temperatures) -> list[_Group]:
    """Readings of one item and place that say the same of their row, by part."""
    shifts = corrections(given, data)
    kinds = {t["id"]: data.keyed("instruments")[t["instrument"]]["kind"] for t in given["instruments"]}
    groups: defaultdict[tuple[str, ...], defaultdict[str, list[grid.Reading]]] = defaultdict(lambda: defaultdict(list))
    for index, raw in enumerate(given["readings"]):
        key, tool = (raw["item"], raw["position"], *(raw.get(s, "") for s in SAYS)), raw["instrument"]
        made = values.reading(raw, index, data, warmth, kinds[tool], shifts[tool])
        groups[key][raw["part"]].append(made)
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
    for part, names in _sizes(quantity, data):
        for name in names:
            if part not in sizes or sizes[part].row is None:
                sizes[part] = choosing.choose(data, engine, build, name, position, about)
    return Case(item, position, said, quantity, parts, choice, sizes, derived)


def _sizes(quantity: dict[str, str], data: Dataset) -> list[tuple[str, list[str]]]:
    """Bore and shaft of a fit, or the size of a form's part, each with the sizes that it may be."""
    if quantity["outer"] or quantity["inner"] or not quantity["of"]:
        return [("bore", quantity["outer"].split()), ("shaft", quantity["inner"].split())]
    names = quantity["of"].split()
    return [("bore" if data.quantities[names[0]]["limit_side"] == "upper" else "shaft", names)]


def _derived(
    entered: list[Case], data: Dataset, engine: str, build: Build
) -> tuple[list[Case], list[tuple[Case, str]]]:
    """Sizes and forms that the same grid of readings gives where the dataset has a row, and those that it does not."""
    asked, found = {(c.item, c.position) for c in entered}, dict[tuple[str, str], Case]()
    missing: dict[tuple[str, str], tuple[Case, str]] = {}
    there = {r.item for t in ("sizes", "clearances") for r in data.all_rows(engine, t)}
    for case in entered:
        for name, part in _given(case, data):
            key = name, case.position
            if name not in there or key in asked or key in found or not case.parts.get(part):
                continue
            said = {k: v for k, v in case.said.items() if k in ("which", "class")}
            made = _case(data, engine, build, name, case.position, said, {part: case.parts[part]}, derived=True)
            if not made.choice.rows and not made.choice.asked:
                continue
            why = _why_not(made)
            if why:
                missing[key] = made, why
            else:
                found[key] = made
                missing.pop(key, None)
    return list(found.values()), [m for k, m in missing.items() if k not in found]


def _fits(entered: list[Case], data: Dataset, engine: str, build: Build) -> tuple[list[Case], list[tuple[Case, str]]]:
    """Fits of bores and shafts that were entered as items of their own, and those that they do not give, with why."""
    whole = {(c.item, c.position) for c in entered if c.parts.get("bore") and c.parts.get("shaft")}
    found, missing = list[Case](), list[tuple[Case, str]]()
    for name, quantity in data.quantities.items():
        bores, shafts = (_measured(entered, quantity[s].split(), p) for s, p in (("outer", "bore"), ("inner", "shaft")))
        if not bores or not shafts or not data.rows(engine, name):
            continue
        for position in dict.fromkeys(k[0] for k in (*bores, *shafts)):
            for which in dict.fromkeys(k[1] for k in (*bores, *shafts) if k[0] == position):
                pair = {"bore": bores.get((position, which)), "shaft": shafts.get((position, which))}
                there = {part: read for part, read in pair.items() if read}
                made = _case(
                    data, engine, build, name, position, {"which": which} if which else {}, there, derived=True
                )
                if (name, position) in whole or not (made.choice.rows or made.choice.asked):
                    continue
                why = _no_fit(made, data, engine, build)
                if not why:
                    found.append(made)
                elif not any((c.item, c.position) == (name, position) for c in entered):
                    missing.append((made, why))
    return found, missing


def _measured(entered: list[Case], sizes: list[str], part: str) -> dict[tuple[str, str], tuple[grid.Reading, ...]]:
    """Readings of a bore or shaft by place and which of several: of its own item, or of a fit of that size."""
    found: dict[tuple[str, str], tuple[grid.Reading, ...]] = {}
    for case in entered:
        fit = case.quantity["outer" if part == "bore" else "inner"].split()
        if case.parts.get(part) and (case.item in sizes or set(fit) & set(sizes)):
            key = case.position, case.said.get("which", "")
            found[key] = (*found.get(key, ()), *case.parts[part])
    return found


def _no_fit(fit: Case, data: Dataset, engine: str, build: Build) -> str:
    """Why two sizes do not give a fit at a place; empty where they do."""
    if len(fit.parts) < 2:
        return f"its {'shaft' if 'bore' in fit.parts else 'bore'} was not measured at this place"
    sizes = [n for side in ("outer", "inner") for n in fit.quantity[side].split()]
    family, model = data.family(engine), [build.model] if build.model else []
    counts = {c and family.count(c, model) for c in map(data.counted_by, sizes)}
    alike = len(counts) == 1 and (None not in counts or len(set(map(data.counted_by, sizes))) == 1)
    return "" if alike else "its bore and its shaft are not counted alike: enter both as readings of the fit"


def _why_not(case: Case) -> str:
    """Why the readings do not give what a row of a derived case asks for; empty where they do."""
    row = case.choice.row
    if row and row["method"] in DIAL:
        return "its page counts the swing of a dial, which diameters do not give"
    method = grid.single_method(case.method(row), next(iter(case.parts)), case.quantity["limit_side"])
    if grid.SINGLE["dial-total" if method == "half-dial" else method](grid.cells(list(case.readings))) is None:
        return NEEDS.get(method, "it needs more readings")
    return ""


NEEDS = {
    "cross-difference": "it needs readings in two directions at one place",
    "end-difference": "it needs readings at two places in one direction",
    "spread": "it needs two readings",
    "neighbour-difference": "it needs readings at two places",
}
"""What a method needs that counts a difference."""


def _given(case: Case, data: Dataset) -> list[tuple[str, str]]:
    """Items that a case's readings give besides its own, each with the part whose readings count."""
    quantity = case.quantity
    own = "bore" if quantity["limit_side"] == "upper" else "shaft"
    sizes = [(n, "bore") for n in quantity["outer"].split()] + [(n, "shaft") for n in quantity["inner"].split()]
    if quantity["kind"] == "size":
        sizes = [(case.item, own)]
    forms = [
        (q, part)
        for q, r in data.quantities.items()
        for n, part in sizes
        if n in r["of"].split() and r["count"] == data.quantities[n]["count"]
    ]
    return [s for s in sizes if s[0] != case.item] + forms
