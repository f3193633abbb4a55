"""What the judge claims, held against sheets whose truth is known: intervals, verdicts, probabilities, slips.

    python studies/judging_study.py --write docs/judging-study.md

Honest readings are made from known truths with the errors of each instrument's class: a limit anywhere within plus and
minus, a hand with a given spread, a scale with steps, marks or leaves. Everything is seeded; the same numbers come
every time. Exit status 1 where a goal is missed.
"""

import argparse
import sys
from collections.abc import Iterator, Sequence
from multiprocessing import Pool
from pathlib import Path

from honest import PLACES
from judging_coverage import BOUND_HELD, COVERED, WIDE, WIDE_ONCE, Covered, cells, covered, is_wide, missed
from judging_slips import EARLIER, FALSE_ALARMS, SLIPS, STATES, false_alarms, named
from judging_verdicts import BEYOND, JUDGED, MARKED, OFF, OFF_MARKS, ON_LIMIT, TRUTHS, Wrong, wrong

from runningfits.judging.coverage import of_largest
from runningfits.judging.proving import NEARLY

HEAD = f"""# What the judge claims, measured

Honest sheets of known truth, made by a seed: every instrument off by anything within the limit of its class, a
hand with the spread that is usual for it, steps, marks or leaves as they are, {PLACES} places a sheet. Made
anew by `python studies/judging_study.py --write docs/judging-study.md`; continuous integration holds this page
to it.

"""

INTERVALS = f"""## Intervals

Percent of intervals (value less U to value plus U) that hold the truth; behind the slash the mean U over the
half-width that holds 95 % of the errors. *Alike*: the part is the same at all places; *varied*: up to 0.0015 in
apart; *bore alike*: a fit of which the bore is the same and the shaft is not. Columns: readings of each place x
spread of the hand in multiples of its class's usual one (5 times that of a micrometer is 0.0004 in). Goals: at
least {COVERED:g} % for hands no worse than the class, and for worse ones where {PLACES} places are read twice;
at the class's own spread at most {WIDE:g} ({WIDE_ONCE:g} for single readings); the bound of a lone leaf true in
{BOUND_HELD:g} %.

"""

VERDICTS = f"""
## Verdicts

The worst share of one wrong verdict in percent, over both ends of the new range and the wear limit, {TRUTHS}
truths each: with the truth on the limit (goal {ON_LIMIT:g}), and anywhere within 2 U beyond it (goal
{BEYOND:g}). Last, how far in ten bins the mean probability of the new range lies from the share that lies in it
(goal {OFF:g}, strip and feeler {OFF_MARKS:g}).

Of the smallest, the largest or the spread of several places a probability is told only within {NEARLY:g} of 0 or 1. Six
places that are alike read too small by {of_largest(6).lift:.2f} standard deviations of one reading, six of which one
stands out by nothing, and by readings alone the two cannot be told apart while it stands out by less than about three:
what is put back lies between, and in the middle the probability of either would be off.

"""

ALARMS = f"""
## Slips

Honest readings that are taken for slips (goal: at most {FALSE_ALARMS:g} %).

"""

PLANTED = """
Planted slips that are named, of one on each sheet; beside it, of the same sheets, by version 0.2.0, whose
verdicts they replaced (and which took 4.7 % of the honest tight readings for slips).

"""


def main(arguments: list[str] | None = None) -> int:
    """Run the study, write its page, and tell whether a goal was missed."""
    parser = argparse.ArgumentParser(description="What the judge claims, held against known truths.")
    parser.add_argument("--write", type=Path, help="the page to write")
    options = parser.parse_args(arguments)
    with Pool(2) as pool:
        found = pool.map(covered, list(enumerate(cells())), chunksize=4)
        judged = pool.map(wrong, list(enumerate(JUDGED)), chunksize=1)
        honest = dict(zip(STATES, pool.map(false_alarms, STATES), strict=True))
        planted = dict(zip(SLIPS, pool.map(named, SLIPS), strict=True))
    page = "".join(_page(found, judged, honest, planted))
    if options.write:
        options.write.write_text(page, encoding="utf-8", newline="\n")
    print(page)
    lacking = [*_lacking(found, judged), *_alarmed(honest, planted)]
    for line in lacking:
        print(line, file=sys.stderr)
    return 1 if lacking else 0


