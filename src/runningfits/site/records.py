"""Pages of the registers: sources with their pages, misprints, disagreements, what changed."""

from collections.abc import Iterable
from itertools import groupby
from pathlib import Path

from .. import changes
from ..dataset import Dataset
from ..rows import Row, document_words, page_words
from ..shown import label, places_of, range_text
from ..tables import LIMITS
from . import differing
from .both_units import shown
from .engines import MISPRINTED, misprints
from .html import anchor, cited, engine_name, facts, finder, heading, link, listed, outside, page, table, text, to_row

ROWS = (*LIMITS, "torques")
SHARED_WITH_PAGES = ("engines", "instruments", "materials", "fasteners", "threads", "general_torques", "guides")
"""Shared tables whose lines cite a page."""


def pages(data: Dataset, last: Path | None = None) -> dict[str, str]:
    """Sources, misprints, disagreements, changes."""
    rows = [r for e in sorted(data.engines) for t in ROWS for r in data.all_rows(e, t)]
    return {
        "sources/index.md": _sources(data, rows),
        **{f"sources/{s['source']}.md": _source(data, s, rows) for s in data.table("sources")},
        "misprints.md": _misprints(data, rows),
        "disagreements.md": _disagreements(data, rows),
        "changes.md": _changes(data, last),
    }


def _sources(data: Dataset, rows: list[Row]) -> str:
    count: dict[str, int] = {}
    for row in rows:
        count[row.cite.source] = count.get(row.cite.source, 0) + 1
    cells, words = [], []
    for s in data.table("sources"):
        name = link(f"{s['source']}.html", text(s["number"] or s["title"]))
        cells.append(
            [
                name,
                text(s["title"]),
                text(_kind(s)),
                text(s["issued"]),
                str(count.get(s["source"], 0) or "reference"),
            ]
        )
        words.append(f' data-words="{text(" ".join((s["number"], s["title"], s["publisher"], s["kind"])))}"')
    body = [
        f"{len(cells)} documents were read, {len(data.table('pages'))} pages. Each page names the address of the copy "
        "that was read. Rows come from government technical manuals, the makers' own published manuals, standards and "
        "handbooks only.",
        finder("Find a document", "tr[data-words]", "number or title", goes=True),
        table(("Document", "Title", "Kind", "Issued", "Rows"), cells, words),
    ]
    return page("Sources", body)


def _kind(s: dict[str, str]) -> str:
    return s["kind"].replace("makers-", "maker's ").replace("-", " ")


def _source(data: Dataset, s: dict[str, str], rows: list[Row]) -> str:
    of: dict[str, list[Row]] = {}
    for row in rows:
        if row.cite.source == s["source"]:
            of.setdefault(row.cite.page, []).append(row)
    read = [p for p in data.table("pages") if p["source"] == s["source"]]
    body = [
        facts(
            {
                "Title": text(s["title"]),
                "Number": text(s["number"]),
                "Kind": text(_kind(s)),
                "Publisher": text(s["publisher"]),
                "Issued": text(s["issued"]),
                "Rights": text(s["rights"]),
                "Note": text(s["note"]),
                "Id": f"<code>{text(s['source'])}</code>",
            }
        ),
        "## Pages that were read",
        *(_page(data, p, of.get(p["page"], [])) for p in read),
    ]
    return page(document_words(s["number"], s["title"]), body)


def _page(data: Dataset, p: dict[str, str], rows: list[Row]) -> str:
    """A page with the address of its copy and the rows that it gave."""
    copy = outside(p["address"], "the copy that was read")
    items = [_row(r, data) for r in rows]
    uses = _shared(data, p)
    name = text(anchor("p-" + p["page"]))
    head = text(page_words(p["page"]))
    named = "".join(
        f"<p>{_engine(data, e, p['source'])}</p>{listed(i for i, _ in g)}"
        for e, g in groupby(zip(items, (r.engine for r in rows), strict=True), lambda pair: pair[1])
    )
    where = f"{_found_by(p)}{copy}, read on {text(p['read_on'])}."
    return (
        f'<section class="rf-page" id="{name}"><h3>{head}</h3><p>{where}<br>'
        f'<span class="rf-address">{text(p["address"])}</span></p>{named}{uses}</section>'
    )


def _row(row: Row, data: Dataset) -> str:
    return f"{link(to_row(row), text(f'{label(row, data)}, {places_of(row, data)}'))}: {text(_told(row, data))}"


def _found_by(p: dict[str, str]) -> str:
    """What finds a page again beside its number; that it bears none, where it bears none."""
    unnumbered = "" if p["printed"] == "yes" else "no page number is printed"
    words = "; ".join(filter(None, (unnumbered, f"found by: {p['heading']}" if p["heading"] else "")))
    return f"{text(words[:1].upper() + words[1:])}.<br>" if words else ""


def _engine(data: Dataset, engine: str, source: str) -> str:
    """An engine with what no page of a document says about whom its rows are for."""
    words = data.family(engine).unsure(source)
    return f"<strong>{text(engine_name(data.engines[engine]))}</strong>" + (f": {text(words)}" if words else "")


