"""Tightening drawn: stages of a joint as steps to scale, and the order of its fasteners."""

import re
from collections.abc import Iterable, Sequence
from itertools import groupby

from ..dataset import Dataset
from ..positions import numbers
from ..rows import Row
from ..shown import label, models_of, range_text, speaks_of
from .both_units import shown
from .html import cited, text

ROOM, HIGH, BASE = 104.0, 92.0, 136.0


def joints(rows: Iterable[Row]) -> list[tuple[tuple[str, ...], list[Row]]]:
    """Steps of each joint, place, part, purpose, thread and page, in order."""

    def key(row: Row) -> tuple[str, ...]:
        return row.item, *(row[c] for c in ("position", "which", "applies", "purpose", "thread", "source", "page"))

    return [(k, sorted(g, key=lambda r: int(r["step"]))) for k, g in groupby(sorted(rows, key=key), key)]


def staged(data: Dataset, rows: Iterable[Row]) -> str:
    """A drawing for each pattern of stages, with the joints that are tightened so."""
    patterns: dict[tuple[str, ...], list[list[Row]]] = {}
    for _, steps in joints(rows):
        if len(steps) > 1:
            told = tuple(f"{r['step']} {_words(r, data)} {r['thread_state']}" for r in steps)
            patterns.setdefault(told, []).append(steps)
    return "".join(_stairs(of, data) for of in patterns.values())


def joint_name(row: Row, data: Dataset, model: bool = True) -> str:
    """The joint of a step with its place, what it speaks of and what it is for, in words; its models where asked."""
    place = data.place_words(row["position"]) if row["position"] != "all" else ""
    speaks = [w for w in speaks_of(row, data) if model or w not in models_of(row, data)]
    return ", ".join(filter(None, (label(row, data), place, *speaks, data.purpose_words(row))))


def _torque(row: Row, data: Dataset) -> float:
    """Torque of a step in N.m: the middle of its range; 0 for a turn, a stretch or a loosening."""
    low, high = row.range()
    one = row.value("nominal")
    values = [v for v in (low, high) if v is not None] or [v for v in (one,) if v is not None]
    if not values or row["action"] != "tighten":
        return 0.0
    return float(sum(values) / len(values)) * float(data.units[row["unit"]].factor)


def _stairs(alike: Sequence[Sequence[Row]], data: Dataset) -> str:
    steps = alike[0]
    torques = [_torque(r, data) for r in steps]
    most = max(torques) or 1.0
    names = list(dict.fromkeys(joint_name(of[0], data) for of in alike))
    pages = dict.fromkeys(cited(of[0].cite) for of in alike)
    body, level = "", 0.0
    for row, torque in zip(steps, torques, strict=True):
        level = torque or (0.0 if row["action"] == "loosen" else level)
        body += _step(row, _words(row, data), BASE - HIGH * level / most, bool(torque))
    return (
        f'<figure class="rf-figure rf-stairs"><figcaption>{text("; ".join(names))}'
        f'<span class="rf-small">{"; ".join(pages)}</span></figcaption><div>{body}</div></figure>'
    )


def _words(row: Row, data: Dataset) -> str:
    return shown(range_text(row, data)[0].partition(" / ")[0])


def _step(row: Row, words: str, y: float, torque: bool) -> str:
    """One stage: a column as high as its torque, or the sign of a turn at the height reached; stages stand in a line
    and wrap where there is no room.
    """
    middle = ROOM / 2
    column = f'd="M4 {BASE:g}V{y:.1f}H{ROOM - 4:g}V{BASE:g}"'
    shape = f'<path class="rf-new" {column}/>'
    if row["action"] in ("turn", "stretch"):
        sign = _turn(middle, y + 22) if row["action"] == "turn" else _stretch(middle, y + 8)
        shape = f'<path class="rf-turned" {column}/>{sign}'
    elif not torque:
        shape = f'<path class="rf-turned" d="M4 {BASE - 2:g}H{ROOM - 4:g}"/>'
    state = row["thread_state"].replace("-", " ")
    said = text(f"step {row['step']} {words}")
    return (
        f'<svg class="rf-svg" role="img" aria-label="{said}" viewBox="0 0 {ROOM:g} 172"><path class="rf-tick" '
        f'd="M0 {BASE:g}H{ROOM:g}"/>{shape}{_mark(middle, BASE + 14, "step " + row["step"])}{_value(words, middle, y)}'
        f"{_mark(middle, BASE + 28, state)}</svg>"
    )


