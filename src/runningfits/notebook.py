"""Tables that a notebook shows of the library's values."""

from collections.abc import Iterable


def table(caption: str, heads: Iterable[str], lines: Iterable[Iterable[str]]) -> str:
    """HTML of a table whose cells are text.

    >>> table("a & b", ["n"], [["1"]])
    '<table><caption>a &amp; b</caption><tr><th>n</th></tr><tr><td>1</td></tr></table>'
    """
    rows = [_row("th", heads), *(_row("td", line) for line in lines)]
    return f"<table>{_cell('caption', caption)}{''.join(rows)}</table>"


def _row(kind: str, texts: Iterable[str]) -> str:
    return f"<tr>{''.join(_cell(kind, t) for t in texts)}</tr>"


def _cell(kind: str, text: str) -> str:
    from html import escape

    return f"<{kind}>{escape(text)}</{kind}>"
