"""Pages of the quantities: one fit, part or form across all engines."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from textwrap import shorten

from ..dataset import Dataset
from ..judging.guides import BOUNDS, rule_words
from ..rows import Row
from ..shown import doubt, places_of
from ..tables import LIMITS
from ..thumb import BORES, names_of
from . import ranges, spread
from .both_units import converted, numbers
from .both_units import ranges as both
from .family import document_anchor
from .html import CAUTION, cited, engine_name, facts, finder, link, page, stacked, table, text
from .searching import anchor, first

BORE = "cylinder-bore"


@dataclass(frozen=True)
class Found:
    """A row of a quantity with its engine's number and the diameter (m) that it is plotted against, where known."""

    row: Row
    number: int
    across: Fraction | None


def pages(data: Dataset) -> dict[str, str]:
    """The page of each quantity that has rows, and the list of all."""
    rows = _rows(data)
    listed = {q: rows[q] for q in data.quantities if q in rows}
    found = {f"quantities/{q}.md": _page(data, q, of) for q, of in listed.items()}
    return {"quantities/index.md": _index(data, listed)} | found


def _rows(data: Dataset) -> dict[str, list[Row]]:
    found: dict[str, list[Row]] = {}
    for engine in sorted(data.engines):
        for name in LIMITS:
            for row in data.all_rows(engine, name):
                found.setdefault(row.item, []).append(row)
    return found


def _index(data: Dataset, listed: dict[str, list[Row]]) -> str:
    ordered = sorted(listed, key=lambda q: (int(data.quantities[q]["order"]), q))
    cells = [
        [
            link(f"{q}.html", text(data.quantities[q]["label"])),
            text(data.quantities[q]["definition"]),
            str(len({r.engine for r in listed[q]})),
            str(len(listed[q])),
        ]
        for q in ordered
    ]
    words = [f' data-words="{text(q + " " + data.quantities[q]["label"])}"' for q in ordered]
    body = [
        f"{len(listed)} fits, parts and forms have ranges, here in measuring order.",
        finder("Find a fit", "tr[data-words]", "for example: ring gap", goes=True),
        table(("Fit, part or form", "What is measured", "Engines", "Ranges"), cells, words),
        CAUTION,
    ]
    return page("Fits, parts and forms across engines", body)


def against(data: Dataset, quantity: str) -> str:
    """The size that a quantity is plotted against: that of its rule of thumb, its shaft, else the bore."""
    named = [g["per"] for g in data.table("guides") if g["quantity"] == quantity and g["factor"]]
    inner = data.quantities[quantity]["inner"].split()
    for name in (*named, *inner):
        known = data.quantities.get(name)
        if known and known["dimension"] == "length" and known["kind"] == "size" and name != quantity:
            return name
    return BORE


def _page(data: Dataset, quantity: str, rows: list[Row]) -> str:
    per = against(data, quantity)
    found = _found(data, rows, per)
    body = [
        '<nav class="rf-jumps" aria-label="On this page"><a href="#every-range">Engine by engine</a></nav>',
        _facts(data, quantity),
        CAUTION,
        *_across(data, quantity, rows),
        *_thumb(data, quantity),
        "## Engine by engine {#every-range}",
        "<p>A line an engine: a new build with standard parts. As printed; <em>in italics</em> what is converted. The "
        "number is the one in the drawing.</p>",
        _table(data, found, per),
    ]
    return page(data.quantities[quantity]["label"], body)


def _found(data: Dataset, rows: list[Row], per: str) -> list[Found]:
    numbers = {e: n for n, e in enumerate(sorted({r.engine for r in rows}), 1)}
    sizes = {e: _size(data, e, per) for e in numbers}
    return [Found(r, numbers[r.engine], sizes[r.engine]) for r in rows]


def _across(data: Dataset, quantity: str, rows: list[Row]) -> Iterable[str]:
    """Drawings against the size that fits best and against the bore, and of the wear that is allowed."""
    per = against(data, quantity)
    drawn = [_plot(data, quantity, p, _found(data, rows, p)) for p in dict.fromkeys((per, BORE))]
    wear = [g["per"] for g in data.table("guides") if g["quantity"] in names_of(quantity) and g["bound"] == "wear"]
    drawn += [_wear(data, quantity, p or per, _found(data, rows, p or per)) for p in dict.fromkeys(wear)]
    if any(drawn):
        yield "## Across engines"
        yield ranges.PATTERNS + ranges.LEGEND + f'<div class="rf-figures">{"".join(drawn)}</div>'


