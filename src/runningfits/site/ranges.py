"""Ranges of one engine drawn to scale: what is new, what wear may take, where the limit lies."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from statistics import median_high

from ..dataset import Dataset
from ..rows import Row
from ..shown import label, places_of, span
from .axes import INCH, Axis, Ends, number
from .both_units import numbers, shown
from .html import text

WIDTH, LEFT, RIGHT = 420.0, 16.0, 404.0
TOP, STEP, BAND = 26.0, 31.0, 10.0
LABEL, MOST = 56, 24
"""Signs that a line has room for, and bars that a drawing has."""

PATTERNS = (
    '<svg class="rf-defs" width="0" height="0" aria-hidden="true" focusable="false"><defs>'
    '<pattern id="rf-hatch" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<path class="rf-stroke" d="M0 0V5"/></pattern>'
    '<pattern id="rf-dots" width="5" height="5" patternUnits="userSpaceOnUse">'
    '<circle class="rf-dot" cx="1.5" cy="1.5" r=".9"/></pattern></defs></svg>'
)
"""Hatching for the new range, dots for wear that is allowed: once a page."""

LEGEND = (
    '<p class="rf-legend"><span class="rf-key rf-key-new"></span>new range '
    '<span class="rf-key rf-key-wear"></span>wear allowed <span class="rf-key rf-key-limit"></span>wear limit '
    '<span class="rf-key rf-key-one"></span>single value; a bar that runs out of the drawing ends in a zigzag</p>'
)


@dataclass(frozen=True)
class Bar(Ends):
    """A range to draw, in mm: its words, the side that wear goes to (`upper`, `lower`, or another word)."""

    label: str
    words: str
    wears: str


def bar(row: Row, data: Dataset) -> Bar:
    """A row of a length as a bar."""
    named = f"{label(row, data)}, {places_of(row, data)}".removesuffix(", all")
    return Bar(*numbers(row, data), named, shown(span(row)), data.quantities[row.item]["limit_side"])


def drawn(data: Dataset, rows: Iterable[Row]) -> str:
    """Drawings of an engine's rows: fits with clearance, fits about zero, how closely sizes are held."""
    lengths = [r for r in rows if data.quantities[r.item]["dimension"] == "length" and r["unit"]]
    fits = [bar(r, data) for r in lengths if r.table == "clearances"]
    sizes = [bar(r, data) for r in lengths if r.table == "sizes"]
    clear = [b for b in fits if b.values and min(b.values) >= 0 and max(b.values) > 0]
    about = [b for b in fits if b.values and min(b.values) < 0]
    held = [_from_middle(b) for b in sizes if b.low is not None and b.high is not None and b.high > b.low]
    parts = [
        _pictures("Clearances and forms", "logarithmic", clear, _log_axis),
        _pictures("Fits that can be tight, and heights about zero", "linear", about, _even_axis),
        _pictures("How closely sizes are held, from the middle of the new range", "linear", held, _even_axis),
    ]
    return f'{PATTERNS}{LEGEND}<div class="rf-figures">{"".join(parts)}</div>' if any(parts) else ""


def one(data: Dataset, row: Row) -> str:
    """Drawing of a single row with clearance."""
    found = bar(row, data)
    return f"{PATTERNS}{_picture('Drawn to scale', 'logarithmic', [found], _log_axis([found]))}{LEGEND}"


def _from_middle(b: Bar) -> Bar:
    middle = ((b.low or 0.0) + (b.high or 0.0)) / 2
    low, high, one, limit = (None if v is None else v - middle for v in (b.low, b.high, b.one, b.limit))
    return replace(b, low=low, high=high, one=one, limit=limit)


def _log_axis(bars: Sequence[Bar]) -> Axis:
    values = [v for b in bars for v in b.values if v > 0]
    return Axis(min(values) / 1.6, max(values) * 1.3, LEFT, RIGHT, log=True)


def _even_axis(bars: Sequence[Bar]) -> Axis:
    """A linear axis, the same to both sides of zero; what lies far beyond the others is broken off."""
    extents = [max(map(abs, b.values)) for b in bars]
    reach = min(max(extents), 4 * median_high(extents)) * 1.1
    return Axis(-reach, reach, LEFT, RIGHT)


def _pictures(title: str, kind: str, bars: Sequence[Bar], axis: Callable[[Sequence[Bar]], Axis]) -> str:
    """Drawings of so many bars each that one fits on paper, all to one scale."""
    parts = [bars[n : n + MOST] for n in range(0, len(bars), MOST)]
    names = [f"{title}, {n} of {len(parts)}" if len(parts) > 1 else title for n in range(1, len(parts) + 1)]
    return "".join(_picture(n, kind, part, axis(bars)) for n, part in zip(names, parts, strict=True))


