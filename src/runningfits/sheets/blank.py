"""Blank bench sheets: what there is to measure, line by line."""

from collections.abc import Iterator
from typing import Any

from ..dataset import Dataset
from ..rows import Row
from ..shown import range_text


def blank(data: Dataset, engine: str) -> dict[str, Any]:
    """A sheet with a line for every reading that the engine's rows ask for, in measuring order, values empty.

    A check passes over lines without a value.
    """
    named = data.engine(engine)
    title = f"{named['maker']} {named['designation']}"
    readings = [r for row in measured(data, engine) for r in _readings(row, data)]
    classes = list(dict.fromkeys(r["instrument"].removesuffix("-1") for r in readings))
    torques = list(_torques(data, engine))
    if torques:
        classes.append("torque-wrench")
    return {
        "engine": engine,
        "title": title,
        **dict.fromkeys(("serial", "customer", "date", "checked_by", "second_check_by"), ""),
        "part_temperature": "",
        "decision": "guarded",
        "instruments": [_tool(c, data, classes) for c in dict.fromkeys(classes)],
        "readings": readings,
        "torques": torques,
    }


def measured(data: Dataset, engine: str) -> list[Row]:
    """Rows to measure, in measuring order: new ranges and limits, the passed-over rows of choices.csv left out."""
    over = {c["over"] for c in data.table("choices")}
    rows = [
        r for t in ("sizes", "clearances") for r in data.all_rows(engine, t) if r["class"] == "new" and r.id not in over
    ]
    return sorted(rows, key=lambda r: (int(data.quantities[r.item]["order"]), r.item, r["position"]))


def tightened(data: Dataset, engine: str) -> list[Row]:
    """Steps to tighten in the order of the dataset, the passed-over rows of choices.csv left out."""
    over = {c["over"] for c in data.table("choices")}
    return [r for r in data.all_rows(engine, "torques") if r.id not in over]


def _tool(kind: str, data: Dataset, classes: list[str]) -> dict[str, str]:
    known = data.keyed("instruments")[kind]
    tool = {"id": f"{kind}-1", "instrument": kind}
    tool |= {k: known[k] for k in ("resolution", "mpe", "mpe_percent", "unit")}
    tool["set_on"] = "outside-micrometer-1" if kind == "bore-gauge" and "outside-micrometer" in classes else ""
    return tool


def _readings(row: Row, data: Dataset) -> Iterator[dict[str, str]]:
    quantity = data.quantities[row.item]
    values, limit = range_text(row, data)
    note = "; ".join(filter(None, (values, f"limit {limit}" if limit else "", row.cite.text)))
    for position in places(row, data):
        for part, kind in _parts(quantity, data):
            yield {
                "item": row.item,
                "position": position,
                "part": part,
                "value": "",
                "unit": row["unit"],
                "instrument": f"{kind}-1",
                "variant": row["variant"],
                "note": note[:500],
            }


def places(row: Row, data: Dataset) -> list[str]:
    """Places to measure for a row: each number where they are known, else the row's own position."""
    from .. import positions

    count = data.count(row.engine, row.item)
    if row["position"] == "all":
        return [str(n) for n in range(1, count + 1)] if count else ["all"]
    found = positions.places(row["position"], count)
    return [str(n) for n in found] if found else [row["position"]]


def _parts(quantity: dict[str, str], data: Dataset) -> list[tuple[str, str]]:
    """Part and instrument class of each reading of a quantity."""
    if quantity["outer"] and quantity["kind"] == "clearance":
        inner = data.quantities[quantity["inner"].split()[0]]
        outer = data.quantities[quantity["outer"].split()[0]]
        return [("bore", outer["instrument"]), ("shaft", inner["instrument"])]
    if quantity["kind"] == "size":
        return [("bore" if quantity["limit_side"] == "upper" else "shaft", quantity["instrument"])]
    return [("gap", quantity["instrument"])]


def _torques(data: Dataset, engine: str) -> Iterator[dict[str, Any]]:
    for row in tightened(data, engine):
        values, _ = range_text(row, data)
        values = "loosen: write 0" if row["action"] == "loosen" else values
        note = "; ".join(filter(None, (values, row["thread_state"], row.cite.text)))
        yield {
            "joint": row.item,
            "position": row["position"],
            "step": int(row["step"]),
            "value": "",
            "unit": row["unit"] or "N.m",
            "instrument": "torque-wrench-1",
            "variant": row["variant"],
            "note": note[:500],
        }
