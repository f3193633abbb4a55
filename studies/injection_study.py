"""Study: errors of known kinds are put into the real dataset, and the rules must find them.

Run as `python studies/injection_study.py [--count 500] [--seed 1] [--write docs/rules-study.md]`; with
`--write` also `rules/study.csv`, what each rule found. Each error is
put in alone, the rules run, and the error is taken out again; then the same errors by the hundred at once.
"""

import argparse
import os
import random
import sqlite3
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Mapping
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path

from runningfits import numerals, tables
from runningfits.auditing import derived, population, prepare
from runningfits.auditing.load import Folder, Loaded, load
from runningfits.findings import Finding
from runningfits.places import folder
from runningfits.rulebook import rules, run

NUMBERS = [f"{n}{s}" for s in ("", "_2") for n in tables.PRINTED]
Cells = dict[str, str]


@dataclass(frozen=True)
class Place:
    """A row of the dataset: its file, line, id and cells."""

    file: Loaded
    line: int
    id: str
    cells: Cells

    @property
    def tuple(self) -> tuple[str, str, str, str, int]:
        return self.id, self.file.table, self.file.engine, self.file.file, self.line


@dataclass(frozen=True)
class Injection:
    """An error: its kind, the rows that it changes with their new cells, how far it moves a value."""

    kind: str
    place: Place
    cells: tuple[tuple[Place, Cells], ...]
    column: str = ""
    moved: float = 0.0


@dataclass
class Tally:
    """Counts of one kind and class."""

    tried: int = 0
    found: int = 0
    large: int = 0
    large_found: int = 0
    by: Counter[str] = field(default_factory=Counter)


Maker = Callable[[random.Random, Place, "Study"], Injection | None]


class Study:
    """The dataset prepared once, with what it finds untouched."""

    def __init__(self, data: Path) -> None:
        self.found: Folder = load(data)
        self.known = prepare.known(self.found)
        self.learnt = population.bounds()
        self.base: sqlite3.Connection = prepare.prepare(self.found, self.learnt)
        self.rules = [r for r in rules("dataset") if r.code[0] in "UCXP"]
        self.baseline = {_key(f) for f in self.findings()}
        self.places = [
            Place(file, line, name, cells)
            for table in ("sizes", "clearances", "torques")
            for file, line, name, cells in self.found.of(table)
        ]
        self.by_id = {p.id: p for p in self.places}
        self.closing = {r for pair in self.base.execute("SELECT row, outer_row, inner_row FROM pairs") for r in pair}
        self.registered = {r["row"] for _, _, _, r in self.found.of("misprints")}

    def findings(self) -> list[Finding]:
        return [f for rule in self.rules for f in run(rule, self.base)]

    def put(self, changes: list[tuple[Place, Cells]]) -> None:
        for place, cells in changes:
            prepare.remove(self.base, place.id)
            prepare.add(self.base, place.tuple, cells, self.known)
        for engine in {p.file.engine for p, _ in changes}:
            derived.relate_anew(self.base, self.learnt, engine)

    def try_out(self, injections: list[Injection]) -> list[Finding]:
        """New findings with these errors put in."""
        self.base.execute("SAVEPOINT untouched")
        self.put([c for i in injections for c in i.cells])
        new = [f for f in self.findings() if _key(f) not in self.baseline]
        self.base.execute("ROLLBACK TO untouched")
        self.base.execute("RELEASE untouched")
        return new

    def kind_of(self, place: Place, column: str) -> str:
        """Class of a row: two units printed, closes with other rows, alone."""
        base = column.removesuffix("_2")
        if base and place.cells.get(base) and place.cells.get(f"{base}_2"):
            return "two units"
        if not base and place.cells["unit_2"]:
            return "two units"
        return "one unit, closes" if place.id in self.closing else "one unit, alone"


def _key(f: Finding) -> tuple[str, str, str]:
    return f.code, f.row, f.column


def _numbers(place: Place) -> list[str]:
    return [c for c in NUMBERS if place.cells.get(c) and Decimal(place.cells[c]) != 0]


def _changed(kind: str, place: Place, column: str, text: str) -> Injection | None:
    old = place.cells[column]
    if text == old or not numerals.NUMBER.fullmatch(text):
        return None
    moved = abs(Decimal(text) - Decimal(old)) / abs(Decimal(old))
    return Injection(kind, place, ((place, place.cells | {column: text}),), column, float(moved))


