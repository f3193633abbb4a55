"""Slips of an entry: the bench tables, and the bench rules run on them. A slip stands beside a verdict."""

import sqlite3
from bisect import bisect_left, insort
from collections import Counter, defaultdict
from collections.abc import Sequence
from contextlib import closing
from dataclasses import dataclass
from fractions import Fraction
from statistics import median
from typing import Any

from .. import numerals
from ..dataset import Dataset
from ..findings import Finding
from ..rows import Row
from ..rulebook import create, rules, run
from ..sheets.vocabulary import tool_words
from .bounds import bounds
from .case import Case
from .cases import Bench
from .fasteners import wanted
from .grid import Reading
from .naming import place_words, said_words
from .repeats import apart
from .rounds import is_for_check, times
from .sized import claimed
from .torque import Step

PLACE = {"row": "TEXT", "file": "TEXT", "line": "INTEGER", "column": "TEXT"}
READINGS = (
    PLACE
    | dict.fromkeys(("item", "position", "part", "value", "unit", "tool", "kind", "set_on", "basis", "says"), "TEXT")
    | dict.fromkeys(("si", "step", "resolution", "mpe", "low", "high", "wear_low", "wear_high", "width"), "REAL")
    | {"wears_up": "INTEGER", "fit_low": "REAL", "beside": "REAL", "odd_unit": "INTEGER"}
    | {
        "factor": "REAL",
        "digits": "INTEGER",
        "span_from": "REAL",
        "span_to": "REAL",
        "set_kind": "TEXT",
        "set_from": "REAL",
        "set_to": "REAL",
        "apart": "REAL",
        "allowed": "REAL",
    }
    | dict.fromkeys(("part_sized", "size", "printed"), "TEXT")
    | dict.fromkeys(("is_printed", "is_common"), "INTEGER")
)
"""Columns of `bench_readings`: numbers in SI, and `factor` to divide them by for the unit of the reading, which has
`digits` after its point; `tool` and `set_on` in words. low to wear_high is what the dataset lets expect of this part,
span_from and span_to what its instrument measures, set_kind to set_to the class of that on which it was set and what
that one measures, `says` what the reading says of its row, `beside` the median of what
else was read of the same: at other places, and of a gap what bore and shaft give; `odd_unit` whether all other readings
of its instrument bear another unit; `apart` how far the repeats of its place lie apart, `allowed` how far they may;
part_sized to is_common what the build says of its repair size (`sized.py`)."""

TORQUES = (
    PLACE
    | dict.fromkeys(
        ("joint", "position", "action", "value", "unit", "thread_state", "tool", "want_state", "want", "want_unit"),
        "TEXT",
    )
    | dict.fromkeys(("step", "done", "cycle", "turn"), "INTEGER")
    | dict.fromkeys(("si", "want_low", "want_high", "tool_from", "tool_to"), "REAL")
)
"""Columns of `bench_torques`: numbers in SI; `want` is the row's range as printed, `done` the order on the sheet,
`cycle` which tightening of the fasteners it is, `turn` their turn in the printed order."""

DONE = PLACE | {
    **dict.fromkeys(("joint", "position", "kind", "fastener", "place", "among", "purpose"), "TEXT"),
    **dict.fromkeys(("number", "step", "done", "last_stage", "for_check", "single_use", "times"), "INTEGER"),
}
"""Columns of `bench_fasteners`, a line for each fastener of each torque line: `kind` is the joint's id, `fastener` the
same text for the same fasteners in the same round of tightening, `place` is `all` where the line speaks of all, `among`
names some that the page does not tell apart; `number` is the line of the sheet, `last_stage` whether the sheet is of
the assembled engine, `for_check` whether it was tightened for another purpose than running and not for running after
that, `single_use` how often the page lets it be tightened (0 where it says nothing), `times` how often
it was."""

WANTED = PLACE | {
    **dict.fromkeys(("joint", "fastener", "place", "place_words", "entered"), "TEXT"),
    "step": "INTEGER",
}
"""Columns of `bench_steps`, the steps that the sheet must have: `entered` are the places that it names, where no page
says whether those are all."""


def findings(bench: Bench, steps: Sequence[Step]) -> list[Finding]:
    """Findings of the bench rules."""
    with closing(prepared(bench, steps)) as base:
        return [f for rule in rules("bench") for f in run(rule, base)]


def prepared(bench: Bench, steps: Sequence[Step]) -> sqlite3.Connection:
    """The bench tables of a sheet, on which the bench rules run."""
    base = sqlite3.connect(":memory:")
    create(base, "bench_readings", READINGS, _readings(bench))
    create(base, "bench_torques", TORQUES, [_torque(s, bench) for s in steps])
    create(base, "bench_fasteners", DONE, [line for s in steps for line in _done(s, steps, bench)])
    create(base, "bench_steps", WANTED, _wanted(steps, bench))
    return base


