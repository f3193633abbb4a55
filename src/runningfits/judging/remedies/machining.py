"""Remedies by machining: to a repair size, to suit the other part, until it cleans up, a face with what is left."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from ...build import Build, Size
from ...rows import Row
from .. import values
from .option import Change, Ends, Fit, Option, inside
from .trade_work import BINDING, COMMON, HONING, REPAIRS, Line, Work
from .trouble import SIDES, Printed, Trouble


@dataclass(frozen=True)
class Metal:
    """The worst of all places of a machined part: what machining must reach at least, in SI, and where it is."""

    value: Fraction
    place: str
    whole: bool


def machined(t: Trouble, part: str) -> tuple[str, str]:
    """The size that is machined of a repair part, and whether it is a bore or a shaft; empty where it is another."""
    cells = t.case.quantity
    side = "bore" if t.data.keyed("repairs")[part]["sign"] == "plus" else "shaft"
    if cells[SIDES["bore"]] or cells[SIDES["shaft"]]:
        names = cells[SIDES[side]].split()
    else:
        names = cells["of"].split() or [t.case.item]
    own = [n for n in names if _is_machined(t, n, part, side)]
    if not own and cells["kind"] != "size":
        own = [n for n in t.data.quantities if _is_machined(t, n, part, side)]
    there = [n for n in own if t.printed(n)]
    return (there or own or [""])[0], side


def _is_machined(t: Trouble, name: str, part: str, side: str) -> bool:
    cells = t.data.quantities[name]
    worn = "upper" if side == "bore" else "lower"
    return cells["repair"] == part and cells["share"] == "1" and cells["limit_side"] == worn


def metal(t: Trouble, item: str, side: str) -> Metal | None:
    """The largest bore or smallest shaft of all places, U included; None where none was measured."""
    found = []
    for place, readings in t.readings_of(item, side):
        way = "largest" if side == "bore" else "smallest"
        made = values.part_value(list(readings), way, t.bench.means, True)
        if made:
            found.append((Fraction(made.most if side == "bore" else made.least), place))
    if not found:
        return None
    value, place = max(found) if side == "bore" else min(found)
    count = t.data.count(t.bench.engine, item, t.build.model or None)
    return Metal(value, place, bool(count) and len({p for _, p in found}) >= (count or 0))


def resized(t: Trouble, line: Line) -> Iterator[Option]:
    """Machining to each repair size that the data name, the smallest that cleans the worst place first."""
    part = line.part or t.case.quantity["repair"]
    if not part:
        return
    item, side = machined(t, part)
    if not item:
        return
    work, worst = REPAIRS[part], metal(t, item, side)
    sizes = t.sizes(part)
    for number, (size, row) in enumerate(sizes):
        option = _to_size(t, line.effort + number, work, (part, item, side), size, row, worst)
        if option:
            yield option
    if not sizes and part in COMMON:
        text = f"{work.verb} to a common {work.size_word} ({COMMON[part]}), of which none is in the data: ask the "
        text += f"maker's book, and measure first: {work.reckoned}"
        yield Option(work.action, text, line.effort, drags=work.drags, general=True)


def _to_size(
    t: Trouble,
    effort: int,
    work: Work,
    of: tuple[str, str, str],
    size: Size,
    row: Row,
    worst: Metal | None,
) -> Option | None:
    part, item, side = of
    build = t.resized(part, size)
    then = t.printed(t.case.item, build)
    page = t.printed(item, build)
    target = page if page and (page.bounds.fresh or page.bounds.limit is None) else _for_mate(t, build, then, side)
    if target is None:
        words, cites = t.by_answer(item, build)
        told = f"the finished size, by what is fitted: {words}" if words else "its finished size is not in the data"
        text, pages = f"{work.verb} for {size.text}; {told}", (*cites, row.cite)
        return Option(work.action, text, effort, cites=pages, drags=work.drags, size=(part, size.text))
    window, permitted, why = _reaches(t, target, worst, side)
    change = t.change(item, window, target)
    text = f"{work.verb} {_plain(change).between} for {size.text}{work.with_parts}"
    text += _before_honing(t, window, target) if part == "cylinder" else ""
    ends = then.ends if then else None
    fit = _by_page(t, then, ends) if then and ends and permitted is not False else None
    cites = (*target.cites, row.cite, *(then.cites if then else ()))
    return Option(
        work.action, text, effort, fit, (change,), (part, size.text), work.drags, cites, permitted=permitted, why=why
    )


def _plain(change: Change) -> Change:
    """A window in the digits of its page, rounded inwards, where these leave one."""
    low, high = inside(change.ends, change.scale, 1)
    whole = low is None or high is None or Fraction(low) < Fraction(high)
    return replace(change, finer=1) if whole else change


def _for_mate(t: Trouble, build: Build, then: Printed | None, side: str) -> Printed | None:
    """The finished bore for the printed part of a size that runs in it: that part and the clearance."""
    for name in t.case.quantity["inner"].split() if side == "bore" and then else ():
        mate = t.printed(name, build)
        if mate and then and None not in (*mate.ends, *then.ends):
            (low, high), (least, most) = mate.ends, then.ends
            ends = high + least, low + most  # type: ignore[operator]
            middle = (ends[0] + ends[1]) / 2
            return replace(mate, ends=ends if ends[0] <= ends[1] else (middle, middle))
    return None


def _by_page(t: Trouble, then: Printed, ends: Ends) -> Fit:
    """What the pages promise when the part and its mate are of the new size; a form comes down to what is wanted."""
    return t.fit(ends, 0.0, then)


def _reaches(t: Trouble, target: Printed, worst: Metal | None, side: str) -> tuple[Ends, bool | None, str]:
    """The window that the metal leaves of a printed one, whether there is one, and on what that rests."""
    if worst is None:
        return target.ends, None, f"measure every place first: each must be {_BEYOND[side]} this"
    left = _left(target.ends, worst.value, side)
    place = t.data.place_words(worst.place)
    shown = t.one(worst.value)
    why = f"the {'largest' if side == 'bore' else 'smallest'} reading, U included, is {shown} at {place}"
    if left[0] is not None and left[1] is not None and left[0] > left[1]:
        return target.ends, False, f"no metal left: {why}"
    return left, True if worst.whole else None, why + ("" if worst.whole else "; the other places were not measured")


def _left(ends: Ends, worst: Fraction, side: str) -> Ends:
    """What of a window can still be reached from the worst place."""
    low, high = ends
    if side == "bore":
        return worst if low is None else max(low, worst), high
    return low, worst if high is None else min(high, worst)


_BEYOND = {"bore": "smaller than", "shaft": "larger than"}


def _before_honing(t: Trouble, window: Ends, target: Printed) -> str:
    low, high = window
    if low is None or high is None:
        return ""
    allowance = honing(t)
    bored = t.change("cylinder-bore", ((low + high) / 2 - allowance,) * 2, target)
    return f"; bore to {replace(bored, finer=10).text}, {t.one(allowance)} for honing"


def honing(t: Trouble) -> Fraction:
    """Honing allowance of the sheet, else what is usual."""
    sheet = t.bench.sheet.values
    if "honing_allowance" not in sheet:
        return HONING
    return Fraction(sheet["honing_allowance"]) * t.data.units[sheet.get("honing_unit", t.scale.unit)].factor


def suited(t: Trouble, line: Line) -> Iterator[Option]:
    """One part machined to suit the other as it was measured: a bore honed, a journal ground in these shells."""
    side = line.part
    other = t.sides.get("shaft" if side == "bore" else "bore")
    low, high = t.ends
    if other is None or low is None or high is None:
        return
    name = t.case.quantity[SIDES[side]].split()
    item = next((n for n in name if t.printed(n)), name[0] if name else "")
    if not item:
        return
    ends = (other.value + low, other.value + high) if side == "bore" else (other.value - high, other.value - low)
    window, permitted, why, cites = _allowed(t, item, ends, side)
    change = t.change(item, window)
    text = line.text.format(window=_plain(change).between) + _taken(t, item, window)
    assert window[0] is not None and window[1] is not None
    middle = (window[0] + window[1]) / 2
    given = middle - other.value if side == "bore" else other.value - middle
    fit = t.fit((given, given)) if permitted is not False else None
    yield Option(line.action, text, line.effort, fit, (change,), None, line.drags, cites, line.general, permitted, why)


def _taken(t: Trouble, item: str, window: Ends) -> str:
    """Whether honing alone does it, for a cylinder that was measured."""
    own = t.sides.get("bore")
    if own is None or t.data.quantities[item]["repair"] != "cylinder" or window[0] is None or window[1] is None:
        return ""
    least, allowance = max(window[0] - own.value, Fraction(0)), honing(t)
    if least <= allowance:
        return f"; {t.one(least)} at least comes off: honing does it"
    bored = (window[0] + window[1]) / 2 - allowance
    return f"; {t.one(least)} at least comes off, more than honing takes: bore to {t.one(bored)} first"


def _allowed(t: Trouble, item: str, ends: Ends, side: str) -> tuple[Ends, bool | None, str, tuple]:  # type: ignore[type-arg]
    """What the pages of a part leave of a window: a part may not be machined beyond its own limit."""
    page = t.printed(item)
    low, high = ends
    assert low is not None and high is not None
    own = t.sides.get(side)
    if own is not None:
        low, high = (max(low, own.value), high) if side == "bore" else (low, min(high, own.value))
    if page is None:
        return (low, high), None, "no range of that part in the data: ask the maker's book", ()
    fresh = page.bounds.low, page.bounds.high
    worn = page.bounds.wear_low, page.bounds.wear_high
    for limits, why in ((fresh, "inside that part's own new range"), (worn, "inside that part's wear limit alone")):
        least = max([low, *(e.strict for e in limits[:1] if e)])
        most = min([high, *(e.strict for e in limits[1:] if e)])
        if least <= most and (page.bounds.fresh or limits is worn):
            return (least, most), True if own is not None else None, why, page.cites
    why = f"the page's own range of the {t.data.quantities[item]['label'].lower()} forbids it"
    return ends, False, why, page.cites


def cleaned(t: Trouble, line: Line) -> Iterator[Option]:
    """A part machined only until it is round and straight: what is then left, by its own row and in its fit."""
    part = t.case.quantity["repair"]
    if not part:
        return
    item, side = machined(t, part)
    own = next((r for p, r in t.readings_of(item, side) if p == t.case.position), None) if item else None
    page = t.printed(item) if item else None
    if own is None or page is None:
        return
    way = "largest" if side == "bore" else "smallest"
    made = values.part_value(list(own), way, t.bench.means, True)
    if made is None:
        return
    at = Fraction(made.most if side == "bore" else made.least)
    fit = t.fit((at, at), 0.0, page)
    allowed = fit.meets in ("new", "wear-limit")
    change = t.change(item, (at, None) if side == "bore" else (None, at))
    label = t.data.quantities[item]["label"].lower()
    why = f"the {label} is then {t.one(at)} or {'more' if side == 'bore' else 'less'}: "
    why += {"new": "inside its new range", "wear-limit": "inside its wear limit"}.get(fit.meets, "beyond its limit")
    text = line.text.format(label=label)
    yield Option(
        line.action, text, line.effort, None, (change,), drags=line.drags, cites=page.cites, permitted=allowed, why=why
    )


def surfaced(t: Trouble, line: Line) -> Iterator[Option]:
    """A face machined flat, with what the page lets be taken off."""
    off = Fraction(max(t.value.most, 0)) if not t.value.least_only else t.value.value
    most, least = t.printed("head-material-removal"), t.printed("head-thickness")
    text = line.text.format(amount=t.one(off))
    cites: tuple = ()  # type: ignore[type-arg]
    permitted, why = None, "how much may be taken off is not in the data; nor is the present thickness on the sheet"
    if most and most.ends[1] is not None and t.case.item == BINDING:
        left = most.ends[1] - off
        permitted, cites = left >= 0, most.cites
        why = f"at most {t.one(most.ends[1])} in all may come off: {t.one(max(left, Fraction(0)))} is left of it"
        why += "; what was taken off before counts, and what the page's note adds"
    measured = list(t.readings_of("head-thickness", "shaft")) if t.case.item == BINDING else []
    if least and least.ends[0] is not None and measured:
        thick = values.part_value(list(measured[0][1]), "smallest", t.bench.means, True)
        if thick:
            rest = Fraction(thick.least) - off - least.ends[0]
            permitted, cites = permitted is not False and rest >= 0, (*cites, *least.cites)
            why += f"; {t.one(abs(rest))} {'above' if rest >= 0 else 'below'} the least thickness afterwards"
    fit = t.fit((Fraction(0), t.ends[1]), 0.0) if permitted is not False and t.ends[1] is not None else None
    yield Option(line.action, text, line.effort, fit, (), None, line.drags, cites, permitted is None, permitted, why)
