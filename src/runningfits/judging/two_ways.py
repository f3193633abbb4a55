"""Two ways of measuring one fit: whether they agree, and what may be behind it when not."""

from dataclasses import dataclass
from math import hypot

from .values import Value

CAUSES = {
    ("strip", True): (
        "the caps were not at full torque when the strip was taken, or the shells not seated",
        "the shaft lay off the strip's side (weight not taken up)",
        "the bore was read at the split or across a groove instead of square to the split",
        "the strip is old, oily or too wide a grade",
    ),
    ("strip", False): (
        "the shaft was turned on the strip",
        "the strip was read at its edge instead of its widest part, or lay on the oil hole",
        "the bore was read at the split, where shells are relieved on purpose",
        "the bore gauge was set on another size than the micrometer showed",
    ),
    ("gap", True): (
        "the feeler was forced, or the dial was not square to the travel",
        "the sizes were taken at another place than the gap",
    ),
    ("gap", False): (
        "oil or dirt filled the gap, or the thrust faces were not seated",
        "the feeler bridged a worn edge",
        "the sizes were taken at another place than the gap",
    ),
}
"""Likely causes, the likeliest first, by the way of the other value and whether it reads larger. Common practice."""


@dataclass(frozen=True)
class Agreement:
    """Difference of another way from the deciding one, the expanded uncertainty of that difference, and the verdict."""

    other: Value
    difference: float
    expanded: float
    agrees: bool
    causes: tuple[str, ...]


def compare(deciding: Value, other: Value) -> Agreement:
    """Agreement of two values: |x1 - x2| <= sqrt(U1^2 + U2^2), that is E_n <= 1 (ISO 13528, 9.7)."""
    off = float(other.value - deciding.value)
    expanded = hypot(deciding.expanded, other.expanded)
    agrees = abs(off) <= expanded * (1 + 1e-12)
    way = other.way if other.way in ("strip", "gap") else deciding.way
    larger = (off > 0) == (other.way in ("strip", "gap"))
    causes = () if agrees else CAUSES.get((way, larger), CAUSES["gap", larger])
    return Agreement(other, off, expanded, agrees, causes)
