"""Ranges of one engine drawn to scale: what is new, what wear may take, where the limit lies."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from statistics import median_high

from ..dataset import Dataset
from ..rows import Row
from ..shown import label, limit, models_of, places_of, span
from .axes import INCH, Axis, Ends, number
from .both_units import numbers, shown
from .engine_lines import meant
from .html import text

MOST = 24
"""Bars that a drawing has; along a bar's strip everything is a share of its width, in per cent."""

MOST_WORDS = 30
"""Letters beyond which the models of a bar are not named one by one: its line in the tables names them."""

PATTERNS = (
    '<svg class="rf-defs" width="0" height="0" aria-hidden="true" focusable="false"><defs>'
    '<pattern id="rf-hatch" width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<path class="rf-stroke" d="M0 0V5"/></pattern>'
    '<pattern id="rf-dots" width="5" height="5" patternUnits="userSpaceOnUse">'
    '<circle class="rf-dot" cx="1.5" cy="1.5" r=".9"/></pattern></defs></svg>'
)
"""Hatching for the new range, dots for wear that is allowed: once a page."""

LEGEND = (
    '<p class="rf-legend"><span><span class="rf-key rf-key-new"></span>new range</span> '
    '<span><span class="rf-key rf-key-wear"></span>wear allowed</span> '
    '<span><span class="rf-key rf-key-limit"></span>wear limit</span> '
    '<span><span class="rf-key rf-key-one"></span>single value</span> '
    "a bar that runs out of the drawing ends in a zigzag</p>"
)


@dataclass(frozen=True)
class Bar(Ends):
    """A range to draw, in mm: its words, the side that wear goes to (`upper`, `lower`, or another word), and the
    attributes that say for which engines alone it is.
    """

    label: str
    words: str
    wears: str
    meant: str = ""


def bar(row: Row, data: Dataset) -> Bar:
    """A row of a length as a bar."""
    named = f"{label(row, data)}, {places_of(row, data)}".removesuffix(", all")
    for models in models_of(row, data):
        named = named.replace(models, "some models") if len(models) > MOST_WORDS else named
    wears = data.quantities[row.item]["limit_side"]
    words = span(row) or f"limit {limit(row)}"
    return Bar(*numbers(row, data), named, shown(words), wears, meant(data, row))


def drawn(data: Dataset, rows: Iterable[Row]) -> str:
    """Drawings of an engine's rows: fits with clearance, fits about zero, few sizes by how closely they are held."""
    lengths = [r for r in rows if data.quantities[r.item]["dimension"] == "length" and r["unit"]]
    fits = _once(bar(r, data) for r in lengths if r.table == "clearances")
    sizes = _once(bar(r, data) for r in lengths if r.table == "sizes")
    clear = [b for b in fits if b.values and min(b.values) >= 0 and max(b.values) > 0]
    about = [b for b in fits if b.values and min(b.values) < 0]
    held = [_from_middle(b) for b in sizes if b.low is not None and b.high is not None and b.high > b.low]
    held = held if len(held) <= MOST else []
    parts = [
        _pictures("Clearances and forms", "logarithmic", clear, _log_axis),
        _pictures("Fits that can be tight, and heights about zero", "linear", about, _even_axis),
        _pictures("How closely sizes are held, from the middle of the new range", "linear", held, _even_axis),
    ]
    return f'{PATTERNS}{LEGEND}<div class="rf-figures">{"".join(parts)}</div>' if any(parts) else ""


def _once(bars: Iterable[Bar]) -> list[Bar]:
    """Bars without those that say the same as one before, to a thousandth of a millimetre."""
    found: dict[tuple[object, ...], Bar] = {}
    for b in bars:
        ends = (None if v is None else round(v, 3) for v in (b.low, b.high, b.one, b.limit))
        found.setdefault((b.label, b.meant, *ends), b)
    return list(found.values())


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
    return Axis(min(values) / 1.6, max(values) * 1.3, 0.0, 100.0, log=True)


def _even_axis(bars: Sequence[Bar]) -> Axis:
    """A linear axis, the same to both sides of zero; what lies far beyond the others is broken off."""
    extents = [max(map(abs, b.values)) for b in bars]
    reach = min(max(extents), 4 * median_high(extents)) * 1.1
    return Axis(-reach, reach, 0.0, 100.0)


