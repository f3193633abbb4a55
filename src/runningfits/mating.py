"""Sizes that make a fit: which of them a reading measures, and which run in or on another part."""

from .dataset import Dataset


def measured_size(item: str, part: str, data: Dataset) -> str:
    """The size that a reading of a bore or a shaft measures for an item; empty for another part."""
    if part not in ("bore", "shaft"):
        return ""
    sides = data.quantities[item]["outer" if part == "bore" else "inner"].split()
    return sides[0] if sides else item


def runs_in_another(size: str, data: Dataset) -> bool:
    """Whether a size is the bore or the shaft of a fit."""
    return any(size in q["outer"].split() or size in q["inner"].split() for q in data.quantities.values())
