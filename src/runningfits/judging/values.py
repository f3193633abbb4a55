"""From readings to values with their uncertainty."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import sqrt
from typing import Any

from ..dataset import Dataset
from ..numerals import parse
from ..units import Unit, convert, pick
from . import grid
from .temperature import Temperatures, correction, expansion
from .uncertainty import Component, combined, grown, pooled, rectangular, resolved


@dataclass(frozen=True)
class Instrument:
    """An instrument of the sheet in SI units; limits as half-widths, `percent` of the reading where that is given."""

    id: str
    kind: str
    resolution: float
    mpe: float
    percent: float
    set_on: str | None
    zero_shift: float


@dataclass(frozen=True)
class Value:
    """A value in SI units, exact, with its components of uncertainty and how it was found."""

    value: Fraction
    components: tuple[Component, ...]
    way: str
    method: str
    readings: tuple[int, ...]

    @property
    def standard(self) -> float:
        """Combined standard uncertainty."""
        return combined(list(self.components))


def instruments(sheet: dict[str, Any], data: Dataset) -> dict[str, Instrument]:
    """Instruments of a sheet by id; limits that the sheet leaves out are the class's, published or usual."""
    return {tool["id"]: _instrument(tool, data) for tool in sheet["instruments"]}


def _instrument(tool: dict[str, Any], data: Dataset) -> Instrument:
    known = data.keyed("instruments")[tool["instrument"]]
    unit = data.units[tool.get("unit") or known["unit"]]
    own = {k: tool.get(k) for k in ("resolution", "mpe", "zero_shift")}
    class_unit = data.units[known["unit"]]

    def si(name: str) -> float:
        if own.get(name):
            return float(Fraction(str(own[name])) * unit.factor)
        usual = known["usual"] if name == "mpe" else ""
        text = known.get(name) or usual
        return float(Fraction(text) * class_unit.factor) if text else 0.0

    percent = tool.get("mpe_percent") or ("" if tool.get("mpe") else known["mpe_percent"] or known["usual_percent"])
    return Instrument(
        id=tool["id"],
        kind=tool["instrument"],
        resolution=si("resolution"),
        mpe=0.0 if percent and not tool.get("mpe") else si("mpe"),
        percent=float(percent or 0),
        set_on=tool.get("set_on"),
        zero_shift=abs(si("zero_shift")),
    )


def corrections(sheet: dict[str, Any], data: Dataset) -> dict[str, Fraction]:
    """Known corrections of a sheet's instruments in SI units, by id."""
    return {
        t["id"]: Fraction(parse(t["correction"])) * data.units[t["unit"]].factor
        for t in sheet["instruments"]
        if "correction" in t
    }


def reading(
    raw: dict[str, Any], index: int, data: Dataset, temperatures: Temperatures, shift: Fraction = Fraction(0)
) -> grid.Reading:
    """A reading of the sheet in SI units, its instrument's known correction added, at 20 degrees Celsius."""
    unit = pick(data.units, raw["unit"])
    low = _si(parse(raw["value"]), unit) + shift
    high = _si(parse(raw["to"]), unit) + shift if "to" in raw else low
    factor = correction(raw, data, temperatures)
    middle = (low + high) / 2 * factor
    place, direction = raw.get("place", ""), raw.get("direction", "")
    half, tool = (high - low) / 2, raw["instrument"]
    return grid.Reading(index, raw["part"], place, direction, middle, half, tool, expansion(raw, data))


def _si(value: Decimal, unit: Unit) -> Fraction:
    return convert(value, unit, Unit("", unit.dimension, Fraction(1), ""))


def part_value(
    readings: list[grid.Reading], method: str, tools: dict[str, Instrument], spread_kelvin: float, thermal: bool
) -> Value | None:
    """Value of one part's readings by a method, or None where the method needs more readings."""
    if method == "half-dial":
        whole = part_value(readings, "dial-total", tools, spread_kelvin, thermal)
        return _halved(whole) if whole else None
    cells = grid.cells(readings)
    counted = grid.SINGLE[method](cells)
    if counted is None:
        return None
    parts = list(_components(readings, cells, method, tools, float(abs(counted))))
    if thermal and method not in grid.DIFFERENCES:
        size = float(abs(counted))
        growth = grown(size, float(max(r.expansion for r in readings)), spread_kelvin)
        parts.append(Component(f"temperature of the {readings[0].part}", rectangular(growth)))
    return Value(counted, tuple(parts), readings[0].part, method, tuple(r.index for r in readings))


def _halved(whole: Value) -> Value:
    """Half of the dial's swing, with half of its uncertainty (JCGM 100:2008, 5.1.2)."""
    parts = tuple(replace(c, standard=c.standard / 2) for c in whole.components)
    return replace(whole, value=whole.value / 2, components=parts, method="half-dial")


def _components(
    readings: list[grid.Reading], cells: grid.Cells, method: str, tools: dict[str, Instrument], size: float
) -> Iterable[Component]:
    """Components of a part's value: limits of the instrument and of what it was set on, steps, repeats, zero shift.

    A mean over n places and directions lowers what differs from reading to reading by sqrt n; a difference of two
    readings doubles its square and drops the scale error.
    """
    part, difference = readings[0].part, method in grid.DIFFERENCES
    factor = sqrt(2) if difference else 1 / sqrt(len(cells)) if method.startswith("mean") else 1.0
    repeats = min(len(v) for v in cells.values())
    deviation, freedom = pooled(list(cells.values()))
    if freedom:
        yield Component(f"repeats on the {part}", deviation / sqrt(repeats) * factor, freedom=freedom)
    if width := max(r.half_width for r in readings):
        yield Component(f"marks on the {part}", rectangular(float(width)) * factor)
    for tool in (tools[i] for i in dict.fromkeys(r.instrument for r in readings)):
        yield Component(f"step of {tool.id} on the {part}", resolved(tool.resolution) * factor)
        if difference:
            continue
        limit = tool.percent / 100 * size if tool.percent else tool.mpe
        yield Component(_scale_key(tool, part), rectangular(limit))
        if tool.zero_shift:
            yield Component(f"zero of {tool.id}", rectangular(tool.zero_shift))
        if tool.set_on:
            base = tools[tool.set_on]
            yield Component(_scale_key(base, "shaft"), rectangular(base.mpe))
            if base.zero_shift:
                yield Component(f"zero of {base.id}", rectangular(base.zero_shift))


def _scale_key(tool: Instrument, part: str) -> str:
    """One cause for one instrument on one kind of part: jaws for bores are others than those for shafts."""
    return f"limit of {tool.id} on the {part}"


def difference(bore: Value, shaft: Value, method: str) -> Value:
    """Bore minus shaft; causes that both share cancel (JCGM 100:2008, 5.2.2)."""
    taken = [Component(c.key, c.standard, -c.sign, c.freedom) for c in shaft.components]
    return Value(
        bore.value - shaft.value, (*bore.components, *taken), "bore minus shaft", method, bore.readings + shaft.readings
    )
