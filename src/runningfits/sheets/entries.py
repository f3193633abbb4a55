"""The readings that a line of a blank sheet needs: parts, places along and across them, instruments."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from ..build import Build
from ..choosing import true_for
from ..dataset import Dataset
from ..rows import Row
from . import tools
from .measuring import Line

INNER = ("bore-gauge", "inside-micrometer", "small-hole-gauge")
"""Instruments that measure between inner faces."""

DIRECT = ("feeler-gauge", "dial-indicator", "dial-on-bridge", "scale-rule")
"""Instruments that read a play or a gap itself."""

WAYS = {
    "dial-total": ("gap", "dial-indicator"),
    "half-dial": ("gap", "dial-indicator"),
    "total-travel": ("gap", "dial-indicator"),
    "widest-gap": ("gap", "feeler-gauge"),
    "widest-strip": ("strip", "strip"),
}
"""Part and instrument of the methods that read a clearance itself."""

ALONG = {"bore": ("top", "bottom"), "shaft": ("front", "rear")}
ACROSS = {"bore": ("lengthwise", "crosswise"), "shaft": ("vertical", "horizontal")}
OF_PISTON = ("across-pin", "along-pin")
"""Places along and directions across a part that a form needs."""

CROSS, ENDS, SPREAD = ("cross-difference",), ("end-difference", "neighbour-difference"), ("spread",)
"""Methods that need two directions, two places, two readings."""

TWICE = 2
"""How often a blank sheet asks for a reading: a second one shows the hand's own spread."""

Cell = tuple[str, str]
"""A place along a part and a direction across it."""


@dataclass(frozen=True)
class Entry:
    """A reading to take: the part, where on it, the class of instrument, and that which it is set on."""

    part: str
    tool: str
    set_on: str = ""
    cell: Cell = ("", "")

    @property
    def by_leaves(self) -> bool:
        """Whether the reading lies between a leaf that goes and the next that does not: alone, the first is a bound."""
        return self.part == "gap" and self.tool == "feeler-gauge"


@dataclass(frozen=True)
class Asked:
    """A line of a blank sheet: the readings to take, and the form lines that they answer too."""

    line: Line
    entries: tuple[Entry, ...]
    gives: tuple[Line, ...] = ()


def asked(lines: Iterable[Line], data: Dataset, build: Build) -> list[Asked]:
    """Lines with their readings; a form that the readings of a size give has none of its own.

    Such a size gets the places and directions that the form's method needs.
    """
    found = list(lines)
    given: dict[int, list[Line]] = {}
    taken = set()
    for n, line in enumerate(found):
        host = _host(line, found, data)
        if host is not None:
            given.setdefault(host, []).append(line)
            taken.add(n)
    return [
        Asked(line, () if n in taken else tuple(_entries(line, given.get(n, []), data, build)), tuple(given.get(n, ())))
        for n, line in enumerate(found)
    ]


def method(line: Line, data: Dataset) -> str:
    """Which readings of a line count: its row's method, else the quantity's."""
    return line.rows[0]["method"] or data.quantities[line.item]["method"]


def _host(form: Line, lines: list[Line], data: Dataset) -> int | None:
    """Number of the line whose readings give a form at the same place: a size of its own, else a fit of that size."""
    sizes = data.quantities[form.item]["of"].split()
    if not sizes or _among(form, data) or form.said or method(form, data) not in (*CROSS, *ENDS, *SPREAD):
        return None
    there = [(n, o) for n, o in enumerate(lines) if o.place == form.place and not o.said]
    own = [n for n, o in there if o.item in sizes and data.quantities[o.item]["kind"] == "size"]
    fits = [n for n, o in there for part, size in _sides(o, data) if size in sizes and part]
    return next(iter((*own, *fits)), None)


def _among(form: Line, data: Dataset) -> bool:
    """Whether a form compares the counted places of a size, such as cylinders, and not readings at one of them."""
    sizes = data.quantities[form.item]["of"].split()
    return bool(sizes) and data.counted_by(sizes[0]) != data.counted_by(form.item)


def _sides(line: Line, data: Dataset) -> list[tuple[str, str]]:
    """Bore and shaft of a fit that is measured by them, each with its size; empty for what is read itself."""
    quantity = data.quantities[line.item]
    direct = quantity["instrument"] in DIRECT or method(line, data) in WAYS
    if quantity["kind"] != "clearance" or not quantity["outer"] or not quantity["inner"] or direct:
        return []
    return [("bore", quantity["outer"].split()[0]), ("shaft", quantity["inner"].split()[0])]


