"""Instruments of a sheet in SI units, and what each was set on."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from ..dataset import Dataset


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


def settings(tool: Instrument, tools: Mapping[str, Instrument]) -> list[Instrument]:
    """What an instrument was set on, what that was set on, and so on."""
    base = tools[tool.set_on] if tool.set_on else None
    return [base, *settings(base, tools)] if base else []


def corrections(sheet: dict[str, Any], data: Dataset) -> dict[str, Fraction]:
    """Known corrections of a sheet's instruments in SI units, by id: its own and those of all that it was set on.

    A comparator that was set on a micrometer repeats its error in every reading.
    """
    listed = {t["id"]: t for t in sheet["instruments"]}

    def whole(tool: dict[str, Any]) -> Fraction:
        own = Fraction(tool["correction"]) * data.units[tool["unit"]].factor if "correction" in tool else Fraction(0)
        return own + whole(listed[tool["set_on"]]) if "set_on" in tool else own

    return {name: whole(tool) for name, tool in listed.items()}
