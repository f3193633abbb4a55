"""Instruments of a blank sheet: the class for a size, in the engine's unit."""

from fractions import Fraction

from ..dataset import Dataset


def of_size(kind: str, size: Fraction | None, data: Dataset) -> str:
    """The class of a kind of instrument whose span holds a size in metres; the kind itself where none is known."""
    classes = data.keyed("instruments")
    if size is None:
        return kind
    for name, row in classes.items():
        if row["kind"] != kind or not row["span_to"]:
            continue
        factor = data.units[row["unit"]].factor
        if Fraction(row["span_from"]) * factor <= size < Fraction(row["span_to"]) * factor:
            return name
    return kind


def blank(name: str, data: Dataset, unit: str, number: int, set_on: str = "") -> dict[str, str]:
    """An instrument of a blank sheet: its scale in the engine's unit, its limit left to its class."""
    row = data.keyed("instruments")[name]
    inch = unit == "in" and (bool(row["resolution_in"]) or not row["resolution"]) and row["unit"] == "mm"
    tool = {"id": f"{name}-{number}", "instrument": name}
    tool |= {"resolution": row["resolution_in"] if inch else row["resolution"], "unit": "in" if inch else row["unit"]}
    return tool | {"mpe": "", "set_on": set_on}


class Chest:
    """Instruments of a blank sheet, each class once, a comparator once for each instrument that it is set on."""

    def __init__(self, data: Dataset, unit: str) -> None:
        """Start with none; `unit` is the engine's."""
        self._data, self._unit = data, unit
        self._tools: dict[tuple[str, str], dict[str, str]] = {}

    def take(self, name: str, set_on: str = "") -> str:
        """The id of an instrument of a class, put in where there is none yet."""
        setting = self.take(set_on) if set_on else ""
        if (name, setting) not in self._tools:
            number = 1 + sum(n == name for n, _ in self._tools)
            self._tools[name, setting] = blank(name, self._data, self._unit, number, setting)
        return self._tools[name, setting]["id"]

    @property
    def tools(self) -> list[dict[str, str]]:
        """All instruments, in the order in which they were taken."""
        return list(self._tools.values())
