"""A half-filled sheet taken up again: what is filled is kept, what is missing is asked for, in measuring order."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ..build import STAGES, parsed
from ..dataset import Dataset
from . import blank
from .blank import Work
from .measuring import SAID, Line
from .placed import Sheet

Json = dict[str, Any]

PAIR = {"bore", "shaft"}
"""Parts of a fit that may be read itself instead."""


@dataclass(frozen=True)
class Resumed:
    """A sheet to go on with: its values, and the work that is left; how many lines are kept and how many empty."""

    values: Json
    left: Work
    kept: int
    empty: int


def resumed(sheet: Sheet, data: Dataset) -> Resumed:
    """A loaded sheet with an empty line for each reading and torque of its build that it lacks."""
    given, engine = sheet.values, sheet.values["engine"]
    build, stage = parsed(given.get("build", {}), data.units), given.get("stage", STAGES[0])
    todo = blank.work(data, engine, build)
    fresh = blank.blank(data, engine, build, stage, todo)
    empty, left, readings = iter(fresh["readings"]), list(given["readings"]), []
    lines = []
    for asked in todo.lines:
        wanted = [next(empty) for _ in asked.entries]
        here = [r for r in left if _is_of(r, asked.line)]
        left = [r for r in left if r not in here]
        missing = _missing(wanted, here)
        readings += [*here, *missing]
        lines += [asked] if missing else []
    torques, joints = _torques(given.get("torques", []), fresh["torques"], todo.joints)
    values = _merged(given, fresh) | {"readings": [*readings, *left], "torques": torques}
    values["instruments"] = _own_tools(values, given["instruments"], fresh["instruments"])
    kept = len(given["readings"]) + len(given.get("torques", ()))
    return Resumed(values, Work(lines, joints), kept, len(values["readings"]) + len(torques) - kept)


def _is_of(reading: Json, line: Line) -> bool:
    """Whether a reading is one of a line of the blank sheet."""
    said = all(reading.get(k) == v for k, v in line.said.items())
    return said and (reading["item"], reading["position"]) == (line.item, line.place)


def _missing(wanted: Sequence[Json], here: Sequence[Json]) -> list[Json]:
    """Empty lines that the readings of an item and place do not answer.

    A reading answers the line of its own part and spot, else one of its part; a fit that was read itself, by strip or
    feeler, asks for no bore and shaft.
    """
    asked = {e["part"] for e in wanted}
    if asked == PAIR and any(r["part"] not in PAIR for r in here):
        return []
    elsewhere, open_ = [], list(wanted)
    for reading in here:
        same = next((e for e in open_ if _spot(e) == _spot(reading)), None)
        if same:
            open_.remove(same)
        else:
            elsewhere.append(reading["part"])
    for part in elsewhere:
        same = next((e for e in open_ if e["part"] == part), None)
        if same:
            open_.remove(same)
    return open_


def _spot(reading: Json) -> tuple[str, ...]:
    return reading["part"], reading.get("place", ""), reading.get("direction", "")


def _torques(given: list[Json], fresh: list[Json], joints: list[Line]) -> tuple[list[Json], list[Line]]:
    """Torque lines, the filled ones at their place, and the lines of the work that are still open."""
    left, found, open_ = list(given), [], []
    for line, joint in zip(fresh, joints, strict=True):
        here = [t for t in left if _step(t) == _step(line)]
        left = [t for t in left if t not in here]
        found += here or [line]
        open_ += [] if here else [joint]
    return [*found, *left], open_


def _step(torque: Json) -> tuple[str, ...]:
    return torque["joint"], torque["position"], *(str(torque.get(k, "")) for k in SAID)


def _merged(given: Json, fresh: Json) -> Json:
    """The sheet's own fields as they are filled, else empty."""
    named = {p["part"] for p in given.get("parts", ())}
    return (
        fresh
        | given
        | {
            "materials": fresh["materials"] | given.get("materials", {}),
            "parts": [*given.get("parts", ()), *(p for p in fresh["parts"] if p["part"] not in named)],
        }
    )


def _own_tools(values: Json, given: list[Json], fresh: list[Json]) -> list[Json]:
    """The sheet's instruments, and those of the empty lines that it has none for; such lines then name its own."""
    known, blanks = {t["id"] for t in given}, {t["id"]: t for t in fresh}
    instead = {t["id"]: own for t in fresh if t["id"] not in known and (own := _like(t, blanks, given))}
    for table in ("readings", "torques"):
        values[table] = [
            r | {"instrument": instead[r["instrument"]]} if r["value"] == "" and r["instrument"] in instead else r
            for r in values[table]
        ]
    named = {r["instrument"] for table in ("readings", "torques") for r in values[table]} - known
    named |= {blanks[n]["set_on"] for n in named} - known
    return [*(blanks.get(t["id"], {}) | t for t in given), *(t for t in fresh if t["id"] in named)]


def _like(tool: Json, blanks: dict[str, Json], given: list[Json]) -> str:
    """The one instrument of the sheet that is of a blank one's class and set on one of the same class; else empty."""
    classes = {t["id"]: t["instrument"] for t in (*blanks.values(), *given)}
    kind = tool["instrument"], classes.get(tool["set_on"])
    alike = [t["id"] for t in given if (t["instrument"], classes.get(t.get("set_on"))) == kind]
    return alike[0] if len(alike) == 1 else ""
