"""A result as JSON values, for `--json`, the terminal and the report."""

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from ..judging import able, grid, guides, remedy, two_ways, values
from ..judging.decide import COVERAGE_FACTOR
from ..judging.temperature import temperatures
from ..judging.torque import cited, misprints
from ..judging.values import Value
from ..numerals import plain
from ..rows import Row
from ..scale import Scale, of_row
from ..shown import limit as limit_text
from ..shown import span
from ..version import __version__
from .words import share

if TYPE_CHECKING:
    from ..judging.judge import Judged, Result


def result(found: "Result") -> dict[str, Any]:
    """The result in the form of schema/result.json."""
    return {
        "engine": found.sheet["engine"],
        "title": found.sheet.get("title", ""),
        "data_version": found.data.version,
        "rules_version": __version__,
        "decision": found.decision,
        "coverage_factor": COVERAGE_FACTOR,
        "results": [_judged(j, found) for j in found.judged],
        "torques": list(found.torques),
        "findings": [
            {
                k: getattr(f, k)
                for k in ("file", "line", "column", "code", "name", "severity", "message", "help", "page")
            }
            for f in found.findings
        ],
    }


def _judged(j: "Judged", found: "Result") -> dict[str, Any]:
    quantity = found.data.quantities[j.item]
    row = j.row or next(iter(j.candidates), None)
    scale = of_row(row, found.data) if row else None
    shown: dict[str, Any] = {"item": j.item, "label": quantity["label"], "position": j.position, "derived": j.derived}
    shown |= _value(j, scale, found)
    shown |= {
        "verdict": j.verdict,
        "probability": share(j.probability),
        "probability_within_limit": share(j.within_limit),
        "margins": _margins(j, scale),
        "range": row_range(j.row, found) if j.row else None,
        "cite": cited(j.row.cite) if j.row else None,
        "candidates": [{"id": r.id, "variant": r["variant"], **cited(r.cite)} for r in j.candidates],
        "guides": _guides(j, scale, found),
        "passed_over": [{"id": r.id, "range": _words(r), **cited(r.cite)} for r in j.passed_over],
        "agreement": [_agreement(j.value, o, scale) for o in j.others if j.value and scale],
        "needs": _needs(j, found),
        "remedies": remedy.options(_case(j, scale, found)) if _out(j) and scale else [],
        "order": int(quantity["order"]),
        "caution": quantity["caution"],
    }
    return shown


def _guides(j: "Judged", scale: Scale | None, found: "Result") -> list[dict[str, Any]]:
    """Published rules of thumb for the item, worked out in the unit of the value; which of them were used."""
    if j.value is None and scale is None:
        return []
    shown_in = scale or _plain_scale(j.value, found) if j.value else scale
    assert shown_in is not None
    return [
        {
            "bound": g.bound,
            "value": shown_in.text(g.value),
            "unit": shown_in.unit,
            "rule": g.rule,
            "used": g in j.thumb,
            **cited(g.cite),
        }
        for g in guides.guides(found.data, found.sheet["engine"], j.item, j.position)
    ]


def _words(row: Row) -> str:
    """Range and limit of a row as printed."""
    limited = limit_text(row)
    return "; ".join(filter(None, (span(row), f"limit {limited}" if limited else "")))


def _needs(j: "Judged", found: "Result") -> str | None:
    """What an undecided fit needs, in a sentence."""
    if j.verdict != "cannot-tell" or j.bounds is None:
        return None
    if j.value is None:
        return "the readings do not give it: a clearance needs bore and shaft, a form needs two places or directions"
    return able.needed(j.value, j.bounds, found.data)


def _out(j: "Judged") -> bool:
    limits = j.bounds
    return bool(
        j.verdict in ("loose", "tight") and j.value and limits and limits.low is not None and limits.high is not None
    )


def _value(j: "Judged", scale: Scale | None, found: "Result") -> dict[str, Any]:
    if j.value is None:
        empty = dict.fromkeys(("value", "unit", "uncertainty", "as_read", "method", "way"))
        return empty | {"readings": [], "components": []}
    if scale is None:
        scale = _plain_scale(j.value, found)
    causes = [
        {"cause": c.key, "standard": scale.up(c.standard), "sign": c.sign} for c in j.value.components if c.standard
    ]
    return {
        "value": scale.text(j.value.value),
        "unit": scale.unit,
        "uncertainty": scale.up(COVERAGE_FACTOR * j.value.standard),
        "as_read": _as_read(j.value, scale, found),
        "method": j.value.method,
        "way": j.value.way,
        "readings": list(j.value.readings),
        "components": causes,
    }


