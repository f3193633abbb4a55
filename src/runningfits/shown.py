"""Rows as text and as JSON values."""

from typing import Any

from .dataset import Dataset
from .numerals import plain
from .rows import Cite, Row

ENDS = ("lower", "upper", "nominal", "tolerance")


def places_of(row: Row) -> str:
    """Position, class, variant and condition of a row in a few words."""
    words = [row["position"]]
    if row.table == "torques":
        words.append(f"step {row['step']}")
    elif row["class"] != "new":
        words.append(row["class"])
    words += [row["variant"], row.cells.get("state", ""), row.cells.get("thread_state", "")]
    words.append("only for measuring" if row.cells.get("purpose") == "measuring" else "")
    if row.cells.get("at"):
        words.append(f"at {row['at']} {row['at_unit']}")
    return ", ".join(w for w in words if w)


REUSE = {"no": "new fasteners", "once": "may be used once more", "limited": "may be used a limited number of times"}
"""Whether fasteners may be used again, in words."""


def label(row: Row, data: Dataset) -> str:
    """Name of what a row measures or tightens."""
    return (data.joints if row.table == "torques" else data.quantities)[row.item]["label"]


def fastening(row: Row) -> str:
    """Thread, its state and whether fasteners may be used again, in a few words."""
    return ", ".join(filter(None, (row["thread"], row["thread_state"], REUSE.get(row["reuse"], ""))))


def span(row: Row, suffix: str = "") -> str:
    """The range as printed in one unit, a misprint corrected and marked with an asterisk; empty where there is none."""
    return _words({c: _cell(row, c + suffix) for c in ENDS}, row[f"unit{suffix}"])


def _words(cells: dict[str, str], unit: str) -> str:
    """Ends of a range, or a single value, as text in a unit."""
    if cells["nominal"] and cells["tolerance"]:
        return f"{cells['nominal']} ± {cells['tolerance']} {unit}"
    if cells["nominal"] and not cells["lower"] and not cells["upper"]:
        return f"{cells['nominal']} {unit}"
    if cells["lower"] and cells["upper"]:
        return f"{cells['lower']} to {cells['upper']} {unit}"
    if cells["lower"] or cells["upper"]:
        return f"{'at least' if cells['lower'] else 'at most'} {cells['lower'] or cells['upper']} {unit}"
    return ""


def _cell(row: Row, column: str) -> str:
    if column not in row.misprints:
        return row.cells.get(column, "")
    value = row.value(column)
    return "?*" if value is None else f"{plain(value)}*"


def limit(row: Row, suffix: str = "") -> str:
    """The wear limit as printed in one unit; empty where none is printed."""
    text = _cell(row, "limit" + suffix) if row.cells.get("limit" + suffix) else ""
    if not text:
        return ""
    words = "wear " if row["limit_as"] == "wear" else ""
    return f"{words}{text} {row['unit' + suffix]}"


def range_text(row: Row, data: Dataset, unit: str | None = None) -> tuple[str, str]:
    """Range and wear limit as text in both printed units, or in one unit."""
    action = f"{row['action']} " if row.table == "torques" and row["action"] != "tighten" else ""
    if unit and row.table != "torques":
        found = in_one_unit(row, data, unit)
        if any(found):
            return action + found[0], found[1]
    both = [" / ".join(filter(None, (f(row), f(row, "_2") if row["unit_2"] else ""))) for f in (span, limit)]
    return action + both[0], both[1] if row.table != "torques" else ""


def in_one_unit(row: Row, data: Dataset, unit: str) -> tuple[str, str]:
    """Range and wear limit as text in a unit: as printed there, else converted at the printed step; empty for none."""
    for suffix in ("", "_2"):
        if row[f"unit{suffix}"] == unit:
            return span(row, suffix), limit(row, suffix)
    cells = {c: row.in_unit(c, data.units, unit) or "" if row.cells.get(c) else "" for c in (*ENDS, "limit")}
    wear = "wear " if row.cells.get("limit_as") == "wear" else ""
    return _words(cells, unit), f"{wear}{cells['limit']} {unit}" if cells["limit"] else ""


def row_values(row: Row, data: Dataset, unit: str | None = None) -> dict[str, Any]:
    """A row as JSON values: its id, cells as printed, citation, registered misprints; numbers as text.

    With a unit of length, `converted` has the numbers in it.
    """
    cells: dict[str, Any] = {k: v or None for k, v in row.cells.items()}
    misprints = [
        {k: m[k] or None for k in ("column", "printed", "corrected", "why", "evidence")} for m in row.misprints.values()
    ]
    found: dict[str, Any] = {"id": row.id, "table": row.table, **cells}
    found |= {"cite": cite_values(row.cite), "misprints": misprints}
    if unit and row.table != "torques":
        found["converted"] = {"unit": unit} | {c: row.in_unit(c, data.units, unit) for c in (*ENDS, "limit")}
    return found


def cite_values(cite: Cite) -> dict[str, str]:
    """A citation as JSON values."""
    return {"source": cite.source, "page": cite.page, "address": cite.address, "text": cite.text}


def counts(data: Dataset, name: str) -> dict[str, int]:
    """How many ranges, tightening steps, documents and rows read twice an engine has."""
    limits = data.all_rows(name, "sizes") + data.all_rows(name, "clearances")
    steps = data.all_rows(name, "torques")
    return {
        "ranges": len(limits),
        "torque_steps": len(steps),
        "documents": len({r["source"] for r in limits + steps}),
        "read_twice": sum(r["reading"] == "twice" for r in limits + steps),
    }
