"""Study: errors of known kinds are put into the real dataset, and the rules must find them.

Run as `python studies/injection_study.py [--digits 600] [--each 20] [--seed 1] [--write docs/rules-study.md]`; with
`--write` also `rules/study.csv`, what each rule found. Each error is put in alone, the rules run, and the error is
taken out again; then errors of digits by the hundred at once.
"""

import argparse
import os
import random
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path

import digit_slips
import structure_slips
from injection_report import Outcome, Strangers, Tally, by_rule, report
from silent import silent
from trying import Injection, Place, Whole, numbers_of, touches

from runningfits.auditing import learnt, population, prepare
from runningfits.places import folder

Maker = Callable[[random.Random, Place, Whole], Injection | None]


def draw(whole: Whole, digits: int, each: int, seed: int) -> list[Injection]:
    """Errors of all kinds, those of digits by their shares, each on a row drawn by lot.

    Rows with a registered misprint stay out. A kind that few rows allow has fewer.
    """
    r = random.Random(seed)
    places = [p for p in whole.places if p.id not in whole.registered and numbers_of(p)]
    found: list[Injection] = []
    for maker, share in digit_slips.KINDS.values():
        found += _drawn(r, places, whole, maker, round(digits * share))
    for maker in structure_slips.KINDS.values():
        found += _drawn(r, places, whole, maker, each)
    return found


def _drawn(r: random.Random, places: list[Place], whole: Whole, maker: Maker, wanted: int) -> list[Injection]:
    found: list[Injection] = []
    seen: set[frozenset[str]] = set()
    for place in r.sample(places, len(places)):
        made = maker(r, place, whole) if len(found) < wanted else None
        if made and (names := frozenset(made.names)) not in seen:
            seen.add(names)
            found.append(made)
    return found


@dataclass
class Alone:
    """What came of errors put in each alone: tallies by kind and class, untouched rows flagged, errors not found."""

    tallies: defaultdict[tuple[str, str], Tally] = field(default_factory=lambda: defaultdict(Tally))
    strays: Counter[str] = field(default_factory=Counter)
    missed: list[int] = field(default_factory=list)
    quiet: list[int] = field(default_factory=list)

    def add(self, other: "Alone") -> None:
        for key, t in other.tallies.items():
            self.tallies[key].add(t)
        self.strays.update(other.strays)
        self.missed += other.missed
        self.quiet += other.quiet


def alone(numbers: Iterable[int], digits: int, each: int, seed: int) -> Alone:
    """Each of these errors of a drawing put in alone."""
    whole, found = Whole(), Alone()
    injections = draw(whole, digits, each, seed)
    for n in numbers:
        _tried(n, injections[n], whole, found)
    return found


def _tried(n: int, injection: Injection, whole: Whole, found: Alone) -> None:
    names = injection.names
    new = whole.of_engine[injection.place.engine].try_out([injection])
    hits = [f for f in new if touches(f, names, injection.files)]
    loud = [f for f in hits if f.severity != "remark"]
    found.strays["rows"] += len({f.row for f in new if f.row} - names)
    found.strays["loud"] += len({f.row for f in new if f.row and f.severity != "remark"} - names)
    found.tallies[injection.kind, whole.class_of(injection)].count(injection, hits, loud, silent(injection, whole))
    if not hits:
        found.missed.append(n)
    elif not loud:
        found.quiet.append(n)


def all_alone(total: int, digits: int, each: int, seed: int) -> Alone:
    """Every error put in alone, shared out among the processors; the sum does not depend on their number."""
    workers = os.cpu_count() or 1
    found = Alone()
    with ProcessPoolExecutor(workers) as pool:
        parts = [pool.submit(alone, range(n, total, workers), digits, each, seed) for n in range(workers)]
        for part in parts:
            found.add(part.result())
    found.missed.sort()
    return found


def by_hundreds(whole: Whole, injections: list[Injection]) -> tuple[float, float]:
    """A hundred errors at once: share found, and share of untouched rows flagged with no touched neighbour."""
    found = strays = clean = tried = 0
    r = random.Random(0)
    left = r.sample(injections, len(injections))
    while left:
        batch: dict[str, Injection] = {}
        for injection in list(left):
            if len(batch) < 100 and not injection.names & set(batch):
                batch.update(dict.fromkeys(injection.names, injection))
                left.remove(injection)
        chosen = list({id(i): i for i in batch.values()}.values())
        new = [f for part in whole.parts if (mine := part.among(chosen)) for f in part.try_out(mine)]
        found += sum(any(touches(f, i.names) for f in new) for i in chosen)
        tried += len(chosen)
        strays += len({f.row for f in new if f.row and not touches(f, set(batch))})
        clean += len(whole.places) - len(batch)
    return found / tried, strays / clean


def strangers(whole: Whole) -> Strangers:
    """Shares of the rows of a family that are flagged when levels and bounds were fitted to the other families."""
    base = prepare.prepare(whole.found)
    known = population.features(base, population.levels(base))
    loud: set[str] = set()
    flagged: set[str] = set()
    sizes = population.sizes(base)
    for engine in {f.engine for f in known}:
        fitted = learnt.bounds_of(f for f in known if f.engine != engine)
        bounds = {(b.group, b.statistic): b for b in fitted}
        for f in population.features(base, population.polished([s for s in sizes if s[0] != engine], 5), engine):
            bound = learnt.bound_of(f, bounds)
            weight = bound.severity(f.value) if bound else ""
            flagged |= {f.row} if weight else set()
            loud |= {f.row} if weight == "warning" else set()
    base.close()
    rows = len({f.row for f in known})
    return Strangers(len(loud) / rows, len(flagged) / rows)


def main() -> None:
    """Run the study and print or write its table."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    options.add_argument("--digits", type=int, default=600)
    options.add_argument("--each", type=int, default=20)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--write", type=Path)
    options.add_argument("--missed", action="store_true", help="print the errors that were not found")
    given = options.parse_args()
    whole = Whole()
    injections = draw(whole, given.digits, given.each, given.seed)
    single = all_alone(len(injections), given.digits, given.each, given.seed)
    of_digits = [i for i in injections if i.kind in digit_slips.KINDS]
    rows = len(injections) * len(whole.places)
    hundred = by_hundreds(whole, of_digits)
    strays = {k: n / rows for k, n in single.strays.items()}
    outcome = Outcome(single.tallies, strays, hundred, strangers(whole), len(of_digits), len(injections), given.seed)
    if given.missed:
        for n in single.missed:
            missed = injections[n]
            print(f"{missed.kind} | {whole.class_of(missed)} | {missed.place.id} | {missed.changes}")
    text = report(outcome)
    print(text)
    if given.write:
        given.write.write_text(text, encoding="utf-8", newline="\n")
        (folder("rules") / "study.csv").write_text(by_rule(outcome), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
