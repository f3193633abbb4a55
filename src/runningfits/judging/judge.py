"""The main job: verdicts on a bench sheet."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from math import nan
from pathlib import Path
from typing import Any

import numpy as np

from .. import notebook
from ..dataset import Dataset
from ..lines import Line
from ..rows import Row
from ..sheets.faults import SheetError, SheetFault
from ..sheets.sheet import load
from . import against, as_values, decide, guides, spots
from .bounds import Bounds, bounds, running
from .bounds import together as all_of
from .by_way import Way, ways
from .case import Case
from .cases import Bench, bench
from .deriving import NO_READING_MENDS
from .judged import Judged, Judgement, Trial, Tried
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
)
from .slips import findings
from .torque import followed, steps
from .unmeasured import unmeasured


class Result(Judgement):
    """Verdicts of a sheet, torque steps and findings; `as_dict` is what `check --json` prints."""

    @property
    def sheet(self) -> dict[str, Any]:
        """Values of the sheet."""
        return self.bench.sheet.values

    @property
    def data(self) -> Dataset:
        """The dataset that judged."""
        return self.bench.data

    def as_dict(self) -> dict[str, Any]:
        """The result as JSON values, numbers as text."""
        return as_values.result(self)

    def _repr_html_(self) -> str:
        """What a notebook shows: a line for each verdict."""
        keys = ("label", "place", "value", "uncertainty", "unit", "verdict")
        lines = [
            [str(r[k] or "") for k in keys] + [r["cite"]["text"] if r["cite"] else ""]
            for r in self.as_dict()["results"]
        ]
        spoken = [[*cells[:5], cells[5].replace("-", " "), cells[6]] for cells in lines]
        return notebook.table(
            self.sheet.get("title", ""), ("fit", "place", "value", "U", "unit", "verdict", "page"), spoken
        )

    @property
    def clean(self) -> bool:
        """Whether nothing is out, undecided, found or, at the last stage, worn, left unmeasured or not proven."""
        done = all(_is_done(j, self.bench.stage) for j in self.judged)
        followed_all = all(t["verdict"] == "followed" for t in self.torques)
        open_ = self.not_measured or any(why not in NO_READING_MENDS for _, why in self.bench.unjudged)
        whole = not (open_ and self.bench.stage == "assembled")
        return done and followed_all and whole and all(f.severity == "remark" for f in self.findings)


def _is_done(j: Judged, stage: str) -> bool:
    """Whether a verdict asks for nothing more: of a form whose page prints a limit alone, to lie inside it is all."""
    b = j.joint.bounds
    whole = j.verdict == "serviceable" and j.case.quantity["kind"] == "form" and b is not None and not b.fresh
    return decide.is_done(j.verdict, stage) or whole


def check(source: str | Path | bytes | dict[str, Any], data: Dataset) -> Result:
    """Verdicts on a sheet; raises SheetError when it cannot be used or holds no reading."""
    sheet = load(source, data)
    if not sheet.values["readings"] and not sheet.values.get("torques"):
        raise SheetError([SheetFault(sheet.place([]), "holds no reading", "a reading or a torque with its value")])
    found = bench(sheet, data)
    tightened = steps(found)
    slips = findings(found, tightened)
    judged = _judged(found)
    return Result(found, judged, tuple(followed(tightened, data, slips)), tuple(sorted(slips)), unmeasured(found))


def _judged(found: Bench) -> tuple[Judged, ...]:
    """Verdicts of all cases; a row is tried once for each case that it may judge, and with all that must hold too."""
    tried = [(case, [trials(case, line, found) for line in case.choice.lines]) for case in found.cases]
    flat = iter(_sure([t for _, lines in tried for trials in lines for t in trials], found))
    made = []
    for case, lines in tried:
        keys = map(_key, case.choice.lines)
        done = {key: _tried([next(flat) for _ in trials]) for key, trials in zip(keys, lines, strict=True)}
        made.append(_judge(case, done))
    own: defaultdict[tuple[str, str], set[str]] = defaultdict(set)
    for j in made:
        if not j.case.derived:
            own[j.case.item, j.case.position].add(j.verdict)
    there = [j for j in made if not j.case.derived or j.lead.value]
    kept = _with_open_ends([j for j in there if _adds(j, own[j.case.item, j.case.position])])
    return tuple(replace(j, honed=_honed(j, found)) for j in kept)


def _honed(j: Judged, found: Bench) -> Trial | None:
    """The trial of a cylinder as it will be when it is honed; None of others, and where the sheet says no allowance."""
    allowance = _honing_allowance(j, found)
    bores = j.case.parts.get("bore", ()) if j.case.quantity["repair"] == "cylinder" else ()
    if not allowance or not bores or (j.asked and not j.settled):
        return None
    parts = {**j.case.parts, "bore": tuple(replace(r, value=r.value + allowance) for r in bores)}
    case = replace(j.case, parts=parts)
    measured = tuple(ways(case, j.joint.row, found.means))
    if not measured or not j.joint.bounds or not j.joint.bounds.judged:
        return None
    return _sure([replace(j.joint, case=case, ways=measured, verdict="", doubt="")], found)[0]


def _honing_allowance(j: Judged, found: Bench) -> Fraction:
    """What honing will take off a cylinder's diameter, in metres, as the sheet says it; 0 where it says nothing."""
    given = found.sheet.values
    unit = given.get("honing_unit", j.joint.row["unit"] if j.joint.row else "mm")
    return Fraction(given.get("honing_allowance", "0")) * found.data.units[unit].factor


