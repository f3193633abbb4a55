"""Pages of the engines: facts, ranges drawn and in tables, tightening, misprints, agreement, prints."""

from collections.abc import Iterable, Sequence

from ..choosing import decided
from ..dataset import Dataset
from ..rows import Row
from ..shown import column_words, conditions, counts, cylinders_of, doubt, fastening, label, places_of, speaks_of
from ..tables import LIMITS
from . import differing, family, prints, ranges, stages
from .both_units import converted
from .both_units import ranges as both
from .html import (
    CAUTION,
    cited,
    engine_name,
    facts,
    finder,
    heading,
    link,
    page,
    row_anchor,
    share_twice,
    stacked,
    table,
    text,
    to_row,
)

GROUPS = (
    (2, "Block, head and main housings"),
    (4, "Cylinders and liners"),
    (6, "Crankshaft"),
    (9, "Main bearings and end play"),
    (13, "Connecting rods and bolts"),
    (16, "Pistons and pins"),
    (18, "Rings"),
    (19, "Piston heights and head gasket"),
    (20, "Camshaft and followers"),
    (23, "Valves, guides, seats and springs"),
    (24, "Gears, accessories and runouts"),
    (99, "Pumps"),
)
"""Headings of the tables by the last measuring order that stands below each."""


def pages(data: Dataset) -> dict[str, str]:
    """The page of each engine, and the list of all."""
    return {"engines/index.md": _index(data)} | {f"engines/{e}.md": _engine(data, e) for e in sorted(data.engines)}


def cards(data: Dataset, base: str) -> str:
    """The engines as a list that a finder narrows."""
    return f'<ul class="rf-engines">{"".join(_card(data, e, base) for e in sorted(data.engines))}</ul>'


def _card(data: Dataset, engine: str, base: str) -> str:
    line = data.engines[engine]
    found = counts(data, engine)
    models = [w for m in data.family(engine).models.values() for w in (m.label, m.cells["also_known_as"])]
    known = (line[c] for c in ("maker", "designation", "also_known_as", "layout", "fuel"))
    words = " ".join([engine, *known, *models])
    also = f'<span class="rf-also">{text(line["also_known_as"])}</span>' if line["also_known_as"] else ""
    small = f"{_layout(data, line)}; {found['ranges']} ranges, {found['torque_steps']} steps"
    name = link(f"{base}engines/{engine}.html", text(engine_name(line)))
    return f'<li data-words="{text(words)}">{name}{also}<span class="rf-small">{text(small)}</span></li>'


def _layout(data: Dataset, line: dict[str, str]) -> str:
    number = cylinders_of(data, line["engine"])
    cylinders = f"{number} cylinder{'' if number == '1' else 's'}" if number else ""
    cooling = f"{line['cooling']}-cooled" if line["cooling"] else ""
    layout = {"inline": "in-line", "v": "V"}.get(line["layout"], line["layout"])
    words = (layout, cylinders, line["fuel"], cooling)
    return ", ".join(w for w in words if w)


def _index(data: Dataset) -> str:
    body = [
        f"{len(data.engines)} engine families have rows. No engine here means: not read yet.",
        finder("Find an engine", ".rf-engines > li", "for example: perkins 4.108", goes=True),
        cards(data, "../"),
        CAUTION,
    ]
    return page("Engines", body)


def _engine(data: Dataset, engine: str) -> str:
    line = data.engines[engine]
    limits = [r for t in LIMITS for r in data.all_rows(engine, t)]
    steps = data.all_rows(engine, "torques")
    together = differing.shared(data, engine)
    body = [
        _doors(data, engine),
        CAUTION,
        *family.models(data, engine, prints.by_model(data, engine)),
        *family.fitted(data, engine),
        *_tables(data, limits),
        *_tightening(data, engine, steps),
        *_drawn(data, _for_new_builds(data, limits)),
        *_misprints(data, [*limits, *steps]),
        "## Documents and how they agree",
        f"<p>{text(differing.summary(together))}</p>",
        differing.differing(data, together),
        family.documents(data, engine, [*limits, *steps]),
    ]
    return page(engine_name(line), [_facts(data, engine), _jumps(body), *body])


def _jumps(body: Iterable[str]) -> str:
    """Links to the parts of the page: on a phone they are all of its contents that is in sight."""
    heads = [b.removeprefix("## ") for b in body if b.startswith("## ")]
    links = (link(f"#{h.lower().replace(' ', '-')}", text(h)) for h in heads)
    return f'<nav class="rf-jumps" aria-label="On this page">{" ".join(links)}</nav>'


def _facts(data: Dataset, engine: str) -> str:
    line = data.engines[engine]
    found = counts(data, engine)
    cite = data.cite(line["source"], line["page"])
    return facts(
        {
            "Also known as": text(line["also_known_as"]),
            "Layout": text(_layout(data, line)),
            "Cycle": text(f"{line['cycle']}-stroke" if line["cycle"] else ""),
            "Rows": f"{found['ranges']} ranges, {found['torque_steps']} tightening steps",
            "Documents": str(found["documents"]),
            "Read twice": text(share_twice(found)),
            "Named on": cited(cite),
            "Note": text(line["note"]),
            "Id": f"<code>{text(engine)}</code>",
        }
    )


def _doors(data: Dataset, engine: str) -> str:
    """Links to what is printed for the whole family, to the bench and to the data."""
    links = [*prints.links(data, engine)]
    links += [
        link(f"../bench.html#{engine}", "Judge readings on the bench"),
        link(f"../v1/engines/{engine}.json", "JSON"),
    ]
    return f'<nav class="rf-doors" aria-label="Prints and data">{"".join(links)}</nav>'


