"""The search: its page, and what it looks in as a script that also loads from a folder on a stick."""

from collections.abc import Iterable
from typing import Any

from ..choosing import decided
from ..dataset import Dataset
from ..needs import missing
from ..rows import Row, document_words, page_words
from ..shown import range_text
from ..tables import LIMITS
from ..trade import trade_words
from .bench_page import called
from .both_units import shown
from .html import engine_name, page, search
from .stages import joints

SCRIPT = "search-documents.js"


def pages(data: Dataset) -> dict[str, str]:
    """The search's page and its script by site path."""
    return {"search.md": _page(), SCRIPT: called("RunningFitsSearch.documents", documents(data))}


def _page() -> str:
    without = (
        "<noscript><p>The search runs in the browser and needs script. Without it: the lists of "
        '<a href="engines/index.html">engines</a>, <a href="quantities/index.html">fits</a> and '
        '<a href="sources/index.html">documents</a>.</p></noscript>'
    )
    field = search("", "An engine, a fit, a joint, a document", "for example: big end")
    return page("Search", [field, without], search=True)


def documents(data: Dataset) -> dict[str, Any]:
    """What the search looks in: engines with a line a fit, fits and joints with the trade's words, documents."""
    items = _items(data)
    sources = list(data.keyed("sources"))
    return {
        "engines": [_engine(data, e, list(items), sources) for e in sorted(data.engines)],
        "items": [_item(data, i, t) for i, t in items.items()],
        "documents": [_document(s) for s in data.table("sources")],
    }


def _items(data: Dataset) -> dict[str, str]:
    """Each fit and joint that has rows, in measuring order, with the table of its rows."""
    found = {r.item: r.table for e in data.engines for t in (*LIMITS, "torques") for r in data.all_rows(e, t)}
    return dict(sorted(found.items(), key=lambda i: (i[1] == "torques", _order(data, *i), i[0])))


def _order(data: Dataset, item: str, table: str) -> int:
    return int(data.quantities[item]["order"]) if table != "torques" else data.joints[item]["critical"] != "true"


def _item(data: Dataset, item: str, table: str) -> dict[str, Any]:
    joint = table == "torques"
    label = (data.joints if joint else data.quantities)[item]["label"]
    told = trade_words(label, data.synonyms)
    return {
        "name": f"{label}, torque" if joint else label,
        "words": "; ".join(filter(None, (told, TIGHTENED if joint else ""))),
        "anchor": anchor(item, table),
        "page": "" if joint else f"{item}.html",
        "weight": _weight(data, item, table),
    }


def _weight(data: Dataset, item: str, table: str) -> int:
    """How much an answer weighs: what every builder needs first before the rest, its fits before its sizes."""
    if not any(item in n["items"].split() for n in data.table("needs")):
        return 1
    return 4 if table == "clearances" else 3


TIGHTENED = "tightening bolt nut stud screw"
"""What every joint is also looked for by."""


def anchor(item: str, table: str) -> str:
    """Id of the first line of a fit or joint on an engine's page."""
    return f"{'joint' if table == 'torques' else 'fit'}-{item}"


def _document(s: dict[str, str]) -> dict[str, str]:
    name = document_words(s["number"], s["title"])
    title = s["title"] if s["title"] != name else ""
    words = "; ".join(filter(None, (s["number"].removeprefix(name).lstrip("; "), s["publisher"])))
    return {"name": name, "title": title, "words": words, "page": f"{s['source']}.html"}


def _engine(data: Dataset, engine: str, items: list[str], sources: list[str]) -> dict[str, Any]:
    line, family = data.engines[engine], data.family(engine)
    rows = [r for t in (*LIMITS, "torques") for r in data.all_rows(engine, t)]
    also = [line["also_known_as"], *(w for m in family.models.values() for w in (m.label, m.cells["also_known_as"]))]
    titles = {data.keyed("sources")[s]["title"] for s in (*family.covers, *(r["source"] for r in rows))}
    return {
        "page": f"{engine}.html",
        "name": engine_name(line),
        "words": "; ".join(dict.fromkeys(filter(None, also))),
        "titles": "; ".join(sorted(titles)),
        "lines": [_line(data, of, items, sources) for of in _by_item(rows)],
        "rows": len(rows),
        "missing": [[_sought(data, n.need, items), n.words] for n in missing(data, engine)],
    }


def _sought(data: Dataset, need: str, items: list[str]) -> list[int]:
    return [items.index(i) for i in data.keyed("needs")[need]["items"].split() if i in items]


def _by_item(rows: Iterable[Row]) -> Iterable[list[Row]]:
    found: dict[str, list[Row]] = {}
    for row in rows:
        found.setdefault(row.item, []).append(row)
    return found.values()


def _line(data: Dataset, rows: list[Row], items: list[str], sources: list[str]) -> list[Any]:
    """An engine's line of a fit or joint: item, range, limit, document, page, how many further rows."""
    row = first(data, rows)
    together = _stages(row, rows)
    values = "; then ".join(filter(None, (range_text(r, data)[0] for r in together)))
    where = sources.index(row["source"]), page_words(row["page"])
    return [items.index(row.item), shown(values), shown(range_text(row, data)[1]), *where, len(rows) - len(together)]


def _stages(row: Row, rows: Iterable[Row]) -> list[Row]:
    """The stages of a joint that a step belongs to, in order; a range alone."""
    if row.table != "torques":
        return [row]
    return next(group for _, group in joints(rows) if any(r.id == row.id for r in group))


def first(data: Dataset, rows: list[Row]) -> Row:
    """The row that stands for a fit or joint: of a new build with standard parts, the broadest; a joint's last step."""
    used = [r for r in decided(rows, data)[0] if not r.cells.get("purpose")] or rows
    if rows[0].table == "torques":
        return min(used, key=lambda r: (_breadth(r), -int(r["step"])))
    return min(used, key=lambda r: (r["class"] != "new", bool(r["size"]), *_breadth(r)))


def _breadth(row: Row) -> tuple[object, ...]:
    last = row["source"] if row.table == "torques" else row.id
    return bool(row["applies"]), row["position"] != "all", bool(row["which"]), last