def _size(data: Dataset, engine: str, per: str) -> Fraction | None:
    """The middle one of an engine's new sizes of a quantity, in m; bore and stroke also from its models."""
    names = names_of(per)
    rows = [r for r in data.all_rows(engine, "sizes") if r.item in names and r["class"] == "new" and r["unit"]]
    found = sorted(filter(None, (_middle(data, r) for r in rows)))
    column = {"cylinder-bore": "bore", "liner-bore": "bore", "crank-stroke": "stroke"}.get(per, "")
    if not found and column:
        cells = (m.cells for m in data.family(engine).models.values())
        found = sorted(Fraction(c[column]) * data.units[c["unit"]].factor for c in cells if c[column])
    return found[len(found) // 2] if found else None


def _middle(data: Dataset, row: Row) -> Fraction | None:
    ends = [Fraction(v) for v in (*row.range(), row.value("nominal")) if v is not None]
    return sum(ends, Fraction(0)) / len(ends) * data.units[row["unit"]].factor if ends else None


def _facts(data: Dataset, quantity: str) -> str:
    q = data.quantities[quantity]
    method = data.keyed("methods").get(q["method"], {})
    tool = data.keyed("instruments").get(q["instrument"], {}).get("label", "")
    parts = " minus ".join(_names(data, q[c]) for c in ("outer", "inner") if q[c])
    return facts(
        {
            "What": text(q["definition"]),
            "Made of": parts + (f" minus {_names(data, q['walls'])}" if q["walls"] and parts else ""),
            "Which reading counts": text(method.get("label", "")) + _definition(method),
            "Measured with": text(tool),
            "Wears": {"upper": "up: it grows", "lower": "down: it shrinks"}.get(q["limit_side"], ""),
            "Caution": text(q["caution"]),
            "Id": f"<code>{text(quantity)}</code>",
        }
    )


def _definition(method: dict[str, str]) -> str:
    words = method.get("definition", "")
    return f": {text(words)}, unless a row says otherwise" if words else ""


def _names(data: Dataset, names: str) -> str:
    return " or ".join(text(data.quantities[n]["label"].lower()) for n in names.split())


def _missing(found: Sequence[Found], per: str, data: Dataset) -> str:
    """Which engines are not drawn, since the size of the axis was not read."""
    without = sorted({f.number for f in found if f.across is None})
    if not without:
        return ""
    label = data.quantities[per]["label"].lower()
    return f"Not drawn, since no {label} was read: {', '.join(map(str, without))}."


def _drawable(found: Iterable[Found]) -> list[Found]:
    return [f for f in found if f.across is not None and f.row["class"] == "new" and f.row["unit"]]


def _plot(data: Dataset, quantity: str, per: str, found: Sequence[Found]) -> str:
    """Ranges against the diameter, with rules of thumb that give an end as lines."""
    if quantity == per or quantity in BORES:
        return ""
    marks = [m for m in (_mark(data, f) for f in _drawable(found)) if m.values]
    unit = {"length": "mm", "angle": "deg", "force": "N", "torque": "N·m", "mass": "g"}.get(
        data.quantities[quantity]["dimension"], ""
    )
    label = data.quantities[quantity]["label"]
    across = data.quantities[per]["label"]
    title, lines = f"{label} against {across.lower()}", _lines(data, quantity, per, False)
    return spread.drawn(spread.Plot(title, across, unit, marks, lines, _missing(found, per, data)))


def _mark(data: Dataset, f: Found) -> spread.Mark:
    printed, limits = both(f.row)
    end = f"; limit {limits[0]}" if limits else ""
    return spread.Mark(*numbers(f.row, data), *_where(data, f, f"{printed[0] if printed else ''}{end}"))


def _where(data: Dataset, f: Found, told: str) -> tuple[int, float, str, str]:
    """Number, diameter in mm, words and address of a mark; a long list of models is cut, the table has it whole."""
    place = shorten(places_of(f.row, data), 60, placeholder=" …")
    words = f"{f.number} {engine_name(data.engines[f.row.engine])}, {place}: {told}"
    return f.number, float(f.across or 0) * 1000, words, _to_fit(f.row)


def _to_fit(row: Row) -> str:
    """Address of a row's fit on its engine's page."""
    return f"../engines/{row.engine}.html#{anchor(row.item, row.table)}"


def _wear(data: Dataset, quantity: str, per: str, found: Sequence[Found]) -> str:
    """What each page lets wear add, against the diameter, with the rules of thumb for it as lines."""
    lines = _lines(data, quantity, per, True)
    if not lines:
        return ""
    marks = [m for m in (_added(data, f) for f in _drawable(found)) if m]
    label, across = data.quantities[quantity]["label"], data.quantities[per]["label"]
    title = f"{label}: wear allowed beyond the new range, against {across.lower()}"
    return spread.drawn(spread.Plot(title, across, "mm", marks, lines))


def _added(data: Dataset, f: Found) -> spread.Mark | None:
    low, high, _, limit = numbers(f.row, data)
    down = data.quantities[f.row.item]["limit_side"] == "lower"
    end = low if down else high
    if limit is None or end is None:
        return None
    added = end - limit if down else limit - end
    return spread.Mark(None, None, added, None, *_where(data, f, f"{added:.4f} mm beyond the new range"))


def _lines(data: Dataset, quantity: str, per: str, wear: bool) -> list[spread.Line]:
    """Rules of thumb for a quantity that scale with the diameter of the plot, or with nothing."""
    names, sizes = names_of(quantity), names_of(per)
    found = []
    for g in data.table("guides"):
        if g["quantity"] not in names or (g["bound"] == "wear") != wear or (g["factor"] and g["per"] not in sizes):
            continue
        if not g["factor"] and not g["offset"]:
            continue
        offset = float(Fraction(g["offset"] or 0) * (data.units[g["unit"]].factor if g["unit"] else 1)) * 1000
        found.append(spread.Line(float(g["factor"] or 0), offset, _rule(data, g)))
    return found


def _rule(data: Dataset, g: dict[str, str]) -> str:
    return f"Rule of thumb: {BOUNDS[g['bound']]} {rule_words(g, data)} ({data.cite(g['source'], g['page']).text})"


def _thumb(data: Dataset, quantity: str) -> Iterable[str]:
    names = names_of(quantity)
    rules = [g for g in data.table("guides") if g["quantity"] in names]
    if rules:
        yield "## Published rules of thumb"
        yield "<p>They judge nothing unless a bench sheet names their document; a row for the engine comes first.</p>"
        cells = [[text(_rule(data, g)), text(g["note"]), cited(data.cite(g["source"], g["page"]))] for g in rules]
        yield table(("Rule", "As the page says it", "Page"), cells)


def _table(data: Dataset, found: Sequence[Found], per: str) -> str:
    """A line an engine, with the row that stands for it and how many more it has."""
    heads = ("No.", "Engine", "Where", text(data.quantities[per]["label"]), "Range", "Wear limit", "Page")
    of: dict[str, list[Found]] = {}
    for one in found:
        of.setdefault(one.row.engine, []).append(one)
    return table(heads, [_line(data, rows) for rows in of.values()])


def _line(data: Dataset, rows: Sequence[Found]) -> list[str]:
    row = first(data, [f.row for f in rows])
    found = rows[0]
    values, limits = both(row)
    more, end = converted(row, data)
    size = f"{float(found.across) * 1000:.2f} mm" if found.across is not None else "not read"
    others = f"and {len(rows) - 1} more row{'' if len(rows) == 2 else 's'}" if len(rows) > 1 else ""
    fit = _to_fit(row)
    return [
        str(found.number),
        link(fit, text(engine_name(data.engines[row.engine]))),
        text(places_of(row, data)) + (f'<span class="rf-small">{others}</span>' if others else ""),
        size,
        stacked(values, more),
        stacked(limits, end),
        cited(row.cite) + _unsure(data, row),
    ]


def _unsure(data: Dataset, row: Row) -> str:
    """What no page says about whom a row is for, as a link to how it was taken."""
    words = doubt(row, data)
    if not words:
        return ""
    address = f"../engines/{row.engine}.html#{document_anchor(row['source'])}"
    return f'<span class="rf-small">{link(address, text(words))}</span>'
