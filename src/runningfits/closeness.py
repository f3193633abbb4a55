"""How closely rows speak of a thing at a place, and whether two of them speak of the same."""

from fractions import Fraction

from . import numerals, positions
from .dataset import Dataset
from .here import Here
from .lines import printed_ends
from .rows import Row

DETAILS = ("which", "thread", "state", "method", "at")
"""Columns that a line of a sheet can name itself, where rows differ by nothing else."""


def lends(row: Row, other: Row, data: Dataset) -> bool:
    """Whether a row prints an end that another of its document and detail does not."""
    more = not printed_ends(row) <= printed_ends(other)
    return more and other["source"] == row["source"] and compatible(row, other, data)


def parts_of(row: Row, here: Here) -> frozenset[str]:
    """Questions about fitted parts that a row answers, and its size where it bears one."""
    sized = frozenset(("size",)) if row.cells.get("size") else frozenset()
    return frozenset(here.family.speaks(row).parts) | sized


def same_thing(one: Row, other: Row, data: Dataset) -> bool:
    """Whether two rows may speak of one thing: the same of several alike, or one of them does not say which."""
    same = all(one.cells.get(c) == other.cells.get(c) for c in ("purpose", "step"))
    return same and all(_agree(one, other, c, data) for c in ("which", "thread"))


def names_more(row: Row, other: Row, here: Here) -> bool:
    """Whether a row names all fitted parts that another names and more, or in one document the model too."""
    mine, theirs = parts_of(row, here), parts_of(other, here)
    if theirs < mine:
        return True
    names, silent = here.family.speaks(row).names_model, not here.family.speaks(other).names_model
    return row["source"] == other["source"] and names and silent and theirs <= mine


def alike_measured(one: Row, other: Row, data: Dataset) -> bool:
    """Whether two rows do not name two of several alike, two states, two lengths or two steps."""
    return same_thing(one, other, data) and all(_agree(one, other, c, data) for c in ("state", "at"))


def rank(row: Row, here: Here) -> tuple[int, int]:
    """How close a row's place is to the one that is asked for: the less, the closer."""
    place = row["position"]
    if row.table == "torques":
        return (2, 0) if place == "all" and here.position != "all" else (0, 0)
    number, name = positions.split(here.position)
    if place == "all":
        return 2, 0
    if place == name or place == str(number):
        return 0, 0
    return 1, len(positions.numbers(place))


def compatible(one: Row, other: Row, data: Dataset) -> bool:
    """Whether one reading could be of both rows: each detail is the same, or one of them is silent on it."""
    return same_thing(one, other, data) and all(_agree(one, other, c, data) for c in DETAILS)


def _agree(one: Row, other: Row, column: str, data: Dataset) -> bool:
    return not one.cells.get(column) or not other.cells.get(column) or same_detail(one, other, column, data)


def same_detail(one: Row, other: Row, column: str, data: Dataset) -> bool:
    """Whether two rows say the same in a detail; numbers that a condition is given by within half a printed digit."""
    mine, theirs = one.cells.get(column, ""), other.cells.get(column, "")
    if mine == theirs:
        return column != "at" or not mine or one["at_unit"] == other["at_unit"]
    return column == "at" and bool(mine and theirs) and same_at(f"{mine} {one['at_unit']}", other, data)


def same_at(text: str, row: Row, data: Dataset) -> bool:
    """Whether `2.07 in` is the number that a row's value depends on, within half a printed digit."""
    number, _, unit = text.strip().partition(" ")
    known, own = data.units, row["at_unit"]
    if unit not in known or own not in known or known[unit].dimension != known[own].dimension:
        return (number, unit or own) == (row["at"], own)
    one = Fraction(numerals.parse(number)) * known[unit].factor
    other = Fraction(numerals.parse(row["at"])) * known[own].factor
    steps = ((number, unit), (row["at"], own))
    return abs(one - other) <= max(Fraction(numerals.step(n)) * known[u].factor for n, u in steps) / 2
