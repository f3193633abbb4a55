"""Verdicts of trials, of which none passes that other readings, other bounds or its own U speak against."""

from collections.abc import Sequence
from dataclasses import replace
from math import nan

import numpy as np

from . import against, decide, spots
from .bounds import Bounds
from .by_way import Way, ways
from .case import Case
from .cases import Bench
from .judged import Trial
from .repeats import apart
from .resized import is_resized, windows
from .sense import (
    deepest,
    is_below_nothing,
    is_beyond_new,
    is_beyond_wear,
    is_too_wide,
    is_too_wide_for_simple,
    must_clear,
    must_stay_clear,
)
from .values import Value


def _decided(trials: Sequence[Trial], rule: str) -> list[Trial]:
    """Verdicts of those that can be decided, all in one call."""
    todo = [(t.value, t.bounds) for t in trials if not t.verdict and t.value and t.bounds]
    if not todo:
        return list(trials)
    middle = np.array([float(v.value) for v, _ in todo])
    least, most = map(np.array, zip(*(against.interval(v, rule == "guarded") for v, _ in todo), strict=True))
    limits = decide.Limits(*map(np.array, zip(*(limits_of(b) for _, b in todo), strict=True)))
    standard = np.array([v.standard for v, _ in todo])
    verdicts = zip(*decide.rate(middle, least, most, standard, limits), strict=True)
    return [_with(t, *next(verdicts)) if not t.verdict and t.value and t.bounds else t for t in trials]


def limits_of(b: Bounds) -> tuple[float | bool, ...]:
    """Fields of decide.Limits of one line."""
    middle = (float(b.nominal.strict), float(b.nominal.loose)) if b.nominal else (nan, nan)
    return (*b.ends(), *middle, b.fresh, b.limit is not None, b.wears_up, b.side == "both")


def sure(trials: Sequence[Trial], found: Bench) -> list[Trial]:
    """Trials with their verdicts, of which none passes that another reading of the same place speaks against.

    Where the largest or the smallest reading counts, the other one is held to the end that wear leaves: where it is not
    proven inside, it decides. So does the one on the side of wear that is proven beyond a new range.
    """
    guarded = found.decision == "guarded"
    first = [_withheld(t, found) for t in _decided(trials, found.decision)]
    turned = {n: t for n, t in enumerate(_other_end(t, guarded) or _worn_end(t, found) for t in first) if t}
    again = dict(zip(turned, _decided(list(turned.values()), found.decision), strict=True))
    return [again.get(n, t) for n, t in enumerate(first)]


PASSES = (*decide.PASSED, "past-new")
"""Verdicts that count as nothing to do at some stage."""


def _other_end(trial: Trial, guarded: bool) -> Trial | None:
    """The same trial by the reading at the other end, to be decided; None where that is proven inside."""
    b = trial.bounds
    if trial.verdict not in PASSES or not b or not against.is_strict(trial.ways[0].value.method, b.side):
        return None
    other = against.other_end(trial.ways[0], b)
    if other is None or against.is_inside(other, b, guarded):
        return None
    return replace(trial, ways=(Way(other), *trial.ways[1:]), verdict="")


def _worn_end(trial: Trial, found: Bench) -> Trial | None:
    """A new one's trial by the reading on the side of wear, to be decided; None where that is not proven beyond new."""
    if trial.verdict != "new" or not trial.bounds:
        return None
    way = trial.ways[0]
    worn = against.worn_end(way, trial.bounds, trial.case, found.data, found.decision == "guarded")
    return replace(trial, ways=(Way(worn), *trial.ways[1:]), verdict="") if worn else None


def _withheld(trial: Trial, found: Bench) -> Trial:
    """A trial whose verdict would pass, as one that cannot tell where something speaks against it."""
    if trial.verdict not in (*PASSES, "cannot-tell", "loose") or not trial.value or not trial.bounds:
        return trial
    blind = spots.unproven(trial.case, trial.value, found.engine, found.data)
    if blind and (trial.verdict != "loose" or blind in spots.TIGHTER_ELSEWHERE):
        return _doubtful(trial, blind)
    if trial.verdict in ("cannot-tell", "loose"):
        return _undecided(trial, found)
    if trial.verdict == "past-new" and _is_worn_out(trial, found):
        return replace(trial, verdict="loose")
    doubt = "resized" if trial.verdict == "past-new" and _is_resized(trial, found) else _doubt(trial, found)
    return _doubtful(trial, doubt) if doubt else trial


def _is_worn_out(trial: Trial, found: Bench) -> bool:
    """Whether a used part is farther out than any page lets such a part be."""
    assert trial.value and trial.bounds
    most = deepest(trial.case.item, found.engine, found.data)
    return is_beyond_wear(float(trial.value.value), trial.bounds, trial.case.quantity, most)


