"""One fit across all engines, plotted against bore or journal diameter, with published rules of thumb as lines."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from statistics import median_high

from .axes import INCH, Axis, Ends, number
from .html import text

WIDTH, HEIGHT = 420.0, 330.0
LEFT, RIGHT, TOP, BASE = 40.0, 384.0, 28.0, 292.0


@dataclass(frozen=True)
class Mark(Ends):
    """A range to plot: its engine's number, the diameter in mm, words, and its row's address."""

    number: int
    across: float
    words: str
    address: str


@dataclass(frozen=True)
class Line:
    """A rule of thumb y = factor x + offset (mm), with its words."""

    factor: float
    offset: float
    words: str


@dataclass(frozen=True)
class Plot:
    """Title, what x measures, the unit of y (`mm`, or another that has no inch axis), marks, lines, a note below."""

    title: str
    across: str
    unit: str
    marks: Sequence[Mark]
    lines: Sequence[Line] = ()
    note: str = ""


def drawn(plot: Plot) -> str:
    """The plot as a figure; empty where there are fewer than three marks or all diameters are one."""
    xs = [m.across for m in plot.marks]
    if len(xs) < 3 or min(xs) == max(xs):
        return ""
    least = 0.0 if plot.lines else min(xs) * 0.85
    across, up = Axis(least, max(xs) * 1.05, LEFT, RIGHT), _up(plot.marks)
    lines = "".join(_line(rule, across, up, n) for n, rule in enumerate(plot.lines))
    marks = "".join(_mark(m, across, up, _wide(plot.marks)) for m in _once(plot.marks))
    numbers = _numbers(plot.marks, across, up)
    body = _frame(plot, across, up) + lines + marks + "".join(numbers)
    said = text(f"{plot.title}: {len(plot.marks)} ranges against {plot.across}; every number is in the table below")
    legend = "".join(
        f"<p>{_sample(n)} {text(rule.words)}{'; beyond the drawing' if up.off(rule.offset) else ''}</p>"
        for n, rule in enumerate(plot.lines)
    )
    crowded = CROWDED if len(numbers) < len({(m.number, m.across) for m in plot.marks}) else ""
    legend += "".join(f'<p class="rf-small">{text(told)}</p>' for told in (crowded, plot.note) if told)
    return (
        f'<figure class="rf-figure rf-plot"><figcaption>{text(plot.title)}</figcaption><svg class="rf-svg" '
        f'role="group" aria-label="{said}" viewBox="0 0 {WIDTH:g} {HEIGHT:g}">{body}</svg>{legend}</figure>'
    )


CROWDED = "Where marks stand close, not every one has room for its number; each leads to its row."


def _wide(marks: Sequence[Mark]) -> float:
    """Width of a bar: slender where many stand close."""
    return 7.0 if len(marks) < 40 else 3.6


def _up(marks: Sequence[Mark]) -> Axis:
    """From zero, or from below it; a value far beyond the others is broken off."""
    tops = [max(m.values) for m in marks]
    least = min(0.0, *(min(m.values) for m in marks))
    most = min(max(tops), 2.5 * max(median_high(tops), 1e-9)) if max(tops) > 0 else 0.0
    pad = (most - least) * 0.08 or 1.0
    return Axis(least - (pad if least < 0 else 0.0), most + pad, BASE, TOP)


def _frame(plot: Plot, across: Axis, up: Axis) -> str:
    parts = []
    for value in up.marks():
        y = up.at(value)
        parts.append(f'<path class="rf-grid" d="M{LEFT:g} {y:.1f}H{RIGHT:g}"/>')
        parts.append(f'<text class="rf-left" x="{LEFT - 5:g}" y="{y + 4:.1f}">{number(value)}</text>')
    for value in across.marks():
        x = across.at(value)
        parts.append(f'<path class="rf-grid" d="M{x:.1f} {TOP:g}V{BASE:g}"/>')
        parts.append(f'<text class="rf-mark" x="{x:.1f}" y="{BASE + 15:g}">{number(value)}</text>')
    for value in up.marks(INCH, 6) if plot.unit == "mm" else []:
        y = up.at(value * INCH)
        parts.append(f'<path class="rf-tick" d="M{RIGHT:g} {y:.1f}h4"/>')
        parts.append(f'<text class="rf-right" x="{RIGHT + 6:g}" y="{y + 4:.1f}">{number(value)}</text>')
    for value in across.marks(INCH, 7):
        x = across.at(value * INCH)
        parts.append(f'<path class="rf-tick" d="M{x:.1f} {TOP:g}v-4"/>')
        parts.append(f'<text class="rf-mark" x="{x:.1f}" y="{TOP - 7:g}">{number(value)}</text>')
    parts.append(f'<path class="rf-axis" d="M{LEFT:g} {TOP:g}V{BASE:g}H{RIGHT:g}"/>')
    parts.append(f'<text class="rf-left" x="{LEFT - 5:g}" y="{TOP - 7:g}">{text(plot.unit)}</text>')
    inch = "in" if plot.unit == "mm" else ""
    parts.append(f'<text class="rf-right" x="{RIGHT + 6:g}" y="{TOP - 7:g}">{inch}</text>')
    parts.append(f'<text class="rf-caption" x="{RIGHT:g}" y="{BASE + 32:g}">{text(plot.across)}, mm (in above)</text>')
    return "".join(parts)


def _once(marks: Sequence[Mark]) -> list[Mark]:
    """Marks without those that an engine would draw over its own; the first tells how many more it stands for."""
    alike: dict[tuple[str, float, tuple[float | None, ...]], list[Mark]] = {}
    for m in marks:
        alike.setdefault((m.address, m.across, (m.low, m.high, m.one, m.limit)), []).append(m)
    return [
        replace(first, words=f"{first.words}; {len(more)} more alike") if more else first
        for first, *more in alike.values()
    ]


def _mark(m: Mark, across: Axis, up: Axis, wide: float) -> str:
    """New range as a hatched bar with its ends, a single value as a diamond, the limit as a thick line."""
    x = across.at(m.across)
    parts = [f"<title>{text(m.words)}</title>"]
    low, high = m.low if m.low is not None else up.least, m.high if m.high is not None else up.most
    if m.limit is not None:
        near = high if m.limit >= high else low
        y, end = up.at(m.limit), up.at(near)
        if m.one is None and (m.low is not None or m.high is not None):
            parts.append(f'<path class="rf-allowed" d="M{x:.1f} {y:.1f}V{end:.1f}"/>')
        parts.append(
            _zigzag(x, y)
            if up.off(m.limit)
            else f'<path class="rf-limit" d="M{x - wide / 2 - 2.5:.1f} {y:.1f}h{wide + 5:g}"/>'
        )
    if m.low is not None or m.high is not None:
        y, height = up.at(high), max(up.at(low) - up.at(high), 1.2)
        parts.append(
            f'<rect class="rf-new" x="{x - wide / 2:.1f}" y="{y:.1f}" width="{wide:g}" height="{height:.1f}"/>'
        )
        if m.high is None or up.off(m.high):
            parts.append(_zigzag(x, y))
    if m.one is not None:
        parts.append(f'<path class="rf-one" d="M{x:.1f} {up.at(m.one) - 5:.1f}l4 5l-4 5l-4 -5z"/>')
    return f'<a href="{text(m.address)}">{"".join(parts)}</a>'


def _zigzag(x: float, y: float) -> str:
    return f'<path class="rf-zigzag" d="M{x - 4:.1f} {y:.1f}l3 -3l3 6l3 -3"/>'


def _numbers(marks: Sequence[Mark], across: Axis, up: Axis) -> list[str]:
    """A number for each engine just above its highest mark, where neither a mark nor another number is in the way."""
    tops: dict[tuple[int, float], float] = {}
    for m in marks:
        key = m.number, m.across
        tops[key] = min(tops.get(key, BASE), up.at(max(m.values)))
    drawn = [(across.at(m.across), up.at(max(m.values)), up.at(min(m.values))) for m in marks]
    placed: list[tuple[float, float]] = []
    parts = []
    for (name, value), top in sorted(tops.items(), key=lambda item: (item[0][1], item[1])):
        x = across.at(value)
        free = [y for y in (top - 6 - 5 * n for n in range(MOST_RAISED)) if y > 12 and _free(x, y, placed, drawn)]
        if free:
            placed.append((x, free[0]))
            parts.append(f'<text class="rf-name" x="{x:.1f}" y="{free[0]:.1f}">{name}</text>')
    return parts


MOST_RAISED = 5
"""Heights at which a number is tried: higher up nobody would know whose it is."""


def _free(x: float, y: float, placed: Iterable[tuple[float, float]], drawn: Iterable[Sequence[float]]) -> bool:
    """Whether a number at a place covers neither another number nor a mark from its top to its foot."""
    beside = any(abs(x - a) < 11 and abs(y - b) < 10 for a, b in placed)
    return not beside and not any(abs(x - a) < 8 and top - 3 < y < foot + 10 for a, top, foot in drawn)


DASHES = ("", "8 3", "2 3", "8 3 2 3")


def _line(rule: Line, across: Axis, up: Axis, n: int) -> str:
    """A rule from diameter zero to where it leaves the drawing; none where it starts beyond."""
    end = across.most
    if up.off(rule.offset):
        return ""
    if rule.factor > 0 and rule.factor * end + rule.offset > up.most:
        end = (up.most - rule.offset) / rule.factor
    y, last = up.at(rule.offset), up.at(rule.factor * end + rule.offset)
    path = f"M{across.at(0.0):.1f} {y:.1f}L{across.at(end):.1f} {last:.1f}"
    return f'<path class="rf-rule" stroke-dasharray="{DASHES[n % 4]}" d="{path}"/>'


def _sample(n: int) -> str:
    dash = f'<path class="rf-rule" stroke-dasharray="{DASHES[n % 4]}" d="M0 4H40"/>'
    return f'<svg class="rf-sample" width="40" height="8" aria-hidden="true">{dash}</svg>'
