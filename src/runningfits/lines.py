"""Lines of rows: sizes worked out, ends joined within a document, and which rows print the same."""

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from . import numerals
from .build import Size
from .dataset import Dataset
from .rows import Cite, Row, page_words
from .units import Unit

Line = tuple[Row, ...]
"""Rows that all must hold; the first leads."""

ENDS = ("lower", "upper", "limit")
_NUMBERS = ("lower", "upper", "nominal", "tolerance", "limit")


def line_key(line: Line) -> tuple[str, ...]:
    """What tells a line from others: its rows with all that they say; a worked-out row keeps the id of its source."""
    return tuple(r.id + repr(sorted(r.cells.items())) for r in line)


def shifted(row: Row, share: str, wanted: Size, known: Mapping[str, Unit]) -> Row | None:
    """A standard row moved to a repair size by its quantity's share; None where nobody says by how much it moves."""
    if not share:
        return None
    if Fraction(share) == 0:
        return row
    cells = dict(row.cells)
    for suffix in ("", "_2"):
        if not cells.get(f"unit{suffix}"):
            continue
        size = Fraction(wanted.value) * known[wanted.unit].factor
        moved = Fraction(share) * size / known[cells[f"unit{suffix}"]].factor
        for column in ("lower", "upper", "nominal", "limit"):
            value = row.value(column + suffix)
            if value is None or (column == "limit" and row["limit_as"] == "wear"):
                continue
            cells[column + suffix] = _text(Fraction(value) + moved, row.step(column + suffix))
    kept = {c: m for c, m in row.misprints.items() if c.removesuffix("_2") == "tolerance"}
    mark = f"worked out from the standard size for {wanted.text}"
    return replace(row, cells=cells, misprints=kept, marks=(*row.marks, mark))


def _text(value: Fraction, step: Decimal) -> str:
    """A worked-out end as text in the printed digits, with up to three more only where it comes out even with them."""
    digits = max(0, -int(step.as_tuple().exponent))
    even = [d for d in range(digits, digits + 4) if (value * 10**d).denominator == 1]
    digits = min(even, default=digits)
    return numerals.plain(Decimal(round(value * 10**digits)).scaleb(-digits))


def printed_ends(row: Row) -> frozenset[str]:
    """Which of lower, upper, limit and nominal a row prints; a nominal with its tolerance prints both ends."""
    low, high = row.range()
    ends = {"lower": low, "upper": high, "limit": row.value("limit"), "nominal": row.value("nominal")}
    return frozenset(k for k, v in ends.items() if v is not None)


def with_ends(row: Row, other: Row) -> Row:
    """A row with those ends of another row of its document that it does not print, in the other's page and marks."""
    lacking = printed_ends(other) - printed_ends(row)
    columns = [c for c in ENDS if c in lacking and other.cells.get(c)]
    if {"lower", "upper"} <= lacking and other.cells.get("tolerance"):
        columns += ["nominal", "tolerance"]
    if not columns or row["unit"] != other["unit"]:
        return row
    cells, misprints = dict(row.cells), dict(row.misprints)
    for name in (c + s for c in columns for s in ("", "_2") if row["unit_2"] == other["unit_2"] or not s):
        cells[name] = other.cells[name]
        if name in other.misprints:
            misprints[name] = other.misprints[name]
    if "limit" in columns:
        cells["limit_as"] = other["limit_as"]
    marks = list(row.marks)
    if other["page"] != row["page"]:
        marks.append(f"{' and '.join(c for c in columns if c != 'tolerance')} from {page_words(other['page'])}")
    marks += [m for m in other.marks if m not in marks]
    also = _cites(row, other)
    return replace(row, cells=cells, misprints=misprints, also=also, marks=tuple(marks))


def merged(one: Row, other: Row, data: Dataset) -> Row | None:
    """Two rows that print the same as one line with the pages of both; None where they differ.

    They print the same where each end that both print is equal within half a printed digit, and one of them prints
    all ends of the other. The fuller one stays, of equally full ones that with the finer digits, else the first.
    """
    mine, theirs = printed_ends(one), printed_ends(other)
    if not (mine <= theirs or theirs <= mine) or not alike(one, other, data):
        return None
    fuller = (len(theirs), -_finest(other, data)) > (len(mine), -_finest(one, data))
    base, more = (other, one) if fuller else (one, other)
    return replace(base, also=_cites(base, more))


def _cites(row: Row, other: Row) -> tuple[Cite, ...]:
    """Further pages of a line that two rows make."""
    found = dict.fromkeys((*row.also, other.cite, *other.also))
    return tuple(c for c in found if c != row.cite)


def alike(one: Row, other: Row, data: Dataset) -> bool:
    """Whether the ends that two rows both print, at least one, are equal within half a printed digit in either unit."""
    shared = printed_ends(one) & printed_ends(other)
    if not printed_ends(one) and not printed_ends(other):
        return one.table == other.table == "torques" and one["action"] == other["action"]
    if not shared or ("limit" in shared and one.cells.get("limit_as") != other.cells.get("limit_as")):
        return False
    if one.cells.get("action") != other.cells.get("action"):
        return False
    pairs = [(a, b) for a in ("", "_2") for b in ("", "_2") if one[f"unit{a}"] and one[f"unit{a}"] == other[f"unit{b}"]]
    return any(_close(one, other, a, b, shared, data) for a, b in pairs or [("", "")])


def _close(one: Row, other: Row, a: str, b: str, shared: frozenset[str], data: Dataset) -> bool:
    known = data.units
    first, second = known.get(one[f"unit{a}"]), known.get(other[f"unit{b}"])
    if first is None or second is None or first.dimension != second.dimension:
        return False
    for end in shared:
        mine, theirs = _end(one, end, a), _end(other, end, b)
        if mine is None or theirs is None:
            return False
        steps = mine[1] * first.factor, theirs[1] * second.factor
        apart = abs(mine[0] * first.factor - theirs[0] * second.factor)
        if apart and (apart >= max(steps) / 2 if first.unit == second.unit else apart > sum(steps) / 2):
            return False
    return True


def _end(row: Row, end: str, suffix: str) -> tuple[Fraction, Fraction] | None:
    """An end in one printed unit and its printed step."""
    low, high = row.range(suffix)
    value = {"lower": low, "upper": high}.get(end, row.value(end + suffix))
    if value is None:
        return None
    columns = [end + suffix] if row.cells.get(end + suffix) else [f"nominal{suffix}", f"tolerance{suffix}"]
    return Fraction(value), max(Fraction(row.step(c)) for c in columns)


def _finest(row: Row, data: Dataset) -> Fraction:
    """The finest printed step of a row in SI units."""
    steps = [Fraction(row.step(c)) for c in _NUMBERS if row.cells.get(c) and row.value(c) is not None]
    return min(steps, default=Fraction(1)) * (data.units[row["unit"]].factor if row["unit"] in data.units else 1)


def same_line(one: Line, other: Line, data: Dataset) -> bool:
    """Whether two lines judge alike: as many rows, each with the same ends as one of the other line."""
    if len(one) != len(other):
        return False
    return all(any(printed_ends(a) == printed_ends(b) and alike(a, b, data) for b in other) or a in other for a in one)
