"""The bounds that the dataset itself teaches, fitted to the statistics of its rows and stored.

`python -m runningfits.auditing.refit [DIR]` fits them to a data folder and prints the table `rules/population.csv`.
"""

import sqlite3
import statistics
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from ..places import folder
from ..tables import rows as table_rows
from .population import FAMILIES, FEWEST, Feature, features, levels


@dataclass(frozen=True)
class Margin:
    """How far beyond what was seen a bound lies.

    At least `least` (a natural logarithm) and `spreads` robust spreads, more where few rows are known: by `few` over
    their number; what lies in a `tail` of the rows on either side is passed over.
    """

    least: float
    spreads: float
    few: float
    tail: float

    def bounds(self, values: list[float], spread: float, statistic: str) -> tuple[float, float]:
        """Least and most by sorted values and their spread."""
        least = self.least / IMPLIED if statistic == "implied" else self.least
        margin = max(self.spreads * spread, least) * (1 + self.few / len(values))
        passed = int(self.tail * len(values))
        return values[passed] - margin, values[-1 - passed] + margin


INNER, OUTER = Margin(0.2, 0.6, 8, 0.01), Margin(0.6, 1.2, 20, 0.0)
"""Beyond the inner bounds a row is remarked on, beyond the outer it is warned of. Chosen so that of the rows of a
family that they were not fitted to about one in a hundred is warned of and one in twenty flagged
(docs/rules-study.md)."""

RATIO, WIDTH = Margin(0.05, 0.2, 2, 0.01), Margin(0.4, 1.2, 8, 0.01)
INNER_OF = dict.fromkeys(("span", "sibling", "growth", "limit", "wear"), RATIO) | {"width": WIDTH}
"""Inner margins of their own. What compares a row with itself or its engine, or is small whatever the engine, varies
little from family to family; the width of a range is each maker's choice, and a narrow margin flags right rows."""

IMPLIED = 400
"""What two sizes leave over the inner one is no logarithm; its margin is so much smaller."""


@dataclass(frozen=True)
class Bound:
    """What a statistic may be: number of rows, median, robust spread, inner bounds and outer bounds."""

    group: str
    statistic: str
    n: int
    median: float
    spread: float
    low: float
    high: float
    lowest: float
    highest: float

    def severity(self, value: float) -> str:
        """What a value weighs: nothing within the inner bounds, a remark within the outer, else a warning."""
        if self.low <= value <= self.high:
            return ""
        return "remark" if self.lowest <= value <= self.highest else "warning"


Bounds = Mapping[tuple[str, str], Bound]


def fit(base: sqlite3.Connection) -> list[Bound]:
    """Bounds fitted to a prepared database, by quantity where it has rows enough, and by kind."""
    return bounds_of(features(base, levels(base)))


def bounds_of(known: Iterable[Feature]) -> list[Bound]:
    """Bounds fitted to statistics, by quantity where it has rows enough, and by kind."""
    found: defaultdict[tuple[str, str], list[Feature]] = defaultdict(list)
    for f in known:
        found[f.group, f.statistic].append(f)
        found[f"all {f.kind}", f.statistic].append(f)
    return [b for (group, statistic), fs in sorted(found.items()) if (b := bound(group, statistic, fs))]


def bound(group: str, statistic: str, fs: list[Feature]) -> Bound | None:
    """The bound that rows enough of families enough teach, else None."""
    values = sorted(f.value for f in fs)
    families = len({f.engine for f in fs})
    if len(values) < FEWEST or families < FAMILIES:
        return None
    middle = statistics.median(values)
    spread = 1.4826 * statistics.median(abs(v - middle) for v in values)
    ends = (m.bounds(values, spread, statistic) for m in (INNER_OF.get(statistic, INNER), OUTER))
    return Bound(group, statistic, len(values), middle, spread, *(x for pair in ends for x in pair))


@cache
def stored(path: Path | None = None) -> dict[tuple[str, str], Bound]:
    """The stored bounds by group and statistic."""
    rows = table_rows(path or folder("rules") / "population.csv")
    return {(r["group"], r["statistic"]): _read(r) for r in rows}


NUMBERS = ("median", "spread", "low", "high", "lowest", "highest")


def _read(r: dict[str, str]) -> Bound:
    return Bound(r["group"], r["statistic"], int(r["n"]), *(float(r[k]) for k in NUMBERS))


def bound_of(f: Feature, known: Bounds) -> Bound | None:
    """The bound of a statistic: of its quantity, else of its kind."""
    return known.get((f.group, f.statistic)) or known.get((f"all {f.kind}", f.statistic))


def judged(base: sqlite3.Connection, known: Bounds, engine: str = "") -> Iterator[tuple[Any, ...]]:
    """Rows of the prepared table `features`, in the order of COLUMNS, of all engines or of one."""
    level = {b.group: b.median for b in known.values() if b.statistic == "level"}
    for f in features(base, level, engine):
        if b := bound_of(f, known):
            least, most = sorted((f.printed(b.low), f.printed(b.high)))
            plain = [short(x) for x in (f.printed(f.value), least, most)]
            yield f.row, f.engine, f.statistic, f.other, b.severity(f.value), *plain, _words(b.group), b.n


def _words(group: str) -> str:
    return f"every {group[4:]}" if group.startswith("all ") else group


def short(value: float) -> str:
    """A number with three digits, never in powers of ten.

    >>> short(0.000123456), short(123456.0)
    ('0.000123', '123000')
    """
    return format(Decimal(f"{value:.3g}"), "f")


COLUMNS = {
    "row": "TEXT",
    "engine": "TEXT",
    "statistic": "TEXT",
    "other": "TEXT",
    "severity": "TEXT",
    "found": "TEXT",
    "least": "TEXT",
    "most": "TEXT",
    "learnt": "TEXT",
    "n": "INTEGER",
}
"""Columns of the prepared table `features`: the statistic and what it weighs (nothing within the inner bounds), then
what it means for the number that the page prints, and the inner bounds of that, in the row's unit; last, of what rows
they were learnt and how many."""