Counts = dict[str, tuple[int, int]]


def _page(found: Sequence[Covered], judged: Sequence[Wrong], honest: Counts, planted: Counts) -> Iterator[str]:
    yield HEAD + INTERVALS + "\n".join(_intervals(found)) + "\n"
    yield _wide(found)
    yield VERDICTS + "| way of measuring | on a limit | which | beyond | which | probability off by |\n"
    yield "| --- | ---: | --- | ---: | --- | ---: |\n"
    for w in judged:
        yield f"| {w.way} | {w.on:.2f} | {w.on_verdict} | {w.beyond:.2f} | {w.beyond_verdict} | {w.calibration:.3f} |\n"
    yield ALARMS + "| sheets | readings | taken for slips | % |\n| --- | ---: | ---: | ---: |\n"
    for state, (of, hits) in honest.items():
        yield f"| {state} | {of} | {hits} | {100 * hits / of:.2f} |\n"
    yield PLANTED + "| slip | planted | named | by 0.2.0 |\n| --- | ---: | ---: | ---: |\n"
    for kind, (of, hits) in planted.items():
        yield f"| {kind} | {of} | {hits} | {EARLIER[kind]} |\n"


def _wide(found: Sequence[Covered]) -> str:
    """What is wider than the goal, by way and method, with why."""
    wide = [c for c in found if is_wide(c)]
    judged = sum(c.cell.spread == 1.0 for c in found)
    if not wide:
        return f"\nAll {judged} cells at the class's own spread reach the goal.\n"
    names = dict.fromkeys(f"{c.cell.way} ({c.cell.method.replace('-', ' ')})" for c in wide)
    told = " Where two largest ones are subtracted, readings cannot tell whether both parts are alike or one alone: "
    told += "the same U that is too wide for the one is as wide as it need be for the other (*bore alike*)."
    subtracted = any(c.cell.way.startswith("bore less shaft") for c in wide)
    return (
        f"\nWider than the goal of {judged} cells at the class's own spread: {len(wide)}, at most "
        f"{max(c.ratio for c in wide):.2f}: {'; '.join(names)}.{told if subtracted else ''}\n"
    )


def _intervals(found: Sequence[Covered]) -> Iterator[str]:
    """Lines of the table of intervals: a line for each way, method, shape and warmth, a column for each hand."""
    lines: dict[tuple[str, ...], dict[tuple[int, float], Covered]] = {}
    for c in found:
        cell = c.cell
        shape = cell.shape if cell.grid != (1, 1) else ""
        lines.setdefault((cell.way, cell.method.replace("-", " "), shape, cell.warmth), {})[
            cell.repeats, cell.spread
        ] = c
    hands = list(dict.fromkeys(h for line in lines.values() for h in line))
    yield "| way | counted | shape | temperature | " + " | ".join(f"{n} x {s:g}" for n, s in hands) + " |"
    yield "| --- | --- | --- | --- | " + " | ".join("---:" for _ in hands) + " |"
    for names, line in lines.items():
        shown = (f"{line[h].held:.1f} / {line[h].ratio:.2f}" if h in line else "" for h in hands)
        yield f"| {' | '.join(names)} | {' | '.join(shown)} |"


def _lacking(found: Sequence[Covered], judged: Sequence[Wrong]) -> Iterator[str]:
    for c in found:
        yield from (f"{c.cell}: {said}" for said in missed(c))
    for w in judged:
        off = OFF_MARKS if w.way in MARKED else OFF
        if w.on > ON_LIMIT or w.beyond > BEYOND or w.calibration > off:
            yield f"{w}"


def _alarmed(honest: Counts, planted: Counts) -> Iterator[str]:
    for state, (of, hits) in honest.items():
        if 100 * hits / of > FALSE_ALARMS:
            yield f"{state}: {hits} of {of} honest readings are taken for slips"
    for kind, (_, hits) in planted.items():
        if hits < EARLIER[kind]:
            yield f"{kind}: {hits} slips named, {EARLIER[kind]} before"


if __name__ == "__main__":
    sys.exit(main())
