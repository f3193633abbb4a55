"""Fits drawn to scale as SVG: new range, wear limit, reading with its uncertainty."""

from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from .row_words import range_words
from .templating import rendered
from .words import place, verdict_words

Shape = dict[str, Any]
"""A box, line or reading of a drawing, its places as text."""

WIDTH, HEIGHT, EDGE = 420.0, 86.0, 46.0
TOP, BAND = 30.0, 20.0


@dataclass(frozen=True)
class _Axis:
    """Maps values of the row's unit to places on the drawing; `least` and `most` are its ends."""

    least: float
    most: float

    def at(self, value: float) -> float:
        share = (min(max(value, self.least), self.most) - self.least) / (self.most - self.least)
        return EDGE + share * (WIDTH - 2 * EDGE)

    def off(self, value: float) -> bool:
        return not self.least <= value <= self.most


def fit(result: dict[str, Any]) -> Markup:
    """Drawing of one result, or nothing where there is no range."""
    found = result["range"]
    ends = _ends(result)
    if not found or result["value"] is None or not ends:
        return Markup()
    value, expanded = float(result["value"]), float(result["uncertainty"])
    axis = _axis(ends, value, expanded)
    others = [
        _reading(axis, float(o["value"]), float(o["uncertainty"]), 12.0, o["way"], False) for o in result["agreement"]
    ]
    return rendered(
        "drawing.svg",
        label=_words(result),
        width=f"{WIDTH:g}",
        height=f"{HEIGHT:g}",
        boxes=_bands(found, axis, _upward(result)),
        lines=_marks(found, axis),
        readings=[*others, _reading(axis, value, expanded, 0.0, "decides", True)],
    )


def _ends(result: dict[str, Any]) -> list[float]:
    found = result["range"] or {}
    return [float(found[k]) for k in ("lower", "upper", "limit") if found.get(k)]


def _axis(ends: list[float], value: float, uncertainty: float) -> _Axis:
    """An axis that shows the range and, where it is not many widths off, the reading."""
    width = (max(ends) - min(ends)) or max(uncertainty, abs(ends[0]) * 0.2, 1e-9)
    least, most = min(ends), max(ends)
    if least - 4 * width < value < most + 4 * width:
        least, most = min(least, value - uncertainty), max(most, value + uncertainty)
    pad = (most - least) * 0.08 or width
    return _Axis(least - pad, most + pad)


def _upward(result: dict[str, Any]) -> bool:
    """Whether what is allowed lies below the limit: there its margin is positive."""
    limit, margin = result["range"]["limit"], result["margins"]["limit"]
    return limit is None or (float(result["value"]) <= float(limit)) == (float(margin) >= 0)


def _bands(found: dict[str, Any], axis: _Axis, upward: bool) -> list[Shape]:
    low = float(found["lower"]) if found["lower"] else axis.least
    high = float(found["upper"]) if found["upper"] else axis.most
    parts = []
    if found["limit"]:
        limit = float(found["limit"])
        start, end = (high, limit) if limit >= high else (limit, low)
        if not (found["lower"] or found["upper"]):
            start, end = (axis.least, limit) if upward else (limit, axis.most)
        parts.append(_box(axis.at(start), axis.at(end), "wear"))
    if found["lower"] or found["upper"]:
        parts.append(_box(axis.at(low), axis.at(high), "new"))
    return parts


def _box(start: float, end: float, kind: str) -> Shape:
    return {
        "kind": kind,
        "x": f"{start:.1f}",
        "y": f"{TOP}",
        "width": f"{max(end - start, 1):.1f}",
        "height": f"{BAND}",
    }


def _line(kind: str, x: tuple[str, str], y: tuple[str, str], **text: str) -> Shape:
    return {"kind": kind, "x1": x[0], "x2": x[1], "y1": y[0], "y2": y[1], "text": "", "below": ""} | text


def _marks(found: dict[str, Any], axis: _Axis) -> list[Shape]:
    """Dimension lines at the ends of the range and at the limit, with their numbers; near ones stand on two lines."""
    base = f"{TOP + BAND / 2}"
    parts = [_line("axis", (f"{EDGE / 2}", f"{WIDTH - EDGE / 2}"), (base, base))]
    marks = sorted((axis.at(float(found[k])), k, found[k]) for k in ("lower", "upper", "limit") if found.get(k))
    last = -99.0
    for x, kind, text in marks:
        low = TOP + BAND + 14 + (12 if x - last < 50 else 0)
        last = x if low == TOP + BAND + 14 else last
        name = "limit " if kind == "limit" else ""
        at = f"{x:.1f}"
        ends = (f"{TOP - 4}", f"{low - 9:.1f}")
        parts.append(_line(kind, (at, at), ends, text=name + text, below=f"{low:.1f}"))
    return parts


def _reading(axis: _Axis, value: float, uncertainty: float, lift: float, name: str, decides: bool) -> Shape:
    x, y = axis.at(value), TOP - 9 - lift
    least, most = axis.at(value - uncertainty), axis.at(value + uncertainty)
    lines = [_line("", (f"{least:.1f}", f"{most:.1f}"), (f"{y}", f"{y}"))]
    lines += [_line("", (f"{e:.1f}", f"{e:.1f}"), (f"{y - 3}", f"{y + 3}")) for e in (least, most)]
    mark = f"M{x:.1f} {y - 5}L{x + 5:.1f} {y}L{x:.1f} {y + 5}L{x - 5:.1f} {y}Z"
    if axis.off(value):
        side = 1 if value > axis.most else -1
        mark = f"M{x:.1f} {y - 5}L{x + 10 * side:.1f} {y}L{x:.1f} {y + 5}Z"
    if decides:
        lines.append(_line("stem", (f"{x:.1f}", f"{x:.1f}"), (f"{y + 5}", f"{TOP + BAND}")))
    anchor, at = ("end", least - 6) if x > WIDTH / 2 else ("start", most + 6)
    text = {"name": name, "anchor": anchor, "at": f"{at:.1f}", "below": f"{y + 3.5:.1f}"}
    return {"kind": "decides" if decides else "other", "lines": lines, "mark": mark, **text}


def _words(result: dict[str, Any]) -> str:
    value = f"{result['value']} plus or minus {result['uncertainty']} {result['unit']}"
    words = f"{value}; range {range_words(result['range'])}; {verdict_words(result)}"
    return f"{result['label']}, {place(result)}: {words}"
