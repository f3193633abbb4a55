"""Kinds of readings resolved: what an item at a place of a build is judged by when an instrument reads it in a unit.

A kind is checked as the reading of a bench sheet is, with the same words for what is wrong.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cache
from itertools import groupby
from math import inf, nextafter
from typing import Any

from ..build import STAGES, parsed
from ..choosing import choose
from ..dataset import Dataset
from ..judging import grid, values
from ..judging.against import DOUBTS
from ..judging.by_way import ways
from ..judging.case import SAYS, Case
from ..judging.cases import Bench
from ..judging.decide import CANNOT_TELL
from ..judging.instruments import instruments
from ..judging.judge import trials
from ..judging.scatter import scatters
from ..judging.temperature import temperatures
from ..judging.values import Means
from ..lines import Line, line_key
from ..mating import measured_size
from ..near import key as spelled
from ..sheets.entries import part_of
from ..sheets.faults import SheetFault, Step
from ..sheets.placed import Sheet
from ..sheets.reading_faults import value_faults
from ..sheets.sheet import checked
from .ruled import NOTHING, Ruled, ruled

Key = Mapping[str, str]
"""Words of a kind by column; empty where a table does not say."""

Lines = tuple[Ruled, ...]
"""What a kind is judged by."""

BUILD = ("engine", "model", "fitted", "size", "stage")
"""Columns that are the same for all readings of a sheet."""

AT_ONCE = 100
"""Kinds that are checked as one sheet."""


def kinds(keys: Sequence[Key], data: Dataset) -> list[Lines]:
    """What each kind is judged by: a line for each row that it is tried by, of a refused one a line with the reason."""
    found: list[Lines] = [()] * len(keys)
    order = sorted(range(len(keys)), key=lambda n: [keys[n].get(c, "") for c in BUILD])
    for _, group in groupby(order, key=lambda n: [keys[n].get(c, "") for c in BUILD]):
        numbers = list(group)
        for first in range(0, len(numbers), AT_ONCE):
            some = numbers[first : first + AT_ONCE]
            for n, lines in zip(some, _of_a_build([keys[n] for n in some], data), strict=True):
                found[n] = lines
    return found


def _of_a_build(keys: Sequence[Key], data: Dataset) -> list[Lines]:
    """Kinds of one build; those with a fault are taken out until the rest is a sheet without one."""
    reasons: dict[int, str] = {}
    while left := [n for n in range(len(keys)) if n not in reasons]:
        sheet, faults = checked(_sheet([keys[n] for n in left], data), data)
        if not faults:
            return _with(reasons, dict(zip(left, _resolved(sheet, [keys[n] for n in left], data), strict=True)))
        told = _by_reading(faults, sheet, keys, left)
        reasons |= told or dict.fromkeys(left, _words(faults[0]))
    return _with(reasons, {})


def _with(reasons: Mapping[int, str], made: Mapping[int, Lines]) -> list[Lines]:
    """Kinds in their order, refused ones with their reason."""
    refused = {n: (NOTHING._replace(reason=reason),) for n, reason in reasons.items()}
    return [lines for _, lines in sorted({**refused, **made}.items())]


def _by_reading(faults: Sequence[SheetFault], sheet: Sheet, keys: Sequence[Key], left: Sequence[int]) -> dict[int, str]:
    """The first fault of each reading that has one, or whose instrument has one."""
    found: dict[int, str] = {}
    for fault in faults:
        table, _, rest = fault.place.partition(" ")
        number = rest.partition(" ")[0]
        if table == "readings" and number.isdigit():
            found.setdefault(left[int(number)], _words(fault))
        elif table == "instruments" and number.isdigit():
            tool = sheet.values["instruments"][int(number)]["id"]
            for n, reading in zip(left, sheet.values["readings"], strict=True):
                if reading["instrument"] == tool:
                    found.setdefault(n, _words(fault))
    return found


def _words(fault: SheetFault) -> str:
    """A fault in a line, with the column that it is in."""
    place = [p for p in fault.place.split(" ") if not p.isdigit() and p not in ("readings", "instruments", "build")]
    column = next((p for p in place if p in (*BUILD, "item", "position", "part", *SAYS, "unit")), "instrument")
    return f"{column}: {fault.found}, expected {fault.expected}"


def _sheet(keys: Sequence[Key], data: Dataset) -> Sheet:
    """A sheet of a reading of each kind."""
    first, names = keys[0], dict[str, str]()
    readings = [_reading(k, names, data) for k in keys]
    build: dict[str, Any] = {"model": first["model"]} if first.get("model") else {}
    build |= {c: _answers(first[c]) for c in ("fitted", "size") if first.get(c)}
    tools = [{"id": n, "instrument": n} for n in dict.fromkeys(names.values())]
    stage = {"stage": first.get("stage") or STAGES[0]}
    told = {"engine": first["engine"], **stage, "build": build, "instruments": tools, "readings": readings}
    return Sheet(told, _spot)


def _spot(path: list[Step]) -> tuple[str, int, str]:
    return "", 0, " ".join(map(str, path))


def _answers(text: str) -> dict[str, dict[str, str]]:
    """Answers by question and place from `piston=trunk-piston; crankpin@3=-0.25 mm`."""
    found: dict[str, dict[str, str]] = {}
    for one in filter(None, (t.strip() for t in text.split(";"))):
        name, _, word = one.partition("=")
        question, _, place = name.partition("@")
        found.setdefault(question.strip(), {})[place.strip() or "all"] = word.strip()
    return found


def _reading(key: Key, names: dict[str, str], data: Dataset) -> dict[str, str]:
    """A reading of a kind: of 1, by the usual instrument where none is named."""
    item = _item(key["item"], data)
    part = key.get("part") or _part(item, data)
    tool = key.get("instrument") or (_usual(item, part, data) if item else "caliper")
    said = {c: key[c] for c in SAYS if key.get(c)}
    told = {"item": key["item"], "position": key["position"], "part": part, "value": "1", "unit": key["unit"]}
    return {**told, "instrument": names.setdefault(spelled(tool), tool), **said}


def _part(item: str, data: Dataset) -> str:
    """What a reading is of where nobody says: a size of its own part, all else is read itself."""
    quantity = data.quantities.get(item, {"kind": ""})
    return part_of(quantity) if quantity["kind"] == "size" else "gap"


def _item(text: str, data: Dataset) -> str:
    """The quantity that a text names; empty where that is none."""
    return _quantities(data).get(spelled(text), "")


@cache
def _quantities(data: Dataset) -> dict[str, str]:
    named = {spelled(row["label"]): name for name, row in data.quantities.items()}
    return named | {spelled(name): name for name in data.quantities}


def _usual(item: str, part: str, data: Dataset) -> str:
    """An instrument that can read a part, for a reading whose uncertainty is told."""
    if part == "strip":
        return "strip"
    quantity = data.quantities[measured_size(item, part, data) or item]
    return "dial-indicator" if part == "gap" and quantity["dimension"] == "length" else quantity["instrument"]


@dataclass(frozen=True)
class _Desk:
    """What the kinds of one sheet share: the sheet resolved but for its readings, and cases and rows that were met."""

    bench: Bench
    cases: dict[tuple[str, ...], Case] = field(default_factory=dict)
    rows: dict[tuple[str, ...], list[Ruled]] = field(default_factory=dict)


def _resolved(sheet: Sheet, keys: Sequence[Key], data: Dataset) -> Iterator[Lines]:
    """What each reading of a sheet without a fault is judged by."""
    given, tools = sheet.values, instruments(sheet.values, data)
    classes = {name: tool.kind for name, tool in tools.items()}
    means = Means(tools, scatters(classes, [], data), temperatures(given, data))
    build = parsed(given["build"], data.units)
    desk = _Desk(Bench(sheet, data, given["engine"], build, given["stage"], means, ()))
    for raw, key in zip(given["readings"], keys, strict=True):
        yield _kind(raw, bool(key.get("instrument")), desk)


def _kind(raw: dict[str, str], known: bool, desk: _Desk) -> Lines:
    bench, data = desk.bench, desk.bench.data
    kind = data.keyed("instruments")[bench.means.tools[raw["instrument"]].kind]["kind"]
    reading = values.reading(raw, 0, data, bench.means.warmth, kind)
    zero, one = (_case(raw, replace(reading, value=Fraction(v)), desk) for v in (0, 1))
    asked = one.choice.asked
    found: list[Ruled] = []
    for line in one.choice.lines:
        found += _line(_rows(line, zero, one, raw, known, desk), first=not found)
    head = next(n for n, r in enumerate(found) if r.joint)
    reason = " ".join(a.words for a in asked) if asked else one.choice.why
    if not reason and any(r.fixed == CANNOT_TELL for r in found):
        reason = DOUBTS["nothing"]
    common = {"asked": bool(asked), "reason": reason, **_least(raw, data)}
    return tuple(r._replace(head=head, **common) for r in found)


def _least(raw: dict[str, str], data: Dataset) -> dict[str, Any]:
    """The least number that a reading can have, and what is said of one below it."""
    alone = Sheet({"readings": [raw]}, _spot)
    below, zero = (next(value_faults(alone, data, ["readings", 0], raw | {"value": v}), None) for v in ("-1", "0"))
    words = f"value: too small, expected {below.expected}" if below else ""
    return {"least": nextafter(0, 1) if zero else 0.0 if below else -inf, "refusal": words}


def _rows(line: Line, zero: Case, one: Case, raw: dict[str, str], known: bool, desk: _Desk) -> list[Ruled]:
    """Rows of a line each by itself, and all of them, tried on readings of 0 and 1; the same at every place."""
    bench, data = desk.bench, desk.bench.data
    part = one.quantity["repair"]
    size = str(bench.build.size_of(part, raw["position"])) if part else ""
    told = (raw.get(c, "") for c in ("item", "part", "unit", "instrument", *SAYS))
    key = (*line_key(line), *told, str(known), size)
    if key not in desk.rows:
        tried = trials(one, line, bench)
        at_nothing = [next(iter(ways(zero, t.row, bench.means)), None) for t in tried]
        counted = [w.value if w else None for w in at_nothing]
        factor = data.units[raw["unit"]].factor
        desk.rows[key] = [ruled(v, t, factor, known, bench) for v, t in zip(counted, tried, strict=True)]
    return desk.rows[key]


def _line(rows: Sequence[Ruled], first: bool) -> list[Ruled]:
    """Rows of a line, each tried alone, with the trial of all of them; of a lone row one that is both."""
    *alone, joint = rows
    if len(alone) == 1:
        return [joint._replace(alone=first)]
    return [*(r._replace(alone=first, joint=False) for r in alone), joint._replace(alone=False)]


def _case(raw: dict[str, str], reading: grid.Reading, desk: _Desk) -> Case:
    said = {c: raw[c] for c in SAYS if c in raw}
    key = (raw["item"], raw["position"], raw["part"], *(raw.get(c, "") for c in SAYS))
    if key not in desk.cases:
        bench, data = desk.bench, desk.bench.data
        about = {**said, "part": raw["part"]}
        choice = choose(data, bench.engine, bench.build, raw["item"], raw["position"], about)
        desk.cases[key] = Case(raw["item"], raw["position"], said, data.quantities[raw["item"]], {}, choice, {})
    return replace(desk.cases[key], parts={raw["part"]: (reading,)})