def _entries(line: Line, forms: list[Line], data: Dataset, build: Build) -> Iterator[Entry]:
    quantity, way = data.quantities[line.item], method(line, data)
    sides = _sides(line, data)
    if sides:
        yield from _fit(line, sides, forms, data, build)
    elif quantity["kind"] == "size":
        part, kind = part_of(quantity), quantity["instrument"]
        ways = {method(f, data) for f in forms}
        yield from _repeated(_entry(part, kind, middle(line.rows[0], data), data), _cells(line.item, part, ways))
    elif quantity["of"] and way in (*CROSS, *ENDS, *SPREAD):
        size = quantity["of"].split()[0]
        part, kind = part_of(data.quantities[size]), data.quantities[size]["instrument"]
        known = _usual_size(quantity["of"], line.rows[0], data, build)
        count = data.count(line.rows[0].engine, size, build.model or None) if _among(line, data) else None
        cells = [(f"{data.repair_words(quantity['repair'])}-{n}", "") for n in range(1, (count or 0) + 1)]
        yield from _repeated(_entry(part, kind, known, data), cells or _cells(size, part, {way}))
    elif quantity["outer"] and way in WAYS:
        part, kind = WAYS[way]
        instrument = quantity["instrument"] if quantity["instrument"] in DIRECT and part == "gap" else kind
        yield from _repeated(Entry(part, instrument), [("", "")])
    else:
        dial = quantity["of"] and way in WAYS
        instrument = WAYS[way][1] if dial else quantity["instrument"]
        cells = [("first", ""), ("second", "")] if way in (*ENDS, *SPREAD) else [("", "")]
        yield from _repeated(_entry("gap", instrument, None, data), cells)


def _fit(line: Line, sides: list[tuple[str, str]], forms: list[Line], data: Dataset, build: Build) -> Iterator[Entry]:
    """Bore and shaft of a fit; the bore gauge is set on the micrometer of the shaft, so that its error drops out."""
    row = line.rows[0]
    known = {part: _usual_size(size, row, data, build) for part, size in sides}
    common = known["shaft"] or known["bore"]
    kinds = {part: data.quantities[size]["instrument"] for part, size in sides}
    shaft = _entry("shaft", kinds["shaft"], common, data)
    setting = shaft.tool if kinds["shaft"] == "outside-micrometer" else ""
    bore = _entry("bore", kinds["bore"], known["bore"] or common, data, setting)
    for entry, (part, size) in zip((bore, shaft), sides, strict=True):
        ways = {method(f, data) for f in forms if size in data.quantities[f.item]["of"].split()}
        yield from _repeated(entry, _cells(size, part, ways))


def part_of(quantity: dict[str, str]) -> str:
    """The part of a size: what lies between inner faces is a bore, what is read itself or is no length a gap."""
    if quantity["instrument"] in DIRECT or quantity["dimension"] != "length":
        return "gap"
    inner = quantity["instrument"] in INNER or (
        quantity["limit_side"] == "upper" and quantity["instrument"] == "depth-micrometer"
    )
    return "bore" if inner else "shaft"


def _entry(part: str, kind: str, size: Fraction | None, data: Dataset, setting: str = "") -> Entry:
    """A reading with the class of its size; a bore gauge is set on a micrometer of that size."""
    setting = setting or tools.of_size("outside-micrometer", size, data)
    return Entry(part, tools.of_size(kind, size, data), setting if kind == "bore-gauge" else "")


def _cells(size: str, part: str, ways: set[str]) -> list[Cell]:
    """Places and directions of a size that methods need."""
    side = part if part in ALONG else "shaft"
    across = OF_PISTON if size == "piston-skirt-diameter" else ACROSS[side]
    places = ALONG[side] if ways & set(ENDS) else ("",)
    directions = across if ways & set(CROSS) else across[:1] if across == OF_PISTON else ("",)
    if ways & set(SPREAD) and len(places) == len(directions) == 1:
        places = ALONG[side]
    return [(place, direction) for place in places for direction in directions]


def _repeated(entry: Entry, cells: list[Cell]) -> Iterator[Entry]:
    """A reading at each cell, the first one as often as it takes to show the hand's own spread."""
    for n, cell in enumerate(cells):
        for _ in range(1 if n else TWICE):
            yield Entry(entry.part, entry.tool, entry.set_on, cell)


def _usual_size(quantities: str, row: Row, data: Dataset, build: Build) -> Fraction | None:
    """Size in metres of the part that quantities measure, from a row of the engine, at the place of a row first."""
    there = [r for q in quantities.split() for r in data.rows(row.engine, q)]
    there.sort(key=lambda r: r["position"] != row["position"])
    return next((s for r in true_for(there, data, build) if (s := middle(r, data))), None)


def middle(row: Row, data: Dataset) -> Fraction | None:
    """The middle of a row's range, or the end that it prints, in SI units."""
    ends: list[Decimal] = [v for v in (*row.range(), row.value("nominal")) if v is not None]
    ends = ends or [v for v in (row.value("limit"),) if v is not None and row["limit_as"] != "wear"]
    if not ends:
        return None
    return sum(map(Fraction, ends), Fraction()) / len(ends) * data.units[row["unit"]].factor
