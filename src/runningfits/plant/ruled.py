"""What rows allow for a kind of reading, as numbers in the unit in which it is read."""

from collections.abc import Mapping, Sequence
from dataclasses import fields
from fractions import Fraction
from math import inf, nan
from typing import Any, NamedTuple

import numpy as np

from ..judging.against import DOUBTS, state_doubt
from ..judging.bounds import Bounds, End
from ..judging.case import Case
from ..judging.cases import Bench
from ..judging.decide import VERDICTS, Limits
from ..judging.judged import Trial
from ..judging.proving import absurd_from, limits_of
from ..judging.resized import windows
from ..judging.sense import deepest, end_of_wear, farthest, held, must_clear, must_stay_clear, unworn, widest, width
from ..judging.values import Value

REFUSED = "refused"
SAID = (*VERDICTS, REFUSED)
"""Verdicts of a table of readings."""

OPEN = -1
"""Mark of what readings decide."""

NOWHERE = (inf, inf)
"""A range in which nothing lies."""


class Ruled(NamedTuple):
    """A row, or rows that all must hold, for a kind of reading; or such, each field an array.

    Of a reading v counts x = `share` v, with the variance `constant` + (`slope` x)^2 where nobody says better. `fixed`
    is a verdict that no reading changes, `refusal` what is said of readings below `least`. The rest are what the
    decision asks: `limits`, and from where on a value makes no sense. `alone` are rows of the first line tried each by
    itself, `joint` those that give the verdict, `head` how far the first joint lies from the first of its kind.
    """

    share: Any
    constant: Any
    slope: Any
    least: Any
    bound: Any
    fixed: Any
    limits: Any
    absurd: Any
    nothing: Any
    wear: Any
    sign: Any
    farthest: Any
    unworn: Any
    agrees: Any
    simple: Any
    simple_new: Any
    doubt: Any
    clear: Any
    stays_clear: Any
    resized: Any
    open_end: Any
    asked: Any
    alone: Any
    joint: Any
    head: Any
    row: Any
    cite: Any
    reason: Any
    refusal: Any


def arrays(rows: Sequence[Ruled]) -> Ruled:
    """Rows as arrays, field by field."""
    columns = dict(zip(Ruled._fields, zip(*rows, strict=True), strict=True))
    limits = Limits(*map(np.array, zip(*columns.pop("limits"), strict=True)))
    most = max(map(len, columns["resized"]))
    columns["resized"] = tuple([*own, *[NOWHERE] * (most - len(own))] or np.empty((0, 2)) for own in columns["resized"])
    return Ruled(limits=limits, **{name: np.array(cells) for name, cells in columns.items()})


def joined(one: Ruled, other: Ruled) -> Ruled:
    """Arrays of rows, those of another behind them."""
    own, more = one._asdict(), other._asdict()
    limits = Limits(*map(np.concatenate, zip(own.pop("limits"), more.pop("limits"), strict=True)))
    most = max(r["resized"].shape[1] for r in (own, more))
    for r in (own, more):
        r["resized"] = np.pad(r["resized"], ((0, 0), (0, most - r["resized"].shape[1]), (0, 0)), constant_values=inf)
    return Ruled(limits=limits, **{name: np.concatenate((own[name], more[name])) for name in own})


_NO_LIMITS = (-inf, -inf, inf, inf, -inf, -inf, inf, inf, nan, nan, False, False, False, False)

NOTHING = Ruled(
    share=1.0, constant=nan, slope=0.0, least=-inf, bound=False,
    fixed=SAID.index(REFUSED), limits=_NO_LIMITS, absurd=inf, nothing=-inf, wear=0.0, sign=1.0, farthest=inf,
    unworn=inf, agrees=inf, simple=inf, simple_new=inf, doubt="", clear=False, stays_clear=False, resized=(),
    open_end=False, asked=False,
    alone=True, joint=True, head=0,
    row="", cite="", reason="",
    refusal="",
)  # fmt: skip
"""A kind of reading that is refused."""


