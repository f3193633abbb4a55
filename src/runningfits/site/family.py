"""What an engine's page says of its family: models, what may be fitted, what each document is for and how we know."""

from collections.abc import Iterable, Sequence

from ..asking import question_words
from ..dataset import Dataset
from ..engine_models import Cover, Model
from ..rows import Row, document_words, page_words
from ..shown import model_words
from ..tables import of_engine
from .html import anchor, link, listed, page_address, table, text

NAMED = {
    "printed": "the engine is named on its pages",
    "title": "the engine is named in its title",
    "inferred": "inferred: no page names the engine",
}
"""How it is known for which models a document is."""

MANY = 4
"""Lines of a table beyond which it is folded."""

COUNTS = (("cylinders", "Cylinders"), ("crankpins", "Crankpins"), ("mains", "Main bearings"))


def models(data: Dataset, engine: str) -> Iterable[str]:
    """The members of a family."""
    found = list(data.family(engine).models.values())
    yield "## Models"
    heads = ["Model", *(head for _, head in COUNTS), "Bore x stroke", "Always has", "Page"]
    rows = [_model(data, engine, m) for m in found]
    yield _folded(f"{len(found)} models", _filled(heads, rows), len(found))


def _filled(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table without the columns that are empty in every row."""
    kept = [n for n in range(len(heads)) if any(row[n] for row in rows)]
    return table([heads[n] for n in kept], [[row[n] for n in kept] for row in rows])


def _model(data: Dataset, engine: str, model: Model) -> list[str]:
    cells = model.cells
    family = data.family(engine)
    known = cells["also_known_as"].replace(";", ",")
    also = f'<span class="rf-small">{text(known)}</span>' if known else ""
    ends = [cells[c] or "not read" for c in ("bore", "stroke")]
    size = f"{' x '.join(ends)} {cells['unit']}" if cells["bore"] or cells["stroke"] else ""
    has = ", ".join(family.labels.get(p, p) for p in sorted(model.has))
    counts = [text(cells[c]) for c, _ in COUNTS]
    return [f"<b>{text(model.label)}</b>{also}", *counts, text(size), text(has), _told(data, cells)]


def _told(data: Dataset, cells: dict[str, str]) -> str:
    """Page of a line, what is from memory, and its note."""
    cited = _cited(data, cells["source"], cells["page"])
    words = [READING.get(cells.get("reading", ""), ""), cells["note"]]
    note = "; ".join(w for w in words if w)
    return " ".join(filter(None, (cited, f'<span class="rf-small">{text(note)}</span>' if note else "")))


READING = {"memory": "in part FROM MEMORY, not read"}


def _cited(data: Dataset, source: str, page: str) -> str:
    """Document and page as a link; the document alone where no page is named, nothing where no document is."""
    if not source:
        return ""
    line = data.keyed("sources")[source]
    words = document_words(line["number"], line["title"])
    if not page:
        return link(f"../sources/{source}.html", text(words))
    return link(page_address(source, page), text(f"{words}, {page_words(page)}"))


def fitted(data: Dataset, engine: str) -> Iterable[str]:
    """Questions about what is fitted on which ranges depend, each with its answers."""
    family = data.family(engine)
    if not family.questions:
        return
    parts = {(p["question"], p["part"]): p for p in of_engine(data.path, engine, "parts")}
    rows = []
    for question, answers in family.questions.items():
        lines = [_answer(data, family.label(question, a), parts.get((question, a), {})) for a in answers]
        rows.append([text(question_words(question, data)), listed(lines)])
    yield "## What may be fitted"
    table_ = table(("Ranges depend on", "Answers"), rows)
    yield _folded(f"{len(rows)} questions", table_, len(rows))


def _answer(data: Dataset, label: str, line: dict[str, str]) -> str:
    if not line:
        return text(label)
    return f'{text(label)} <span class="rf-small">{_told(data, line)}</span>'


def documents(data: Dataset, engine: str, rows: Sequence[Row]) -> str:
    """Each document: for which models it is, how that is known, and how many rows of how many pages it gave."""
    by_source: dict[str, list[Row]] = {}
    for row in rows:
        by_source.setdefault(row.cite.source, []).append(row)
    known = data.family(engine).covers
    lines = [_document(data, engine, s, known.get(s), by_source.get(s, [])) for s in sorted({*by_source, *known})]
    marks = [f' id="{text(document_anchor(s))}"' for s in sorted({*by_source, *known})]
    return table(("Document", "For which models", "How that is known", "Rows"), lines, marks)


def document_anchor(source: str) -> str:
    """Id of a document's line on an engine's page."""
    return anchor(f"document-{source}")


def _document(data: Dataset, engine: str, source: str, cover: Cover | None, of: Sequence[Row]) -> list[str]:
    family = data.family(engine)
    line = next((c for c in of_engine(data.path, engine, "covers") if c["source"] == source), {})
    pages = len({r.cite.page for r in of})
    count = f"{len(of)} rows from {pages} page{'' if pages == 1 else 's'}" if of else "none"
    name = _cited(data, source, "")
    if cover is None:
        return [name, "every model", "not told", count]
    whom = (
        model_words(family, family.covered(source))
        if len(family.models) > 1
        else family.models[family.only_model].label
    )
    return [name, text(whom), _known(data, line, cover), count]


def _known(data: Dataset, line: dict[str, str], cover: Cover) -> str:
    """How it is known for which models a document is, in words, with the page."""
    words = NAMED[cover.named_by]
    if cover.note.startswith("cannot be decided"):
        words = "cannot be decided for which of them it is"
    note = cover.note.removeprefix("cannot be decided").lstrip(":; ")
    told = f"{words}: {note}" if note else words
    page = f'<span class="rf-small">{_cited(data, cover.source, line["page"])}</span>' if line.get("page") else ""
    return text(told) + page


def _folded(summary: str, inner: str, lines: int) -> str:
    """A long table behind a line that opens it."""
    if lines <= MANY:
        return inner
    return f'<details class="rf-fold"><summary>{text(summary)}</summary>{inner}</details>'
