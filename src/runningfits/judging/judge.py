"""The main job: verdicts on a bench sheet."""

from collections import defaultdict
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from ..dataset import Dataset
from ..findings import Finding
from ..rows import Row
from ..sheets.sheet import Sheet, load
from . import choose, decide, grid, guides, values
from .bounds import Bounds, bounds
from .temperature import Temperatures, temperatures
from .values import Instrument, Value


@dataclass(frozen=True)
class Judged:
    """One fit at one position: the value that decides, its row and bounds, the verdict, and other methods' values.

    `passed_over` are rows of other documents that choices.csv passes over, `thumb` the rules of thumb that are used.
    """

    item: str
    position: str
    variant: str
    value: Value | None
    others: tuple[Value, ...]
    row: Row | None
    candidates: tuple[Row, ...]
    passed_over: tuple[Row, ...]
    bounds: Bounds | None
    verdict: str
    expanded: float
    probability: float | None
    within_limit: float | None
    derived: bool = False
    thumb: tuple[guides.Guide, ...] = ()


@dataclass(frozen=True)
class Result:
    """Verdicts of a sheet, torque steps and findings; `as_dict` is what `check --json` prints."""

    sheet: dict[str, Any]
    data: Dataset
    decision: str
    judged: tuple[Judged, ...]
    torques: tuple[dict[str, Any], ...]
    findings: tuple[Finding, ...]
    instruments: dict[str, Instrument] = field(default_factory=dict)

    def as_dict(self) -> dict[str, Any]:
        """The result as JSON values, numbers as text."""
        from ..faces.present import result

        return result(self)

    @property
    def clean(self) -> bool:
        """Whether nothing is out, undecided or found."""
        done = all(j.verdict in ("new", "worn") for j in self.judged)
        followed = all(t["verdict"] == "followed" for t in self.torques)
        return done and followed and all(f.severity == "remark" for f in self.findings)


@dataclass(frozen=True)
class _Item:
    """Readings of one item at one position, with the row's variant and class that the sheet asks for."""

    item: str
    position: str
    variant: str
    kind: str
    readings: tuple[grid.Reading, ...]
    derived: bool = False


def check(source: str | Path | dict[str, Any], data: Dataset) -> Result:
    """Verdicts on a sheet; raises SheetError when it cannot be used."""
    from .slips import findings
    from .torque import followed

    sheet = load(source, data)
    tools = values.instruments(sheet.values, data)
    known = temperatures(sheet.values, data)
    found, bad = findings(sheet, data)
    items = _items(sheet, data, known)
    items += _derived(items, data, sheet)
    judged = [_prepare(i, data, tools, known, bad, sheet) for i in items]
    judged = [j for j in judged if j.value or not j.derived]
    rule = sheet.values.get("decision", "guarded")
    torques = tuple(followed(sheet, data, found))
    return Result(sheet.values, data, rule, tuple(_decided(judged, rule)), torques, tuple(sorted(found)), tools)


def _items(sheet: Sheet, data: Dataset, known: Temperatures) -> list[_Item]:
    groups: defaultdict[tuple[str, str, str, str], list[grid.Reading]] = defaultdict(list)
    for index, raw in enumerate(sheet.values["readings"]):
        key = raw["item"], raw["position"], raw.get("variant", ""), raw.get("class", "new")
        groups[key].append(values.reading(raw, index, data, known))
    return [_Item(*key, tuple(found)) for key, found in groups.items()]


def _derived(items: list[_Item], data: Dataset, sheet: Sheet) -> list[_Item]:
    """Sizes and forms that the same grid of readings gives, where the engine has a row for them."""
    engine, asked = sheet.values["engine"], {(i.item, i.position) for i in items}
    there = {r.item for t in ("sizes", "clearances") for r in data.all_rows(engine, t)}
    found: dict[tuple[str, str], _Item] = {}
    for item in items:
        for name, part in _parts(item.item, data):
            readings = tuple(r for r in item.readings if r.part == part)
            if (
                readings
                and name in there
                and (name, item.position) not in asked
                and not _by_dial(name, item, data, engine)
            ):
                found.setdefault(
                    (name, item.position), _Item(name, item.position, item.variant, item.kind, readings, True)
                )
    return list(found.values())


def _by_dial(name: str, item: _Item, data: Dataset, engine: str) -> bool:
    """Whether the row of a form counts the swing of a dial, which diameters do not give."""
    row = choose.choose(data, engine, name, item.position).row
    return row is not None and row["method"] in ("dial-total", "half-dial")


def _parts(item: str, data: Dataset) -> list[tuple[str, str]]:
    """Items that an item's readings give, each with the part whose readings count."""
    quantity = data.quantities[item]
    own = "bore" if quantity["limit_side"] == "upper" else "shaft"
    sizes = [(n, "bore") for n in quantity["outer"].split()] + [(n, "shaft") for n in quantity["inner"].split()]
    if quantity["kind"] == "size":
        sizes = [(item, own)]
    forms = [(q, part) for q, r in data.quantities.items() for n, part in sizes if n in r["of"].split()]
    return [s for s in sizes if s[0] != item] + forms