def _for_new_builds(data: Dataset, limits: Iterable[Row]) -> list[Row]:
    """Rows of a new build with standard parts, in measuring order, those left out that choices.csv passes over."""
    found = [r for r in decided(list(limits), data)[0] if r["class"] == "new" and not r["size"]]
    return sorted(found, key=lambda r: (int(data.quantities[r.item]["order"]), r.item, r["position"]))


def _drawn(data: Dataset, rows: Iterable[Row]) -> Iterable[str]:
    picture = ranges.drawn(data, rows)
    if picture:
        yield "## Ranges drawn to scale"
        yield f"<p>New builds, in measuring order; inches above, millimetres below.</p>{picture}"


def _tables(data: Dataset, limits: list[Row]) -> Iterable[str]:
    if not limits:
        return
    yield "## Ranges"
    yield finder("Find in the tables", "tr[data-words]", "for example: main bearing") + (
        "<p>As printed; <em>in italics</em> what is converted at the printed step. * a registered misprint, judged by "
        "the corrected value. Read twice: a second reader, blind, agreed.</p>"
    )
    ordered = sorted(limits, key=lambda r: (int(data.quantities[r.item]["order"]), r.item, r["position"], r.id))
    least = 0
    for last, title in GROUPS:
        rows = [r for r in ordered if least < int(data.quantities[r.item]["order"]) <= last]
        least = last
        if rows:
            yield f"### {heading(title)}"
            yield f"<div data-group>{_ranges(data, rows)}</div>"


def _ranges(data: Dataset, rows: Sequence[Row]) -> str:
    heads = ("What", "Where", "Range", "Wear limit", "Page")
    cells = [[_what(data, r), _where(data, r), *_numbers(data, r), _page(data, r)] for r in rows]
    return table(heads, cells, [_marked(data, r) for r in rows], "ranges")


def _marked(data: Dataset, row: Row) -> str:
    words = f"{label(row, data)} {row.item} {places_of(row, data)}"
    return f' id="{text(row_anchor(row))}" data-words="{text(words)}"'


def _what(data: Dataset, row: Row) -> str:
    return link(f"../quantities/{row.item}.html", text(label(row, data)))


def _where(data: Dataset, row: Row) -> str:
    """Place; what the row is for; under what conditions it holds; its note."""
    held = [w for w in conditions(row, data) if row.table != "torques" or w != row["thread_state"].replace("-", " ")]
    words = [data.place_words(row["position"]), *speaks_of(row, data), *held]
    note = f'<span class="rf-small">{text(row["note"])}</span>' if row["note"] else ""
    return text(", ".join(words)) + note


def _numbers(data: Dataset, row: Row) -> tuple[str, str]:
    values, limits = both(row)
    more, end = converted(row, data)
    return stacked(values, more), stacked(limits, end)


def _page(data: Dataset, row: Row) -> str:
    """The page, how often it was read, a link to the row, and what no page says about whom it is for."""
    read = {"twice": "read twice", "once": "read once", "memory": "FROM MEMORY, not read"}[row["reading"]]
    here = link(to_row(row, "../"), "this row")
    unsure = doubt(row, data)
    known = f"; {link('#' + family.document_anchor(row['source']), text(unsure))}" if unsure else ""
    return f'{cited(row.cite)}<span class="rf-small">{read}; {here}{known}</span>'


def _tightening(data: Dataset, engine: str, steps: list[Row]) -> Iterable[str]:
    if not steps:
        return
    yield "## Tightening"
    yield (
        "<p>The state of the thread belongs to the value: dry, oiled or as the row says; no factor turns one into the "
        "other. Replace single-use fasteners.</p>"
    )
    yield stages.orders(data, engine)
    picture = stages.staged(data, steps)
    yield f'<div class="rf-stages">{picture}</div>' if picture else ""
    heads = ("Joint", "Where", "Step", "Torque", "Thread", "Page")
    rows = [
        [_joint(data, r), _where(data, r), _stage(r), _torque(data, r), text(fastening(r)), _page(data, r)]
        for r in steps
    ]
    yield table(heads, rows, [_marked(data, r) for r in steps])


def _joint(data: Dataset, row: Row) -> str:
    joint = data.joints[row.item]
    return text(joint["label"]) + ('<span class="rf-small">critical</span>' if joint["critical"] == "true" else "")


def _stage(row: Row) -> str:
    return f"{text(row['step'])}: {text(row['action'])}"


def _torque(data: Dataset, row: Row) -> str:
    values, _ = both(row)
    return stacked(values or ["no value printed"], converted(row, data)[0])


def _misprints(data: Dataset, rows: Iterable[Row]) -> Iterable[str]:
    found = [r for r in rows if r.misprints]
    if found:
        yield "## Misprints"
        yield misprints(data, found, "../")


def misprints(data: Dataset, rows: Iterable[Row], base: str) -> str:
    """Table of the registered misprints of rows; `base` leads to the site's root."""
    cells = []
    for row, m in ((r, m) for r in rows for m in r.misprints.values()):
        name = link(to_row(row, base), text(f"{label(row, data)}, {places_of(row, data)}"))
        right = m["corrected"] or "not known: not judged"
        cells.append([name, *map(text, (column_words(row, m["column"]), m["printed"], right, m["why"], m["evidence"]))])
    return table(("Row", "Number", "Printed", "Right", "Why", "Proof"), cells)
