"""The fit to expect of parts before they are bought: what their printed limits give, at worst and likely."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from math import factorial, inf, prod

from .. import choosing
from ..build import Build
from ..choosing import Asked
from ..dataset import Dataset
from ..rows import Row
from .bounds import Bounds, bounds, together

LIKELY = Fraction(95, 100)
"""Share of all engines whose fit lies within the likely range."""


@dataclass(frozen=True)
class Part:
    """A part of a stack: its size, how often it counts (minus where it takes from the fit), its limits in SI.

    `row` prints them; None for a part that was measured, whose limits are value ± U.
    """

    item: str
    times: int
    low: Fraction
    high: Fraction
    row: Row | None = None

    @property
    def ends(self) -> tuple[Fraction, Fraction]:
        """What it adds to the fit, least and most."""
        low, high = sorted((self.times * self.low, self.times * self.high))
        return low, high


@dataclass(frozen=True)
class Stack:
    """Parts that make a fit, and by how much warmth widens it (SI)."""

    parts: tuple[Part, ...]
    warmth: Fraction = Fraction(0)

    @property
    def worst(self) -> tuple[Fraction, Fraction]:
        """The least and the most that parts within their limits can give."""
        lows, highs = zip(*(p.ends for p in self.parts), strict=True)
        return sum(lows, self.warmth), sum(highs, self.warmth)

    @property
    def widths(self) -> list[Fraction]:
        """Width of each piece; what counts twice is two pieces."""
        return [p.high - p.low for p in self.parts for _ in range(abs(p.times)) if p.high > p.low]

    def below(self, value: float) -> float:
        """Share of engines whose fit is below a value, every piece anywhere within its limits with the same chance."""
        low, high = map(float, self.worst)
        if not self.widths or value <= low or value >= high:
            return float(value > low if self.widths else value >= low)
        return _sum_of_uniform((value - low) / (high - low), [float(w) / (high - low) for w in self.widths])

    def between(self, low: float, high: float) -> float:
        """Share of engines whose fit lies within two ends."""
        return max(0.0, (self.below(high) if high < inf else 1.0) - (self.below(low) if low > -inf else 0.0))

    @property
    def likely(self) -> tuple[float, float]:
        """Ends of the middle 95 % of fits."""
        tail = float(1 - LIKELY) / 2
        return self._where(tail), self._where(1 - tail)

    def _where(self, share: float) -> float:
        low, high = map(float, self.worst)
        for _ in range(60):
            middle = (low + high) / 2
            low, high = (middle, high) if self.below(middle) < share else (low, middle)
        return (low + high) / 2

    def share(self, part: Part) -> float:
        """The share of the spread (variance) of the fit that a part brings."""
        every = sum(w * w for w in self.widths)
        return float(abs(part.times) * (part.high - part.low) ** 2 / every) if every else 0.0


def _sum_of_uniform(x: float, widths: Sequence[float]) -> float:
    """P(sum <= x) of independent variables uniform on 0 to each width, by inclusion and exclusion.

    Bradley and Gupta, On the distribution of the sum of n non-identically distributed uniform random variables (2002).
    """
    n, whole = len(widths), 0.0
    for taken in product((0, 1), repeat=n):
        rest = x - sum(w for w, t in zip(widths, taken, strict=True) if t)
        whole += (-1) ** sum(taken) * max(0.0, rest) ** n
    return min(1.0, max(0.0, whole / (factorial(n) * prod(widths))))


@dataclass(frozen=True)
class Expected:
    """What a fit is made of in this engine: stacks that the data allow, the printed fit, what is missing or open.

    `missing` are sizes that no page gives both ends of, with why.
    """

    item: str
    position: str
    stacks: tuple[Stack, ...]
    rows: tuple[Row, ...]
    printed: Bounds | None
    missing: Mapping[str, str]
    asked: tuple[Asked, ...] = ()


@dataclass(frozen=True)
class Engine:
    """Where parts are looked for: the build at a place, and what was measured (SI, least and most) by size."""

    data: Dataset
    engine: str
    build: Build
    position: str
    measured: Mapping[str, tuple[Fraction, Fraction]]


def expected(item: str, here: Engine) -> Expected:
    """Stacks of a fit; none where a size is missing or a question is open."""
    missing: dict[str, str] = {}
    asked: list[Asked] = []
    choice = choosing.choose(here.data, here.engine, here.build, item, here.position)
    chains = list(_chains(item, 1, here, missing, asked))
    printed = together([bounds(r, here.data) for r in choice.rows]) if choice.rows else None
    return Expected(
        item=item,
        position=here.position,
        stacks=tuple(Stack(c) for c in chains),
        rows=choice.rows,
        printed=printed,
        missing=missing,
        asked=(*choice.asked, *asked),
    )


def _chains(
    item: str, times: int, here: Engine, missing: dict[str, str], asked: list[Asked]
) -> Iterator[tuple[Part, ...]]:
    """Each way to make a fit or a size of parts whose limits are known; the way by more parts comes last."""
    quantity = here.data.quantities[item]
    if quantity["kind"] == "size":
        yield from ((part,) for part in _alone(item, times, here, missing, asked))
        if item in here.measured:
            return
    terms = [(quantity[side].split(), sign) for side, sign in SIDES if quantity[side]]
    ways = [[c for n in names for c in _chains(n, times * sign, here, missing, asked)] for names, sign in terms]
    yield from (tuple(p for c in picked for p in c) for picked in product(*ways) if picked)


SIDES = (("outer", 1), ("inner", -1), ("walls", -2))
"""Columns of sizes that make a fit, with how often each counts: two walls stand across a bore."""


def _alone(item: str, times: int, here: Engine, missing: dict[str, str], asked: list[Asked]) -> Iterator[Part]:
    """A size as a part of its own: measured, else by each line of its page that only a reading could tell apart."""
    if item in here.measured:
        yield Part(item, times, *here.measured[item])
        return
    choice = choosing.choose(here.data, here.engine, here.build, item, here.position)
    asked += (a for a in choice.asked if not a.detail)
    if any(not a.detail for a in choice.asked):
        missing[item] = "the build leaves open which row it is"
        return
    for line in choice.lines:
        found = together([bounds(r, here.data) for r in line])
        if found.low and found.high:
            yield Part(item, times, found.low.loose, found.high.loose, line[0])
        else:
            missing[item] = choice.why or (
                "its page prints one end alone" if found.fresh else "its page prints no range"
            )


def warmed(stack: Stack, kelvin: Fraction, expansions: Mapping[str, Fraction]) -> Stack:
    """A stack whose parts are warmer by some kelvin; `expansions` in 1e-6 per kelvin by size (JCGM 100:2008, H.1.2)."""
    by = [p.times * (p.low + p.high) / 2 * expansions[p.item] * kelvin / 10**6 for p in stack.parts]
    return Stack(stack.parts, sum(by, Fraction(0)))
