"""Uncertainty of readings: components, their sum, effective degrees of freedom."""

from collections import defaultdict
from dataclasses import dataclass, replace
from fractions import Fraction
from math import inf, pi, sqrt

from .coverage import ONE_SIDED, one_sided


@dataclass(frozen=True)
class Component:
    """A component of uncertainty, in metres (or the SI unit of the quantity).

    `key` names the cause: components of one key are fully correlated and add with their sign, components of different
    keys are independent (JCGM 100:2008, 5.2.2, note 1). `freedom` is its degrees of freedom. `reach` is how far it goes
    beyond its mean in 95 % where several readings are alike and the largest counts; None where that is no matter.
    `flat` says that it lies anywhere within limits, as likely here as there.
    """

    key: str
    standard: float
    sign: int = 1
    freedom: float = inf
    reach: float | None = None
    flat: bool = False


def limits(key: str, half_width: float, sign: int = 1) -> Component:
    """A component of limits +- a with nothing known between them."""
    return Component(key, rectangular(half_width), sign, flat=True)


def rectangular(half_width: float) -> float:
    """Standard uncertainty of limits +- a with nothing known between them: a / sqrt 3 (JCGM 100:2008, 4.3.7)."""
    return half_width / sqrt(3)


def triangular(half_width: float) -> float:
    """Standard uncertainty of limits +- a with values near the middle likelier: a / sqrt 6 (JCGM 100:2008, 4.3.9)."""
    return half_width / sqrt(6)


def resolved(step: float) -> float:
    """Standard uncertainty of a reading in steps: step / sqrt 12 (JCGM 100:2008, F.2.2.1)."""
    return step / sqrt(12)


def shown_in_steps(deviation: float, step: float) -> float:
    """Standard deviation of readings in steps, of a hand of a standard deviation, on the average over all sizes.

    A hand much finer than the step shows itself only where a size lies near the edge of one: then the variance is
    step x deviation / sqrt pi. A wider one is spread evenly over the steps: deviation^2 + step^2 / 12, less what
    `left_by_steps` leaves. Both follow from a normal hand and a size that lies anywhere within a step.
    """
    if deviation < step / (2 * sqrt(pi)):
        return sqrt(step * deviation / sqrt(pi))
    return sqrt(deviation * deviation + step * step / (4 * pi))


def left_by_steps(shown: float, step: float) -> float:
    """Standard deviation of the error that a mean of many readings in steps keeps, by what single readings show.

    Readings that never differ share the whole error of their step, step / sqrt 12; the more the hand carries them over
    the edges, the more of it the mean loses. Variance step^2 / 12 - shown^2 + pi shown^4 / step^2, the most that it can
    be: with that of the readings it makes deviation^2 + step^2 / 12 (Sheppard; JCGM 100:2008, F.2.2.1).
    """
    if not step:
        return 0.0
    seen = min(shown * shown / (step * step), 1 / (2 * pi))
    return step * sqrt(1 / 12 - seen + pi * seen * seen)


def combined(components: list[Component]) -> float:
    """Combined standard uncertainty: signed sum within a key, root sum of squares over keys (JCGM 100:2008, 5.2.2)."""
    return sqrt(sum(total * total for total in _by_key(components).values()))


def reach(components: list[Component]) -> float:
    """How far the sum goes beyond its mean in 95 % on one side, where the readings of a largest are alike.

    The widest of the limits counts as the rectangle that it is, all else together as a normal distribution (JCGM
    100:2008, G.2.2 and G.4.1: a rectangle that dominates ends sooner).
    """
    alike = [c if c.reach is None else replace(c, standard=c.reach / ONE_SIDED) for c in components]
    flat = {c.key for c in components if c.flat}
    sums = {key: abs(u) for key, u in _by_key(alike).items()}
    widest = max((u for key, u in sums.items() if key in flat), default=0.0)
    rest = sqrt(max(sum(u * u for u in sums.values()) - widest * widest, 0.0))
    return one_sided(sqrt(3) * widest, rest)


def effective_freedom(components: list[Component]) -> float:
    """Effective degrees of freedom of a sum (Welch-Satterthwaite, JCGM 100:2008, G.4.1); infinite for type B alone."""
    sums, freedom = _by_key(components), {c.key: c.freedom for c in components}
    below = sum(u**4 / freedom[key] for key, u in sums.items())
    return sum(u * u for u in sums.values()) ** 2 / below if below else inf


def _by_key(components: list[Component]) -> dict[str, float]:
    sums: defaultdict[str, float] = defaultdict(float)
    for c in components:
        sums[c.key] += c.sign * c.standard
    return dict(sums)


def pooled(groups: list[list[Fraction]]) -> tuple[float, int]:
    """Pooled standard deviation of repeated readings and its degrees of freedom; (0, 0) without repeats.

    Each group holds repeats of one reading. Source: JCGM 100:2008, 4.2.4.
    """
    squares, freedom = 0.0, 0
    for group in groups:
        mean = sum(group, Fraction(0)) / len(group)
        squares += float(sum((x - mean) ** 2 for x in group))
        freedom += len(group) - 1
    return (sqrt(squares / freedom), freedom) if freedom else (0.0, 0)


def grown(size: float, expansion: float, kelvin: float) -> float:
    """Growth of a size: L alpha dT, with alpha in 1e-6 per kelvin (JCGM 100:2008, H.1.2)."""
    return size * expansion * 1e-6 * kelvin
