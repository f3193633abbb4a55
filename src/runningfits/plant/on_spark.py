"""Verdicts on a Spark frame of readings: the same function on each partition."""

from functools import partial
from typing import TYPE_CHECKING

from .batches import plain
from .reading_columns import MADE

if TYPE_CHECKING:
    from pyspark.sql import DataFrame


def judge(frame: "DataFrame", decision: str = "guarded") -> "DataFrame":
    """A frame of readings with the verdict, the probabilities, the row and its citation behind each.

    Rows stay in their partition and in their order. The workers need Running Fits with its extra `spark`.
    """
    from pyspark.sql.types import DoubleType, StringType, StructField, StructType

    kinds = {n: DoubleType() if n.startswith("probability") else StringType() for n in MADE}
    made = StructType([*frame.schema.fields, *(StructField(n, k) for n, k in kinds.items())])
    return frame.mapInArrow(partial(plain, decision=decision), made)