def _readings(bench: Bench) -> list[tuple[Any, ...]]:
    """A line for each reading of the sheet, in its order."""
    entered = [c for c in bench.cases if not c.derived]
    around = _Around(entered, bench.sheet.values["readings"])
    found = {}
    for case in entered:
        repeats, size = apart(case.readings, bench.means), claimed(case, bench)
        for part, readings in case.parts.items():
            ends = _ends(part, case, bench)
            for r in (r for r in readings if bench.sheet.values["readings"][r.index]["item"] == case.item):
                own = repeats[r.index]
                found[r.index] = (*_reading(r, case, ends, around, bench), own.range, own.allowed, *size)
    return [found[n] for n in sorted(found)]


class _Around:
    """What else stands on the sheet beside a reading."""

    def __init__(self, entered: Sequence[Case], readings: Sequence[dict[str, Any]]) -> None:
        self.same: defaultdict[tuple[str, str, str], list[float]] = defaultdict(list)
        for case in entered:
            for reading in case.readings:
                self.same[_thing(case, reading)].append(float(reading.value))
        for values in self.same.values():
            values.sort()
        self.units = Counter((r["instrument"], r["unit"]) for r in readings)
        self.instruments = Counter(r["instrument"] for r in readings)

    def beside(self, reading: Reading, case: Case, gap: float | None) -> float | None:
        """Median of what else was read of the same in SI: other readings of the item, of a gap bore less shaft too."""
        others = list(self.same[_thing(case, reading)])
        del others[bisect_left(others, float(reading.value))]
        if gap is not None:
            insort(others, gap)
        middle = len(others) // 2
        return median(others[max(middle - 1, 0) : middle + 1 + len(others) % 2]) if others else None

    def odd_unit(self, raw: dict[str, Any]) -> bool:
        """Whether all other readings of the instrument bear another unit."""
        return self.instruments[raw["instrument"]] > 1 and self.units[raw["instrument"], raw["unit"]] == 1


def _thing(case: Case, reading: Reading) -> tuple[str, str, str]:
    return case.item, " ".join(f"{k}={v}" for k, v in case.said.items()), reading.part


def _mean(readings: Sequence[Reading]) -> Fraction:
    return sum((r.value for r in readings), Fraction(0)) / len(readings)


@dataclass(frozen=True)
class _Ends:
    """What bounds a measured part of a case in SI, in words where that is from, the fit's low end and width; of a gap
    what bore and shaft give.
    """

    limits: tuple[float | None, ...]
    up: int
    basis: str
    fit_low: float | None
    width: float | None
    gap: float | None


def _ends(part: str, case: Case, bench: Bench) -> _Ends:
    """What bounds a part: its row, else what the other part measures."""
    data, row = bench.data, _own_row(part, case)
    limits, up = _limits(row, data)
    basis = f"{data.quantities[row.item]['label'].lower()} ({row.cite.text})" if row else ""
    other = _partner(part, case, bench) if row is None else None
    if other:
        limits, basis = (other,) * 4, "the other part"
    (low, high, *_), _ = _limits(case.choice.row, data)
    width = high - low if low is not None and high is not None else None
    return _Ends(limits, up, basis, low, width, _gap(case) if part in ("gap", "strip") else None)


def _gap(case: Case) -> float | None:
    """Bore less shaft by the means of their readings, in SI; None where not both were read."""
    bores, shafts = case.parts.get("bore", ()), case.parts.get("shaft", ())
    return float(_mean(bores) - _mean(shafts)) if bores and shafts else None


def _reading(reading: Reading, case: Case, ends: _Ends, around: _Around, bench: Bench) -> tuple[Any, ...]:
    raw, data = bench.sheet.values["readings"][reading.index], bench.data
    unit, tool = data.units[raw["unit"]], bench.means.tools[raw["instrument"]]
    si = float(Fraction(raw["value"]) * unit.factor)
    step = float(Fraction(numerals.step(raw["value"])) * unit.factor)
    place = (f"readings-{reading.index}", *bench.sheet.spot(["readings", reading.index, "value"]))
    named = tool_words(tool.id, data)
    words = (case.item, case.position, reading.part, raw["value"], raw["unit"], named, tool.kind)
    more = (tool_words(tool.set_on or "", data), ends.basis, " ".join(f"{k}={v}" for k, v in case.said.items()))
    numbers = (si, step, tool.resolution, tool.mpe, *ends.limits, ends.width)
    digits = len(raw["value"].partition(".")[2])
    around_it = (around.beside(reading, case, ends.gap), around.odd_unit(raw))
    return (
        *place,
        *words,
        *more,
        *numbers,
        ends.up,
        ends.fit_low,
        *around_it,
        float(unit.factor),
        digits,
        *_span(tool.id, bench),
        bench.means.tools[tool.set_on].kind if tool.set_on else "",
        *(_span(tool.set_on, bench) if tool.set_on else (None, None)),
    )


def _span(name: str, bench: Bench) -> tuple[float | None, float | None]:
    """What an instrument measures, in SI: its own range where the sheet gives it, else its class's."""
    data = bench.data
    tool = next(t for t in bench.sheet.values["instruments"] if t["id"] == name)
    known = data.keyed("instruments")[tool["instrument"]]
    ends: list[float | None] = []
    for own, of_class in (("range_from", "span_from"), ("range_to", "span_to")):
        text, unit = (tool[own], tool["unit"]) if own in tool else (known[of_class], known["unit"])
        ends.append(float(Fraction(text) * data.units[unit].factor) if text else None)
    return ends[0], ends[1]


