"""Which instrument could tell."""

from collections.abc import Collection
from math import hypot, sqrt

from ..dataset import Dataset
from .bounds import Bounds
from .coverage import NORMAL
from .instruments import Instrument
from .uncertainty import rectangular, resolved
from .values import Value

FAMILIES = {
    "bore minus shaft": ("outside-micrometer", "caliper"),
    "bore": ("outside-micrometer", "caliper"),
    "shaft": ("outside-micrometer", "caliper"),
    "gap": ("dial-indicator", "caliper"),
    "strip": ("outside-micrometer", "caliper"),
}
"""Instrument classes by the way of measuring, those with a published limit."""


def nearest(value: float, limits: Bounds) -> float:
    """Distance to the nearest boundary, in SI units; infinite without one."""
    ends = (limits.low, limits.high, limits.wear_low, limits.wear_high)
    found = [abs(value - float(x)) for e in ends if e is not None for x in e]
    return min([*found, *([abs(value)] if limits.floor else [])], default=float("inf"))


FINEST = 1.3e-6
"""The coarsest step, in metres, of what counts as the finest usual tool: 0.001 mm or 0.00005 in."""


def needed(value: Value, limits: Bounds, data: Dataset, used: Collection[Instrument] = (), inches: bool = False) -> str:
    """What could decide a value that lies within its uncertainty of a boundary, in a sentence.

    None that was `used` already is named: with the finest, repeats and a master of the size are left.
    """
    room = nearest(float(value.value), limits)
    pair = value.way in ("bore minus shaft", "bore", "strip")
    classes = data.keyed("instruments")
    kinds = {classes[t.kind]["kind"] for t in used}
    able = []
    for name in classes:
        if not name.startswith(FAMILIES.get(value.way, ("dial-indicator",))) or not classes[name]["mpe"]:
            continue
        if classes[name]["kind"] in kinds:
            continue
        factor = float(data.units[classes[name]["unit"]].factor)
        limit = rectangular(float(classes[name]["mpe"]) * factor)
        step = resolved(float(classes[name]["resolution"] or 0) * factor)
        expanded = NORMAL * hypot(limit, step) * (sqrt(2) if pair else 1)
        if expanded < room and expanded < value.expanded * 0.9:
            able.append((expanded, classes[name]["label"].partition(",")[0]))
    if able:
        return f"{_article(max(able)[1])}{' and a bore gauge set on it' if pair else ''} could tell"
    finer = NORMAL * hypot(rectangular(1e-6), resolved(1e-6)) * (sqrt(2) if pair else 1)
    if finer < room and used and all(0 < t.resolution < FINEST for t in used):
        return (
            "finer tools are not usual: several more readings of each place, and the tools compared with a master of "
            "the size (gauge blocks, a setting ring), could tell"
        )
    if finer < room:
        fine = "0.00005 in" if inches else "0.001 mm"
        tool = "a dial indicator" if value.way == "gap" else "a micrometer"
        gauge = " and a bore gauge set on it" if pair else ""
        return f"{tool} reading to {fine}, checked on gauge blocks,{gauge} could tell"
    return "it lies on the boundary: no usual instrument can tell; decide as if it were out, or select other parts"


def _article(label: str) -> str:
    return f"an {label}" if label[0] in "aeiou" else f"a {label}"
