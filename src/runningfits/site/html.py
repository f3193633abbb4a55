"""Pieces of pages: escaped text, tables that become cards on a phone, links and anchors."""

import json
import re
from collections.abc import Iterable, Sequence
from html import escape
from urllib.parse import quote

from ..faces.words import CAUTIONS
from ..rows import Cite, Row


def text(words: str) -> str:
    """Words as HTML text or attribute value."""
    return escape(words, quote=True)


CAUTION = f'<div class="rf-caution">{"".join(f"<p>{text(c)}</p>" for c in CAUTIONS)}</div>'
"""What every page about ranges says."""


def heading(words: str) -> str:
    """Words as Markdown text that stays as it is: all but letters, digits and blanks as character references."""
    return re.sub(r"[^\w ]|_", lambda m: f"&#{ord(m[0])};", words)


def page(title: str, body: Iterable[str], hide: str = "navigation") -> str:
    """A page in Markdown with its title, as front matter and as heading; `hide` names menus that it goes without."""
    blocks = "\n\n".join(_block(b) for b in body if b)
    return f"---\ntitle: {json.dumps(text(title))}\nhide: [{hide}]\n---\n\n# {heading(title)}\n\n{blocks}\n"


def _block(part: str) -> str:
    """HTML inside one block element, so that no Markdown is seen in it; Markdown as it is."""
    return f"<div>{part}</div>" if part.startswith("<") else part


def table(heads: Sequence[str], rows: Iterable[Sequence[str]], attributes: Iterable[str] = (), kind: str = "") -> str:
    """A table whose rows become cards on a phone; heads and cells are HTML, `attributes` those of each
    row, `kind` sets the widths of the columns.
    """
    head = "".join(f'<th scope="col">{h}</th>' for h in heads)
    plain = [text(re.sub(r"<[^>]*>", "", h)) for h in heads]
    kept = iter(attributes)
    body = "".join(
        f"<tr{next(kept, '')}>" + "".join(_cell(label, c) for label, c in zip(plain, row, strict=True)) + "</tr>"
        for row in rows
    )
    name = f"rf rf-{kind}" if kind else "rf"
    inner = f"<thead><tr>{head}</tr></thead><tbody>\n{body}\n</tbody>"
    reached = ' tabindex="0"' if len(heads) > MOST_IN_SIGHT else ""
    return f'<div class="rf-wide"{reached}><table class="{name}">{inner}</table></div>'


MOST_IN_SIGHT = 10
"""Columns beyond which a table scrolls sideways, so that the keyboard must reach it."""


def _cell(label: str, content: str) -> str:
    return f'<td data-label="{label}"><div>{content}</div></td>' if content else "<td></td>"


def link(address: str, words: str) -> str:
    """A link; `words` are HTML."""
    return f'<a href="{text(address)}">{words}</a>'


def outside(address: str, words: str) -> str:
    """A link out of the site, only for web addresses; else the words alone."""
    if not address.startswith(("https://", "http://")):
        return words
    return f'<a rel="noreferrer" href="{text(address)}">{words}</a>'


def anchor(name: str) -> str:
    """A name as the id of an element: without blanks."""
    return re.sub(r"\s", "_", name)


def row_anchor(row: Row) -> str:
    """Id of a row's element on its engine's page."""
    return anchor(row.id.removeprefix(f"{row.engine}/"))


def to_row(row: Row, base: str = "../") -> str:
    """Address of a row on its engine's page."""
    return f"{base}engines/{row.engine}.html#{quote(row_anchor(row), safe='/@:,.-_()')}"


def to_page(cite: Cite, base: str = "../") -> str:
    """Address of a cited page among the sources."""
    return page_address(cite.source, cite.page, base)


def page_address(source: str, page: str, base: str = "../") -> str:
    """Address of a page of a document among the sources."""
    return f"{base}sources/{source}.html#{quote(anchor('p-' + page), safe='/@:,.-_()')}"


def cited(cite: Cite, base: str = "../") -> str:
    """Document and page as a link to what is known of them."""
    return link(to_page(cite, base), text(cite.text))


def listed(items: Iterable[str]) -> str:
    """A list; items are HTML."""
    return "<ul>" + "".join(f"<li>{i}</li>" for i in items) + "</ul>"


def engine_name(line: dict[str, str]) -> str:
    """Maker and designation of an engine."""
    return f"{line['maker']} {line['designation']}"


def finder(label: str, target: str, hint: str, goes: bool = False) -> str:
    """A field that narrows the elements that `target` selects; with `goes`, the enter key opens the first."""
    marks = " data-goes" if goes else ""
    return (
        f'<form class="rf-find" role="search" aria-label="{text(label)}"><label for="find">{text(label)}</label>'
        f'<input id="find" type="search" autocomplete="off" spellcheck="false" data-find="{text(target)}"{marks} '
        f'aria-describedby="found" placeholder="{text(hint)}"><output id="found" aria-live="polite"></output></form>'
    )


def share_twice(counts: dict[str, int]) -> str:
    """How many of an engine's rows were read twice, in words."""
    rows = counts["ranges"] + counts["torque_steps"]
    return f"{counts['read_twice']} of {rows} rows" if rows else "no rows"


def facts(found: dict[str, str]) -> str:
    """Facts by name, those that are known; values are HTML, long ones take a line of their own."""
    listed_ = "".join(_fact(k, v) for k, v in found.items() if v)
    return f'<dl class="rf-facts">{listed_}</dl>'


def _fact(name: str, value: str) -> str:
    wide = ' class="rf-long"' if len(re.sub(r"<[^>]*>", "", value)) > 60 else ""
    return f"<div{wide}><dt>{text(name)}</dt><dd>{value}</dd></div>"


def stacked(printed: Sequence[str], more: str) -> str:
    """A printed number in each unit under the other, and what is converted in italics."""
    lines = [f'<span class="rf-n">{text(p)}</span>' for p in printed]
    return "".join(lines) + (f'<em class="rf-n">{text(more)}</em>' if more and printed else "")