def _body(text: str) -> int:
    """Where the digits start that a reader can take wrong: after the sign and the zero before the point."""
    start = 1 if text.startswith("-") else 0
    return start + 2 if text[start:].startswith("0.") else start


def digit(r: random.Random, place: Place, study: Study) -> Injection | None:
    """One wrong digit."""
    column = r.choice(_numbers(place))
    text = place.cells[column]
    at = r.choice([n for n in range(_body(text), len(text)) if text[n].isdigit()])
    other = r.choice([d for d in "0123456789" if d != text[at]])
    return _changed("one wrong digit", place, column, text[:at] + other + text[at + 1 :])


def swap(r: random.Random, place: Place, study: Study) -> Injection | None:
    """Two neighbouring digits exchanged."""
    column = r.choice(_numbers(place))
    text = place.cells[column]
    spots = [n for n in range(_body(text), len(text) - 1) if text[n : n + 2].isdigit() and text[n] != text[n + 1]]
    if not spots:
        return None
    at = r.choice(spots)
    return _changed("digits exchanged", place, column, text[:at] + text[at + 1] + text[at] + text[at + 2 :])


def decade(r: random.Random, place: Place, study: Study) -> Injection | None:
    """The decimal point lost or shifted by one place."""
    column = r.choice(_numbers(place))
    shifted = Decimal(place.cells[column]).scaleb(r.choice([-1, 1]))
    return _changed("decade lost or added", place, column, numerals.plain(shifted))


def dropped(r: random.Random, place: Place, study: Study) -> Injection | None:
    """A digit left out."""
    column = r.choice(_numbers(place))
    text = place.cells[column]
    spots = [n for n in range(_body(text), len(text)) if text[n].isdigit()]
    at = r.choice(spots)
    cut = text[:at] + text[at + 1 :]
    return None if Decimal(cut or "0") == Decimal(text) else _changed("digit dropped", place, column, cut.rstrip("."))


def exchanged(r: random.Random, place: Place, study: Study) -> Injection | None:
    """Lower and upper exchanged, in one unit or in both."""
    pairs = [s for s in ("", "_2") if place.cells.get(f"lower{s}") and place.cells.get(f"upper{s}")]
    chosen = pairs if r.random() < 0.5 else pairs[:1]
    cells = dict(place.cells)
    for s in chosen:
        cells[f"lower{s}"], cells[f"upper{s}"] = cells[f"upper{s}"], cells[f"lower{s}"]
    if not chosen or cells == place.cells or Decimal(cells["lower"]) == Decimal(cells["upper"]):
        return None
    return Injection("lower and upper exchanged", place, ((place, cells),), "lower", 1.0)


def next_row(r: random.Random, place: Place, study: Study) -> Injection | None:
    """The numbers of the next line read."""
    rows = place.file.rows
    at = next(n for n, (_, name, _) in enumerate(rows) if name == place.id)
    for _, _, other in rows[at + 1 : at + 2] + rows[max(0, at - 1) : at]:
        same = all(other[k] == place.cells[k] for k in ("unit", "unit_2", "source"))
        moved = {c: other[c] for c in NUMBERS if c in other}
        if same and any(place.cells[c] != moved[c] for c in moved):
            more = {"limit_as": other["limit_as"]} if "limit_as" in other else {}
            return Injection("read off by one row", place, ((place, place.cells | moved | more),), "", 1.0)
    return None


def other_unit(r: random.Random, place: Place, study: Study) -> Injection | None:
    """Inch in a millimetre column, or the two columns exchanged."""
    unit, second = place.cells["unit"], place.cells["unit_2"]
    if {unit, second} <= {"mm", "in", ""} and unit:
        cells = {"unit": second, "unit_2": unit} if second else {"unit": "mm" if unit == "in" else "in"}
        return Injection("inch for millimetre", place, ((place, place.cells | cells),), "", 24.4)
    return None


def inch_pound(r: random.Random, place: Place, study: Study) -> Injection | None:
    """Pound inch for pound foot."""
    for column in ("unit", "unit_2"):
        if place.cells[column] in ("lbf.in", "lbf.ft"):
            other = "lbf.ft" if place.cells[column] == "lbf.in" else "lbf.in"
            return Injection("pound inch for pound foot", place, ((place, place.cells | {column: other}),), "", 11.0)
    return None


