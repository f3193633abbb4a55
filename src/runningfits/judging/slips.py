"""Slips of an entry: the bench tables, and the bench rules run on them. A slip stands beside a verdict."""

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import closing
from typing import Any

from ..dataset import Dataset
from ..findings import Finding
from ..rulebook import create, rules, run
from ..sheets.measuring import Counted, numberings
from ..sheets.vocabulary import tool_words
from .cases import Bench
from .expected import PLACE, READINGS, lines
from .fasteners import Fastener, wanted
from .naming import place_words, said_words
from .rounds import is_for_check, times
from .torque import Step

TORQUES = (
    PLACE
    | dict.fromkeys(
        ("joint", "position", "action", "value", "unit", "thread_state", "tool", "want_state", "want", "want_unit"),
        "TEXT",
    )
    | dict.fromkeys(("step", "done", "cycle", "turn"), "INTEGER")
    | dict.fromkeys(("si", "want_low", "want_high", "tool_from", "tool_to"), "REAL")
)
"""Columns of `bench_torques`: numbers in SI; `want` is the row's range as printed, `done` the order on the sheet,
`cycle` which tightening of the fasteners it is, `turn` their turn in the printed order."""

DONE = PLACE | {
    **dict.fromkeys(("joint", "position", "kind", "fastener", "place", "among", "purpose"), "TEXT"),
    **dict.fromkeys(("number", "step", "done", "last_stage", "for_check", "single_use", "times"), "INTEGER"),
}
"""Columns of `bench_fasteners`, a line for each fastener of each torque line: `kind` is the joint's id, `fastener` the
same text for the same fasteners in the same round of tightening, `place` is `all` where the line speaks of all, `among`
names some that the page does not tell apart; `number` is the line of the sheet, `last_stage` whether the sheet is of
the assembled engine, `for_check` whether it was tightened for another purpose than running and not for running after
that, `single_use` how often the page lets it be tightened (0 where it says nothing), `times` how often
it was."""

COUNTED = PLACE | {
    **dict.fromkeys(("joint", "position", "chain", "place", "among"), "TEXT"),
    **dict.fromkeys(("step", "done"), "INTEGER"),
}
"""Columns of `bench_counts`, a line for each fastener of each torque line and each count of steps that it stands in:
`chain` is the same text for the same count in the same round, that of the fastener itself or one that a page takes
through several kinds; the others as in `bench_fasteners`."""

WANTED = PLACE | {
    **dict.fromkeys(("joint", "fastener", "place", "place_words", "entered"), "TEXT"),
    "step": "INTEGER",
}
"""Columns of `bench_steps`, the steps that the sheet must have: `entered` are the places that it names, where no page
says whether those are all."""


def findings(bench: Bench, steps: Sequence[Step]) -> list[Finding]:
    """Findings of the bench rules."""
    with closing(prepared(bench, steps)) as base:
        return [f for rule in rules("bench") for f in run(rule, base)]


def prepared(bench: Bench, steps: Sequence[Step]) -> sqlite3.Connection:
    """The bench tables of a sheet, on which the bench rules run."""
    base = sqlite3.connect(":memory:")
    create(base, "bench_readings", READINGS, lines(bench))
    create(base, "bench_torques", TORQUES, [_torque(s, bench) for s in steps])
    create(base, "bench_fasteners", DONE, [line for s in steps for line in _done(s, steps, bench)])
    create(base, "bench_counts", COUNTED, _counts(steps, bench))
    create(base, "bench_steps", WANTED, _wanted(steps, bench))
    return base


def _torque(step: Step, bench: Bench) -> tuple[Any, ...]:
    raw, row, data = step.raw, step.row, bench.data
    place = (f"torques-{step.index}", *bench.sheet.spot(["torques", step.index, "value"]))
    want = row["nominal"] or " to ".join(filter(None, (row["lower"], row["upper"]))) if row else ""
    words = (*_names(raw, data), row["action"] if row else "", raw["value"], raw["unit"])
    states = (
        step.state.replace("-", " "),
        tool_words(raw["instrument"], data),
        _printed_state(step).replace("-", " "),
        want,
        row["unit"] if row else "",
    )
    numbers = (step.done, raw.get("cycle", 1), step.turn, step.si, step.low, step.high, step.tool_from, step.tool_to)
    return (*place, *words, *states, raw["step"], *numbers)


