"""What the dataset lets expect of each reading of a sheet: the lines of the table on which the bench rules run."""

from bisect import bisect_left, insort
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import median
from typing import Any

from .. import numerals
from ..dataset import Dataset
from ..rows import Row
from ..sheets.vocabulary import tool_words
from .bounds import bounds
from .case import Case
from .cases import Bench
from .grid import Reading
from .repeats import apart
from .sized import claimed

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


def lines(bench: Bench) -> list[tuple[Any, ...]]:
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