def _mark(x: float, y: float, words: str) -> str:
    return f'<text class="rf-mark" x="{x:g}" y="{y:g}">{text(words)}</text>' if words else ""


def _value(words: str, x: float, y: float) -> str:
    """The torque above its column, where it is long in two lines: a range above its unit."""
    range_ = re.fullmatch(r"(.+ to \S+) (\S+)", words)
    parts = list(range_.groups()) if range_ else words.replace(" to ", "\nto ", 1).split("\n")
    lines = parts if len(words) > 13 else [words]
    return "".join(
        f'<text class="rf-stage" x="{x:g}" y="{y - 6 - 13 * n:.1f}">{text(line)}</text>'
        for n, line in enumerate(reversed(lines))
    )


def _turn(x: float, y: float) -> str:
    """An arrow round a bolt head."""
    return (
        f'<circle class="rf-head" cx="{x:.1f}" cy="{y:.1f}" r="4"/>'
        f'<path class="rf-arrow" d="M{x - 10:.1f} {y:.1f}a10 10 0 1 1 10 10m4 -4l-5 4l5 4"/>'
    )


def _stretch(x: float, y: float) -> str:
    """An arrow along a bolt that grows."""
    return f'<path class="rf-arrow" d="M{x:.1f} {y + 26:.1f}V{y:.1f}m-4 6l4 -6l4 6M{x - 7:.1f} {y + 26:.1f}h14"/>'


def orders(data: Dataset, engine: str) -> str:
    """Diagrams of the printed tightening orders of an engine."""
    rows = data.all_rows(engine, "sequences")
    ordered = sorted(rows, key=lambda r: (r["joint"], r["applies"], r["source"], int(r["order"])))
    groups = groupby(ordered, lambda r: (r["joint"], r["applies"], r["source"]))
    return "".join(_order(_order_name(g[0], data), g) for g in (list(found) for _, found in groups))


def _order_name(row: Row, data: Dataset) -> str:
    return ", ".join((data.joints[row.item]["label"], *speaks_of(row, data)))


def _order(joint: str, rows: list[Row]) -> str:
    """Fasteners by column (across) and row (from the front), each with its turn in the order; the order in words."""
    placed = [(r, n) for r in rows if r["column"] for n in numbers(r["row"])]
    across, along = sorted({int(r["column"]) for r, _ in placed}) or [1], sorted(n for _, n in placed) or [1]
    width, height = 60.0 * (along[-1]) + 70, 44.0 * across[-1] + 50
    body = "".join(_fastener(r["order"], 50 + 60.0 * n - 20, 44.0 * int(r["column"])) for r, n in placed)
    middle = height / 2 - 10
    front = (
        f'<text class="rf-mark" x="26" y="{middle - 8:g}">front</text><path class="rf-arrow" '
        f'd="M46 {middle:g}H10m7 -4l-7 4l7 4"/><path class="rf-centre" d="M6 {middle + 12:g}H{width - 6:g}"/>'
    )
    told = "; ".join(f"{text(r['order'])} is {text(_places(r))} from the front" + _column(r, across) for r in rows)
    turns = ", then ".join(" and ".join(map(str, numbers(r["row"]))) for r in rows)
    said = text(f"{joint}: order {turns}, counted from the front")
    return (
        f'<figure class="rf-figure"><figcaption>{text(joint)}: tighten in this order ({cited(rows[0].cite)})'
        f'</figcaption><svg class="rf-svg" role="img" aria-label="{said}" viewBox="0 0 {width:g} {height:g}">'
        f'{front}{body}</svg><p class="rf-small">{told}.</p></figure>'
    )


def _places(row: Row) -> str:
    """Places of a turn in words.

    >>> _places({"row": "2,4"})
    'places 2 and 4, in any order,'
    """
    *first, last = map(str, numbers(row["row"]))
    return f"places {', '.join(first)} and {last}, in any order," if first else f"place {last}"


def _column(row: Row, across: list[int]) -> str:
    return f", column {text(row['column'])} from the left" if len(across) > 1 else ""


def _fastener(order: str, x: float, y: float) -> str:
    return (
        f'<circle class="rf-bolt" cx="{x:g}" cy="{y:g}" r="15"/><text class="rf-order" x="{x:g}" y="{y + 5:g}">'
        f"{text(order)}</text>"
    )