def limit_for_range(r: random.Random, place: Place, study: Study) -> Injection | None:
    """Limit and the worn end of the range exchanged."""
    if place.file.table == "torques" or place.cells.get("limit_as") != "value":
        return None
    side = study.known.quantities[place.cells["quantity"]]["limit_side"]
    end = "lower" if side == "lower" else "upper"
    cells = dict(place.cells)
    for s in ("", "_2"):
        cells[end + s], cells["limit" + s] = cells["limit" + s], cells[end + s]
    if not (place.cells[end] and place.cells["limit"]) or Decimal(place.cells[end]) == Decimal(place.cells["limit"]):
        return None
    return Injection("limit and range exchanged", place, ((place, cells),), end, 1.0)


def sign_lost(r: random.Random, place: Place, study: Study) -> Injection | None:
    """The sign of a tight fit lost."""
    columns = [c for c in NUMBERS if place.cells.get(c, "").startswith("-")]
    if not columns:
        return None
    cells = place.cells | {c: place.cells[c][1:] for c in columns}
    return Injection("sign lost on a tight fit", place, ((place, cells),), columns[0], 2.0)


def places_exchanged(r: random.Random, place: Place, study: Study) -> Injection | None:
    """Two positions of one quantity exchanged."""
    same = ("quantity", "which", "applies", "size", "class", "at", "source", "page", "state")
    others = [
        p
        for p in study.places
        if p.file is place.file and p.id != place.id and all(p.cells.get(k) == place.cells.get(k) for k in same)
    ]
    others = [p for p in others if any(p.cells.get(c) != place.cells.get(c) for c in NUMBERS)]
    if place.file.table == "torques" or not others:
        return None
    other = r.choice(others)
    keep = (*NUMBERS, "unit", "unit_2", "limit_as")
    first = place.cells | {c: other.cells[c] for c in keep}
    second = other.cells | {c: place.cells[c] for c in keep}
    return Injection("positions exchanged", place, ((place, first), (other, second)), "", 1.0)


KINDS: dict[str, tuple[Maker, float]] = {
    "one wrong digit": (digit, 0.79),
    "digits exchanged": (swap, 0.10),
    "decade lost or added": (decade, 0.02),
    "digit dropped": (dropped, 0.015),
    "lower and upper exchanged": (exchanged, 0.015),
    "read off by one row": (next_row, 0.015),
    "inch for millimetre": (other_unit, 0.015),
    "pound inch for pound foot": (inch_pound, 0.005),
    "limit and range exchanged": (limit_for_range, 0.01),
    "sign lost on a tight fit": (sign_lost, 0.005),
    "positions exchanged": (places_exchanged, 0.01),
}
"""Kinds of error and their share of the injections."""


def draw(study: Study, count: int, seed: int) -> list[Injection]:
    """Errors of all kinds by their shares, each on a row drawn by lot; rows with a registered misprint stay out."""
    r = random.Random(seed)
    places = [p for p in study.places if p.id not in study.registered and _numbers(p)]
    found: list[Injection] = []
    for maker, share in KINDS.values():
        wanted = round(count * share)
        tries = 0
        while wanted and tries < 400 * count:
            tries += 1
            made = maker(r, r.choice(places), study)
            if made and (made.moved or made.kind):
                found.append(made)
                wanted -= 1
    return found


def touches(finding: Finding, names: set[str]) -> bool:
    """Whether a finding speaks of one of these rows, or names it as a neighbour."""
    return finding.row in names or bool(names & set(finding.others))


@dataclass
class Alone:
    """What came of errors put in each alone: tallies by kind and class, untouched rows flagged, errors not found."""

    tallies: defaultdict[tuple[str, str], Tally] = field(default_factory=lambda: defaultdict(Tally))
    strays: int = 0
    missed: list[int] = field(default_factory=list)

    def add(self, other: "Alone") -> None:
        for key, t in other.tallies.items():
            mine = self.tallies[key]
            for name in ("tried", "found", "large", "large_found"):
                setattr(mine, name, getattr(mine, name) + getattr(t, name))
            mine.by.update(t.by)
        self.strays += other.strays
        self.missed += other.missed


