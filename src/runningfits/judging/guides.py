"""Published rules of thumb for an item of an engine: shown, and used for judging only when a sheet asks."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from ..build import Build
from ..choosing import choose
from ..dataset import Dataset
from ..rows import Cite, Row
from ..thumb import names_of
from .bounds import Bounds, End

BOUNDS = {"lower": "at least", "upper": "at most", "wear": "beyond the new range by"}
"""What a rule of thumb gives, in words."""


@dataclass(frozen=True)
class Guide:
    """A rule of thumb worked out for an engine.

    `value` is in SI: the least or most for a `bound` of `lower` or `upper`, for `wear` what is added beyond the new
    range. `rule` tells the rule in words, `size` the id of the row whose size it scales with.
    """

    bound: str
    value: Fraction
    rule: str
    size: str
    cite: Cite


def guides(data: Dataset, engine: str, build: Build, item: str, position: str) -> list[Guide]:
    """Rules of thumb for an item at a position, of all documents, where the engine has the size that they need."""
    names = names_of(item)
    found = [_worked_out(r, data, engine, build, position) for r in data.table("guides") if r["quantity"] in names]
    return [g for g in found if g]


def _worked_out(rule: dict[str, str], data: Dataset, engine: str, build: Build, position: str) -> Guide | None:
    offset = Fraction(rule["offset"] or 0) * (data.units[rule["unit"]].factor if rule["unit"] else 1)
    cite = data.cite(rule["source"], rule["page"])
    words = rule_words(rule, data)
    if not rule["factor"]:
        return Guide(rule["bound"], offset, words, "", cite)
    size = _size(data, engine, build, rule["per"], position)
    if size is None:
        return None
    value, name = size
    return Guide(rule["bound"], Fraction(rule["factor"]) * value + offset, words, name, cite)


def rule_words(rule: dict[str, str], data: Dataset) -> str:
    """A line of guides.csv in words: factor times size plus offset."""
    times = f"{rule['factor']} x {data.quantities[rule['per']]['label'].lower()}" if rule["factor"] else ""
    added = f"{rule['offset']} {rule['unit']}" if rule["offset"] else ""
    return " + ".join(filter(None, (times, added)))


def _size(data: Dataset, engine: str, build: Build, quantity: str, position: str) -> tuple[Fraction, str] | None:
    """Size that a rule scales with, in SI: the largest new one; a bore or stroke also from the model's own line."""
    for name in names_of(quantity):
        row = choose(data, engine, build, name, position).row
        values = (*reversed(row.range()), row.value("nominal")) if row else ()
        value = next((v for v in values if v is not None), None)
        if row and value is not None:
            return Fraction(value) * data.units[row["unit"]].factor, row.id
    family = data.family(engine)
    model = family.models.get(build.model or family.only_model)
    column = {"cylinder-bore": "bore", "liner-bore": "bore", "crank-stroke": "stroke"}.get(quantity, "")
    if model is None or not model.cells.get(column):
        return None
    return Fraction(model.cells[column]) * data.units[model.cells["unit"]].factor, model.label


def used(found: Iterable[Guide], row: Row | None, limits: Bounds | None) -> list[Guide]:
    """Those that fill what the page leaves open: a range where there is none, a limit where a range has none."""
    if row is None or limits is None or not limits.judged:
        return [g for g in found if g.bound != "wear"]
    if row.cells["limit"] or (limits.high if limits.wears_up else limits.low) is None:
        return []
    return [g for g in found if g.bound in ("wear", "upper" if limits.wears_up else "lower")]


def widened(chosen: Iterable[Guide], limits: Bounds | None, side: str) -> Bounds | None:
    """Bounds with rules of thumb of one document; a limit that would lie inside the new range is left out.

    `side` is the one on which the quantity wears.
    """
    low = [g.value for g in chosen if g.bound == "lower"]
    high = [g.value for g in chosen if g.bound == "upper"]
    if limits is None or not limits.judged:
        if not low and not high:
            return limits
        return Bounds(_end(max(low, default=None)), _end(min(high, default=None)), None, side)
    wear = [g.value for g in chosen if g.bound == "wear"]
    new = limits.high if limits.wears_up else limits.low
    if new is None or not (wear or low or high):
        return limits
    if limits.wears_up:
        return replace(limits, limit=_end(max([new.loose, *high, *(new.loose + w for w in wear)])))
    return replace(limits, limit=_end(min([new.loose, *low, *(new.loose - w for w in wear)])))


def _end(value: Fraction | None) -> End | None:
    return None if value is None else End(value, value)
