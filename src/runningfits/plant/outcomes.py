"""The decision by outcomes: its verdict for every way in which comparisons with a row's ends can come out, asked once.

What `judging.decide` says of a reading rests on eight comparisons and four marks of its row alone, save where a value
is printed without a tolerance. So a block of readings is compared, and the verdicts are looked up.
"""

from functools import cache
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from ..judging.decide import Floats, Limits, decide

Codes = npt.NDArray[np.int8]
Numbers = npt.NDArray[np.int64]

COMPARISONS = 8
_MARKS = ("fresh", "limited", "wears_up", "either_way")


class Ends(NamedTuple):
    """Strict ends of each reading's row."""

    new_low: Floats
    new_high: Floats
    allowed_low: Floats
    allowed_high: Floats


def ends(limits: Limits, line: Numbers) -> Ends:
    """Strict ends of the row of each reading; `line` is its number."""
    return Ends(*(np.take(getattr(limits, name), line) for name in Ends._fields))


def verdicts(limits: Limits, line: Numbers, least: Floats, most: Floats, strict: Ends) -> Codes:
    """Verdicts of intervals as `decide` gives them, by rows that print no value without a tolerance."""
    loose = Ends(*(_loose(limits, name, line, end) for name, end in zip(Ends._fields, strict, strict=True)))
    outcome = (least >= strict.allowed_low).view(np.uint8)
    for place, came_true in enumerate(
        (
            most <= strict.allowed_high,
            least >= strict.new_low,
            most <= strict.new_high,
            most < loose.new_low,
            least > loose.new_high,
            most < loose.allowed_low,
            least > loose.allowed_high,
        ),
        1,
    ):
        outcome |= came_true.view(np.uint8) * np.uint8(1 << place)
    return np.take(_answers(), np.take(_marked(limits), line) + outcome)


def _loose(limits: Limits, name: str, line: Numbers, strict: Floats) -> Floats:
    """The loose end of the row of each reading, which most often is the strict one."""
    table = getattr(limits, f"{name}_loose")
    return strict if np.array_equal(table, getattr(limits, name)) else np.take(table, line)


def _marked(limits: Limits) -> Numbers:
    """Where the answers for the marks of each row begin."""
    begins = np.zeros(limits.fresh.shape, np.int64)
    for place, mark in enumerate(_MARKS, COMPARISONS):
        begins |= getattr(limits, mark).astype(np.int64) << place
    return begins


@cache
def _answers() -> Codes:
    """Verdict for every outcome, of an interval at 0 among ends that make the comparisons come out so."""
    outcome = np.arange(1 << (COMPARISONS + len(_MARKS)))
    true = [outcome >> place & 1 == 1 for place in range(COMPARISONS + len(_MARKS))]
    above = [np.where(came_true, 1.0, -1.0) for came_true in true]
    below = [-end for end in above]
    none = np.full(len(outcome), np.nan)
    limits = Limits(
        new_low=below[2],
        new_low_loose=above[4],
        new_high=above[3],
        new_high_loose=below[5],
        allowed_low=below[0],
        allowed_low_loose=above[6],
        allowed_high=above[1],
        allowed_high_loose=below[7],
        middle_low=none,
        middle_high=none,
        **dict(zip(_MARKS, true[COMPARISONS:], strict=True)),
    )
    return decide(np.zeros(len(outcome)), np.zeros(len(outcome)), limits)