def _adds(judged: Judged, entered: set[str]) -> bool:
    """Whether a verdict says what none of those on the readings that were entered for it say: that it is out, or may be
    of another repair size."""
    out = judged.verdict in decide.OUT or judged.joint.doubt == "resized"
    return not judged.case.again or (out and judged.verdict not in entered)


def _with_open_ends(judged: list[Judged]) -> tuple[Judged, ...]:
    """Verdicts; a running size that passed by the one end that is printed is undecided, unless a fit of the same
    readings passed."""
    proven = {
        (n, r.index) for j in judged if j.verdict in decide.PASSED for n in _sizes_of(j.case) for r in j.case.readings
    }

    def undecided(j: Judged) -> bool:
        bounds = j.joint.bounds
        there = all((j.case.item, r.index) in proven for r in j.case.readings)
        return j.verdict in decide.PASSED and bool(bounds and bounds.open_end) and not there

    return tuple(replace(j, verdict="cannot-tell", settled=False) if undecided(j) else j for j in judged)


def _sizes_of(case: Case) -> list[str]:
    """Sizes whose fit a case is, where both were measured."""
    both = case.parts.get("bore") and case.parts.get("shaft")
    return [*case.quantity["outer"].split(), *case.quantity["inner"].split()] if both else []


def _key(line: Line) -> tuple[str, ...]:
    return tuple(r.id + repr(sorted(r.cells.items())) for r in line)


def _judge(case: Case, done: dict[tuple[str, ...], Tried]) -> Judged:
    asked = tuple((a, tuple(_answer([done[_key(li)] for li in w.lines]) for w in a.answers)) for a in case.choice.asked)
    first = next(iter(done.values()))
    verdicts = {t.verdict for t in done.values()}
    settled = bool(asked) and len(verdicts) == 1
    verdict = first.verdict if len(verdicts) == 1 else "which-row"
    return Judged(case, first, verdict, asked, settled)


def _answer(tried: Iterable[Tried]) -> str:
    """Verdict that an answer gives, `which-row` where another question remains."""
    found = {t.verdict for t in tried}
    return found.pop() if len(found) == 1 else "which-row"


def trials(case: Case, line: Line, found: Bench) -> list[Trial]:
    """A trial for each row of a line, or one without a row, and last the trial of all rows as one.

    A trial without a verdict is to be decided.
    """
    alone = [_trial(case, row, found) for row in line or (None,)]
    speaking = [t for t in alone if t.bounds and t.bounds.judged]
    if len(speaking) < 2:
        return [*alone, (speaking or alone)[0]]
    joint = all_of([t.bounds for t in speaking if t.bounds])
    return [*alone, replace(speaking[0], bounds=joint)]


def _trial(case: Case, row: Row | None, found: Bench) -> Trial:
    data = found.data
    measured = tuple(ways(case, row, found.means))
    limits = bounds(row, data) if row else None
    thumb = _guides(case, row, limits is not None and limits.judged, found)
    limits = guides.widened(thumb, limits, case.quantity["limit_side"])
    if thumb and limits:
        limits = running(limits, case.item, data)
    verdict = "no-range" if limits is None or not limits.judged else "" if measured else "cannot-tell"
    return Trial(case, row, measured, limits, tuple(thumb), verdict)


def _guides(case: Case, row: Row | None, judged: bool, found: Bench) -> list[guides.Guide]:
    """Rules of thumb of the document that the sheet names, where the page leaves something open."""
    source = found.sheet.values.get("guides")
    if source is None or case.said.get("class", "new") != "new":
        return []
    limits = bounds(row, found.data) if row and judged else None
    there = guides.guides(found.data, found.engine, found.build, case.item, case.position)
    return guides.used([g for g in there if g.cite.source == source], row, limits)


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


def _sure(trials: Sequence[Trial], found: Bench) -> list[Trial]:
    """Trials with their verdicts, of which none passes that another reading of the same place speaks against.

    Where the largest or the smallest reading counts, the other one is held to the end that wear leaves: where it is not
    proven inside, it decides.
    """
    guarded = found.decision == "guarded"
    first = [_withheld(t, found) for t in _decided(trials, found.decision)]
    turned = {n: t for n, t in enumerate(_other_end(t, guarded) for t in first) if t}
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


def _withheld(trial: Trial, found: Bench) -> Trial:
    """A trial whose verdict would pass, as one that cannot tell where something speaks against it."""
    if trial.verdict not in (*PASSES, "cannot-tell", "loose") or not trial.value or not trial.bounds:
        return trial
    blind = spots.unproven(trial.case, trial.value, found.data.engines[found.engine]["layout"], found.data)
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
    return against.state_doubt(trial.case, trial.row) or _by_bounds(trial, found) or _by_others(trial, found)


def _by_bounds(trial: Trial, found: Bench) -> str:
    """What speaks against a pass by what is printed and by U."""
    quantity, b, value = trial.case.quantity, trial.bounds, trial.value
    assert b and value
    if trial.verdict == "serviceable" and is_beyond_new(float(value.value), b, quantity):
        return "beyond-new"
    if must_clear(b, quantity) and value.least <= 0:
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
    share = None if bare or np.isnan(fresh) else float(fresh)
    return replace(
        trial, verdict=decide.VERDICTS[code], probability=share, within_limit=None if bare else float(allowed)
    )


def _tried(trials: list[Trial]) -> Tried:
    return Tried(tuple(trials[:-1]), trials[-1])
