"""Pages of the engines: the finder, what is missing, tables in the trade's order, drawings, how all was identified."""

import re
from collections.abc import Iterable

from ..choosing import decided
from ..dataset import Dataset
from ..needs import missing
from ..rows import Row
from ..shown import column_words, counts, cylinders_of, label, places_of
from ..tables import LIMITS
from . import choosing_build, differing, engine_lines, family, prints, ranges, stages
from .html import (
    CAUTION,
    cited,
    engine_name,
    facts,
    finder,
    heading,
    link,
    page,
    share_twice,
    table,
    text,
    to_row,
)

ENDS = (
    (
        "Bottom end",
        (
            ((1, 2), "Block, head and main housings"),
            ((5, 6), "Crankshaft"),
            ((7, 9), "Main bearings and end play"),
            ((10, 13), "Connecting rods and bolts"),
        ),
    ),
    (
        "Top end",
        (
            ((3, 4), "Cylinders and liners"),
            ((14, 16), "Pistons and pins"),
            ((17, 18), "Rings"),
            ((19, 19), "Piston heights and head gasket"),
            ((20, 20), "Camshaft and followers"),
            ((21, 23), "Valves, guides, seats and springs"),
        ),
    ),
    ("Gears, accessories and pumps", (((24, 24), "Gears, accessories and runouts"), ((25, 99), "Pumps"))),
)
"""Parts of an engine's page in the trade's order, each with its tables and their span of the measuring order."""


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
        f"{len(data.engines)} engine families have rows.",
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
        *_tables(data, limits),
        *_tightening(data, engine, steps),
        *_drawn(data, _for_new_builds(data, limits)),
        *_misprints(data, [*limits, *steps]),
        *family.models(data, engine),
        *family.fitted(data, engine),
        "## Documents and how they agree",
        f"<p>{text(differing.summary(together))}</p>",
        differing.differing(data, together),
        family.documents(data, engine, [*limits, *steps]),
        WRONG,
        "## How this engine was identified",
        _facts(data, engine),
    ]
    first = [_lead(data, engine), choosing_build.fields(data, engine), _finder(data, engine), _jumps(body)]
    return page(
        engine_name(line), engine=engine, body=[*first, _doors(data, engine), _missing(data, engine), CAUTION, *body]
    )


WRONG = (
    '<p id="wrong"><b>A wrong number?</b> Say which row and what its page prints: '
    '<a href="../contribute.html#a-wrong-number">how a wrong number is reported</a>.</p>'
)


def _lead(data: Dataset, engine: str) -> str:
    """In one line what engine it is, and how much is known of it."""
    line, found = data.engines[engine], counts(data, engine)
    cycle = f"{line['cycle']}-stroke" if line["cycle"] else ""
    what = ", ".join(filter(None, (_layout(data, line), cycle)))
    much = f"{found['ranges']} ranges and {found['torque_steps']} tightening steps of {found['documents']} documents"
    also = f"Also known as {line['also_known_as']}. " if line["also_known_as"] else ""
    return f'<p class="rf-lead">{text(what[:1].upper() + what[1:])}. {text(also)}{much}.</p>'


def _finder(data: Dataset, engine: str) -> str:
    """The field that narrows the tables, and what it says of what is not there."""
    name = engine_name(data.engines[engine])
    return finder("Find in the tables", ".rf-lines tbody tr", "for example: big end", of=name)


def _missing(data: Dataset, engine: str) -> str:
    """What a builder needs first that no page gave, with what was looked for."""
    lacking = missing(data, engine)
    if not lacking:
        return ""
    told = "".join(f"<li><b>{text(n.label)}</b>: {text(n.words)}</li>" for n in lacking)
    wanted = link(f"../coverage.html#{engine}", "What is wanted most")
    return (
        f'<section class="rf-missing"><p>Missing of what a builder needs first:</p><ul>{told}</ul>'
        f"<p>Do you have a page that prints it? {wanted}.</p></section>"
    )


def _jumps(body: Iterable[str]) -> str:
    """Links to the parts of the page: on a phone they are all of its contents that is in sight."""
    heads = [HEAD.fullmatch(b) for b in body if b.startswith("## ")]
    links = (link(f"#{h['id'] or _slug(h['words'])}", text(h["words"])) for h in heads if h)
    return f'<nav class="rf-jumps" aria-label="On this page">{" ".join(links)}</nav>'


