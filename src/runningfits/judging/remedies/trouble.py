"""What is out, with everything that a remedy asks about it: windows, measured parts, printed ranges, sizes."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from ...build import STANDARD, Build, Size, same_size
from ...choosing import Choice, choose, true_for
from ...dataset import Dataset
from ...resolving import size_of
from ...rows import Cite, Row
from ...scale import FINER, Scale, of_row
from .. import grid, values
from ..bounds import Bounds, bounds, together
from ..case import Case
from ..cases import Bench
from ..judged import Judged, Judgement
from ..values import Value
from .option import Change, Ends, Fit, meets, span

SIDES = {"bore": "outer", "shaft": "inner"}
"""Columns of quantities.csv that name the sizes of the two parts of a fit."""


@dataclass(frozen=True)
class Printed:
    """Rows that all must hold for an item at a place, as one range in SI."""

    ends: Ends
    bounds: Bounds
    rows: tuple[Row, ...]

    @property
    def cites(self) -> tuple[Cite, ...]:
        """Pages of the rows."""
        return tuple(c for r in self.rows for c in (r.cite, *r.also))


@dataclass(frozen=True)
class Trouble:
    """A case that is out, with the sheet on which it stands; numbers are shown in the scale of its row."""

    judged: Judged
    found: Judgement
    scale: Scale
    value: Value
    bounds: Bounds

    @property
    def case(self) -> Case:
        """Item, place and readings."""
        return self.judged.case

    @property
    def bench(self) -> Bench:
        """The sheet."""
        return self.found.bench

    @property
    def data(self) -> Dataset:
        """The dataset."""
        return self.bench.data

    @property
    def build(self) -> Build:
        """The engine on the bench."""
        return self.bench.build

    @property
    def expanded(self) -> float:
        """U of the measured value; simple acceptance leaves it out of what is promised, as it does of the verdict."""
        return self.value.expanded

    @cached_property
    def ends(self) -> Ends:
        """What is wanted: the new range, else the limit on its side, else the printed value."""
        return wanted(self.bounds)

    @property
    def large(self) -> bool:
        """Whether the value is too large rather than too small."""
        low, high = self.ends
        value = self.value.value
        return bool(high is not None and value > high) or (low is None)

    @property
    def amounts(self) -> str:
        """By how much it must change to come inside, in words."""
        low, high = self.ends
        value = self.value.value
        near, far = (high, low) if self.large else (low, high)
        taken = (None if near is None else abs(value - near)), (None if far is None else abs(value - far))
        return span(taken, self.scale)

    @property
    def aim(self) -> Ends:
        """Where to aim: the middle of what is wanted, else inside its one end by U."""
        low, high = self.ends
        guard = Fraction(self.expanded)
        if low is not None and high is not None:
            return (low + high) / 2, (low + high) / 2
        return (None if low is None else low + guard), (None if high is None else high - guard)

    def fit(self, ends: Ends, expanded: float | None = None, by: Printed | None = None) -> Fit:
        """A fit that a remedy gives, against the case's rows or others."""
        u = self.expanded if expanded is None else expanded
        guarded = u if self.bench.decision == "guarded" else 0.0
        rows = by.rows if by else tuple(t.row for t in self.judged.tried.trials if t.row)
        limits = by.bounds if by else self.bounds
        return Fit(ends, u, meets(ends, guarded, limits), rows[0] if rows else None)

    def printed(self, item: str, build: Build | None = None) -> Printed | None:
        """What pages print for an item at this place, of a build; None where nothing does or a question is open."""
        choice = self._choice(item, build or self.build)
        if not choice.rows:
            return None
        limits = together([bounds(r, self.data) for r in choice.rows])
        ends = wanted(limits)
        contradict = ends[0] is not None and ends[1] is not None and ends[0] > ends[1]
        return None if contradict or not limits.judged else Printed(ends, limits, choice.rows)

    def _choice(self, item: str, build: Build) -> Choice:
        about = {k: v for k, v in self.case.said.items() if k in ("which", "class")}
        if item == self.case.item:
            parts = self.case.parts
            about = dict(self.case.said) | ({"part": next(iter(parts))} if len(parts) == 1 else {})
        return choose(self.data, self.bench.engine, build, item, self.case.position, about)

    def by_answer(self, item: str, build: Build | None = None) -> tuple[str, tuple[Cite, ...]]:
        """What pages print for an item by the answers to an open question, in words, with the pages; else empty."""
        asked = self._choice(item, build or self.build).asked[:1]
        rows = [(a.label, r) for q in asked for a in q.answers for line in a.lines[:1] for r in line[:1]]
        told = [f"{label} {span(wanted(bounds(r, self.data)), of_row(r, self.data), 1)}" for label, r in rows]
        return "; ".join(told), tuple(r.cite for _, r in rows)

    def change(self, item: str, ends: Ends, by: Printed | None = None) -> Change:
        """What a part must measure; numbers of a page in its own unit and digits."""
        if by is None:
            return Change(item, ends, self.scale)
        scale = of_row(by.rows[0], self.data)
        printed = all(e is None or Fraction(scale.text(e, 1)) * scale.factor == e for e in ends)
        return Change(item, ends, scale, 1 if printed else FINER)

    @cached_property
    def sides(self) -> dict[str, Value]:
        """Measured bore and shaft of the fit that count by its method, entered here or as sizes of their own."""
        ways = zip(
            ("bore", "shaft"), grid.PAIRED[grid.pair_method(self.case.method(self.judged.lead.row))], strict=True
        )
        found = {}
        for part, way in ways:
            readings = self.case.parts.get(part) or next(self._own_readings(part), ())
            made = values.part_value(list(readings), way, self.bench.means, True) if readings else None
            if made:
                found[part] = made
        return found

    @property
    def wall(self) -> str:
        """The wall of the shells of a bearing's bore; empty where it has none."""
        return self._of_the_bore("walls")

    @property
    def housing_name(self) -> str:
        """The housing's bore; empty where the fit has none."""
        return self._of_the_bore("outer")

    @cached_property
    def housing(self) -> Value | None:
        """The measured housing of the shells at this place."""
        name = self.housing_name
        for position, readings in self.readings_of(name, "bore") if name else ():
            if position == self.case.position:
                return values.part_value(list(readings), "mean", self.bench.means, True)
        return None

    def _of_the_bore(self, column: str) -> str:
        return next((c for n in self.case.quantity["outer"].split() if (c := self.data.quantities[n][column])), "")

    def one(self, value: Fraction) -> str:
        """A number with its unit."""
        return span((value, value), self.scale)

    def _own_readings(self, part: str) -> Iterator[tuple[grid.Reading, ...]]:
        names = self.case.quantity[SIDES[part]].split()
        for case in self.bench.cases:
            if case.item in names and case.position == self.case.position and case.parts.get(part):
                yield case.parts[part]

    def readings_of(self, item: str, part: str) -> Iterator[tuple[str, tuple[grid.Reading, ...]]]:
        """All readings of a size on the sheet, by place, entered for itself, its fit or its form."""
        for case in self.bench.cases:
            of_it = item == case.item or item in (case.quantity[SIDES[part]] + " " + case.quantity["of"]).split()
            if of_it and not case.derived and case.parts.get(part):
                yield case.position, case.parts[part]

    def sizes(self, part: str) -> list[tuple[Size, Row]]:
        """Repair sizes of a machined part beyond the present one that the data name, the least first, with a row."""
        known = self.data.units
        present = self.build.size_of(part, self.case.position)
        least = abs(_si(present, self.data)) if isinstance(present, Size) else Fraction(0)
        sign = {"plus": 1, "minus": -1}[self.data.keyed("repairs")[part]["sign"]]
        of_it = [
            r
            for table in ("clearances", "sizes")
            for r in self.data.all_rows(self.bench.engine, table)
            if r.cells.get("size") and self.data.quantities[r.item]["repair"] == part
        ]
        true = true_for(of_it, self.data, _unsized(self.build), sizes=False)
        rows = [r for r in true if r["position"] == "all" or self.data.is_at(r, self.case.position)]
        found: list[tuple[Size, Row]] = []
        for row in sorted(rows, key=lambda r: abs(_si(size_of(r), self.data))):
            size = size_of(row)
            beyond = _si(size, self.data) * sign > least * Fraction(102, 100)
            if beyond and not any(same_size(size, s, known) for s, _ in found):
                found.append((size, row))
        return found

    def resized(self, part: str, size: Size) -> Build:
        """The build with a machined part at another size everywhere."""
        return replace(self.build, size={**self.build.size, part: {"all": size}})


def wanted(limits: Bounds) -> Ends:
    """New range, else the limit on its side, else the value that is printed without a tolerance."""
    if limits.fresh:
        return tuple(None if e is None else e.strict for e in (limits.low, limits.high))  # type: ignore[return-value]
    if limits.limit is not None:
        return (None, limits.limit.strict) if limits.wears_up else (limits.limit.strict, None)
    if limits.nominal is not None:
        middle = (limits.nominal.strict + limits.nominal.loose) / 2
        return middle, middle
    return None, None


def _si(size: Size, data: Dataset) -> Fraction:
    return Fraction(size.value) * data.units[size.unit].factor


def _unsized(build: Build) -> Build:
    return replace(build, size={p: {"all": STANDARD} for p in build.size})
