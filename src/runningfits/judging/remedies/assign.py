"""Parts given to other places so that the fits come out as equal as possible."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import inf

from ..judged import Judged
from .option import Fit, Option
from .trade_work import Line
from .trouble import Trouble

OUTSIDE = 1e3
"""Cost of a fit outside its range beside the square of its distance from the middle, in widths of the range."""


def swapped(t: Trouble, line: Line) -> Iterator[Option]:
    """The assignment of all measured parts to all measured places, where it brings this place inside."""
    there = [s for s in _alike(t) if s.sides.keys() >= {"bore", "shaft"} and None not in s.ends]
    if len(there) < 2:
        return
    order = assignment(there)
    now, then = ([_fit(there, i, j) for i, j in enumerate(js)] for js in (range(len(there)), order))
    own = next((i for i, s in enumerate(there) if s.case is t.case), None)
    if own is None or order[own] == own or _good(then) <= _good(now) or then[own].meets != "new":
        return
    moved = [f"{_place(there, j)} to {_place(there, i)}" for i, j in enumerate(order) if i != j]
    text = line.text.format(moved="; ".join(moved))
    why = f"{_good(now)} of {len(there)} fits are inside the new range now, {_good(then)} would be"
    option = Option(line.action, text, line.effort, fit=then[own], drags=line.drags, permitted=True, why=why)
    yield replace(option, cites=tuple(r.row.cite for r in t.judged.tried.trials if r.row))


def _alike(t: Trouble) -> list[Trouble]:
    """The same fit at all places that are judged by a row."""
    found = []
    for j in t.found.judged:
        made = _trouble(j, t)
        if made and j.case.item == t.case.item and j.case.said == t.case.said and not j.asked:
            found.append(made)
    return found


def _trouble(j: Judged, t: Trouble) -> Trouble | None:
    value, limits = j.lead.value, j.joint.bounds
    if value is None or limits is None or not limits.judged or j.verdict == "bad-entry":
        return None
    return t if j is t.judged else replace(t, judged=j, value=value, bounds=limits)


def _fit(there: list[Trouble], i: int, j: int) -> Fit:
    clearance = there[i].sides["bore"].value - there[j].sides["shaft"].value
    return there[i].fit((clearance, clearance))


def _good(fits: list[Fit]) -> int:
    return sum(f.meets == "new" for f in fits)


def _place(there: list[Trouble], i: int) -> str:
    return there[i].data.place_words(there[i].case.position)


def assignment(there: list[Trouble]) -> list[int]:
    """Which part goes to each place: as many fits inside as can be, then as near the middle as can be."""
    return cheapest([[_cost(there, i, j) for j in range(len(there))] for i in range(len(there))])


def cheapest(costs: Sequence[Sequence[float]]) -> list[int]:
    """The column given to each row of a square table, each column once, so that the sum of their costs is least.

    Row by row, each along the cheapest chain of exchanges. Source: H. W. Kuhn, The Hungarian method for the assignment
    problem, Naval Research Logistics Quarterly 2, 1955, in the form of J. Munkres, 1957.

    >>> cheapest([[1.0, 2.0], [1.0, 3.0]])
    [1, 0]
    """
    size = len(costs)
    rows, columns = [0.0] * size, [0.0] * size
    owner = [-1] * size
    for row in range(size):
        _give(row, costs, rows, columns, owner)
    return [owner.index(row) for row in range(size)]


def _give(
    row: int, costs: Sequence[Sequence[float]], rows: list[float], columns: list[float], owner: list[int]
) -> None:
    """Give a further row a column; `rows` and `columns` are what each must pay at least, `owner` the row by column."""
    free = set(range(len(costs)))
    best, before = dict.fromkeys(free, inf), dict.fromkeys(free, -1)
    taken, last, here = [row], -1, row
    while here >= 0:
        for j in free:
            if (left := costs[here][j] - rows[here] - columns[j]) < best[j]:
                best[j], before[j] = left, last
        last = min(free, key=best.__getitem__)
        step = best[last]
        for i in taken:
            rows[i] += step
        for j in before.keys() - free:
            columns[j] -= step
        for j in free:
            best[j] -= step
        free.discard(last)
        here = owner[last]
        taken.append(here)
    while last >= 0:
        owner[last] = owner[before[last]] if before[last] >= 0 else row
        last = before[last]


def _cost(there: list[Trouble], i: int, j: int) -> float:
    low, high = there[i].ends
    assert low is not None and high is not None
    clearance = there[i].sides["bore"].value - there[j].sides["shaft"].value
    width = float(high - low) or 1e-6
    off = float(clearance - (low + high) / 2) / width
    return off * off + (OUTSIDE if _fit(there, i, j).meets != "new" else 0.0)
