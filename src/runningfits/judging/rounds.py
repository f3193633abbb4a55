"""Rounds of tightening: how often a fastener was tightened, and whether the last time was for running."""

from collections.abc import Sequence

from .cases import Bench
from .fasteners import EVERY, Fastener
from .torque import Step


def is_for_check(fastener: Fastener, step: Step, steps: Sequence[Step]) -> bool:
    """Whether a fastener was tightened for another purpose than running, and for running no more after that."""
    if not fastener.kind.purpose:
        return False
    for_running = [(f, s) for s in steps for f in s.fasteners if not f.kind.purpose and _may_be_one(f, fastener)]
    return not any(_is_after((f.kind.cycle, s), (fastener.kind.cycle, step)) for f, s in for_running)


def _may_be_one(one: Fastener, other: Fastener) -> bool:
    """Whether two lines may speak of the same fastener: what only one of them says does not tell them apart."""
    told = ((one.kind.which, other.kind.which), (one.kind.thread, other.kind.thread))
    same = one.kind.joint == other.kind.joint and all(a == b or not (a and b) for a, b in told)
    return same and (one.place == other.place or EVERY in (one.place, other.place))


def _is_after(one: tuple[int, Step], other: tuple[int, Step]) -> bool:
    """Whether a line was done after another: by their round, and by an order that both lines give."""
    (cycle, step), (before, earlier) = one, other
    ordered = "order" in step.raw and "order" in earlier.raw
    if cycle == before or (ordered and step.done < earlier.done):
        return step.done > earlier.done
    return cycle > before


def times(fastener: Fastener, step: Step, steps: Sequence[Step], bench: Bench) -> int:
    """How often a fastener had been tightened with this line: as the sheet counts, else the rounds that it shows.

    A torque for measuring is one round, and so is a strip read under the joint.
    """
    if "cycle" in step.raw:
        return fastener.kind.cycle
    there = [f.kind for s in steps if s.done <= step.done for f in s.fasteners if _same_bolt(f, fastener)]
    rounds = {(k.purpose, k.cycle) for k in there}
    squeezed = bench.data.joints[fastener.kind.joint]["strip"]
    strips = any(r["part"] == "strip" and r["item"] == squeezed for r in bench.sheet.values["readings"])
    return len(rounds) + (strips and len({p for p, _ in rounds}) == 1)


def _same_bolt(one: Fastener, other: Fastener) -> bool:
    same = (one.kind.joint, one.kind.which, one.kind.thread) == (other.kind.joint, other.kind.which, other.kind.thread)
    return same and (one.place == other.place or EVERY in (one.place, other.place))
