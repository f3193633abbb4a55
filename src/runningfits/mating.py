"""Sizes that make a fit: which of them a reading measures, and of which both ends matter."""

from .dataset import Dataset


def measured_size(item: str, part: str, data: Dataset) -> str:
    """The size that a reading of a bore or a shaft measures for an item; empty for another part."""
    if part not in ("bore", "shaft"):
        return ""
    sides = data.quantities[item]["outer" if part == "bore" else "inner"].split()
    return sides[0] if sides else item


def makes_a_fit(one: str, other: str, data: Dataset) -> bool:
    """Whether two sizes, in either order, are the bore and the shaft of one fit."""
    sides = [(q["outer"].split(), q["inner"].split()) for q in data.quantities.values()]
    return any((one in o and other in i) or (one in i and other in o) for o, i in sides)


def both_ends_matter(size: str, data: Dataset) -> bool:
    """Whether too large is as wrong as too small: of the bore and the shaft of a fit, and of what its line says so."""
    fits = (q["outer"].split() + q["inner"].split() for q in data.quantities.values())
    return data.quantities[size]["both_ends"] == "yes" or any(size in sizes for sizes in fits)
