"""Which tool can decide: U of one reading by each usual way, against the widths of the ranges that pages print."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import ceil, floor, log10
from statistics import median

from .. import units
from ..choosing import decided
from ..dataset import Dataset
from ..judging import grid, values
from ..judging.instruments import instruments
from ..judging.scatter import scatters
from ..judging.temperature import temperatures
from ..rows import Row
from . import html
from .both_units import OTHER, SIGNS
from .ways import TOOLS, UNITS, WAYS, paired, ways

MARK = re.compile(r"^<!-- deciding:(.*?)-->$", re.MULTILINE)

FROM_ZERO = ("backlash", "clearance", "end-play", "form", "gap")
"""Kinds that cannot be less than nothing, so that a lone upper end is a range."""

FINEST = {"mm": Fraction(1, 10**4), "in": Fraction(1, 10**5)}
"""Finest step in which numbers are shown."""

ASSUMED = (
    "Assumed: one reading in the middle of the new range; U as the bench works it out (JCGM 100), with the limits of "
    "error of data/instruments.csv (of a caliper up to 100 mm) and parts and tools within 1 K. Decided: the whole "
    "interval value ± U lies in the range (ISO 14253-1), that is, the range is wider than 2U. Wear limits are not "
    "looked at; equal ranges of one engine count once; a range printed only as at most counts from zero where less is "
    "impossible."
)
OPEN = (
    "No published limit of error was read for {}: the usual one is counted (common practice), and so is the usual "
    "repeatability of a hand."
)
DIFFERENCE = (
    "In a difference of readings of one tool (out-of-round, taper) the scale error drops out and the step and the "
    "usual repeatability of a hand count."
)

HEADS = ("Fit", "Width of the new range", "Tool, U (95 %), ranges decided")


@dataclass(frozen=True)
class Range:
    """A printed new range in SI units, and the engine that it is of."""

    engine: str
    low: Fraction
    high: Fraction

    @property
    def middle(self) -> float:
        """Its middle."""
        return float(self.low + self.high) / 2

    @property
    def width(self) -> float:
        """Its width."""
        return float(self.high - self.low)


def expand(markdown: str, data: Dataset) -> str:
    """Markdown with the table in place of each line `<!-- deciding: ITEM ... -->`; raises as `table` does."""
    return MARK.sub(lambda m: table(data, m[1].split()), markdown)


def table(data: Dataset, quantities: Sequence[str]) -> str:
    """HTML table: printed ranges of each quantity or joint, U of one reading by each way, and how many it decides.

    Raises ValueError for a name that the dataset does not have, or for which no way of measuring is known.
    """
    rows = [_row(name, data) for name in quantities]
    return f"{html.table(HEADS, rows)}\n{_assumed(quantities, data)}"


def ranges(name: str, data: Dataset) -> list[Range]:
    """New ranges of a quantity or joint, engine by engine, those with equal ends once.

    A lone upper end counts from zero where the quantity cannot be less.
    """
    tables = ("torques",) if name in data.joints else ("sizes", "clearances")
    found: dict[Range, None] = {}
    for engine in data.engines:
        rows = [r for t in tables for r in data.all_rows(engine, t) if r.item == name and _is_final(r)]
        found |= dict.fromkeys(r for row in decided(rows, data)[0] if (r := _range(row, data)))
    return list(found)


def expanded(name: str, way: str, size: float, data: Dataset) -> float:
    """Expanded uncertainty (95 %) of one reading of an item by a way, in SI units, at a size in SI units."""
    quantity = data.quantities.get(name, {"method": "largest", "limit_side": "upper", "dimension": "torque"})
    means = _means(_band(size * 1000, data), data)
    parts = WAYS[way][1]
    if len(parts) == 1:
        ((part, tool),) = parts.items()
        method = grid.single_method(quantity["method"], part, quantity["limit_side"])
        thermal = quantity["dimension"] == "length" and part in ("bore", "shaft")
        return _one(part, tool, method, size, means, thermal).expanded
    method = grid.pair_method(quantity["method"])
    bore, shaft = (
        _one(p, t, m, size, means, True) for (p, t), m in zip(parts.items(), grid.PAIRED[method], strict=True)
    )
    return values.difference(bore, shaft, method).expanded


def decides(found: Sequence[Range], uncertainties: Sequence[float]) -> int:
    """How many ranges a reading in the middle is proved to lie in by the guarded rule, with U of each (SI units)."""
    inside = zip(found, uncertainties, strict=True)
    return sum(r.low <= r.middle - u and r.middle + u <= r.high for r, u in inside)


def _is_final(row: Row) -> bool:
    if row.table == "torques":
        return row["action"] == "tighten" and not row["purpose"]
    return row["class"] == "new"


def _range(row: Row, data: Dataset) -> Range | None:
    low, high = row.range()
    if low is None and high is not None and data.quantities.get(row.item, {}).get("kind") in FROM_ZERO:
        low = high * 0
    if low is None or high is None or low >= high:
        return None
    factor = data.units[row["unit"]].factor
    return Range(row.engine, Fraction(low) * factor, Fraction(high) * factor)


@lru_cache(maxsize=8)
def _means(band: str, data: Dataset) -> values.Means:
    """What every reading is taken with: the tools, micrometers of a class, their usual repeats, parts at 20 degC."""
    tools = instruments({"instruments": _tools(band, data)}, data)
    warmth = temperatures({"part_temperature": "20 degC", "room_temperature": "20 degC"}, data)
    return values.Means(tools, scatters({n: t.kind for n, t in tools.items()}, [], data), warmth)


def _tools(band: str, data: Dataset) -> list[dict[str, str]]:
    """The instruments as a sheet lists them, micrometers of a class."""
    classes, found = data.keyed("instruments"), []
    for name, tool in TOOLS.items():
        kind = band if tool["instrument"] == "outside-micrometer" else tool["instrument"]
        found.append({"id": name, **tool, "instrument": kind})
        if "dial" in tool:
            found[-1] |= {"mpe": classes[tool["dial"]]["mpe"], "unit": classes[tool["dial"]]["unit"]}
    return found


def _band(size: float, data: Dataset) -> str:
    """Class of outside micrometers for a size in mm; the widest where none reaches so far."""
    lines = (line for line in data.table("instruments") if line["kind"] == "outside-micrometer" and line["span_to"])
    found = sorted((int(line["span_to"]), line["instrument"]) for line in lines)
    return next((name for end, name in found if size <= end), found[-1][1])


def _one(part: str, tool: str, method: str, size: float, means: values.Means, thermal: bool) -> values.Value:
    """Value of one reading of a part; for a difference, of one reading at each end and in each direction."""
    spots = [("front", "vertical")]
    if method in grid.DIFFERENCES:
        spots = [(place, direction) for place in ("front", "rear") for direction in ("vertical", "horizontal")]
    exact, none = Fraction(size), Fraction(0)
    readings = [grid.Reading(n, part, *spot, exact, none, tool) for n, spot in enumerate(spots)]
    found = values.part_value(readings, method, means, thermal)
    if found is None:
        raise ValueError(f'the method "{method}" does not count one reading')
    return found


def _row(name: str, data: Dataset) -> tuple[str, str, str]:
    known, found = ways(name, data), ranges(name, data)
    lines = [_line(way, name, found, data) for way in known]
    return _named(name, found, data), _widths(found, name, data), html.listed(lines)


def _line(way: str, name: str, found: Sequence[Range], data: Dataset) -> str:
    """A way, its U at the usual size, and how many of the ranges it decides."""
    words = html.text(WAYS[way][0])
    if not found:
        return f"{words}: no range to decide"
    sizes = _sizes(name, data)
    usual = median(sizes) if sizes else 0.0
    own = [usual if paired(name, data) or not sizes else r.middle for r in found]
    least = _is_open(way, name, data)
    u = _both(expanded(name, way, usual, data), name, data, ceil)
    count = decides(found, [expanded(name, way, size, data) for size in own])
    return f"{words}: <b>U {'at least ' if least else ''}{u}, decides {_share(count, len(found), least)}</b>"


def _sizes(name: str, data: Dataset) -> list[float]:
    """Sizes that U depends on: of a size or torque its own, of a fit those of its shaft; none for a gap."""
    if name in data.joints or data.quantities[name]["kind"] == "size":
        return [r.middle for r in ranges(name, data)]
    parts = data.quantities[name]["inner"].split() if paired(name, data) else []
    return [r.middle for part in parts for r in ranges(part, data)]


def _named(name: str, found: Sequence[Range], data: Dataset) -> str:
    if name in data.joints:
        return html.text(f"{data.joints[name]['label']}, torque")
    label = html.text(data.quantities[name]["label"])
    return html.link(f"../quantities/{name}.html", label) if found else label


def _widths(found: Sequence[Range], name: str, data: Dataset) -> str:
    if not found:
        return "no range read yet"
    widths = [r.width for r in found]
    middle, least = (_both(w, name, data, round) for w in (median(widths), min(widths)))
    engines, many = _many(len({r.engine for r in found}), "engine"), _many(len(found), "range")
    return f"{engines}, {many}: median {middle}, smallest {least}"


def _many(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"


def _both(si: float, name: str, data: Dataset, whole: Callable[[Fraction], int]) -> str:
    """A number in both units to two digits; `whole` rounds."""
    first = UNITS[data.quantities[name]["dimension"] if name in data.quantities else "torque"]
    texts = []
    for unit in (first, OTHER[first]):
        value = Fraction(si) / data.units[unit].factor
        step = max(Fraction(10) ** (floor(log10(value)) - 1), FINEST.get(unit, Fraction(0)))
        texts.append(f"{units.rounded(whole(value / step) * step, step)} {SIGNS.get(unit, unit)}")
    return f"{texts[0]} ({texts[1]})"


def _share(count: int, whole: int, most: bool) -> str:
    if not count:
        return f"none of {whole}"
    return f"{'all' if count == whole else count} of {whole}{' at best' if most else ''}"


def _is_open(way: str, name: str, data: Dataset) -> bool:
    """Whether U is only a least: a tool without a published limit, or a difference in which the step alone counts."""
    return _is_difference(name, data) or bool(_unknown(way, data))


def _is_difference(name: str, data: Dataset) -> bool:
    return name in data.quantities and data.quantities[name]["method"] in grid.DIFFERENCES


def _unknown(way: str, data: Dataset) -> list[str]:
    """Labels of a way's instruments without a published limit."""
    lines = [data.keyed("instruments")[TOOLS[tool]["instrument"]] for tool in WAYS[way][1].values()]
    return [line["label"] for line in lines if not line["mpe"] and not line["mpe_percent"]]


def _assumed(names: Sequence[str], data: Dataset) -> str:
    """What the table takes for granted, in a paragraph."""
    used = [w for name in names if not _is_difference(name, data) for w in ways(name, data)]
    unknown = sorted({label for w in used for label in _unknown(w, data)})
    words = [ASSUMED]
    if unknown:
        words.append(OPEN.format(_listed(unknown)))
    if any(_is_difference(name, data) for name in names):
        words.append(DIFFERENCE)
    return f'<p class="rf-small">{html.text(" ".join(words))}</p>'


def _listed(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
