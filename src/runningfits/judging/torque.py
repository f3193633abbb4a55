"""Tightening: the printed step of each line of a sheet."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from .. import positions
from ..choosing import Choice, choose
from ..dataset import Dataset
from ..here import Here
from ..resolving import admits
from ..rows import Row
from .cases import Bench
from .fasteners import Fastener, fasteners, places, states
from .instruments import Instrument, corrections

SETTING = 0.04
"""Half-width, as a share, of what counts as a single printed torque: the limit of a class A wrench (ISO 6789)."""

ANGLE = 5.0
"""Half-width, in degrees, of what counts as a single printed angle (common practice, no source)."""


@dataclass(frozen=True)
class Step:
    """A torque line of a sheet: its number, the rows that are true for it, both in SI, the order on the sheet.

    `fasteners` are those that it speaks of, `state` is the state of their threads as the sheet says it here or on an
    earlier line of theirs, `states` are those that the row's documents print. `turn` is the turn of its places in the
    printed tightening order, where they stand in a single row and have one turn.
    """

    index: int
    raw: dict[str, Any]
    choice: Choice
    si: float
    ends: tuple[tuple[float | None, float | None], ...]
    tool: Instrument
    tool_from: float | None
    tool_to: float | None
    done: int
    fasteners: tuple[Fastener, ...]
    state: str
    states: frozenset[str]
    turn: int | None

    @property
    def row(self) -> Row | None:
        """The printed step that leads."""
        return self.choice.row

    @property
    def low(self) -> float | None:
        """Low end of the step that leads, in SI."""
        return self.ends[0][0] if self.ends else None

    @property
    def high(self) -> float | None:
        """High end of the step that leads, in SI."""
        return self.ends[0][1] if self.ends else None


def steps(bench: Bench) -> tuple[Step, ...]:
    """Every torque line of a sheet with the step that the dataset prints for it."""
    given = bench.sheet.values
    listed, shifts = {t["id"]: t for t in given["instruments"]}, corrections(given, bench.data)
    found = [
        _step(n, raw, listed[raw["instrument"]], shifts[raw["instrument"]], bench)
        for n, raw in enumerate(given.get("torques", ()))
    ]
    return tuple(replace(s, state=_state(s, found)) for s in found)


def _step(index: int, raw: dict[str, Any], tool: dict[str, Any], shift: Fraction, bench: Bench) -> Step:
    data = bench.data
    said: dict[str, str] = {k: raw[k] for k in ("which", "purpose", "thread") if k in raw}
    choice = choose(data, bench.engine, bench.build, raw["joint"], raw["position"], said | {"step": str(raw["step"])})
    turned = data.units[raw["unit"]].dimension == "torque"
    return Step(
        index=index,
        raw=raw,
        choice=choice,
        si=float(Fraction(raw["value"]) * data.units[raw["unit"]].factor + (shift if turned else 0)),
        ends=tuple(_wanted(row, data) for row in choice.rows),
        tool=bench.means.tools[raw["instrument"]],
        tool_from=_tool_end(tool, data, "range_from"),
        tool_to=_tool_end(tool, data, "range_to"),
        done=raw.get("order", index + 1),
        fasteners=fasteners(raw, choice, bench),
        state=raw.get("thread_state", ""),
        states=states(choice.row, choice.rows[1:], bench) if choice.row else frozenset(),
        turn=_turn(raw, bench),
    )


def _state(step: Step, steps: Sequence[Step]) -> str:
    """State of the threads of a line, or where it says none of the last line before it of the same fasteners."""
    same = [s for s in steps if s.state and s.done <= step.done and set(s.fasteners) >= set(step.fasteners)]
    return step.state or (max(same, key=lambda s: (s.done, s.index)).state if same else "")


def _turn(raw: dict[str, Any], bench: Bench) -> int | None:
    """Turn of a line's places in the printed order: where the order has one column, its rows number the places."""
    data = bench.data
    here = Here(data, data.family(bench.engine), bench.engine, raw["joint"], raw["position"])
    there = [r for r in data.all_rows(bench.engine, "sequences") if r.item == raw["joint"]]
    rows = [r for r in there if admits(r, bench.build, here)]
    if len({(r["column"], r["source"], r["page"], r["applies"]) for r in rows}) != 1:
        return None
    own = set(places(raw["joint"], raw["position"], bench))
    return next((int(r["order"]) for r in rows if own <= set(map(str, positions.numbers(r["row"])))), None)


def _wanted(row: Row, data: Dataset) -> tuple[float | None, float | None]:
    """Range of a step in SI: as printed with half a printed digit, a single torque or angle with what counts as it.

    Loosening is 0, unless the page prints a torque for it.
    """
    if not row["unit"]:
        return (0.0, 0.0) if row["action"] == "loosen" else (None, None)
    factor = data.units[row["unit"]].factor
    low, high = row.range()
    nominal = row.value("nominal")
    if low is None and high is None and nominal is not None:
        half = max(_setting(float(nominal), row, data), float(row.step("nominal")) / 2)
        return (float(nominal) - half) * float(factor), (float(nominal) + half) * float(factor)
    ends = (
        (None if low is None else low - row.step("lower" if row["lower"] else "nominal") / 2),
        (None if high is None else high + row.step("upper" if row["upper"] else "nominal") / 2),
    )
    least, most = (None if v is None else float(Fraction(v) * factor) for v in ends)
    return least, most


def _setting(nominal: float, row: Row, data: Dataset) -> float:
    """Half-width of what counts as a single printed number, in its unit."""
    unit = data.units[row["unit"]]
    if unit.dimension == "torque":
        return nominal * SETTING
    return ANGLE / float(unit.factor / data.units["deg"].factor) if unit.dimension == "angle" else 0.0


def _tool_end(tool: dict[str, Any], data: Dataset, key: str) -> float | None:
    return float(Fraction(tool[key]) * data.units[tool["unit"]].factor) if key in tool else None
