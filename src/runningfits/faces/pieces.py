"""Pieces of printed pages: tables and lists."""

from collections.abc import Iterable


def table(heads: Iterable[str], rows: Iterable[Iterable[str]], kind: str = "list") -> str:
    """HTML table of a CSS class; cells are HTML. Each cell bears its heading, which a narrow screen shows beside it."""
    named = list(heads)
    head = "".join(f'<th scope="col">{h}</th>' for h in named)
    body = "".join(
        "<tr>" + "".join(f'<td data-head="{h}">{c}</td>' for h, c in zip(named, row, strict=True)) + "</tr>"
        for row in rows
    )
    return f'<div class="wide"><table class="{kind}"><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table></div>'


def listed(items: Iterable[str]) -> str:
    """HTML list of items that are HTML; nothing where there are none."""
    found = "".join(f"<li>{i}</li>" for i in items)
    return f"<ul>{found}</ul>" if found else ""
