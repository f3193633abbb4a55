"""Two people's readings of the same parts: first their mean offset, then the places; 5 % false alarms a pair."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from statistics import NormalDist

from ..mating import measured_size
from . import coverage, grid, values
from .cases import Bench
from .uncertainty import Component, combined, effective_freedom
from .values import Value

ALARMS = 0.05
"""Share of pairs of honest sheets on which anything is said to differ."""

JUST = 1 + 1e-12
"""A difference of exactly its uncertainty agrees."""

OF_ONE_READING = ("repeats on", "step of", "marks on")
"""How the keys of components begin that are new with each reading; the others are shared by all of an instrument's."""


@dataclass(frozen=True)
class Pair:
    """A size that both sheets read at one place, as the mean of the readings that they have in common."""

    size: str
    part: str
    position: str
    one: Value
    other: Value

    @property
    def difference(self) -> float:
        """The other's value less the one's, in SI."""
        return float(self.other.value - self.one.value)

    def components(self) -> Iterator[Component]:
        """Components of the difference: those of a reading alone bear the place in their key."""
        for sheet, value, sign in (("one", self.one, -1), ("other", self.other, 1)):
            for c in value.components:
                alone = c.key.startswith(OF_ONE_READING)
                at = f" at {self.size} {self.position}" if alone else ""
                yield replace(c, key=f"{c.key}{at}, {sheet}", sign=sign * c.sign)

    def alone(self) -> list[Component]:
        """Components that are new with each reading."""
        return [c for c in self.components() if c.key.startswith(OF_ONE_READING)]


@dataclass(frozen=True)
class Offset:
    """Mean difference of what two instruments read, with its expanded uncertainty (SI)."""

    pairs: tuple[Pair, ...]
    mean: float
    expanded: float

    @property
    def agrees(self) -> bool:
        """Whether the two agree but for what their uncertainties cover."""
        return abs(self.mean) <= self.expanded * JUST


@dataclass(frozen=True)
class Apart:
    """A place whose difference is compared with the mean offset of its instruments (SI)."""

    pair: Pair
    beyond: float
    expanded: float

    @property
    def agrees(self) -> bool:
        """Whether the place differs as the others do."""
        return abs(self.beyond) <= self.expanded * JUST


@dataclass(frozen=True)
class Comparison:
    """Offsets by pair of instruments, places, and what one sheet alone has: size and place."""

    offsets: tuple[Offset, ...]
    places: tuple[Apart, ...]
    alone: tuple[tuple[tuple[str, str], ...], tuple[tuple[str, str], ...]]

    @property
    def agrees(self) -> bool:
        """Whether nothing differs."""
        return all(o.agrees for o in self.offsets) and all(p.agrees for p in self.places)


def compared(one: Bench, other: Bench) -> Comparison:
    """Two sheets of the same parts compared (ISO 13528, 9.7: E_n), the limits widened for how many are looked at.

    What is shared by all readings of an instrument shows in the offset alone; a place is compared with the others.
    """
    mine, theirs = sizes_read(one), sizes_read(other)
    groups: defaultdict[tuple[str, ...], list[Pair]] = defaultdict(list)
    for key in [k for k in mine if k in theirs]:
        size, part, position = key
        pair = Pair(size, part, position, *_values(mine[key], theirs[key], one, other))
        tools = ("+".join(sorted({r.instrument for r in found[key]})) for found in (mine, theirs))
        groups[part, *tools].append(pair)
    tests = len(groups) + sum(len(g) for g in groups.values() if len(g) > 1)
    normal = NormalDist().inv_cdf(1 - ALARMS / 2 / max(tests, 1))
    settled = [_settled(g, normal) for g in groups.values()]
    offsets = tuple(o for o, _ in settled)
    places = tuple(p for _, found in settled for p in found)
    alone = tuple(tuple((s, at) for s, _, at in a if (s, _, at) not in b) for a, b in ((mine, theirs), (theirs, mine)))
    return Comparison(offsets, places, (alone[0], alone[1]))


_Key = tuple[str, str, str]


def sizes_read(bench: Bench) -> dict[_Key, list[grid.Reading]]:
    """Readings of lengths by what they measure, part and place, wherever on the sheet they stand."""
    found: defaultdict[_Key, list[grid.Reading]] = defaultdict(list)
    for case in bench.cases:
        if not case.derived and case.quantity["dimension"] == "length":
            for part, readings in case.parts.items():
                size = measured_size(case.item, part, bench.data) or case.item
                there = found[size, part, case.position]
                there += [r for r in readings if not r.least_only and r not in there]
    return {k: v for k, v in found.items() if v}


def _values(mine: list[grid.Reading], theirs: list[grid.Reading], one: Bench, other: Bench) -> tuple[Value, Value]:
    """Means of the readings at places and directions that both have; of all where they name none in common."""
    common = {(r.place, r.direction) for r in mine} & {(r.place, r.direction) for r in theirs}
    made = []
    for readings, bench in ((mine, one), (theirs, other)):
        used = [r for r in readings if (r.place, r.direction) in common] or readings
        value = values.part_value(used, "mean", bench.means, used[0].part in ("bore", "shaft"))
        assert value is not None
        made.append(value)
    return made[0], made[1]


def _settled(pairs: Sequence[Pair], normal: float) -> tuple[Offset, list[Apart]]:
    """The offset of those that differ alike, and how each place lies to it.

    The place that stands out most leaves the mean, until none does: else one slip would move the others.
    """
    rest = list(pairs)
    while len(rest) > 1:
        offset = _offset(rest, normal)
        worst = max((_apart(p, offset, normal) for p in rest), key=lambda a: abs(a.beyond) / (a.expanded or JUST))
        if worst.agrees:
            break
        rest.remove(worst.pair)
    offset = _offset(rest, normal)
    return offset, [_apart(p, offset, normal) for p in pairs] if len(pairs) > 1 else []


def _offset(pairs: Sequence[Pair], normal: float) -> Offset:
    share = 1 / len(pairs)
    parts = [replace(c, standard=c.standard * share) for p in pairs for c in p.components()]
    mean = sum(p.difference for p in pairs) * share
    return Offset(tuple(pairs), mean, _expanded(parts, normal))


def _apart(pair: Pair, offset: Offset, normal: float) -> Apart:
    share = 1 / len(offset.pairs)
    own = 1 - share if pair in offset.pairs else 1.0
    parts = [replace(c, standard=c.standard * own) for c in pair.alone()]
    parts += [replace(c, standard=c.standard * share) for p in offset.pairs if p is not pair for c in p.alone()]
    return Apart(pair, pair.difference - offset.mean, _expanded(parts, normal))


def _expanded(parts: list[Component], normal: float) -> float:
    return combined(parts) * coverage.factor(effective_freedom(parts), normal)