def ruled(at_nothing: Value | None, at_one: Trial, factor: Fraction, known: bool, bench: Bench) -> Ruled:
    """A row tried on readings of 1 in SI units, and what counts of one of 0, as numbers; `factor` is the unit's.

    `known` says that the instrument is named, so that the reading has an uncertainty of its own.
    """
    said = {"row": at_one.row.id, "cite": at_one.row.cite.text} if at_one.row else {}
    if at_one.verdict or not at_one.value or not at_one.bounds:
        return NOTHING._replace(fixed=SAID.index(at_one.verdict), **said)
    assert at_nothing
    constant, slope = _uncertainty(at_nothing, at_one.value)
    return NOTHING._replace(
        share=float(at_one.value.read - at_nothing.read),
        constant=constant / float(factor) ** 2 if known else nan,
        slope=slope,
        bound=at_one.value.least_only,
        fixed=OPEN,
        doubt=DOUBTS.get(state_doubt(at_one.case, at_one.row), ""),
        limits=limits_of(_in_unit(at_one.bounds, factor)),
        resized=_resized(at_one.case, at_one.bounds, factor, bench),
        **_sense(at_one.bounds, at_one.case.quantity, factor, bench),
        **said,
    )


def _resized(case: Case, bounds: Bounds, unit: Fraction, bench: Bench) -> tuple[tuple[float, float], ...]:
    """Where other repair sizes would put a part, in the unit that is read."""
    there = windows(case, bounds, bench.engine, bench.build, bench.data)
    return tuple((low / float(unit), high / float(unit)) for low, high in there)


def _uncertainty(at_nothing: Value, at_one: Value) -> tuple[float, float]:
    """Variance that every reading has, and how the rest of its standard uncertainty grows with what is read."""
    fixed = [c.standard for c in at_nothing.components]
    grown = [(c.standard - f) for c, f in zip(at_one.components, fixed, strict=True)]
    assert not any(f and g for f, g in zip(fixed, grown, strict=True))
    gain = float(at_one.read - at_nothing.read)
    return sum(f * f for f in fixed), sum(g * g for g in grown) ** 0.5 / gain


def _in_unit(bounds: Bounds, unit: Fraction) -> Bounds:
    """Bounds in a unit of that factor."""
    cells: dict[str, Any] = {f.name: _scaled(getattr(bounds, f.name), unit) for f in fields(bounds)}
    return Bounds(**cells)


def _scaled(cell: Any, unit: Fraction) -> Any:
    if isinstance(cell, End):
        return End(cell.strict / unit, cell.loose / unit)
    return cell / unit if isinstance(cell, Fraction) else cell


def _sense(bounds: Bounds, quantity: Mapping[str, str], unit: Fraction, bench: Bench) -> dict[str, float | bool]:
    """From where on a value, or its uncertainty, makes no sense."""
    end = end_of_wear(bounds)
    new_low, _, new_high, _, low, _, high, _ = bounds.ends()
    scale, most = float(unit), deepest(quantity["quantity"], bench.engine, bench.data)
    return {
        "absurd": absurd_from(bounds) / scale,
        "nothing": 0.0 if quantity["kind"] == "form" else -inf,
        "wear": end / scale if end is not None else 0.0,
        "sign": 1.0 if bounds.wears_up else -1.0,
        "farthest": min(farthest(bounds, quantity, most), held(bounds, quantity)) / scale,
        "unworn": unworn(bounds, quantity) / scale,
        "agrees": widest(bounds, quantity, bench.data) / scale,
        "simple": width(low, high) / scale,
        "simple_new": width(new_low, new_high) / scale,
        "clear": must_clear(bounds, quantity),
        "stays_clear": must_stay_clear(bounds, quantity),
        "open_end": bool(bounds.open_end),
    }