def _partner(part: str, case: Case, bench: Bench) -> float | None:
    """Mean of the readings of the other part of a fit, in SI."""
    other = {"bore": "shaft", "shaft": "bore"}.get(part, "")
    raws = [bench.sheet.values["readings"][r.index] for r in case.parts.get(other, ())]
    values = [float(Fraction(r["value"]) * bench.data.units[r["unit"]].factor) for r in raws]
    return sum(values) / len(values) if values else None


def _own_row(part: str, case: Case) -> Row | None:
    """Row that bounds the part that was measured."""
    if part in ("gap", "strip") or not (case.quantity["inner"] or case.quantity["of"]):
        return case.choice.row
    return case.sizes[part].row if part in case.sizes else None


def _limits(row: Row | None, data: Dataset) -> tuple[tuple[float | None, ...], int]:
    """Low, high and the two worn ends of a row in SI, and whether it wears upward."""
    if row is None:
        return (None,) * 4, 1
    found = bounds(row, data)
    ends = (found.low, found.high, found.wear_low, found.wear_high)
    low, high, wear_low, wear_high = (None if v is None else float(v.loose) for v in ends)
    nominal = row.value("nominal")
    if low is None and high is None and nominal is not None:
        low = high = float(Fraction(nominal) * data.units[row["unit"]].factor)
    return (low, high, wear_low, wear_high), int(found.wears_up)


def _torque(step: Step, bench: Bench) -> tuple[Any, ...]:
    raw, row, data = step.raw, step.row, bench.data
    place = (f"torques-{step.index}", *bench.sheet.spot(["torques", step.index, "value"]))
    want = row["nominal"] or " to ".join(filter(None, (row["lower"], row["upper"]))) if row else ""
    words = (*_names(raw, data), row["action"] if row else "", raw["value"], raw["unit"])
    states = (
        step.state.replace("-", " "),
        tool_words(raw["instrument"], data),
        _printed_state(step).replace("-", " "),
        want,
        row["unit"] if row else "",
    )
    numbers = (step.done, raw.get("cycle", 1), step.turn, step.si, step.low, step.high, step.tool_from, step.tool_to)
    return (*place, *words, *states, raw["step"], *numbers)


def _printed_state(step: Step) -> str:
    """State of the threads that the leading row prints, or else the only one that its documents do."""
    return (step.row["thread_state"] if step.row else "") or ("".join(step.states) if len(step.states) == 1 else "")


def _names(raw: dict[str, Any], data: Dataset) -> tuple[str, str]:
    """Joint, with what is said of it, and place in words."""
    joint = ", ".join([data.joints[raw["joint"]]["label"].lower(), *said_words(_said(raw), data)])
    return joint, place_words(raw["position"], data)


def _said(raw: dict[str, Any]) -> dict[str, str]:
    return {k: raw[k] for k in ("which", "purpose", "thread") if k in raw}


REUSE = {"no": 1, "once": 2}
"""How often a page lets a fastener be tightened; the strictest of the pages for it counts, whichever of them judges."""


def _done(step: Step, steps: Sequence[Step], bench: Bench) -> list[tuple[Any, ...]]:
    """A line for each fastener of a torque line."""
    spot = (f"torques-{step.index}", *bench.sheet.spot(["torques", step.index, "value"]))
    names = _names(step.raw, bench.data)
    pages = (*step.choice.rows, *step.choice.passed_over)
    reuse = min((REUSE[r["reuse"]] for r in pages if r["reuse"] in REUSE), default=0)
    numbers = (step.index, step.raw["step"], step.done, bench.stage == "assembled")
    return [
        (
            *spot,
            *names,
            f.kind.joint,
            f.kind.text,
            f.place,
            f.among,
            f.kind.purpose,
            *numbers,
            is_for_check(f, step, steps),
            reuse,
            times(f, step, steps, bench),
        )
        for f in step.fasteners
    ]


def _wanted(found: Sequence[Step], bench: Bench) -> list[tuple[Any, ...]]:
    """Steps that the sheet must have, each with the first line of its joint as its spot."""
    data = bench.data
    first = {s.raw["joint"]: s.index for s in reversed(found)}
    done = [(f, (s.done, s.index)) for s in found for f in s.fasteners]
    made = []
    for want in wanted(done, frozenset(first) | bench.sheet.left_joints, bench):
        kind, index = want.fastener.kind, first.get(want.fastener.kind.joint)
        spot = bench.sheet.spot(["torques"] if index is None else ["torques", index, "step"])
        joint, place = _names({**want.said, "joint": kind.joint, "position": want.fastener.place}, data)
        entered = ", ".join(place_words(p, data) for p in want.entered)
        made.append((joint, *spot, joint, kind.text, want.fastener.place, place, entered, want.step))
    return list(dict.fromkeys(made))