def _as_read(value: Value, scale: Scale, found: "Result") -> dict[str, str] | None:
    """The value in the unit of its first reading, where that is not the row's."""
    unit = found.sheet["readings"][value.readings[0]]["unit"]
    if unit == scale.unit:
        return None
    other = scale.into(unit, found.data.units[unit].factor)
    shown = {"value": other.text(value.value), "unit": unit}
    return shown | {"uncertainty": other.up(COVERAGE_FACTOR * value.standard)}


def _plain_scale(value: Value, found: "Result") -> Scale:
    """Unit and step of the first reading, where no row gives them."""
    raw = found.sheet["readings"][value.readings[0]]
    step = Fraction(1, 10 ** len(raw["value"].partition(".")[2]))
    return Scale(raw["unit"], found.data.units[raw["unit"]].factor, step)


def _margins(j: "Judged", scale: Scale | None) -> dict[str, str | None]:
    """Distance of the value to each limit, positive inside."""
    if not j.value or not j.bounds or not scale:
        return {}
    value, b = j.value.value, j.bounds
    printed = j.row is not None and j.row.cells["limit"]
    worn = (b.wear_high if b.wears_up else b.wear_low) if printed else None
    sides = {
        "lower": None if b.low is None else value - b.low,
        "upper": None if b.high is None else b.high - value,
        "limit": None if worn is None else (worn - value if b.wears_up else value - worn),
    }
    return {k: None if v is None else scale.text(v) for k, v in sides.items()}


def row_range(row: Row, found: "Result") -> dict[str, Any]:
    """A row's range in the printed unit, with the second unit as printed and what is registered about it."""
    low, high = row.range()
    limit = row.limit(found.data.quantities[row.item]["limit_side"])
    texts = {"lower": low, "upper": high, "limit": limit, "nominal": row.value("nominal")}
    return {
        "id": row.id,
        **{k: None if v is None else plain(v) for k, v in texts.items()},
        "unit": row["unit"],
        "printed": row.printed,
        "unit_2": row["unit_2"] or None,
        "state": row["state"] or None,
        "reading": row["reading"],
        "misprints": misprints(row),
        "note": row["note"] or None,
    }


def _agreement(deciding: Value, other: Value, scale: Scale | None) -> dict[str, Any]:
    found = two_ways.compare(deciding, other)
    assert scale is not None
    return {
        "way": other.way,
        "value": scale.text(other.value),
        "uncertainty": scale.up(COVERAGE_FACTOR * other.standard),
        "difference": scale.text(Fraction(found.difference)),
        "allowed": scale.up(found.expanded),
        "unit": scale.unit,
        "agrees": found.agrees,
        "causes": list(found.causes),
    }


def _case(j: "Judged", scale: Scale, found: "Result") -> remedy.Case:
    assert j.value and j.bounds and j.bounds.low is not None and j.bounds.high is not None
    sizes = _sizes(j, found)
    sheet = found.sheet
    honing = None
    if "honing_allowance" in sheet:
        unit = found.data.units[sheet.get("honing_unit", scale.unit)]
        honing = Fraction(sheet["honing_allowance"]) * unit.factor
    return remedy.Case(
        j.item, sheet["engine"], j.position, j.verdict, j.value.value, sizes.get("bore"), sizes.get("shaft"),
        j.bounds.low, j.bounds.high, COVERAGE_FACTOR * j.value.standard, scale, found.data, honing,
    )  # fmt: skip


def _sizes(j: "Judged", found: "Result") -> dict[str, Fraction]:
    """Bore and shaft of a fit that count by its method, at 20 degrees Celsius, in SI."""
    known = temperatures(found.sheet, found.data)
    parts: dict[str, list[grid.Reading]] = {"bore": [], "shaft": []}
    for number, raw in enumerate(found.sheet["readings"]):
        here = (raw["item"], raw["position"], raw.get("variant", "")) == (j.item, j.position, j.variant)
        if here and raw["part"] in parts:
            parts[raw["part"]].append(values.reading(raw, number, found.data, known))
    method = (j.row["method"] if j.row else "") or found.data.quantities[j.item]["method"]
    ways = zip(parts.items(), grid.PAIRED[grid.pair_method(method)], strict=True)
    sizes = {part: grid.SINGLE[way](grid.cells(read)) for (part, read), way in ways if read}
    return {part: size for part, size in sizes.items() if size is not None}
