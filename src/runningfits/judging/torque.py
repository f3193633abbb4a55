"""Tightening: the printed step of each line of a sheet, and whether it was followed."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from .. import positions
from ..dataset import Dataset
from ..findings import Finding
from ..numerals import plain
from ..rows import Cite, Row
from ..sheets.sheet import Sheet
from .choose import decided
from .values import Instrument, instruments

SETTING = 0.04
"""Half-width, as a share, of what counts as a single printed torque: the limit of a class A wrench (ISO 6789)."""


ORDER = ("B206", "B208")
"""Rules about the order of stages and of fasteners."""


@dataclass(frozen=True)
class Step:
    """A torque line of a sheet: its number, its row or the rows that could apply, both in SI, the order on the sheet.

    `wanted` are the numbers of all steps that the dataset prints for this joint and place; `turn` is the place of this
    fastener in the printed tightening order, where its number stands for one place of a single row.
    """

    index: int
    raw: dict[str, Any]
    row: Row | None
    candidates: tuple[Row, ...]
    si: float
    low: float | None
    high: float | None
    tool: Instrument
    tool_from: float | None
    tool_to: float | None
    done: int
    wanted: tuple[int, ...]
    turn: int | None


def steps(sheet: Sheet, data: Dataset) -> list[Step]:
    """Every torque line of a sheet with the step that the dataset prints for it."""
    tools = instruments(sheet.values, data)
    listed = {t["id"]: t for t in sheet.values["instruments"]}
    found = []
    for index, raw in enumerate(sheet.values.get("torques", ())):
        rows = _rows(raw, data, sheet.values["engine"])
        here = _distinct([r for r in rows if int(r["step"]) == raw["step"]])
        row = here[0] if len(here) == 1 else None
        low, high = _wanted(row, data)
        ends = [_tool_end(listed[raw["instrument"]], data, k) for k in ("range_from", "range_to")]
        value = float(Fraction(raw["value"]) * data.units[raw["unit"]].factor)
        numbers = tuple(sorted({int(r["step"]) for r in rows})) if len(here) <= 1 else ()
        done = raw.get("order", index + 1)
        tool, turn = tools[raw["instrument"]], _turn(raw, data, sheet.values["engine"])
        found.append(Step(index, raw, row, tuple(here), value, low, high, tool, ends[0], ends[1], done, numbers, turn))
    return found


def _rows(raw: dict[str, Any], data: Dataset, engine: str) -> list[Row]:
    rows = [r for r in data.all_rows(engine, "torques") if r.item == raw["joint"] and _meets(r, raw["position"], data)]
    variant = raw.get("variant", "")
    rows = [r for r in rows if r["variant"] == variant] if variant else _final(rows)
    return decided(rows, data)[0]


def _turn(raw: dict[str, Any], data: Dataset, engine: str) -> int | None:
    """Place of a fastener in the printed order: where the order has one column, its row is the number of the place."""
    rows = [r for r in data.all_rows(engine, "sequences") if r.item == raw["joint"]]
    if len({(r["column"], r["source"], r["page"]) for r in rows}) != 1:
        return None
    return next((int(r["order"]) for r in rows if r["row"] == raw["position"]), None)


def _final(rows: list[Row]) -> list[Row]:
    """Rows of a final torque, those without a variant where there are any."""
    final = [r for r in rows if r["purpose"] != "measuring"]
    return [r for r in final if not r["variant"]] or final


def _meets(row: Row, position: str, data: Dataset) -> bool:
    if row["position"] == "all" or position in ("all", row["position"]):
        return True
    there = positions.places(row["position"], data.count(row.engine, row.item))
    return bool(there and set(positions.numbers(position)) & set(there))


def _distinct(rows: list[Row]) -> list[Row]:
    found: dict[tuple[str, ...], Row] = {}
    for row in rows:
        key = (row["action"], row["lower"], row["upper"], row["nominal"], row["tolerance"], row["unit"], row["variant"])
        found.setdefault(key, row)
    return list(found.values())


def _wanted(row: Row | None, data: Dataset) -> tuple[float | None, float | None]:
    """Range of a step in SI: as printed with half a printed digit, a single torque with the limit of a wrench.

    Loosening is 0, unless the page prints a torque for it.
    """
    if row is None or not row["unit"]:
        return (0.0, 0.0) if row and row["action"] == "loosen" else (None, None)
    factor = data.units[row["unit"]].factor
    low, high = row.range()
    nominal = row.value("nominal")
    if low is None and high is None and nominal is not None:
        share = SETTING if data.units[row["unit"]].dimension == "torque" else 0.0
        half = max(float(nominal) * share, float(row.step("nominal")) / 2)
        return (float(nominal) - half) * float(factor), (float(nominal) + half) * float(factor)
    ends = (
        (None if low is None else low - row.step("lower" if row["lower"] else "nominal") / 2),
        (None if high is None else high + row.step("upper" if row["upper"] else "nominal") / 2),
    )
    least, most = (None if v is None else float(Fraction(v) * factor) for v in ends)
    return least, most


def _tool_end(tool: dict[str, Any], data: Dataset, key: str) -> float | None:
    return float(Fraction(tool[key]) * data.units[tool["unit"]].factor) if key in tool else None


def followed(sheet: Sheet, data: Dataset, found: list[Finding]) -> list[dict[str, Any]]:
    """Each torque line with its verdict and citation.

    followed: inside the printed range (a single printed torque counts with the limit of a class A wrench, ISO 6789);
    low, high: outside it (loosening is written as 0); which-row: several rows remain; no-range: no such
    step; bad-entry: a slip;
    out-of-order: a later stage, or a fastener that comes later in the printed order, was done before it.
    """
    spoiled = {f.row for f in found if f.severity == "error" and f.row.startswith("torques-") and f.code not in ORDER}
    order = {f.row for f in found if f.code in ORDER}
    return [_line(s, _verdict(s, spoiled, order, data), data) for s in steps(sheet, data)]


def _verdict(step: Step, spoiled: set[str], order: set[str], data: Dataset) -> str:
    name = f"torques-{step.index}"
    if name in spoiled:
        return "bad-entry"
    if step.row is None:
        return "which-row" if step.candidates else "no-range"
    if (
        step.row["action"] != "loosen"
        and data.units[step.row["unit"]].dimension != data.units[step.raw["unit"]].dimension
    ):
        return "bad-entry"
    if step.low is not None and step.si < step.low * (1 - 1e-12):
        return "low"
    if step.high is not None and step.si > step.high * (1 + 1e-12):
        return "high"
    return "out-of-order" if name in order else "followed"


def cited(c: Cite) -> dict[str, str]:
    """Where a row stands: document, printed page, address, and both in a few words."""
    return {"source": c.source, "page": c.page, "address": c.address, "text": c.text}


def misprints(row: Row) -> list[dict[str, str | None]]:
    """Registered misprints of a row: column, printed and corrected number, what is wrong."""
    keys = ("printed", "corrected", "why")
    return [{"column": column, **{k: m[k] or None for k in keys}} for column, m in row.misprints.items()]


def _line(step: Step, verdict: str, data: Dataset) -> dict[str, Any]:
    raw, row = step.raw, step.row
    line = {k: raw[k] for k in ("joint", "position", "step", "value", "unit")} | {"verdict": verdict}
    line["uncertainty_percent"] = f"{step.tool.percent:g}" if step.tool.percent else None
    line["range"], line["cite"] = None, None
    line["candidates"] = [r.id for r in step.candidates] if row is None else []
    if row is not None:
        line["range"], line["cite"] = _printed(row), cited(row.cite)
    return line


def _printed(row: Row) -> dict[str, Any]:
    """A step's range as it is judged by, with what is registered about it."""
    values = {k: row.value(k) for k in ("lower", "upper", "nominal", "tolerance")}
    return {
        "id": row.id,
        "action": row["action"],
        "unit": row["unit"],
        **{k: None if v is None else plain(v) for k, v in values.items()},
        **{k: row[k] or None for k in ("thread_state", "reuse")},
        "misprints": misprints(row),
    }
