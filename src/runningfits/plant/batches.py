"""Verdicts on tables of readings, batch by batch: Arrow in, the same columns and the verdicts out, in reading order."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any, NamedTuple, TypeVar

import numpy as np
import numpy.typing as npt
import pyarrow as pa

from ..dataset import Dataset
from ..judging.against import DOUBTS
from . import reading_columns as columns
from .block import BLOCK, CLEAR, REFUSED, RESIZED, WHICH_ROW, Codes, Judged, Numbers, judged
from .kinds import kinds
from .numbering import Pairs, keys, numbered
from .reading_columns import Flags, Floats
from .ruled import OPEN, SAID, Ruled, arrays, joined

AT_ONCE = 131_072
"""Readings of a batch."""

NO_VALUE, NO_NUMBER, NO_UNCERTAINTY, BAD_UNCERTAINTY, WIDE, NOT_SIZED, NOT_CLEAR, OPEN_END = REASONS = (
    "value: empty, expected a number",
    "value: no number, expected one such as 2.4995",
    "instrument: empty, and no standard_uncertainty; expected one of both",
    "standard_uncertainty: not a number of 0 or more",
    DOUBTS["wide"],
    DOUBTS["resized"],
    DOUBTS["clear"],
    "only one end is printed for this size: it passes with its fit, where bore and shaft were both measured",
)

_TEXT = pa.dictionary(pa.int32(), pa.string())
FIELDS = tuple(pa.field(name, pa.float64() if name.startswith("probability") else _TEXT) for name in columns.MADE)
"""Columns that are added."""


class Made(NamedTuple):
    """Columns of verdicts as arrays: numbers of words and texts, -1 for none, and probabilities, NaN for none."""

    code: Codes
    new: Floats
    allowed: Floats
    row: npt.NDArray[Any]
    cite: npt.NDArray[Any]
    reason: npt.NDArray[Any]


@dataclass
class _Texts:
    """Texts by number in the order in which they are met; the empty one is none."""

    numbers: dict[str, int] = field(default_factory=dict)
    told: pa.Array = field(default_factory=lambda: pa.array([], pa.string()))

    def number(self, text: str) -> int:
        return self.numbers.setdefault(text, len(self.numbers)) if text else -1

    def column(self, codes: npt.NDArray[Any]) -> pa.Array:
        if len(self.told) < len(self.numbers):
            self.told = pa.array(list(self.numbers), pa.string())
        return pa.DictionaryArray.from_arrays(pa.array(codes, mask=codes < 0), self.told)


@dataclass
class _Run:
    """What a run over a table has met: kinds of readings with what each is judged by, and the texts of its columns."""

    data: Dataset
    guarded: bool
    names: list[str]
    pairs: list[Pairs]
    texts: dict[str, _Texts]
    ruled: Ruled | None = None
    first: Numbers = field(default_factory=lambda: np.zeros(0, np.int64))
    count: Numbers = field(default_factory=lambda: np.zeros(0, np.int64))


def judge(table: pa.Table, data: Dataset | None = None, decision: str = "guarded") -> pa.Table:
    """A table of readings with verdict, probabilities, row, citation and reason behind its own columns.

    Raises UnusableError for a table that cannot be judged. Its columns, and the words of each, are those of a bench
    sheet: docs/plant.md.
    """
    made = batches(table.to_batches(max_chunksize=AT_ONCE), data, decision, table.schema)
    return pa.Table.from_batches(made, schema(table.schema)).unify_dictionaries()


def schema(readings: pa.Schema) -> pa.Schema:
    """Columns of a table of readings with those that are added."""
    return pa.schema([*readings, *FIELDS], readings.metadata)


def batches(
    source: Iterable[pa.RecordBatch],
    data: Dataset | None = None,
    decision: str = "guarded",
    readings: pa.Schema | None = None,
    place: str = "the readings",
) -> Iterator[pa.RecordBatch]:
    """Batches of readings with their verdicts.

    `readings` are the columns, those of the first batch where they are not given; `place` names them in a fault.
    """
    run = _run(readings, data, decision, place) if readings else None
    for batch in source:
        run = run or _run(batch.schema, data, decision, place)
        yield _judged(batch, run)


def plain(source: Iterable[pa.RecordBatch], decision: str = "guarded") -> Iterator[pa.RecordBatch]:
    """Batches of readings with their verdicts, the added texts as such: for readers that know no dictionaries."""
    for batch in batches(source, None, decision):
        made = [c.dictionary_decode() if pa.types.is_dictionary(c.type) else c for c in batch.columns[-len(FIELDS) :]]
        fields = [f.with_type(c.type) for f, c in zip(FIELDS, made, strict=True)]
        own = batch.columns[: -len(FIELDS)]
        kept = list(batch.schema)[: -len(FIELDS)]
        yield pa.RecordBatch.from_arrays([*own, *made], schema=pa.schema([*kept, *fields]))


@cache
def _own_data() -> Dataset:
    return Dataset()


def _run(readings: pa.Schema, data: Dataset | None, decision: str, place: str) -> _Run:
    if decision not in ("guarded", "simple"):
        raise ValueError(f'decision "{decision}": expected guarded or simple')
    names = columns.checked(readings, place)
    texts = {name: _Texts() for name in ("row", "cite", "reason")}
    for reason in REASONS:
        texts["reason"].number(reason)
    return _Run(data or _own_data(), decision == "guarded", names, [Pairs(n) for n in names], texts)


def _judged(batch: pa.RecordBatch, run: _Run) -> pa.RecordBatch:
    """A batch with its verdicts."""
    kind = numbered(run.pairs, [columns.words(batch.column(n)) for n in run.names], BLOCK)
    _meet(run)
    value, bad = columns.numbers(batch.column("value"))
    stated, no_share = None, None
    if "standard_uncertainty" in batch.schema.names:
        stated, no_share = columns.numbers(batch.column("standard_uncertainty"))
    made = Made(*(np.empty(len(kind), t) for t in (np.int8, float, float, np.int32, np.int32, np.int32)))
    for begin in range(0, len(kind), BLOCK):
        cut = slice(begin, begin + BLOCK)
        bad_here, stated_here, no_share_here = _cut(bad, cut), _cut(stated, cut), _cut(no_share, cut)
        part = _block(run, kind[cut], value[cut], bad_here, stated_here, no_share_here)
        for name in Made._fields:
            getattr(made, name)[cut] = getattr(part, name)
    return pa.RecordBatch.from_arrays([*batch.columns, *_added(made, run)], schema=schema(batch.schema))


_Array = TypeVar("_Array", bound=npt.NDArray[Any])


def _cut(array: _Array | None, cut: slice) -> _Array | None:
    return None if array is None else array[cut]  # type: ignore[return-value]


def _added(made: Made, run: _Run) -> list[pa.Array]:
    """Arrow columns of verdicts."""
    return [
        pa.DictionaryArray.from_arrays(pa.array(made.code.astype(np.int32)), pa.array(SAID)),
        *(pa.array(share, mask=np.isnan(share)) for share in (made.new, made.allowed)),
        *(run.texts[n].column(c) for n, c in (("row", made.row), ("cite", made.cite), ("reason", made.reason))),
    ]


def _meet(run: _Run) -> None:
    """Resolve the kinds that a batch was the first to have."""
    since = len(run.first)
    told = [dict(zip(run.names, key, strict=True)) for key in keys(run.pairs, since)]
    if not told:
        return
    found = kinds(told, run.data)
    lines = [_with_numbers(line, run.texts) for of_kind in found for line in of_kind]
    count = np.array([len(of_kind) for of_kind in found])
    begins = len(run.ruled.share) if run.ruled else 0
    run.first = np.concatenate((run.first, begins + np.cumsum(count) - count))
    run.count = np.concatenate((run.count, count))
    run.ruled = joined(run.ruled, arrays(lines)) if run.ruled else arrays(lines)


def _with_numbers(line: Ruled, texts: dict[str, _Texts]) -> Ruled:
    """A line with its texts as numbers."""
    own = {name: np.int32(texts[name].number(getattr(line, name))) for name in ("row", "cite", "reason")}
    own |= {name: np.int32(texts["reason"].number(getattr(line, name))) for name in ("refusal", "doubt")}
    return line._replace(**own)


def _block(
    run: _Run, kind: Numbers, value: Floats, bad: Flags | None, stated: Floats | None, no_share: Flags | None
) -> Made:
    """Columns of verdicts of a block."""
    assert run.ruled
    ruled, first = run.ruled, run.first[kind]
    with np.errstate(invalid="ignore"):
        found = judged(ruled, first, run.count[kind], value, stated, run.guarded)
    reason = _reasons(found, ruled, first, run.texts["reason"])
    for flags, text in _refusals(ruled, first, value, bad, stated, no_share):
        if flags.any():
            refused = flags & (ruled.fixed[first] != REFUSED)
            reason[refused] = text[refused] if isinstance(text, np.ndarray) else run.texts["reason"].number(text)
            found.code[refused] = REFUSED
            found.new[refused] = found.allowed[refused] = np.nan
    row, cite = np.take(ruled.row, found.shown), np.take(ruled.cite, found.shown)
    silent = (found.code == REFUSED) | (found.code == WHICH_ROW) | (found.open_end & ruled.asked[first])
    row[silent] = cite[silent] = -1
    return Made(found.code, found.new, found.allowed, row, cite, reason)


def _reasons(found: Judged, ruled: Ruled, first: Numbers, texts: _Texts) -> npt.NDArray[np.int64]:
    """Number of what is said of each verdict; -1 where it says all itself."""
    own = (ruled.fixed[found.shown] != OPEN) | (found.code == WHICH_ROW)
    reason = np.where(own, ruled.reason[first], -1)
    doubt = ruled.doubt[found.shown]
    reason[found.withheld] = np.where(doubt < 0, texts.number(WIDE), doubt)[found.withheld]
    for cause, words in ((RESIZED, NOT_SIZED), (CLEAR, NOT_CLEAR)):
        reason[found.cause == cause] = texts.number(words)
    reason[found.open_end] = texts.number(OPEN_END)
    return reason


def _refusals(
    ruled: Ruled, first: Numbers, value: Floats, bad: Flags | None, stated: Floats | None, no_share: Flags | None
) -> Sequence[tuple[Flags, str | npt.NDArray[np.int64]]]:
    """Readings that are refused, each fault with its words; of several faults of one the last counts."""
    absent = np.isnan(value)
    untold = np.isnan(ruled.constant[first])
    wrong = np.zeros(len(value), bool)
    if stated is not None:
        untold &= np.isnan(stated)
        wrong = (stated < 0) | np.isinf(stated) | (no_share if no_share is not None else False)
    found: list[tuple[Flags, str | npt.NDArray[np.int64]]] = [
        (value < ruled.least[first], ruled.refusal[first]),
        (untold & (ruled.fixed[first] == OPEN), NO_UNCERTAINTY),
        (wrong, BAD_UNCERTAINTY),
        (absent, NO_VALUE),
        (np.isinf(value), NO_NUMBER),
    ]
    return found if bad is None else [*found, (bad, NO_NUMBER)]
