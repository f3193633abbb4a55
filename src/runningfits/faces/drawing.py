"""Fits drawn to scale as SVG: new range, wear limit, reading with its uncertainty."""

from dataclasses import dataclass
from html import escape
from typing import Any

from .words import place, range_words, verdict_words

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


def fit(result: dict[str, Any]) -> str:
    """Drawing of one result, or nothing where there is no range."""
    found = result["range"]
    ends = _ends(result)
    if not found or result["value"] is None or not ends:
        return ""
    axis = _axis(ends, float(result["value"]), float(result["uncertainty"]))
    parts = [*_bands(found, axis, _upward(result)), *_marks(found, axis)]
    for other in result["agreement"]:
        parts.append(_reading(axis, float(other["value"]), float(other["uncertainty"]), 12.0, other["way"], False))
    parts.append(_reading(axis, float(result["value"]), float(result["uncertainty"]), 0.0, "decides", True))
    label = escape(_words(result), quote=True)
    drawn = "".join(parts)
    box = f'viewBox="0 0 {WIDTH:g} {HEIGHT:g}" width="{WIDTH:g}" height="{HEIGHT:g}"'
    return f'<svg class="fit" role="img" aria-label="{label}" {box}><title>{label}</title>{drawn}</svg>'


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


def _bands(found: dict[str, Any], axis: _Axis, upward: bool) -> list[str]:
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


def _box(start: float, end: float, kind: str) -> str:
    return f'<rect class="{kind}" x="{start:.1f}" y="{TOP}" width="{max(end - start, 1):.1f}" height="{BAND}"/>'


def _marks(found: dict[str, Any], axis: _Axis) -> list[str]:
    """Dimension lines at the ends of the range and at the limit, with their numbers; near ones stand on two lines."""
    base = TOP + BAND / 2
    parts = [f'<line class="axis" x1="{EDGE / 2}" x2="{WIDTH - EDGE / 2}" y1="{base}" y2="{base}"/>']
    marks = sorted((axis.at(float(found[k])), k, found[k]) for k in ("lower", "upper", "limit") if found.get(k))
    last = -99.0
    for x, kind, text in marks:
        low = TOP + BAND + 14 + (12 if x - last < 50 else 0)
        last = x if low == TOP + BAND + 14 else last
        name = "limit " if kind == "limit" else ""
        parts.append(f'<line class="{kind}" x1="{x:.1f}" x2="{x:.1f}" y1="{TOP - 4}" y2="{low - 9:.1f}"/>')
        parts.append(f'<text x="{x:.1f}" y="{low:.1f}" text-anchor="middle">{escape(name + text)}</text>')
    return parts


def _reading(axis: _Axis, value: float, uncertainty: float, lift: float, name: str, decides: bool) -> str:
    x, y = axis.at(value), TOP - 9 - lift
    least, most = axis.at(value - uncertainty), axis.at(value + uncertainty)
    kind = "decides" if decides else "other"
    bar = f'<line x1="{least:.1f}" x2="{most:.1f}" y1="{y}" y2="{y}"/>'
    caps = "".join(f'<line x1="{e:.1f}" x2="{e:.1f}" y1="{y - 3}" y2="{y + 3}"/>' for e in (least, most))
    mark = f'<path d="M{x:.1f} {y - 5}L{x + 5:.1f} {y}L{x:.1f} {y + 5}L{x - 5:.1f} {y}Z"/>'
    if axis.off(value):
        side = 1 if value > axis.most else -1
        mark = f'<path d="M{x:.1f} {y - 5}L{x + 10 * side:.1f} {y}L{x:.1f} {y + 5}Z"/>'
    stem = f'<line class="stem" x1="{x:.1f}" x2="{x:.1f}" y1="{y + 5}" y2="{TOP + BAND}"/>' if decides else ""
    anchor, at = ("end", least - 6) if x > WIDTH / 2 else ("start", most + 6)
    text = f'<text x="{at:.1f}" y="{y + 3.5:.1f}" text-anchor="{anchor}">{escape(name)}</text>'
    return f'<g class="{kind}">{bar}{caps}{stem}{mark}{text}</g>'


def _words(result: dict[str, Any]) -> str:
    value = f"{result['value']} plus or minus {result['uncertainty']} {result['unit']}"
    words = f"{value}; range {range_words(result['range'])}; {verdict_words(result)}"
    return f"{result['label']}, {place(result)}: {words}"