def _prepare(
    item: _Item, data: Dataset, tools: dict[str, Instrument], known: Temperatures, bad: set[int], sheet: Sheet
) -> Judged:
    engine = sheet.values["engine"]
    chosen = choose.choose(data, engine, item.item, item.position, item.variant, item.kind)
    if chosen.row is None and item.derived:
        chosen = choose.choose(data, engine, item.item, item.position)
    found = _values(item, data, tools, known, chosen.row or next(iter(chosen.candidates), None))
    spoiled = any(r.index in bad for r in item.readings)
    value, others = (found[0], tuple(found[1:])) if found else (None, ())
    limits = bounds(chosen.row, data) if chosen.row else None
    thumb = _guides(item, data, sheet, chosen, limits)
    limits = guides.widened(thumb, limits, data.quantities[item.item]["limit_side"] != "lower")
    verdict = _undecidable(chosen, limits, value, spoiled)
    return Judged(
        item.item,
        item.position,
        item.variant,
        value,
        others,
        chosen.row,
        chosen.candidates,
        chosen.passed_over,
        limits,
        verdict,
        0.0,
        None,
        None,
        item.derived,
        tuple(thumb),
    )


def _guides(
    item: _Item, data: Dataset, sheet: Sheet, chosen: choose.Choice, limits: Bounds | None
) -> list[guides.Guide]:
    """Rules of thumb of the document that the sheet names, where the page leaves something open."""
    if "guides" not in sheet.values or chosen.candidates or item.kind != "new":
        return []
    found = guides.guides(data, sheet.values["engine"], item.item, item.position)
    return guides.used([g for g in found if g.cite.source == sheet.values["guides"]], chosen.row, limits)


def _undecidable(chosen: choose.Choice, limits: Bounds | None, value: Value | None, spoiled: bool) -> str:
    if spoiled:
        return "bad-entry"
    if chosen.candidates:
        return "which-row"
    if limits is None or not limits.judged:
        return "no-range"
    return "" if value else "cannot-tell"


def _values(
    item: _Item, data: Dataset, tools: dict[str, Instrument], known: Temperatures, row: Row | None
) -> list[Value]:
    """Values of an item by each way of measuring, the least uncertain first."""
    quantity = data.quantities[item.item]
    method = (row["method"] if row else "") or quantity["method"]
    spread, thermal = float(known.spread), quantity["dimension"] == "length"
    by_part: defaultdict[str, list[grid.Reading]] = defaultdict(list)
    for r in item.readings:
        by_part[r.part].append(r)
    found: list[Value | None] = []
    if quantity["inner"] and by_part["bore"] and by_part["shaft"]:
        ways = grid.PAIRED[grid.pair_method(method)]
        bore = values.part_value(by_part["bore"], ways[0], tools, spread, thermal)
        shaft = values.part_value(by_part["shaft"], ways[1], tools, spread, thermal)
        if bore and shaft:
            found.append(values.difference(bore, shaft, grid.pair_method(method)))
    for part in ("gap", "strip") if quantity["inner"] else ("bore", "shaft", "gap", "strip"):
        if by_part[part]:
            single = grid.single_method(method, part, quantity["limit_side"])
            found.append(values.part_value(by_part[part], single, tools, spread, thermal and part in ("bore", "shaft")))
    return sorted((v for v in found if v), key=lambda v: v.standard)


def _decided(judged: list[Judged], rule: str) -> list[Judged]:
    """Verdicts of those that can be decided, all in one call."""
    todo = [j for j in judged if _decidable(j)]
    if not todo:
        return judged
    value = np.array([float(j.value.value) for j in todo if j.value])
    standard = np.array([j.value.standard for j in todo if j.value])
    limits = np.array([j.bounds.floats() for j in todo if j.bounds]).T
    expanded = decide.COVERAGE_FACTOR * standard
    upward = np.array([j.bounds.wears_up for j in todo if j.bounds])
    guard = expanded if rule == "guarded" else np.zeros_like(expanded)
    codes = decide.decide(value, guard, limits[0], limits[1], limits[2], limits[3], upward)
    fresh = decide.probability(value, standard, limits[0], limits[1])
    allowed = decide.probability(value, standard, limits[2], limits[3])
    verdicts = iter(zip(codes, expanded, fresh, allowed, strict=True))
    return [_with(j, *next(verdicts)) if _decidable(j) else j for j in judged]


def _decidable(j: Judged) -> bool:
    return bool(not j.verdict and j.value and j.bounds)


def _with(j: Judged, code: int, expanded: float, fresh: float, allowed: float) -> Judged:
    from dataclasses import replace

    return replace(
        j,
        verdict=decide.VERDICTS[code],
        expanded=float(expanded),
        probability=None if np.isnan(fresh) else float(fresh),
        within_limit=float(allowed),
    )