def _shared(data: Dataset, p: dict[str, str]) -> str:
    """Which shared tables cite the page, with how many lines."""
    counted = {
        t: sum(r["source"] == p["source"] and r.get("page") == p["page"] for r in data.table(t))
        for t in SHARED_WITH_PAGES
    }
    words = ", ".join(f"{n} in {t}.csv" for t, n in counted.items() if n)
    return f"<p>Lines of shared tables: {words}.</p>" if words else ""


def _misprints(data: Dataset, rows: list[Row]) -> str:
    found = [r for r in rows if r.misprints]
    count = sum(len(r.misprints) for r in found)
    lines = []
    for engine, group in groupby(found, lambda r: r.engine):
        named = link(f"engines/{engine}.html", text(engine_name(data.engines[engine])))
        lines += [[named if n == 0 else "", *cells] for n, cells in enumerate(misprints(data, group, ""))]
    body = [
        f"{count} numbers are kept as printed although they cannot be right. Each has its proof; the "
        "rows are judged by the right value, or not at all where it cannot be known, and every place that shows them "
        "says so.",
        table(("Engine", *MISPRINTED), lines),
    ]
    return page("Misprints", body)


def _disagreements(data: Dataset, rows: list[Row]) -> str:
    by_id = {r.id: r for r in rows}
    cells = [_choice(by_id[c["row"]], by_id[c["over"]], c, data) for c in data.table("choices")]
    body = [
        "Two documents that disagree are two rows; nothing is averaged. Where one is chosen for judging, the reason "
        "stands here. Where none is chosen, a reading gets the verdict *which row?*",
        f"## Choices\n\n{len(cells)} rows are used in place of another."
        if cells
        else "## Choices\n\nNo choice was made yet.",
        table(("What", "Used", "Passed over", "Why", "Evidence"), cells),
        "## Agreement between documents",
        _agreement(data),
    ]
    return page("Where documents disagree", body)


def _choice(used: Row, over: Row, c: dict[str, str], data: Dataset) -> list[str]:
    name = f"{engine_name(data.engines[used.engine])}: {label(used, data)}, {places_of(used, data)}"
    return [text(name), *(_side(r, data) for r in (used, over)), text(c["why"]), text(c["evidence"])]


def _side(row: Row, data: Dataset) -> str:
    return f"{link(to_row(row, ''), text(_told(row, data)))} {cited(row.cite, '')}"


def _told(row: Row, data: Dataset) -> str:
    """Range and limit of a row in words."""
    values, limit = range_text(row, data)
    return shown("; ".join(filter(None, (values, f"limit {limit}" if limit else ""))))


def _agreement(data: Dataset) -> str:
    cells = []
    for engine in sorted(data.engines):
        found = differing.shared(data, engine)
        if found:
            same = sum(s.agree for s in found)
            name = link(f"engines/{engine}.html", text(engine_name(data.engines[engine])))
            cells.append([name, str(len(found)), str(same), str(len(found) - same)])
    return table(("Engine", "Printed by two or more", "Agree", "Differ or share no unit"), cells)


def _changes(data: Dataset, last: Path | None) -> str:
    """The change list against the last release, or what the first one has."""
    body = [
        f"This is version {text(data.version)} of the data. A value that changes or is withdrawn is news: it raises "
        "the second number, as added rows do; the first is raised when a column, a type, the form of ids or an address "
        "changes, the third for prose. The list as data: "
        + link("v1/changes.json", "changes.json")
        + '; for any two versions: <code class="rf-cmd">runningfits changes OLD NEW</code>.',
    ]
    if last is None:
        body += ["## First version", "It has no release before it: every row counts as added.", _counts(data)]
        return page("Changes", body)
    before, after = changes.read(last), changes.read(data.path)
    found = changes.changes(before, after)
    body.append(f"## Since {heading(before.number)}")
    for kind in changes.KINDS:
        of = [c for c in found if c.kind == kind]
        body.append(f"### {len(of)} {kind}")
        body.append(table(("Table", "Row", "Old", "New", "Why"), map(_change, of)) if of else "None.")
    return page("Changes", body)


def _change(c: changes.Change) -> list[str]:
    def cells(found: dict[str, str]) -> str:
        return text(", ".join(f"{k} {v}" for k, v in found.items() if v)) if c.kind != "added" else ""

    return [text(c.table), text(c.row), cells(c.old), cells(c.new), text(c.why)]


def _counts(data: Dataset) -> str:
    def count(engine: str) -> Iterable[str]:
        return (str(len(data.all_rows(engine, t))) for t in (*ROWS, "sequences"))

    cells = [
        [link(f"engines/{e}.html", text(engine_name(line))), *count(e)] for e, line in sorted(data.engines.items())
    ]
    return table(("Engine", "Sizes", "Clearances and forms", "Tightening steps", "Places in an order"), cells)