def alone(numbers: Iterable[int], count: int, seed: int) -> Alone:
    """Each of these errors of a drawing put in alone."""
    study, found = Study(folder("data")), Alone()
    injections = draw(study, count, seed)
    for n in numbers:
        injection = injections[n]
        names = {p.id for p, _ in injection.cells}
        new = study.try_out([injection])
        hits = [f for f in new if touches(f, names)]
        found.strays += len({f.row for f in new} - names)
        tally = found.tallies[injection.kind, study.kind_of(injection.place, injection.column)]
        tally.tried += 1
        tally.found += bool(hits)
        tally.large += injection.moved > 0.1
        tally.large_found += bool(hits) and injection.moved > 0.1
        tally.by.update({f.code for f in hits})
        if not hits:
            found.missed.append(n)
    return found


def all_alone(total: int, count: int, seed: int) -> Alone:
    """Every error put in alone, shared out among the processors; the sum does not depend on their number."""
    workers = os.cpu_count() or 1
    found = Alone()
    with ProcessPoolExecutor(workers) as pool:
        parts = [pool.submit(alone, range(n, total, workers), count, seed) for n in range(workers)]
        for part in parts:
            found.add(part.result())
    found.missed.sort()
    return found


def by_hundreds(study: Study, injections: list[Injection]) -> tuple[float, float]:
    """A hundred errors at once: share found, and share of untouched rows flagged with no touched neighbour."""
    found = strays = clean = tried = 0
    r = random.Random(0)
    shuffled = r.sample(injections, len(injections))
    while shuffled:
        batch: dict[str, Injection] = {}
        for injection in list(shuffled):
            if len(batch) < 100 and not {p.id for p, _ in injection.cells} & set(batch):
                batch.update({p.id: injection for p, _ in injection.cells})
                shuffled.remove(injection)
        chosen = list({id(i): i for i in batch.values()}.values())
        new = study.try_out(chosen)
        for injection in chosen:
            found += any(touches(f, {p.id for p, _ in injection.cells}) for f in new)
        tried += len(chosen)
        strays += len({f.row for f in new if not touches(f, set(batch))})
        clean += len(study.places) - len(batch)
    return found / tried, strays / clean


def strangers(study: Study) -> float:
    """Share of the rows of a family that are flagged when the bounds were fitted to the other families."""
    known = population.features(study.base, population.levels(study.base))
    flagged = set()
    for engine in {f.engine for f in known}:
        others = population.bounds_of(f for f in known if f.engine != engine)
        bounds = {(b.group, b.statistic): b for b in others}
        for f in (f for f in known if f.engine == engine):
            bound = bounds.get((f.group, f.statistic)) or bounds.get((f"all {f.kind}", f.statistic))
            if bound and not bound.low <= f.value <= bound.high:
                flagged.add(f.row)
    return len(flagged) / len({f.row for f in known})


def _share(found: int, tried: int) -> str:
    return f"{100 * found / tried:.1f}" if tried else ""


PREFACE = [
    "# What the rules find",
    "",
    "Errors of known kinds are put into the real dataset, each alone, and the rules run. The table gives the",
    "share found in percent, and how many were tried; last, the rules that found them and their share. An error",
    "is found when a finding of any severity speaks of its row or names it as a neighbour. The bounds of the P2xx",
    "rules were fitted to the same dataset; how they treat a family that they have not seen stands in the last",
    "line. Rows with a registered misprint stay out. Made anew by `python studies/injection_study.py --write",
    "docs/rules-study.md`.",
    "",
]
"""What stands above the table."""

CLASSES = ("two units", "one unit, closes", "one unit, alone")


def of_kind(tallies: Mapping[tuple[str, str], Tally], kind: str) -> tuple[Counter[str], int, int]:
    """Of a kind of error: how many each rule found, how many were tried and found."""
    mine = [t for (k, _), t in tallies.items() if k == kind]
    by: Counter[str] = sum((t.by for t in mine), Counter())
    return by, sum(t.tried for t in mine), sum(t.found for t in mine)


