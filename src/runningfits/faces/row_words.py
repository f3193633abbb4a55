"""Words of the rows that judged: their ranges, misprints and pages."""

from collections.abc import Mapping, Sequence
from typing import Any


def starred(text: str, misprints: Sequence[Mapping[str, str | None]]) -> str:
    """A printed range, and what its star means where it has one: which number is printed, and which is right."""
    told = "; ".join(f"printed {m['printed']}, {_right(m['corrected'])}" for m in misprints)
    return f"{text} (* registered misprint: {told})" if "*" in text else text


def starred_range(found: dict[str, Any] | None) -> str:
    """The range of a result in words, and what its star means."""
    own = [m for m in found["misprints"] if not m["column"].endswith("_2")] if found else []
    return starred(range_words(found), own)


def _right(corrected: str | None) -> str:
    return f"right {corrected}" if corrected else "right unknown"


def range_words(found: dict[str, Any] | None) -> str:
    """New range and limit of a result in words, with its repair size; an asterisk marks a registered misprint."""
    if not found:
        return ""
    low, high, limit = found["lower"], found["upper"], found.get("limit")
    both = f"{low} to {high}" if low and high else f"at least {low}" if low else f"at most {high}" if high else ""
    words = "; ".join(filter(None, (both or found.get("nominal"), f"limit {limit}" if limit else "")))
    if not words:
        return "no range" if found["unit"] else ""
    size = f" for {found['size']}" if found.get("size") else ""
    return f"{words} {found['unit']}{'*' if found.get('misprints') else ''}{size}"


def marked(marks: list[str]) -> str:
    """What was done to choose a row, to stand after its page."""
    return "".join(f"; {m}" for m in marks)


def page_words(found: dict[str, Any], cite: dict[str, str]) -> str:
    """All pages of a range, with what was done to choose it."""
    pages = "; also ".join((cite["text"], *(c["text"] for c in found["also"])))
    return pages + marked(found["marks"])


def passed_over_lines(r: dict[str, Any]) -> list[str]:
    """Other documents that give another range, which the dataset passes over for judging."""
    return [
        f"another document gives {p['range']} ({p['text']}); not used: the reason stands with the dataset"
        for p in r["passed_over"]
    ]