def _picture(title: str, kind: str, bars: Sequence[Bar], axis: Axis) -> str:
    height = TOP + STEP * len(bars) + 26
    said = text(f"{title}: {len(bars)} ranges drawn to scale on a {kind} axis; every number is in the tables below")
    body = _grid(axis, height) + "".join(_bar(b, axis, TOP + STEP * n) for n, b in enumerate(bars))
    return (
        f'<figure class="rf-figure"><figcaption>{text(title)} ({kind} axis)</figcaption><svg class="rf-svg" role="img" '
        f'aria-label="{said}" viewBox="0 0 {WIDTH:g} {height:g}">{body}</svg></figure>'
    )


def _grid(axis: Axis, height: float) -> str:
    """Marks in mm below and in inch above, with thin lines."""
    parts = []
    for value in axis.marks():
        x = axis.at(value)
        zero = " rf-zero" if value == 0 else ""
        parts.append(f'<path class="rf-grid{zero}" d="M{x:.1f} {TOP - 6:g}V{height - 20:g}"/>')
        parts.append(f'<text class="rf-mark" x="{x:.1f}" y="{height - 8:g}">{number(value)}</text>')
    for value in axis.marks(INCH, 6):
        x = axis.at(value * INCH)
        parts.append(f'<path class="rf-tick" d="M{x:.1f} {TOP - 10:g}v6"/>')
        parts.append(f'<text class="rf-mark" x="{x:.1f}" y="{TOP - 14:g}">{number(value)}</text>')
    ends = f'<text class="rf-unit" x="{WIDTH:g}" y="{TOP - 14:g}">in</text>'
    return "".join(parts) + ends + f'<text class="rf-unit" x="{WIDTH:g}" y="{height - 8:g}">mm</text>'


def _bar(b: Bar, axis: Axis, y: float) -> str:
    room = LABEL - len(b.words)
    name = b.label if len(b.label) <= room else b.label[: room - 1].rstrip(", ") + "…"
    words = f'<text class="rf-words" x="{LEFT:g}" y="{y + 10:g}">{text(name)}</text>'
    words += f'<text class="rf-numbers" x="{RIGHT:g}" y="{y + 10:g}">{text(b.words)}</text>'
    return f"<g>{words}{''.join(_shapes(b, axis, y + 14))}</g>"


def _shapes(b: Bar, axis: Axis, y: float) -> Iterable[str]:
    """Wear zone, new range, single value and limit of a bar."""
    low = b.low if b.low is not None else axis.least
    high = b.high if b.high is not None else axis.most
    alone = b.low is None and b.high is None
    if b.limit is not None and not (alone and (b.one is not None or b.wears not in ("upper", "lower"))):
        start, end = (high, b.limit) if b.limit >= high else (b.limit, low)
        if alone:
            start, end = (axis.least, b.limit) if b.wears == "upper" else (b.limit, axis.most)
        if start < end:
            yield _box(axis, start, end, y, "wear")
    if not alone:
        yield _box(axis, low, high, y, "new")
        yield from (_zigzag(x, y) for x in _open_ends(b, axis))
    if b.one is not None:
        x = axis.at(b.one)
        yield f'<path class="rf-one" d="M{x:.1f} {y - 1:g}l4 6l-4 6l-4 -6z"/>'
    if b.limit is not None:
        x = axis.at(b.limit)
        yield _zigzag(x, y) if axis.off(b.limit) else f'<path class="rf-limit" d="M{x:.1f} {y - 3:g}v{BAND + 6:g}"/>'


def _open_ends(b: Bar, axis: Axis) -> Iterable[float]:
    if b.low is None or axis.off(b.low):
        yield axis.start
    if b.high is None or axis.off(b.high):
        yield axis.end


def _box(axis: Axis, start: float, end: float, y: float, kind: str) -> str:
    x, width = axis.at(start), max(axis.at(end) - axis.at(start), 1.2)
    return f'<rect class="rf-{kind}" x="{x:.1f}" y="{y:g}" width="{width:.1f}" height="{BAND:g}"/>'


def _zigzag(x: float, y: float) -> str:
    return f'<path class="rf-zigzag" d="M{x:.1f} {y - 3:g}l-4 4l8 4l-8 4l4 4"/>'