def report(
    tallies: Mapping[tuple[str, str], Tally],
    strays: float,
    hundred: tuple[float, float],
    stranger: float,
    count: int,
    seed: int,
) -> str:
    """The study as Markdown."""
    lines = ["| kind of error | " + " | ".join(CLASSES) + " | all | found by |", "| --- |" + " ---: |" * 4 + " --- |"]
    for kind in KINDS:
        cells = []
        for name in CLASSES:
            t = tallies.get((kind, name), Tally())
            cells.append(f"{_share(t.found, t.tried)} ({t.tried})" if t.tried else "")
        by, tried, found = of_kind(tallies, kind)
        most = sorted(by.items(), key=lambda item: (-item[1], item[0]))[:4]
        codes = ", ".join(f"{c} {_share(n, tried)}" for c, n in most)
        lines.append(f"| {kind} | {' | '.join(cells)} | {_share(found, tried)} ({tried}) | {codes} |")
    return "\n".join([*PREFACE, *lines, "", *_summary(tallies, strays, hundred, stranger, count, seed), ""])


def by_rule(tallies: Mapping[tuple[str, str], Tally]) -> str:
    """What each rule found by kind of error, as CSV for the pages of the rules."""
    lines = ["rule,kind,found,tried"]
    for kind in KINDS:
        by, tried, _ = of_kind(tallies, kind)
        lines += [f"{code},{kind},{n},{tried}" for code, n in by.items()]
    return "\n".join([lines[0], *sorted(lines[1:])]) + "\n"


def _summary(
    tallies: Mapping[tuple[str, str], Tally],
    strays: float,
    hundred: tuple[float, float],
    stranger: float,
    count: int,
    seed: int,
) -> list[str]:
    def of(kinds: tuple[str, ...], classes: tuple[str, ...]) -> list[Tally]:
        return [t for (k, c), t in tallies.items() if k in kinds and c in classes]

    every, single = tuple(KINDS), CLASSES[1:]
    goals = [
        ("rows with two printed units", of(every, CLASSES[:1]), 97.0, False),
        ("rows with one unit", of(every, single), 70.0, False),
        ("rows with one unit whose error moves the value by more than a tenth", of(every, single), 95.0, True),
        ("lower and upper exchanged", of(("lower and upper exchanged",), CLASSES), 100.0, False),
        ("factor 10 slips", of(("decade lost or added",), CLASSES), 99.0, False),
        ("unit slips", of(("inch for millimetre", "pound inch for pound foot"), CLASSES), 99.0, False),
    ]
    lines = ["| goal | wanted, % | found, % | errors |", "| --- | ---: | ---: | ---: |"]
    for name, mine, wanted, large in goals:
        tried = sum(t.large if large else t.tried for t in mine)
        found = sum(t.large_found if large else t.found for t in mine)
        lines.append(f"| {name} | {wanted:g} | {_share(found, tried)} | {tried} |")
    lines.append(f"| untouched rows flagged, one error at a time | under 0.5 | {100 * strays:.3f} | {count} |")
    lines.append(
        f"| untouched rows flagged, a hundred errors at a time | under 0.5 | {100 * hundred[1]:.3f} | {count} |"
    )
    lines.append(f"| found, a hundred errors at a time | | {100 * hundred[0]:.1f} | {count} |")
    lines.append(f"| rows of a family that the bounds were not fitted to, flagged | | {100 * stranger:.1f} | |")
    return [*lines, "", f"{count} errors, seed {seed}."]


def main() -> None:
    """Run the study and print or write its table."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    options.add_argument("--count", type=int, default=500)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--write", type=Path)
    options.add_argument("--missed", action="store_true", help="print the errors that were not found")
    given = options.parse_args()
    study = Study(folder("data"))
    injections = draw(study, given.count, given.seed)
    single = all_alone(len(injections), given.count, given.seed)
    strays = single.strays / (len(injections) * len(study.places))
    hundred = by_hundreds(study, injections)
    text = report(single.tallies, strays, hundred, strangers(study), len(injections), given.seed)
    if given.missed:
        for n in single.missed:
            m = injections[n]
            (place, cells), *_ = m.cells
            changes = ", ".join(f"{c} {place.cells[c]} -> {cells[c]}" for c in cells if cells[c] != place.cells[c])
            print(f"{m.kind} | {study.kind_of(place, m.column)} | {place.id} | {changes}")
    print(text)
    if given.write:
        given.write.write_text(text, encoding="utf-8", newline="\n")
        (folder("rules") / "study.csv").write_text(by_rule(single.tallies), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
