"""Verdicts as records: rows tried on the readings of a case, and what comes of them."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ..choosing import Asked
from ..findings import Finding
from ..rows import Row
from .bounds import Bounds
from .by_way import Way
from .case import Case
from .cases import Bench
from .guides import Guide
from .values import Value


@dataclass(frozen=True)
class Trial:
    """A row, or none, tried on the readings: each way of measuring, of which the first decides, bounds, verdict.

    `doubt` is the key of what speaks against a verdict that would pass.
    """

    case: Case
    row: Row | None
    ways: tuple[Way, ...]
    bounds: Bounds | None
    thumb: tuple[Guide, ...]
    verdict: str
    probability: float | None = None
    within_limit: float | None = None
    doubt: str = ""

    @property
    def value(self) -> Value | None:
        """The value that decides."""
        return self.ways[0].value if self.ways else None

    @property
    def others(self) -> tuple[Value, ...]:
        """Values by other ways of measuring."""
        return tuple(w.value for w in self.ways[1:])


@dataclass(frozen=True)
class Tried:
    """Rows that all must hold, each tried alone, and the trial of all of them as one, which gives the verdict."""

    trials: tuple[Trial, ...]
    joint: Trial

    @property
    def verdict(self) -> str:
        """Verdict by all rows."""
        return self.joint.verdict

    @property
    def lead(self) -> Trial:
        """The row that the verdict is shown with: the first of those that give it alone, else the first."""
        return next((t for t in self.trials if t.verdict == self.verdict), self.trials[0])


@dataclass(frozen=True)
class Judged:
    """The verdict on a case, the rows that gave it, and what each answer to an open question would give.

    `honed` is the trial of a cylinder as it will be when the sheet's honing allowance is off it.

    `settled` says that a question is open and that every answer gives the same verdict.
    """

    case: Case
    tried: Tried
    verdict: str
    asked: tuple[tuple[Asked, tuple[str, ...]], ...] = ()
    settled: bool = False
    honed: Trial | None = None

    @property
    def lead(self) -> Trial:
        """The row and value that the verdict is shown with."""
        return self.tried.lead

    @property
    def joint(self) -> Trial:
        """The trial of all rows as one: bounds and probabilities that gave the verdict."""
        return self.tried.joint


@dataclass(frozen=True)
class Judgement:
    """Verdicts of a sheet, torque steps and findings."""

    bench: Bench
    judged: tuple[Judged, ...]
    torques: tuple[Mapping[str, Any], ...]
    findings: tuple[Finding, ...]
    not_measured: tuple[tuple[str, str], ...] = ()
