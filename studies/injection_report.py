"""The study of what the rules find, as Markdown and as a table."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, fields

import digit_slips
import structure_slips
from trying import Injection

from runningfits.findings import Finding

CLASSES = ("two units", "one unit, closes", "one unit, alone")
UNSEEN = (
    "another quantity of the same part",
    "newton metre for pound foot",
    "lone limit in the column of upper ends",
    "numbers of another engine",
)
"""Kinds whose evidence is on the page alone."""


@dataclass
class Tally:
    """Counts of one kind and class: found with remarks, found by warnings and errors; of large, torques and silent."""

    tried: int = 0
    found: int = 0
    loud: int = 0
    large: int = 0
    large_found: int = 0
    torques: int = 0
    torques_found: int = 0
    silent: int = 0
    silent_found: int = 0
    by: Counter[str] = field(default_factory=Counter)

    def count(self, injection: Injection, hits: list[Finding], loud: list[Finding], silent: bool) -> None:
        """Count an error with the findings that speak of it, and those of them that are no remarks."""
        large, torque, found = injection.moved > 0.1, injection.place.table == "torques", bool(hits)
        self.tried += 1
        self.found += found
        self.loud += bool(loud)
        self.large += large
        self.large_found += large and found
        self.torques += torque
        self.torques_found += torque and found
        self.silent += silent
        self.silent_found += silent and found
        self.by.update({f.code for f in hits})

    def add(self, other: "Tally") -> None:
        """Add the counts of another."""
        for name in COUNTED:
            setattr(self, name, getattr(self, name) + getattr(other, name))
        self.by.update(other.by)


COUNTED = tuple(f.name for f in fields(Tally) if f.name != "by")


@dataclass(frozen=True)
class Strangers:
    """Shares of the rows of a family that the bounds were not fitted to: warned of, and flagged at all."""

    warned: float
    flagged: float


@dataclass(frozen=True)
class Outcome:
    """What came of the study."""

    tallies: Mapping[tuple[str, str], Tally]
    strays: Mapping[str, float]
    hundred: tuple[float, float]
    strangers: Strangers
    digits: int
    count: int
    seed: int

    def of(self, kinds: list[str], classes: tuple[str, ...] = CLASSES) -> Tally:
        """Counts of kinds and classes together."""
        total = Tally()
        for (kind, name), t in self.tallies.items():
            if kind in kinds and name in classes:
                total.add(t)
        return total


LINES = ("read off by one row", "positions exchanged")
"""Kinds that take whole numbers of another line, right in both units."""
DIGITS, STRUCTURE = list(digit_slips.KINDS), list(structure_slips.KINDS)
PREFACE = [
    "# What the rules find",
    "",
    "Errors of known kinds are put into the real dataset, each alone, and the rules run. An error is found when a",
    "finding speaks of its row or names it as a neighbour; the first share counts findings of any severity, the second",
    "errors and warnings alone. The bounds of the P2xx rules were fitted to the same dataset; how they treat a family",
    "that they have not seen stands among the goals. Rows with a registered misprint stay out. Made anew by",
    "`python studies/injection_study.py --write docs/rules-study.md`.",
    "",
]
"""What stands above the tables."""


def _share(found: int, tried: int) -> str:
    return f"{100 * found / tried:.1f}" if tried else ""


def report(o: Outcome) -> str:
    """The study as Markdown."""
    lines = [*PREFACE, "## Numbers, units and lines", "", *_by_class(o), "", "## Structure", "", *_structure(o)]
    seed = f"{o.count} errors, seed {o.seed}."
    return "\n".join([*lines, "", "## Goals", "", *_goals(o), "", *_ceiling(o), "", seed, ""])


def _by_class(o: Outcome) -> list[str]:
    head = "| kind of error | " + " | ".join(CLASSES) + " | all | without remarks | found by |"
    lines = [head, "| --- |" + " ---: |" * 5 + " --- |"]
    for kind in DIGITS:
        cells = [f"{_share(t.found, t.tried)} ({t.tried})" if (t := o.of([kind], (c,))).tried else "" for c in CLASSES]
        t = o.of([kind])
        shares = f"{_share(t.found, t.tried)} ({t.tried}) | {_share(t.loud, t.tried)}"
        lines.append(f"| {kind} | {' | '.join(cells)} | {shares} | {_most(t)} |")
    return lines


def _structure(o: Outcome) -> list[str]:
    lines = ["| kind of error | found | without remarks | tried | found by |", "| --- |" + " ---: |" * 3 + " --- |"]
    for kind in STRUCTURE:
        t = o.of([kind])
        mark = " *" if kind in UNSEEN else ""
        lines.append(
            f"| {kind}{mark} | {_share(t.found, t.tried)} | {_share(t.loud, t.tried)} | {t.tried} | {_most(t)} |"
        )
    return [*lines, "", "\\* No other row, thread or document holds the evidence: only the page does."]


def _most(t: Tally) -> str:
    most = sorted(t.by.items(), key=lambda item: (-item[1], item[0]))[:4]
    return ", ".join(f"{c} {_share(n, t.tried)}" for c, n in most)


def _goals(o: Outcome) -> list[str]:
    cells = [k for k in DIGITS if k not in LINES]
    two, one = o.of(cells, CLASSES[:1]), o.of(cells, CLASSES[1:])
    every, evident = o.of(DIGITS), o.of([k for k in STRUCTURE if k not in UNSEEN])
    ends, tens = o.of(["lower and upper exchanged"]), o.of(["decade lost or added"])
    units = o.of(["inch for millimetre", "pound inch for pound foot"])
    rows = [
        ("rows with two printed units, a number or unit of theirs wrong", "97", two.found, two.tried),
        ("the same without remarks", "95", two.loud, two.tried),
        ("rows with one unit, a number or the unit wrong", "78", one.found, one.tried),
        ("rows with one unit whose error moves the value by more than a tenth", "84", one.large_found, one.large),
        ("torques", "80", every.torques_found, every.torques),
        ("lower and upper exchanged", "100", ends.found, ends.tried),
        ("factor 10 slips", "99", tens.found, tens.tried),
        ("unit slips", "99", units.found, units.tried),
        ("structure, where a row, the thread or the document holds the evidence", "85", evident.found, evident.tried),
    ]  # fmt: skip
    lines = ["| goal | wanted, % | found, % | errors |", "| --- | ---: | ---: | ---: |"]
    lines += [f"| {name} | {wanted} | {_share(found, tried)} | {tried} |" for name, wanted, found, tried in rows]
    shares = [
        ("untouched rows flagged, one error at a time", "under 0.05", o.strays.get("rows", 0.0), o.count, 3),
        ("untouched rows flagged, a hundred errors at a time", "under 0.5", o.hundred[1], o.digits, 3),
        ("found, a hundred errors at a time", "", o.hundred[0], o.digits, 1),
        ("rows of a family that the bounds were not fitted to, warned of", "at most 2", o.strangers.warned, "", 1),
        ("rows of a family that the bounds were not fitted to, flagged", "at most 6", o.strangers.flagged, "", 1),
    ]
    return lines + [f"| {name} | {wanted} | {100 * x:.{d}f} | {n} |" for name, wanted, x, n, d in shares]


def _ceiling(o: Outcome) -> list[str]:
    """What no rule can see in a pair of units, and what that leaves."""
    cells = [k for k in DIGITS if k not in LINES]
    two, one = o.of(cells, CLASSES[:1]), o.of(cells, CLASSES[1:])
    small, small_found = one.tried - one.large, one.found - one.large_found
    hidden, shown = _share(two.silent, two.tried), _share(two.tried - two.silent, two.tried)
    helped = _share(two.silent_found, two.silent)
    return [
        f"Of the {two.tried} errors in rows with two units {hidden} % leave both units in agreement within",
        "half of the coarser last digit: the pair by itself shows nothing, and without other evidence",
        f"{shown} % is the most that two units can show. How the document converts, how its digits run and",
        f"what other rows say find {helped} % of these. In rows with one unit the {small} errors of a tenth",
        f"or less are found to {_share(small_found, small)} %: the last digit of a lone number is evidence only where",
        "the document's digits have a habit or another row of the engine depends on it.",
    ]


def by_rule(o: Outcome) -> str:
    """What each rule found by kind of error, as CSV for the pages of the rules."""
    lines = []
    for kind in (*DIGITS, *STRUCTURE):
        t = o.of([kind])
        lines += [f"{code},{kind},{n},{t.tried}" for code, n in t.by.items()]
    return "\n".join(["rule,kind,found,tried", *sorted(lines)]) + "\n"
