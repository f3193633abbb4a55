"""Pieces of pages: escaped text, tables that become cards on a phone, links and anchors."""

import json
import re
from collections.abc import Iterable, Sequence
from html import escape, unescape
from urllib.parse import quote

from ..cautions import CAUTIONS
from ..rows import Cite, Row


def text(words: str) -> str:
    """Words as HTML text or attribute value."""
    return escape(words, quote=True)


CAUTION = f'<div class="rf-caution">{"".join(f"<p>{text(c)}</p>" for c in CAUTIONS)}</div>'
"""What every page about ranges says."""


def heading(words: str) -> str:
    """Words as Markdown text that stays as it is: all but letters, digits and blanks as character references."""
    return re.sub(r"[^\w ]|_", lambda m: f"&#{ord(m[0])};", words)


def page(title: str, body: Iterable[str], search: bool = False, engine: str = "") -> str:
    """A page in Markdown with its title, as front matter and as heading, as wide as the screen; `search` says that it
    has a field for the whole site, so that its head has none; `engine` whose page it is.
    """
    blocks = "\n\n".join(_block(b) for b in body if b)
    head = f"title: {json.dumps(text(title))}\nwide: true\n" + "search: true\n" * search
    head += f"engine: {json.dumps(engine)}\n" if engine else ""
    return f"---\n{head}---\n\n# {heading(title)}\n\n{blocks}\n"


def _block(part: str) -> str:
    """HTML inside one block element, so that no Markdown is seen in it; Markdown as it is."""
    return f"<div>{part}</div>" if part.startswith("<") else part


def table(heads: Sequence[str], rows: Iterable[Sequence[str]], attributes: Iterable[str] = (), kind: str = "") -> str:
    """A table whose rows become cards on a phone, where each cell bears its head; heads and cells are HTML,
    `attributes` those of each row; the style sheet knows the heads and widths of a `kind`.
    """
    head = "".join(f'<th scope="col">{h}</th>' for h in heads)
    kept = iter(attributes)
    body = "\n".join(f"<tr{next(kept, '')}>{''.join(f'<td>{c}</td>' for c in row)}</tr>" for row in rows)
    name = f'class="rf rf-{kind}"' if kind else f'class="rf" style="{text(_labels(heads))}"'
    inner = f"<thead><tr>{head}</tr></thead><tbody>\n{body}\n</tbody>"
    reached = ' tabindex="0"' if len(heads) > MOST_IN_SIGHT else ""
    return f'<div class="rf-wide"{reached}><table {name}>{inner}</table></div>'


MOST_IN_SIGHT = 10
"""Columns beyond which a table scrolls sideways, so that the keyboard must reach it."""


def _labels(heads: Sequence[str]) -> str:
    """The heads as variables of style: what a cell is called on a phone."""
    plain = (re.sub(r"<[^>]*>", "", h) for h in heads)
    return ";".join(f"--h{n}:{json.dumps(unescape(h))}" for n, h in enumerate(plain, 1) if h)


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


NAMELESS = "not named"
"""The maker of an engine that no page names."""


def engine_name(line: dict[str, str]) -> str:
    """Maker and designation of an engine; that its pages do not name it, where they do not."""
    return f"{line['maker']} {line['designation']}".replace(f"{NAMELESS} ", f"{NAMELESS.capitalize()}: ", 1)


def finder(label: str, target: str, hint: str, goes: bool = False, of: str = "", here: str = "") -> str:
    """A field that narrows the elements that `target` selects; with `goes`, the enter key opens the first; `of` is the
    engine that is searched on where the page has nothing, `here` what the page says then.
    """
    marks = "".join(f' data-{k}="{text(v)}"' for k, v in (("of", of), ("here", here)) if v) + " data-goes" * goes
    return (
        f'<form class="rf-find" role="search" aria-label="{text(label)}"><label for="find">{text(label)}</label>'
        f'<input id="find" type="search" autocomplete="off" spellcheck="false" data-find="{text(target)}"{marks} '
        f'aria-describedby="found" placeholder="{text(hint)}"><output id="found" aria-live="polite"></output></form>'
    )


def search(base: str, label: str, hint: str) -> str:
    """A field that searches the whole site; the enter key opens the first answer."""
    return (
        f'<form class="rf-find rf-search" role="search" aria-label="Search" action="{base}search.html"><label '
        f'for="asked">{text(label)}</label><input id="asked" name="q" type="search" autocomplete="off" '
        f'spellcheck="false" placeholder="{text(hint)}" data-search data-goes></form>'
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


def under(printed: Sequence[str], more: str) -> str:
    """As `stacked`, for tables whose style sheet keeps each line whole."""
    return "<br>".join((*map(text, printed), *([f"<em>{text(more)}</em>"] if more and printed else [])))
