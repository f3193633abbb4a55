"""The main job: verdicts on a bench sheet."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from ..dataset import Dataset
from ..lines import Line
from ..rows import Row
from ..sheets.sheet import load
from . import as_values, decide, grid, guides, values
from .bounds import bounds
from .cases import Bench, Case, bench
from .judged import Judged, Judgement, Trial, Tried
from .slips import findings
from .torque import followed, steps
from .unmeasured import unmeasured
from .values import Value

DONE = ("new", "worn")
"""Verdicts of a fit that needs nothing, before its stage is thought of."""


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

    @property
    def clean(self) -> bool:
        """Whether nothing is out, undecided, found or, at the last stage, worn or left unmeasured."""
        good = ("new",) if self.bench.stage == "assembled" else DONE
        done = all(j.verdict in good for j in self.judged)
        followed_all = all(t["verdict"] == "followed" for t in self.torques)
        whole = not (self.not_measured and self.bench.stage == "assembled")
        return done and followed_all and whole and all(f.severity == "remark" for f in self.findings)


def check(source: str | Path | dict[str, Any], data: Dataset) -> Result:
    """Verdicts on a sheet; raises SheetError when it cannot be used."""
    found = bench(load(source, data), data)
    tightened = steps(found)
    slips, bad = findings(found, tightened)
    judged = _judged(found, bad)
    return Result(found, judged, tuple(followed(tightened, data, slips)), tuple(sorted(slips)), unmeasured(found))


def _judged(found: Bench, bad: set[int]) -> tuple[Judged, ...]:
    """Verdicts of all cases; a row is tried once for each case that it may judge."""
    tried = [(case, [_trials(case, line, found) for line in case.choice.lines]) for case in found.cases]
    flat = iter(_decided([t for _, lines in tried for trials in lines for t in trials], found.decision))
    made = []
    for case, lines in tried:
        keys = map(_key, case.choice.lines)
        done = {key: _tried(tuple(next(flat) for _ in trials)) for key, trials in zip(keys, lines, strict=True)}
        made.append(_judge(case, done, any(r.index in bad for r in case.readings)))
    return tuple(j for j in made if not j.case.derived or j.lead.value)


def _key(line: Line) -> tuple[str, ...]:
    return tuple(r.id + repr(sorted(r.cells.items())) for r in line)


def _judge(case: Case, done: dict[tuple[str, ...], Tried], spoiled: bool) -> Judged:
    asked = tuple((a, tuple(_answer([done[_key(li)] for li in w.lines]) for w in a.answers)) for a in case.choice.asked)
    first = next(iter(done.values()))
    verdicts = {t.verdict for t in done.values()}
    settled = bool(asked) and len(verdicts) == 1
    verdict = first.verdict if len(verdicts) == 1 else "which-row"
    return Judged(case, first, "bad-entry" if spoiled else verdict, asked, settled)


def _answer(tried: Iterable[Tried]) -> str:
    """Verdict that an answer gives, `which-row` where another question remains."""
    found = {t.verdict for t in tried}
    return found.pop() if len(found) == 1 else "which-row"


def _trials(case: Case, line: Line, found: Bench) -> list[Trial]:
    """A trial for each row of a line, or one without a row; a trial without a verdict is to be decided."""
    return [_trial(case, row, found) for row in line or (None,)]


def _trial(case: Case, row: Row | None, found: Bench) -> Trial:
    data = found.data
    ways = _values(case, row, found)
    limits = bounds(row, data) if row else None
    thumb = _guides(case, row, limits is not None and limits.judged, found)
    limits = guides.widened(thumb, limits, case.quantity["limit_side"] != "lower")
    verdict = "no-range" if limits is None or not limits.judged else "" if ways else "cannot-tell"
    return Trial(row, ways[0] if ways else None, tuple(ways[1:]), limits, tuple(thumb), verdict)


def _guides(case: Case, row: Row | None, judged: bool, found: Bench) -> list[guides.Guide]:
    """Rules of thumb of the document that the sheet names, where the page leaves something open."""
    source = found.sheet.values.get("guides")
    if source is None or case.said.get("class", "new") != "new":
        return []
    limits = bounds(row, found.data) if row and judged else None
    there = guides.guides(found.data, found.engine, found.build, case.item, case.position)
    return guides.used([g for g in there if g.cite.source == source], row, limits)


def _values(case: Case, row: Row | None, found: Bench) -> list[Value]:
    """Values of a case by each way of measuring, the least uncertain first."""
    quantity, by_part, tools = case.quantity, case.parts, dict(found.tools)
    method, spread = case.method(row), float(found.temperatures.spread)
    thermal = quantity["dimension"] == "length"
    made: list[Value | None] = []
    if quantity["inner"] and by_part.get("bore") and by_part.get("shaft"):
        ways = grid.PAIRED[grid.pair_method(method)]
        bore = values.part_value(list(by_part["bore"]), ways[0], tools, spread, thermal)
        shaft = values.part_value(list(by_part["shaft"]), ways[1], tools, spread, thermal)
        if bore and shaft:
            made.append(values.difference(bore, shaft, grid.pair_method(method)))
    for part in ("gap", "strip") if quantity["inner"] else ("bore", "shaft", "gap", "strip"):
        if by_part.get(part):
            single = grid.single_method(method, part, quantity["limit_side"])
            warm = thermal and part in ("bore", "shaft")
            made.append(values.part_value(list(by_part[part]), single, tools, spread, warm))
    return sorted((v for v in made if v), key=lambda v: v.standard)


def _decided(trials: Sequence[Trial], rule: str) -> list[Trial]:
    """Verdicts of those that can be decided, all in one call."""
    todo = [(t, t.value, t.bounds) for t in trials if not t.verdict and t.value and t.bounds]
    if not todo:
        return list(trials)
    value = np.array([float(v.value) for _, v, _ in todo])
    standard = np.array([v.standard for _, v, _ in todo])
    limits = np.array([b.floats() for *_, b in todo]).T
    upward = np.array([b.wears_up for *_, b in todo])
    guard = decide.COVERAGE_FACTOR * standard if rule == "guarded" else np.zeros_like(standard)
    codes = decide.decide(value, guard, limits[0], limits[1], limits[2], limits[3], upward)
    fresh = decide.probability(value, standard, limits[0], limits[1])
    allowed = decide.probability(value, standard, limits[2], limits[3])
    verdicts = iter(zip(codes, fresh, allowed, strict=True))
    return [_with(t, *next(verdicts)) if not t.verdict and t.value and t.bounds else t for t in trials]


def _with(trial: Trial, code: int, fresh: float, allowed: float) -> Trial:
    share = None if np.isnan(fresh) else float(fresh)
    return replace(trial, verdict=decide.VERDICTS[code], probability=share, within_limit=float(allowed))


def _tried(trials: tuple[Trial, ...]) -> Tried:
    return Tried(trials, together(trials))


def together(trials: Sequence[Trial]) -> str:
    """Verdict of rows that all must hold: what all say, else `cannot-tell`.

    A row that prints a limit alone, or a nominal alone, does not speak against a new range that another prints.
    """
    speaking = [t for t in trials if t.verdict != "no-range"] or list(trials)
    found = {t.verdict for t in speaking}
    if len(found) == 1:
        return found.pop()
    if found == {"new", "worn"} and all(t.bounds and not t.bounds.fresh for t in speaking if t.verdict == "worn"):
        return "new"
    return "cannot-tell"
