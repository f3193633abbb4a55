"""Rows as text and as JSON values."""

from collections.abc import Collection
from typing import Any

from .dataset import Dataset
from .engine_models import Family
from .numerals import plain
from .rows import Cite, Row

ENDS = ("lower", "upper", "nominal", "tolerance")


def places_of(row: Row, data: Dataset) -> str:
    """Where a row holds and what for, in trade words: place, which of several, models, parts, size, conditions."""
    words = [data.place_words(row["position"])]
    if row.table == "torques":
        words.append(f"step {row['step']}")
    return ", ".join((*words, *speaks_of(row, data), *conditions(row, data)))


def speaks_of(row: Row, data: Dataset) -> list[str]:
    """What a row speaks of, in trade words: which of several alike, models, parts, repair size, class."""
    which = [data.detail_words(row, "which")] if row.cells.get("which") else []
    size, named = size_words(row, data), row.cells.get("class", "")
    kind = [] if named in ("", "new") or (size and named == "repair") else [named]
    return [*which, *models_of(row, data), *fitted(row, data), *size, *kind]


def models_of(row: Row, data: Dataset) -> list[str]:
    """Models that a row is for, in words; none where it is for every model of the family."""
    family = data.family(row.engine)
    meant = family.speaks(row).models
    return [] if meant >= frozenset(family.models) else [model_words(family, meant)]


def model_words(family: Family, meant: Collection[str]) -> str:
    """Some models of a family in words, by those that it leaves out where these are fewer."""
    within = [m.label for m in family.models.values() if m.model in meant]
    without = [m.label for m in family.models.values() if m.model not in meant]
    if not without:
        return "every model"
    if len(within) <= MOST_NAMED or len(within) <= len(without):
        return " or ".join((", ".join(within[:-1]), within[-1])) if len(within) > 1 else "".join(within)
    return f"every model but {', '.join(without)}"


MOST_NAMED = 4
"""Models that are named one by one, even where those that are left out are fewer."""


def fitted(row: Row, data: Dataset) -> list[str]:
    """Parts that must be in the engine, in words: the answers to each question together."""
    family = data.family(row.engine)
    return [
        " or ".join(family.label(question, p) for p in sorted(parts))
        for question, parts in family.speaks(row).parts.items()
    ]


MACHINED = {"minus": "ground by", "plus": "oversize by"}
"""What was done to a part of a repair size, by its sign."""


def size_words(row: Row, data: Dataset) -> list[str]:
    """The repair size of the part that is machined, in words; none for a standard part."""
    size = row.cells.get("size")
    if not size:
        return []
    number = f"{size if size.startswith('-') else '+' + size.removeprefix('+')} {row['unit']}"
    part = data.quantities[row.item]["repair"]
    if not part:
        return [f"repair size {number}"]
    line = data.keyed("repairs")[part]
    return [f"for a {line['label']} {MACHINED[line['sign']]} {number}"]


def conditions(row: Row, data: Dataset) -> list[str]:
    """State, way of counting, `at`, and what else than running a row is for, in words."""
    words = [data.detail_words(row, c) for c in ("state", "method", "at") if row.cells.get(c)]
    if row.table == "torques":
        words += [row["thread_state"].replace("-", " "), data.purpose_words(row)]
    return [w for w in words if w]


def doubt(row: Row, data: Dataset) -> str:
    """In a few words what no page says about whom a row is for; `Family.doubt` says from what it was taken."""
    return data.family(row.engine).doubt(row).partition("; ")[0]


REUSE = {"no": "new fasteners", "once": "may be used once more", "limited": "may be used a limited number of times"}
"""Whether fasteners may be used again, in words."""


def label(row: Row, data: Dataset) -> str:
    """Name of what a row measures or tightens."""
    return (data.joints if row.table == "torques" else data.quantities)[row.item]["label"]


def fastening(row: Row) -> str:
    """Thread, its state and whether fasteners may be used again, in a few words."""
    return ", ".join(filter(None, (row["thread"], row["thread_state"].replace("-", " "), REUSE.get(row["reuse"], ""))))


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
    return (action + both[0]).rstrip(), both[1] if row.table != "torques" else ""


def in_one_unit(row: Row, data: Dataset, unit: str) -> tuple[str, str]:
    """Range and wear limit as text in a unit: as printed there, else converted at the printed step; empty for none."""
    for suffix in ("", "_2"):
        if row[f"unit{suffix}"] == unit:
            return span(row, suffix), limit(row, suffix)
    cells = {c: row.in_unit(c, data.units, unit) or "" if row.cells.get(c) else "" for c in (*ENDS, "limit")}
    wear = "wear " if row.cells.get("limit_as") == "wear" else ""
    return _words(cells, unit), f"{wear}{cells['limit']} {unit}" if cells["limit"] else ""


def row_values(row: Row, data: Dataset, unit: str | None = None) -> dict[str, Any]:
    """A row as JSON values: its id, cells as printed, what it speaks of in words, citation, registered misprints.

    Numbers are text. `speaks_of` is null for a row about every engine of the family, `doubt` where a page or title
    names the engine. With a unit of length, `converted` has the numbers in it.
    """
    cells: dict[str, Any] = {k: v or None for k, v in row.cells.items()}
    misprints = [
        {k: m[k] or None for k in ("column", "printed", "corrected", "why", "evidence")} for m in row.misprints.values()
    ]
    found: dict[str, Any] = {"id": row.id, "table": row.table, **cells}
    found["speaks_of"] = ", ".join(speaks_of(row, data)) or None
    found["doubt"] = data.family(row.engine).doubt(row) or None
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


COLUMNS = {"lower": "lower end", "upper": "upper end", "nominal": "value", "tolerance": "tolerance", "limit": "limit"}
"""Columns that hold printed numbers, in words."""


def column_words(row: Row, column: str) -> str:
    """A column of a row in words, with the unit of its number."""
    name, second, _ = column.partition("_2")
    unit = row["unit_2" if second else "unit"]
    return f"{COLUMNS.get(name, name.replace('_', ' '))}{f', {unit}' if unit and name in COLUMNS else ''}"


def cylinders_of(data: Dataset, engine: str) -> str:
    """Numbers of cylinders that the models of a family have, such as `4 or 6`; empty where no page says."""
    known = {n for m in data.family(engine).models.values() if (n := m.count("cylinders"))}
    return " or ".join(map(str, sorted(known)))