def _is_resized(trial: Trial, found: Bench) -> bool:
    """Whether a used part may have been machined to another size than the build says."""
    assert trial.value and trial.bounds
    there = windows(trial.case, trial.bounds, found.engine, found.build, found.data)
    return is_resized(float(trial.value.value), trial.value.expanded, there)


def _doubtful(trial: Trial, doubt: str) -> Trial:
    return replace(trial, verdict="cannot-tell", doubt=doubt, probability=None, within_limit=None)


def _undecided(trial: Trial, found: Bench) -> Trial:
    """A trial that cannot tell, with what is behind it beside the instrument; what is loose as it is."""
    assert trial.value
    if trial.verdict == "loose":
        return trial
    if found.decision != "guarded" and trial.value.marks:
        return _doubtful(trial, "wide")
    return replace(trial, doubt="repeats" if _is_wild(trial.case, found) else "")


def _is_wild(case: Case, found: Bench) -> bool:
    """Whether repeats of one place lie too far apart."""
    return not case.among and any(a.wild for a in apart(case.readings, found.means).values())


def _is_in_by_corrections(trial: Trial, found: Bench) -> bool:
    """Whether a trial that passes is out by its readings as the instruments showed them."""
    if not any(r.shift for r in trial.case.readings):
        return False
    parts = {p: tuple(replace(r, value=r.value - r.shift) for r in own) for p, own in trial.case.parts.items()}
    measured = tuple(ways(replace(trial.case, parts=parts), trial.row, found.means))
    (bare,) = _decided([replace(trial, ways=measured, verdict="")], "simple")
    return bare.verdict in decide.OUT and bare.verdict != trial.verdict


def _doubt(trial: Trial, found: Bench) -> str:
    """The key of what speaks against a verdict that passes; empty where nothing does."""
    if _is_wild(trial.case, found):
        return "repeats"
    if _is_in_by_corrections(trial, found):
        return "corrected"
    if any(r.index in found.misshapen for r in trial.case.readings):
        return "shape"
    return against.state_doubt(trial.case, trial.row) or _by_bounds(trial, found) or _by_others(trial, found)


def _by_bounds(trial: Trial, found: Bench) -> str:
    """What speaks against a pass by what is printed and by U."""
    quantity, b, value = trial.case.quantity, trial.bounds, trial.value
    assert b and value
    if trial.verdict == "serviceable" and is_beyond_new(float(value.value), b, quantity):
        return "beyond-new"
    past = trial.verdict == "past-new" and must_stay_clear(b, quantity)
    if (past or must_clear(b, quantity)) and value.least <= 0:
        return "clear"
    simple = found.decision != "guarded" and trial.verdict != "past-new"
    agreeing = trial.verdict == "agrees" or (b.nominal is not None and not b.allows(value.least, value.most))
    wide = agreeing and is_too_wide(value, b, quantity, found.data)
    return "wide" if wide or (simple and is_too_wide_for_simple(value, b, trial.verdict == "new")) else ""


def _by_others(trial: Trial, found: Bench) -> str:
    """What speaks against a pass by other readings of the place, and other ways of measuring it."""
    b, guarded = trial.bounds, found.decision == "guarded"
    assert b and trial.value
    strict = against.is_strict(trial.value.method, b.side) and trial.verdict != "agrees"
    told = against.doubt(trial.ways, b, trial.case, found.data, guarded, trial.verdict == "past-new")
    return "" if strict and told in ("one", "tightest") and _other_end(trial, guarded) else told


ABSURD = 100
"""How many times all that is printed for it a value must be to be no reading at all."""


def absurd_from(bounds: Bounds) -> float:
    """The least that is no reading at all, in SI units."""
    ends = [abs(float(x)) for e in (bounds.low, bounds.high, bounds.limit, bounds.nominal) if e for x in e]
    return ABSURD * max([*ends, _SMALLEST])


_SMALLEST = 1e-4


def _with(trial: Trial, code: int, fresh: float, allowed: float) -> Trial:
    assert trial.value and trial.bounds
    if abs(float(trial.value.value)) > absurd_from(trial.bounds) or is_below_nothing(
        trial.ways[0].shown, trial.case.quantity
    ):
        return replace(trial, verdict="bad-entry")
    bare = trial.value.least_only or not (trial.bounds.fresh or trial.bounds.limit)
    share = None if bare or np.isnan(fresh) else told(trial.value, float(fresh))
    within = None if bare else told(trial.value, float(allowed))
    return replace(trial, verdict=decide.VERDICTS[code], probability=share, within_limit=within)


NEARLY = 0.05
"""How near to 0 or 1 a probability must be where the largest, the smallest or the spread of several readings counts.

Whether their places are alike the readings cannot tell, and in between the probability would be off by up to a fifth
(docs/judging-study.md)."""


def told(value: Value, share: float) -> float | None:
    """A probability as it may be told; None where it would be off."""
    return None if value.lifts and NEARLY < share < 1 - NEARLY else share
