"""Verdicts on a Dask frame of readings: the same function on each partition."""

from functools import partial
from typing import TYPE_CHECKING, Any

import pyarrow as pa

from .batches import judge as judge_table
from .reading_columns import MADE

if TYPE_CHECKING:
    import pandas as pd


def judge(frame: Any, decision: str = "guarded") -> Any:
    """A frame of readings with the verdict, the probabilities, the row and its citation behind each.

    Rows stay in their partition and in their order. The workers need Running Fits with its extra `dask`.
    """
    part = partial(_part, decision=decision)
    return frame.map_partitions(part, meta=part(frame._meta))


def _part(readings: "pd.DataFrame", decision: str) -> "pd.DataFrame":
    """A partition with its verdicts, its own columns as they are."""
    made = judge_table(pa.Table.from_pandas(readings, preserve_index=False), None, decision).select(MADE)
    plain = [c.cast(c.type.value_type) if pa.types.is_dictionary(c.type) else c for c in made.columns]
    added = pa.table(plain, names=MADE).to_pandas().set_index(readings.index)
    return readings.assign(**{name: added[name] for name in MADE})
