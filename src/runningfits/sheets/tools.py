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


def blank(name: str, data: Dataset, unit: str, classes: list[str]) -> dict[str, str]:
    """An instrument of a blank sheet: its scale in the engine's unit, its limit left to its class."""
    row = data.keyed("instruments")[name]
    inch = unit == "in" and bool(row["resolution_in"])
    tool = {"id": f"{name}-1", "instrument": name}
    tool |= {"resolution": row["resolution_in"] if inch else row["resolution"], "unit": "in" if inch else row["unit"]}
    setting = next((c for c in classes if c.startswith("outside-micrometer")), "")
    return tool | {"mpe": "", "set_on": f"{setting}-1" if name == "bore-gauge" and setting else ""}
