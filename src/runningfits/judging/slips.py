"""Slips of an entry: the bench tables, and the bench rules run on them."""

import sqlite3
from collections import defaultdict
from fractions import Fraction
from typing import Any

from .. import numerals
from ..dataset import Dataset
from ..findings import Finding
from ..rows import Row
from ..rulebook import create, rules, run
from ..sheets.sheet import Sheet
from . import choose
from .bounds import bounds
from .torque import Step, steps
from .values import instruments

PLACE = {"row": "TEXT", "file": "TEXT", "line": "INTEGER", "column": "TEXT"}
READINGS = (
    PLACE
    | dict.fromkeys(("item", "position", "part", "value", "unit", "tool", "kind", "set_on", "basis", "variant"), "TEXT")
    | dict.fromkeys(("si", "step", "resolution", "mpe", "low", "high", "wear_low", "wear_high", "width"), "REAL")
    | {"wears_up": "INTEGER", "fit_low": "REAL"}
)
"""Columns of `bench_readings`: numbers in SI; low to wear_high is what the dataset lets expect of this part."""

TORQUES = (
    PLACE
    | dict.fromkeys(
        ("joint", "position", "action", "value", "unit", "thread_state", "tool", "want_state", "want", "want_unit"),
        "TEXT",
    )
    | dict.fromkeys(("step", "done", "turn"), "INTEGER")
    | dict.fromkeys(("si", "want_low", "want_high", "tool_from", "tool_to"), "REAL")
)
"""Columns of `bench_torques`: numbers in SI; `want` is the row's range as printed, `done` the order on the sheet,
`turn` the fastener's place in the printed order."""

WANTED = {"joint": "TEXT", "position": "TEXT", "step": "INTEGER", "file": "TEXT", "line": "INTEGER", "column": "TEXT"}
"""Columns of `bench_steps`: the steps that the dataset asks for at each joint and position of the sheet."""


def findings(sheet: Sheet, data: Dataset) -> tuple[list[Finding], set[int]]:
    """Findings of the bench rules, and the numbers of the readings that an error spoils."""
    base = sqlite3.connect(":memory:")
    try:
        create(base, "bench_readings", READINGS, _readings(sheet, data))
        found = steps(sheet, data)
        create(base, "bench_torques", TORQUES, [_torque(s, sheet) for s in found])
        create(base, "bench_steps", WANTED, _wanted(found, sheet))
        hits = [f for rule in rules("bench") for f in run(rule, base)]
    finally:
        base.close()
    spoiled = {
        int(f.row.removeprefix("readings-")) for f in hits if f.severity == "error" and f.row.startswith("readings-")
    }
    return hits, spoiled


def _readings(sheet: Sheet, data: Dataset) -> list[tuple[Any, ...]]:
    tools = instruments(sheet.values, data)
    partners = _partners(sheet, data)
    rows = []
    for index, raw in enumerate(sheet.values["readings"]):
        unit, tool = data.units[raw["unit"]], tools[raw["instrument"]]
        si = float(Fraction(raw["value"]) * unit.factor)
        step = float(Fraction(numerals.step(raw["value"])) * unit.factor)
        row, fit = _expected(raw, data, sheet.values["engine"])
        low, high, wear_low, wear_high, up = _limits(row, data)
        basis = row.id if row else ""
        if row is None and raw["part"] in ("bore", "shaft"):
            other = partners.get((raw["item"], raw["position"], "shaft" if raw["part"] == "bore" else "bore"))
            if other:
                low = high = wear_low = wear_high = other
                basis = "the other part"
        fit_low, fit_high, *_ = _limits(fit, data)
        width = fit_high - fit_low if fit_low is not None and fit_high is not None else None
        words = (
            raw["item"],
            raw["position"],
            raw["part"],
            raw["value"],
            raw["unit"],
            tool.id,
            tool.kind,
            tool.set_on or "",
            basis,
        )
        numbers = (si, step, tool.resolution, tool.mpe, low, high, wear_low, wear_high, width)
        place = (f"readings-{index}", *sheet.spot(["readings", index, "value"]))
        rows.append((*place, *words, raw.get("variant", ""), *numbers, up, fit_low))
    return rows


def _partners(sheet: Sheet, data: Dataset) -> dict[tuple[str, str, str], float]:
    """Mean of the readings of each part of a fit, in SI."""
    found: defaultdict[tuple[str, str, str], list[float]] = defaultdict(list)
    for raw in sheet.values["readings"]:
        value = float(Fraction(raw["value"]) * data.units[raw["unit"]].factor)
        found[raw["item"], raw["position"], raw["part"]].append(value)
    return {k: sum(v) / len(v) for k, v in found.items()}


def _expected(raw: dict[str, Any], data: Dataset, engine: str) -> tuple[Row | None, Row | None]:
    """Row that bounds the part that was measured, and the row of the fit."""
    quantity = data.quantities[raw["item"]]
    variant, kind = raw.get("variant", ""), raw.get("class", "new")
    fit = choose.choose(data, engine, raw["item"], raw["position"], variant, kind).row
    if raw["part"] in ("gap", "strip") or not quantity["inner"]:
        return fit, fit
    for name in quantity["outer" if raw["part"] == "bore" else "inner"].split():
        row = choose.choose(data, engine, name, raw["position"], variant, kind).row
        if row:
            return row, fit
    return None, fit


def _limits(row: Row | None, data: Dataset) -> tuple[float | None, float | None, float | None, float | None, int]:
    if row is None:
        return None, None, None, None, 1
    found = bounds(row, data)
    ends = (found.low, found.high, found.wear_low, found.wear_high)
    low, high, wear_low, wear_high = (None if v is None else float(v) for v in ends)
    nominal = row.value("nominal")
    if low is None and high is None and nominal is not None:
        low = high = float(Fraction(nominal) * data.units[row["unit"]].factor)
    return low, high, wear_low, wear_high, int(found.wears_up)


def _torque(step: Step, sheet: Sheet) -> tuple[Any, ...]:
    raw, row = step.raw, step.row
    place = (f"torques-{step.index}", *sheet.spot(["torques", step.index, "value"]))
    want = row["nominal"] or " to ".join(filter(None, (row["lower"], row["upper"]))) if row else ""
    words = (raw["joint"], raw["position"], row["action"] if row else "", raw["value"], raw["unit"])
    states = (
        raw.get("thread_state", ""),
        raw["instrument"],
        row["thread_state"] if row else "",
        want,
        row["unit"] if row else "",
    )
    return (
        *place,
        *words,
        *states,
        raw["step"],
        step.done,
        step.turn,
        step.si,
        step.low,
        step.high,
        step.tool_from,
        step.tool_to,
    )


def _wanted(found: list[Step], sheet: Sheet) -> list[tuple[Any, ...]]:
    rows: dict[tuple[Any, ...], tuple[Any, ...]] = {}
    for step in found:
        for number in step.wanted:
            key = step.raw["joint"], step.raw["position"], number
            rows.setdefault(key, (*key, *sheet.spot(["torques", step.index, "step"])))
    return list(rows.values())
