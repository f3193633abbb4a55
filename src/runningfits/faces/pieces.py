"""Pieces of printed pages: tables."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Table:
    """A table of a CSS class. Cells are text; each bears its heading, which a narrow screen shows beside it."""

    heads: tuple[str, ...]
    rows: tuple[tuple[Any, ...], ...]
    kind: str = "list"


def table(heads: Iterable[str], rows: Iterable[Iterable[Any]], kind: str = "list") -> Table:
    """A table with as many cells a row as headings; raises ValueError for a row that has others."""
    named, lines = tuple(heads), tuple(tuple(row) for row in rows)
    if wrong := next((r for r in lines if len(r) != len(named)), None):
        raise ValueError(f"{len(wrong)} cells under {len(named)} headings")
    return Table(named, lines, kind)
