"""Columns of a table of readings, and what its cells hold as words and numbers."""

from collections.abc import Iterable
from typing import Any

import numpy as np
import numpy.typing as npt
import pyarrow as pa
import pyarrow.compute as pc

from ..near import Words
from ..unusable import UnusableError

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

WORDS = (
    "engine", "model", "fitted", "size", "stage", "item", "position", "part", "which", "state", "method", "at", "class",
    "unit", "instrument",
)  # fmt: skip
"""Columns of words: those of a bench sheet's build and of its readings."""

NUMBERS = ("value", "standard_uncertainty")
NEEDED = ("engine", "item", "position", "value", "unit")
UNCERTAIN = ("instrument", "standard_uncertainty")
"""Columns of which a table needs one at least."""

MADE = ("verdict", "probability", "probability_within_limit", "row", "cite", "reason")
"""Columns that are added."""

_NUMBER = r"^-?[0-9]+(\.[0-9]+)?([eE][+-]?[0-9]+)?$"


def checked(schema: pa.Schema, place: str) -> list[str]:
    """Columns of words that a table has; raises UnusableError for a table that cannot be judged."""
    faults = list(_faults(schema))
    if faults:
        raise UnusableError("; ".join(f"{place}: {f}" for f in faults))
    return [n for n in WORDS if n in schema.names]


def _faults(schema: pa.Schema) -> Iterable[str]:
    names = list(schema.names)
    for name in dict.fromkeys(n for n in names if names.count(n) > 1):
        yield f'column "{name}" stands twice, expected each column once'
    for name in (n for n in NEEDED if n not in names):
        near = Words(dict.fromkeys(names, ())).nearest(name)
        found = f'found "{near[0]}"' if near else f"found {', '.join(names[:20]) or 'no columns'}"
        yield f'no column "{name}", {found}; expected {", ".join(NEEDED)}'
    if not any(n in names for n in UNCERTAIN):
        yield f"no column {' or '.join(UNCERTAIN)}, expected one that tells how well was measured"
    for name in (n for n in MADE if n in names):
        yield f'column "{name}" is there already, expected readings without verdicts'
    for name in (n for n in WORDS if names.count(n) == 1 and not _is_text(schema.field(n).type)):
        yield f'column "{name}" is of type {schema.field(name).type}, expected text'
    for name in (n for n in NUMBERS if names.count(n) == 1 and not _is_number(schema.field(n).type)):
        yield f'column "{name}" is of type {schema.field(name).type}, expected numbers'


def _is_text(kind: pa.DataType) -> bool:
    if pa.types.is_dictionary(kind):
        return _is_text(kind.value_type)
    return bool(_is_string(kind) or pa.types.is_integer(kind) or pa.types.is_null(kind))


def _is_string(kind: pa.DataType) -> bool:
    return bool(pa.types.is_string(kind) or pa.types.is_large_string(kind) or pa.types.is_string_view(kind))


def _is_number(kind: pa.DataType) -> bool:
    plain = pa.types.is_floating(kind) or pa.types.is_integer(kind) or pa.types.is_decimal(kind)
    return bool(plain or _is_string(kind) or pa.types.is_null(kind))


def words(column: pa.Array) -> tuple[npt.NDArray[Any], list[str]]:
    """Number of each cell's word, and the words by number; an empty cell is the empty word, the last."""
    if not pa.types.is_dictionary(column.type):
        column = (column if pa.types.is_string(column.type) else column.cast(pa.string())).dictionary_encode()
    known = [w or "" for w in column.dictionary.cast(pa.string()).to_pylist()]
    indices = pc.fill_null(column.indices.cast(pa.int64()), len(known)) if column.null_count else column.indices
    return indices.to_numpy(zero_copy_only=False), [*known, ""]


def numbers(column: pa.Array) -> tuple[Floats, Flags | None]:
    """Number of each cell, NaN where it is empty or none, and which cells hold a text that is no number."""
    bad = None
    if _is_string(column.type):
        text = pc.utf8_trim_whitespace(column.cast(pa.string()))
        told = pc.fill_null(pc.match_substring_regex(text, _NUMBER), False)
        empty = pc.fill_null(pc.equal(text, ""), True)
        bad = pc.invert(pc.or_(told, empty)).to_numpy(zero_copy_only=False)
        column = pc.if_else(told, text, None)
    found = column if pa.types.is_float64(column.type) else column.cast(pa.float64())
    return found.to_numpy(zero_copy_only=False), bad