def _slug(words: str) -> str:
    """The id that the generator gives to a heading."""
    return re.sub(r"[^a-z0-9-]", "", words.lower().replace(" ", "-"))


HEAD = re.compile(r"## (?P<words>[^{]*?)(?: \{#(?P<id>[a-z-]+)\})?")


def _facts(data: Dataset, engine: str) -> str:
    line = data.engines[engine]
    found = counts(data, engine)
    cite = data.cite(line["source"], line["page"])
    return facts(
        {
            "Named on": cited(cite),
            "Read twice": text(share_twice(found)),
            "Id": f"<code>{text(engine)}</code>",
            "How it was identified": text(line["note"]),
        }
    )


def _doors(data: Dataset, engine: str) -> str:
    """Links to what is printed for the whole family or the chosen model, to the bench and to the data."""
    links = [link(f"../bench.html#{engine}", "Judge readings on the bench")]
    links += [*prints.links(data, engine), *choosing_build.doors(data, engine)]
    links.append(link(f"../prints.html#{engine}", "All prints"))
    links.append(link(f"../v1/engines/{engine}.json", "JSON"))
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
    ordered = sorted(limits, key=lambda r: (_order(data, r), r.item, bool(r["size"]), r["position"], r.id))
    told = " {#ranges}"
    for end, groups in ENDS:
        found = [(name, [r for r in ordered if a <= _order(data, r) <= b]) for (a, b), name in groups]
        if any(rows for _, rows in found):
            yield f"## {end}{told}"
            yield AS_PRINTED if told else ""
            told = ""
        for name, rows in found:
            if rows:
                yield f"### {heading(name)}"
                yield _lines(engine_lines.ranges(data, rows))


def _lines(found: str) -> str:
    """A table that is laid out when it comes near the screen; the number of its lines tells how high it will be."""
    return f'<div class="rf-lines" data-group style="--lines:{found.count("<tr") - 1}">{found}</div>'


AS_PRINTED = (
    "<p>As printed; <em>in italics</em> what is converted at the printed step. * a registered misprint, judged by "
    "the corrected value. Read twice: a second reader, blind, agreed.</p>"
)


def _order(data: Dataset, row: Row) -> int:
    return int(data.quantities[row.item]["order"])


def _tightening(data: Dataset, engine: str, steps: list[Row]) -> Iterable[str]:
    if not steps:
        return
    yield "## Torques {#tightening}"
    yield (
        "<p>The state of the thread belongs to the value: dry, oiled or as the row says; no factor turns one into the "
        "other. Replace single-use fasteners.</p>"
    )
    yield _lines(engine_lines.tightening(data, steps))
    yield stages.orders(data, engine)
    picture = stages.staged(data, steps)
    yield f'<div class="rf-stages">{picture}</div>' if picture else ""


def _misprints(data: Dataset, rows: Iterable[Row]) -> Iterable[str]:
    found = [r for r in rows if r.misprints]
    if found:
        yield "## Misprints"
        yield table(MISPRINTED, misprints(data, found, "../"), kind="misprints")


MISPRINTED = ("Row", "Number", "Printed", "Right", "Why", "Proof")
"""Heads of a table of misprints."""


def misprints(data: Dataset, rows: Iterable[Row], base: str) -> list[list[str]]:
    """Lines of the registered misprints of rows, one where several of a row have one proof; `base` leads to the site's
    root.
    """
    cells = []
    for row in rows:
        name = link(to_row(row, base), text(f"{label(row, data)}, {places_of(row, data)}"))
        alike: dict[tuple[str, str], list[dict[str, str]]] = {}
        for m in row.misprints.values():
            alike.setdefault((m["why"], m["evidence"]), []).append(m)
        for (why, proof), found in alike.items():
            told = [(column_words(row, m["column"]), m["printed"], m["corrected"] or NOT_KNOWN) for m in found]
            numbers = ("<br>".join(map(text, _once(column))) for column in zip(*told, strict=True))
            cells.append([name, *numbers, text(why), text(proof)])
    return cells


def _once(cells: tuple[str, ...]) -> tuple[str, ...]:
    """Cells of one misprint, or what all of them say."""
    return cells[:1] if set(cells) == {NOT_KNOWN} else cells


NOT_KNOWN = "not known: not judged"
"""What is said of a misprint whose right value cannot be known."""