def _printed_state(step: Step) -> str:
    """State of the threads that the leading row prints, or else the only one that its documents do."""
    return (step.row["thread_state"] if step.row else "") or ("".join(step.states) if len(step.states) == 1 else "")


def _names(raw: dict[str, Any], data: Dataset) -> tuple[str, str]:
    """Joint, with what is said of it, and place in words."""
    joint = ", ".join([data.joints[raw["joint"]]["label"].lower(), *said_words(_said(raw), data)])
    return joint, place_words(raw["position"], data)


def _said(raw: dict[str, Any]) -> dict[str, str]:
    return {k: raw[k] for k in ("which", "purpose", "thread") if k in raw}


REUSE = {"no": 1, "once": 2}
"""How often a page lets a fastener be tightened; the strictest of the pages for it counts, whichever of them judges."""


def _done(step: Step, steps: Sequence[Step], bench: Bench) -> list[tuple[Any, ...]]:
    """A line for each fastener of a torque line."""
    spot = (f"torques-{step.index}", *bench.sheet.spot(["torques", step.index, "value"]))
    names = _names(step.raw, bench.data)
    pages = (*step.choice.rows, *step.choice.passed_over)
    reuse = min((REUSE[r["reuse"]] for r in pages if r["reuse"] in REUSE), default=0)
    numbers = (step.index, step.raw["step"], step.done, bench.stage == "assembled")
    return [
        (
            *spot,
            *names,
            f.kind.joint,
            f.kind.text,
            f.place,
            f.among,
            f.kind.purpose,
            *numbers,
            is_for_check(f, step, steps),
            reuse,
            times(f, step, steps, bench),
        )
        for f in step.fasteners
    ]


def _counts(steps: Sequence[Step], bench: Bench) -> Iterator[tuple[Any, ...]]:
    """A line for each fastener of each torque line and each count of steps that it stands in."""
    through = numberings(bench.data, bench.engine, bench.build, {s.raw["joint"] for s in steps})
    for step in steps:
        spot = (f"torques-{step.index}", *bench.sheet.spot(["torques", step.index, "value"]))
        for f in step.fasteners:
            for chain in (f.kind.text, *_chains(f, step, through)):
                yield (*spot, *_names(step.raw, bench.data), chain, f.place, f.among, step.raw["step"], step.done)


def _chains(fastener: Fastener, step: Step, through: Sequence[frozenset[Counted]]) -> list[str]:
    """Counts through several kinds in which a step of a fastener stands, each with the round."""
    kind = fastener.kind
    key = (kind.joint, kind.purpose, kind.which, kind.thread, step.raw["step"])
    return [f"{n}|{kind.cycle}" for n, count in enumerate(through) if key in count]


def _wanted(found: Sequence[Step], bench: Bench) -> list[tuple[Any, ...]]:
    """Steps that the sheet must have, each with the first line of its joint as its spot."""
    data = bench.data
    first = {s.raw["joint"]: s.index for s in reversed(found)}
    done = [(f, (s.done, s.index)) for s in found for f in s.fasteners]
    made = []
    for want in wanted(done, frozenset(first) | bench.sheet.left_joints, bench):
        kind, index = want.fastener.kind, first.get(want.fastener.kind.joint)
        spot = bench.sheet.spot(["torques"] if index is None else ["torques", index, "step"])
        joint, place = _names({**want.said, "joint": kind.joint, "position": want.fastener.place}, data)
        entered = ", ".join(place_words(p, data) for p in want.entered)
        made.append((joint, *spot, joint, kind.text, want.fastener.place, place, entered, want.step))
    return list(dict.fromkeys(made))
