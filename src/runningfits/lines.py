"""Lines of a row: ends joined, sizes worked out, and which rows print the same."""

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from . import numerals
from .build import Size
from .dataset import Dataset
from .rows import Row, page_words
from .units import Unit

DETAILS = ("which", "state", "method", "at")
"""Columns that a reading itself can name, where rows differ by nothing else."""

ENDS = ("lower", "upper", "limit")
_NUMBERS = ("lower", "upper", "nominal", "tolerance", "limit")


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
        moved = (
            Fraction(share) * Fraction(wanted.value) * known[wanted.unit].factor / known[cells[f"unit{suffix}"]].factor
        )
        for column in ("lower", "upper", "nominal", "limit"):
            value = row.value(column + suffix)
            if value is None or (column == "limit" and row["limit_as"] == "wear"):
                continue
            cells[column + suffix] = _text(Fraction(value) + moved, row.step(column + suffix))
    kept = {c: m for c, m in row.misprints.items() if c.removesuffix("_2") in ("tolerance",)}
    return replace(
        row, cells=cells, misprints=kept, marks=(*row.marks, f"worked out from the standard size for {wanted.text}")
    )


def _text(value: Fraction, step: Decimal) -> str:
    """A worked-out end as text, one digit finer than printed where it does not come out even."""
    digits = max(0, -int(step.as_tuple().exponent))
    for more in (digits, digits + 1):
        if (value * 10**more).denominator == 1:
            digits = more
            break
    else:
        digits += 1
    return numerals.plain(Decimal(round(value * 10**digits)).scaleb(-digits))


def printed_ends(row: Row) -> frozenset[str]:
    """Which of lower, upper, limit and nominal a row prints; a nominal with its tolerance prints both ends."""
    low, high = row.range()
    ends = {"lower": low, "upper": high, "limit": row.value("limit"), "nominal": row.value("nominal")}
    return frozenset(k for k, v in ends.items() if v is not None)


def detail_of(row: Row) -> tuple[str, ...]:
    """What a reading would have to name to tell the row from others of its place."""
    return tuple(row.cells.get(c, "") for c in DETAILS)


def with_ends(row: Row, other: Row) -> Row:
    """A row with those ends of another row of its document that it does not print."""
    lacking = printed_ends(other) - printed_ends(row)
    columns = [c for c in ENDS if c in lacking and other.cells.get(c)]
    if {"lower", "upper"} <= lacking and other.cells.get("tolerance"):
        columns += ["nominal", "tolerance"]
    if not columns:
        return row
    cells, misprints = dict(row.cells), dict(row.misprints)
    for name in (c + s for c in columns for s in ("", "_2") if row["unit_2"] == other["unit_2"] or not s):
        cells[name] = other.cells[name]
        if name in other.misprints:
            misprints[name] = other.misprints[name]
    if "limit" in columns:
        cells["limit_as"] = other["limit_as"]
    mark = () if other["page"] == row["page"] else (f"{' and '.join(columns)} from {page_words(other['page'])}",)
    return replace(row, cells=cells, misprints=misprints, also=(*row.also, other.cite), marks=(*row.marks, *mark))


def alike(one: Row, other: Row, data: Dataset) -> bool:
    """Whether two rows print the same ends within a printed digit, in either unit."""
    if one["limit_as"] != other["limit_as"] or printed_ends(one) != printed_ends(other):
        return False
    pairs = [(a, b) for a in ("", "_2") for b in ("", "_2") if one[f"unit{a}"] and one[f"unit{a}"] == other[f"unit{b}"]]
    return any(_same_ends(one, other, a, b) for a, b in pairs) if pairs else _same_in_si(one, other, data)


def _ends(row: Row, suffix: str) -> dict[str, tuple[Decimal, Decimal] | None]:
    """Ends of a row with their printed step, by name."""
    low, high = row.range(suffix)
    steps = {c: row.step(c + suffix) for c in _NUMBERS if row.value(c + suffix) is not None}
    ranged = max((steps[c] for c in ("lower", "upper", "nominal") if c in steps), default=Decimal(0))
    values = {
        "lower": low,
        "upper": high,
        "limit": row.value("limit" + suffix),
        "nominal": row.value("nominal" + suffix),
    }
    return {
        k: None if v is None else (v, steps.get("limit", ranged) if k == "limit" else ranged) for k, v in values.items()
    }


def _same_ends(one: Row, other: Row, a: str, b: str) -> bool:
    mine, theirs = _ends(one, a), _ends(other, b)
    if all(v is None for v in mine.values()) or all(v is None for v in theirs.values()):
        return False
    return all(_close(mine[k], theirs[k], Fraction(1), Fraction(1)) for k in mine)


def _same_in_si(one: Row, other: Row, data: Dataset) -> bool:
    known = data.units
    if (
        one["unit"] not in known
        or other["unit"] not in known
        or known[one["unit"]].dimension != known[other["unit"]].dimension
    ):
        return False
    mine, theirs = _ends(one, ""), _ends(other, "")
    return all(_close(mine[k], theirs[k], known[one["unit"]].factor, known[other["unit"]].factor) for k in mine)


def _close(
    one: tuple[Decimal, Decimal] | None, other: tuple[Decimal, Decimal] | None, factor: Fraction, second: Fraction
) -> bool:
    if one is None or other is None:
        return one is other
    step = max(Fraction(one[1]) * factor, Fraction(other[1]) * second)
    apart = abs(Fraction(one[0]) * factor - Fraction(other[0]) * second)
    return apart <= step if factor != second else apart < step


def equal(one: tuple[Row, ...], other: tuple[Row, ...]) -> bool:
    """Whether two lines have the same numbers as printed."""

    def numbers(rows: tuple[Row, ...]) -> list[object]:
        return [(*r.range(), r.value("limit"), r.value("nominal"), r["unit"], r["limit_as"]) for r in rows]

    return numbers(one) == numbers(other)
