"""The record at a report's end: every reading with its correction, the instruments, the parts that go in."""

from collections.abc import Collection, Iterator
from fractions import Fraction
from typing import Any

from ..dataset import Dataset
from ..judging.assumed import signed
from ..judging.instruments import corrections
from ..judging.naming import place_words
from ..sheets.vocabulary import tool_words
from ..units import rounded
from .pieces import Table, table

Titled = tuple[str, Table]
"""A table with its heading."""


def all_of(result: dict[str, Any], sheet: dict[str, Any], data: Dataset, deciding: Collection[int]) -> Iterator[Titled]:
    """Tables of the record; `deciding` are the readings behind the fits that were judged."""
    yield _readings(sheet, data, deciding)
    yield _instruments(sheet, data)
    if result["parts"]:
        rows = [[p.get(k, "") for k in ("part", "maker", "number", "note")] for p in result["parts"]]
        yield "Parts", table(("Part", "Maker", "Number", "Note"), rows)


def blank_lines(sheet: dict[str, Any], data: Dataset) -> Iterator[Titled]:
    """Tables of lines to write on: instruments with their limit and correction, parts with maker and number."""
    tools = [[tool_words(t["id"], data), _step(t), _class_limit(t, data), "", "", ""] for t in sheet["instruments"]]
    heads = ("Instrument", "Step", "Limit of error", "Own limit", "Known correction", "Zero checked")
    yield "Instruments", table(heads, tools, "write")
    lines = [[p["part"], "", "", ""] for p in sheet["parts"]] + [[""] * 4]
    yield "Parts that go in", table(("Part", "Maker", "Number", "Note"), lines, "write")


def _step(tool: dict[str, Any]) -> str:
    return f"{tool['resolution']} {tool['unit']}" if tool.get("resolution") else ""


def _readings(sheet: dict[str, Any], data: Dataset, deciding: Collection[int]) -> Titled:
    shifts = corrections(sheet, data)
    digits = max((len(t["correction"].partition(".")[2]) for t in sheet["instruments"] if "correction" in t), default=0)
    heads = ["", "Item", "Place", "Part", "Where", "Reading", "Correction", "Corrected", "With"]
    rows = []
    for n, r in enumerate(sheet["readings"]):
        value = f"{r['value']}{' to ' + r['to'] if 'to' in r else ''} {r['unit']}"
        where = ", ".join(filter(None, (r.get("place"), r.get("direction")))).replace("-", " ")
        place = place_words(r["position"], data)
        cells = (
            "decides" if n in deciding else "",
            data.quantities[r["item"]]["label"],
            place,
            r["part"],
            where,
            value,
        )
        rows.append([*cells, *_corrected(r, shifts[r["instrument"]], digits, data), tool_words(r["instrument"], data)])
    if not any(row[6] for row in rows):
        heads, rows = _without(heads), [_without(row) for row in rows]
    return "Every reading", table(heads, rows)


def _without(row: list[str]) -> list[str]:
    """A line of the table without correction and corrected value."""
    return [*row[:6], *row[8:]]


def _corrected(reading: dict[str, str], shift: Fraction, digits: int, data: Dataset) -> tuple[str, str]:
    """What is added to a reading for its instrument and what that was set on, and the sum, in the reading's unit."""
    if not shift:
        return "", ""
    unit = data.units[reading["unit"]]
    step = Fraction(1, 10 ** max(digits, len(reading["value"].partition(".")[2])))
    added = shift / unit.factor
    ends = [rounded(Fraction(reading[k]) + added, step) for k in ("value", "to") if k in reading]
    return f"{signed(rounded(added, step))} {unit.unit}", f"{' to '.join(ends)} {unit.unit}"


def _class_limit(tool: dict[str, Any], data: Dataset) -> str:
    """The limit that a sheet leaves to the instrument's class, marked where it is common practice."""
    known = data.keyed("instruments")[tool["instrument"]]
    if known["mpe"] or known["mpe_percent"]:
        return f"{known['mpe']} {known['unit']}" if known["mpe"] else f"{known['mpe_percent']} %"
    usual = f"{known['usual']} {known['unit']}" if known["usual"] else f"{known['usual_percent']} %"
    return f"{usual}, the usual one: common practice, no source"


def _instruments(sheet: dict[str, Any], data: Dataset) -> Titled:
    heads = ("Name", "Class", "Step", "Limit of error", "Set on", "Correction", "Zero moved", "Zero checked")
    return "Instruments", table(heads, [_instrument(t, data) for t in sheet["instruments"]])


def _instrument(tool: dict[str, Any], data: Dataset) -> tuple[str, ...]:
    unit = tool.get("unit", "")
    own = f"{tool['mpe']} {unit}" if "mpe" in tool else _class_limit(tool, data)
    shifts = (f"{signed(tool[k])} {unit}" if k in tool else "" for k in ("correction", "zero_shift"))
    return (
        tool_words(tool["id"], data),
        data.keyed("instruments")[tool["instrument"]]["label"],
        f"{tool['resolution']} {unit}" if "resolution" in tool else "of its class",
        f"{tool['mpe_percent']} %" if "mpe_percent" in tool else own,
        tool_words(tool.get("set_on", ""), data),
        *shifts,
        tool.get("checked_on", ""),
    )