def _pictures(title: str, kind: str, bars: Sequence[Bar], axis: Callable[[Sequence[Bar]], Axis]) -> str:
    """Drawings of so many bars each that one fits on paper, all to one scale."""
    parts = [bars[n : n + MOST] for n in range(0, len(bars), MOST)]
    names = [f"{title}, {n} of {len(parts)}" if len(parts) > 1 else title for n in range(1, len(parts) + 1)]
    return "".join(_picture(n, kind, part, axis(bars)) for n, part in zip(names, parts, strict=True))


def _picture(title: str, kind: str, bars: Sequence[Bar], axis: Axis) -> str:
    """Bars on an axis as a list: each with its name, the bar, its numbers; in both units above and below."""
    net = "".join(_net(axis.at(v), v == 0) for v in axis.marks())
    body = "".join(_bar(b, axis) for b in bars)
    return (
        f'<figure class="rf-figure rf-drawn"><figcaption>{text(title)} ({kind} axis)</figcaption>'
        f'{_scale(axis, INCH, "in")}<div class="rf-net"><svg aria-hidden="true">{net}</svg></div>'
        f"<ul>{body}</ul>{_scale(axis, 1.0, 'mm')}</figure>"
    )


def _net(x: float, zero: bool) -> str:
    return f'<line class="rf-grid{" rf-zero" if zero else ""}" x1="{x:.2f}%" x2="{x:.2f}%" y1="0" y2="100%"/>'


def _scale(axis: Axis, unit: float, name: str) -> str:
    """Marks of an axis in a unit (1 of it is `unit` mm)."""
    marks = axis.marks(unit, 6)
    told = "".join(f'<text class="rf-mark" x="{axis.at(v * unit):.2f}%" y="12">{number(v)}</text>' for v in marks)
    return f'<p class="rf-scale" aria-hidden="true"><svg>{told}</svg><b>{name}</b></p>'


def _bar(b: Bar, axis: Axis) -> str:
    shapes = "".join(_shapes(b, axis))
    picture = f"<svg>{shapes}</svg>"
    return f"<li{b.meant}><span>{text(b.label)}</span>{picture}<b>{text(b.words)}</b></li>"


def _shapes(b: Bar, axis: Axis) -> Iterable[str]:
    """Wear zone, new range, single value and limit of a bar."""
    low = b.low if b.low is not None else axis.least
    high = b.high if b.high is not None else axis.most
    alone = b.low is None and b.high is None
    if b.limit is not None and not (alone and (b.one is not None or b.wears not in ("upper", "lower"))):
        start, end = (high, b.limit) if b.limit >= high else (b.limit, low)
        if alone:
            start, end = (axis.least, b.limit) if b.wears == "upper" else (b.limit, axis.most)
        if start < end:
            yield _box(axis, start, end, "wear")
    if not alone:
        yield _box(axis, low, high, "new")
        yield from (_zigzag(x) for x in _open_ends(b, axis))
    if b.one is not None:
        yield _at(axis.at(b.one), '<path class="rf-one" d="M0 2l4 6l-4 6l-4 -6z"/>')
    if b.limit is not None:
        x = axis.at(b.limit)
        line = f'<rect class="rf-limit" x="{x:.1f}%"/>'
        yield _zigzag(x) if axis.off(b.limit) else line


def _at(x: float, shape: str) -> str:
    """A shape of fixed size at a place along the strip."""
    return f'<svg x="{x:.1f}%">{shape}</svg>'


def _open_ends(b: Bar, axis: Axis) -> Iterable[float]:
    if b.low is None or axis.off(b.low):
        yield axis.start
    if b.high is None or axis.off(b.high):
        yield axis.end


def _box(axis: Axis, start: float, end: float, kind: str) -> str:
    x, width = axis.at(start), axis.at(end) - axis.at(start)
    return f'<rect class="rf-{kind}" x="{x:.1f}%" width="{width:.1f}%"/>'


def _zigzag(x: float) -> str:
    return _at(x, '<path class="rf-zigzag" d="M0 0l-4 4l8 4l-8 4l4 4"/>')
