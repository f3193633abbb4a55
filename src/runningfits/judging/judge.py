"""The main job: verdicts on a bench sheet."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

from .. import notebook
from ..dataset import Dataset
from ..lines import Line
from ..rows import Row
from ..sheets.faults import SheetError, SheetFault
from ..sheets.sheet import load
from . import as_values, decide, guides
from .bounds import bounds, running
from .bounds import together as all_of
from .by_way import ways
from .case import Case
from .cases import Bench, bench
from .deriving import NO_READING_MENDS
from .judged import Judged, Judgement, Trial, Tried
from .proving import sure
from .slips import findings
from .tightened import followed
from .torque import steps
from .unlimited import is_unlimited
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
        open_ = self.not_measured or any(_is_mended(why) for _, why in self.bench.unjudged)
        whole = not (open_ and self.bench.stage == "assembled")
        return done and followed_all and whole and all(f.severity == "remark" for f in self.findings)


def _is_mended(why: str) -> bool:
    """Whether more readings would judge what is not judged."""
    return why not in NO_READING_MENDS and not is_unlimited(why)


def _is_done(j: Judged, stage: str) -> bool:
    """Whether a verdict asks for nothing more, nor that after honing where there is one.

    Of a form whose page prints a limit alone, to lie inside it is all.
    """
    b = j.joint.bounds
    whole = j.verdict == "serviceable" and j.case.quantity["kind"] == "form" and b is not None and not b.fresh
    honed = j.honed is None or j.honed.verdict == j.verdict or decide.is_done(j.honed.verdict, stage)
    return honed and (decide.is_done(j.verdict, stage) or whole)


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
    flat = iter(sure([t for _, lines in tried for trials in lines for t in trials], found))
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
    """The trial of a cylinder as it will be when it is honed; None of others, and where no honing is to come.

    That is so where the sheet says no allowance, and once the engine is put together.
    """
    allowance = _honing_allowance(j, found) if found.stage != "assembled" else 0
    bores = j.case.parts.get("bore", ()) if j.case.quantity["repair"] == "cylinder" else ()
    if not allowance or not bores or (j.asked and not j.settled):
        return None
    parts = {**j.case.parts, "bore": tuple(replace(r, value=r.value + allowance) for r in bores)}
    case = replace(j.case, parts=parts)
    measured = tuple(ways(case, j.joint.row, found.means))
    if not measured or not j.joint.bounds or not j.joint.bounds.judged:
        return None
    return sure([replace(j.joint, case=case, ways=measured, verdict="", doubt="")], found)[0]


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


def _tried(trials: list[Trial]) -> Tried:
    return Tried(tuple(trials[:-1]), trials[-1])
