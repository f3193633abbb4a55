"""Fasteners of a torque line: which of a joint it speaks of, and what is printed for those."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from .. import positions
from ..choosing import NONE, Choice
from ..engine_models import MODEL
from ..here import Here
from ..resolving import admits
from ..rows import Row
from ..sheets.measuring import Line, torque_lines
from .cases import Bench

EVERY = "all"
"""The place of a line that speaks of all fasteners, where no page says how many they are."""


@dataclass(frozen=True)
class Kind:
    """Fasteners of a joint that one printed row speaks of, in one round of tightening.

    `which` and `thread` are as printed, `purpose` is what else than running they are tightened for, `cycle` which
    tightening of theirs it is.
    """

    joint: str
    which: str
    thread: str
    purpose: str
    cycle: int

    @property
    def text(self) -> str:
        """All of it in one text, the same for the same fasteners in the same round."""
        return "|".join((self.joint, self.which, self.thread, self.purpose, str(self.cycle)))


@dataclass(frozen=True)
class Fastener:
    """A kind at a place; `among` names some of them that the sheet tells apart and the page does not."""

    kind: Kind
    place: str
    among: str = ""


def fasteners(raw: dict[str, Any], choice: Choice, bench: Bench) -> tuple[Fastener, ...]:
    """Fasteners that a torque line speaks of, each once."""
    row = choice.row or next((r for line in choice.lines for r in line), None)
    said = raw.get("which", "")
    words = row["which"].split() if row else [w for w in (said,) if w != NONE]
    among = said if said not in (*words, NONE) else ""
    thread, purpose, cycle = (
        row["thread"] if row else raw.get("thread", ""),
        raw.get("purpose", ""),
        raw.get("cycle", 1),
    )
    found = ([said] if said in words else words) or [""]
    kinds = [Kind(raw["joint"], w, thread, purpose, cycle) for w in found]
    there = (EVERY,) if raw["position"] == EVERY else places(raw["joint"], raw["position"], bench)
    return tuple(Fastener(k, p, among) for k in kinds for p in there)


def places(joint: str, position: str, bench: Bench) -> tuple[str, ...]:
    """Places of a joint that a position stands for: numbers where they are known, else the position itself."""
    count = counted(joint, bench)
    found = range(1, (count or 0) + 1) if position == EVERY else positions.places(position, count)
    return tuple(map(str, found or ())) or (position,)


def counted(joint: str, bench: Bench) -> int | None:
    """How many places a joint has in the model on the bench, or as many as a page numbers; None where nobody says."""
    data, family = bench.data, bench.data.family(bench.engine)
    model = bench.build.answer(MODEL, EVERY, family)
    known = data.count(bench.engine, joint, model) if model in family.models else None
    here = Here(data, family, bench.engine, joint, EVERY)
    rows = [r for r in data.all_rows(bench.engine, "sequences") if r.item == joint and admits(r, bench.build, here)]
    return max([n for r in rows for n in positions.numbers(r["row"])] + ([known] if known else []), default=None)


@dataclass(frozen=True)
class Wanted:
    """A printed step that a sheet must have: the joint's line, the fastener, the number of the step.

    `entered` are the places that the sheet names, where no page says whether those are all.
    """

    said: dict[str, str]
    fastener: Fastener
    step: int
    entered: tuple[str, ...] = ()


def wanted(done: list[tuple[Fastener, tuple[int, int]]], named: frozenset[str], bench: Bench) -> Iterator[Wanted]:
    """Printed steps that a sheet must have, for fasteners as they were `done` (with their place in order and sheet).

    At the last stage those of every fastener of the joints `named` on the sheet, in their last round of tightening;
    before it, those of the fasteners that were entered.
    """
    joints = named if bench.stage == "assembled" else frozenset(f.kind.joint for f, _ in done)
    for line in torque_lines(bench.data, bench.engine, bench.build, joints):
        purpose = line.said.get("purpose", "")
        if bench.stage == "assembled" and not purpose:
            yield from _whole(line, done, bench)
        else:
            yield from _entered(line, [f for f, _ in done if f.kind.purpose == purpose])


def _of_line(line: Line, fastener: Fastener) -> bool:
    """Whether a printed line speaks of the kind of a fastener, whatever its place."""
    row, kind = line.rows[0], fastener.kind
    which = line.said.get("which", "")
    same = (kind.joint, kind.thread) == (line.item, row["thread"])
    return same and kind.which == ("" if which == NONE else which)


def _whole(line: Line, done: list[tuple[Fastener, tuple[int, int]]], bench: Bench) -> Iterator[Wanted]:
    """A step at each place of a printed line, in the round of tightening that was the last there."""
    own = [(f, when) for f, when in done if _of_line(line, f) and not f.kind.purpose]
    there = places(line.item, line.place, bench)
    some = tuple(dict.fromkeys(f.among or f.place for f, _ in own if f.among or f.place != EVERY))
    unknown = there == (EVERY,) or any(f.among for f, _ in own)
    if there == (EVERY,) and own:
        there = tuple(dict.fromkeys(f.place for f, _ in own))
    which = line.said.get("which", "")
    for place in there:
        cycles = {when: f.kind.cycle for f, when in own if f.place in (place, EVERY)}
        last = cycles[max(cycles)] if cycles else 1
        kind = Kind(line.item, "" if which == NONE else which, line.rows[0]["thread"], "", last)
        yield Wanted(line.said, Fastener(kind, place), int(line.said["step"]), some if unknown else ())


def _entered(line: Line, done: list[Fastener]) -> Iterator[Wanted]:
    """A step for each fastener of a printed line that was entered."""
    for fastener in dict.fromkeys(f for f in done if _of_line(line, f)):
        yield Wanted(line.said, fastener, int(line.said["step"]))


def states(row: Row, also: tuple[Row, ...], bench: Bench) -> frozenset[str]:
    """States of the thread that the documents of a line print for its fasteners, at this step or another one."""
    data = bench.data
    here = Here(data, data.family(row.engine), row.engine, row.item, row["position"])
    sources = {c.source for r in (row, *also) for c in (r.cite, *r.also)}
    same = [
        r
        for r in data.all_rows(row.engine, "torques")
        if r.item == row.item
        and r["source"] in sources
        and r["purpose"] == row["purpose"]
        and all(not r[c] or not row[c] or r[c] == row[c] for c in ("which", "thread"))
        and admits(r, bench.build, here)
    ]
    of_step = {r["thread_state"] for r in same if r["step"] == row["step"] and r["thread_state"]}
    return frozenset(of_step or {r["thread_state"] for r in same if r["thread_state"]})
