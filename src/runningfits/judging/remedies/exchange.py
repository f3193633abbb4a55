"""Remedies by other parts: a new one, another grade, thicker or thinner pieces, what a maker's table pairs."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import chain

from ...here import Here
from ...resolving import admits, size_of
from ...rows import Row
from ..bounds import bounds
from .option import Ends, Fit, Option
from .trade_work import Line
from .trouble import SIDES, Printed, Trouble, wanted

SIDES_OF = {1: ", on one side alone", 2: ", on both sides"}
"""Where one or two pieces go, of a play that pieces on two sides set."""

OTHER_SIDE = {"bore": "shaft", "shaft": "bore"}


def said(t: Trouble, line: Line) -> Iterator[Option]:
    """Advice with the amount that is wanted, without a result of its own."""
    yield _option(t, line, line.text.format(amount=t.amounts), general=line.general)


def adjusted(t: Trouble, line: Line) -> Iterator[Option]:
    """A play that is set, filed or shimmed by the amount that is wanted."""
    yield _option(t, line, line.text.format(amount=t.amounts), general=line.general, fit=t.fit(t.aim))


def renewed(t: Trouble, line: Line) -> Iterator[Option]:
    """A new part of what pages print, against the other part as it was measured."""
    if not line.part:
        yield from _itself(t, line)
        return
    part = line.part
    for name in t.case.quantity[SIDES[part]].split():
        new = t.printed(name)
        if new and None not in new.ends:
            option = _with(t, line, name, part, new)
            if option.fit is None or option.fit.meets != "outside" or _nearer(t, option.fit):
                yield option
            return
        words, cites = t.by_answer(name)
        if words:
            if t.sides.get(OTHER_SIDE[part]) is None or not any(_grades(t, name)):
                label = t.data.quantities[name]["label"].lower()
                text = f"a new part, {label} by what is fitted: {words}"
                yield _option(t, line, line.text.format(new=text), cites=cites)
            return
    larger = (part == "bore") != t.large
    text = f"the {_label(t, part)} {'larger' if larger else 'smaller'} by {t.amounts}; a new one's is not in the data"
    yield _option(t, line, line.text.format(new=text), general=True)


def _nearer(t: Trouble, fit: Fit) -> bool:
    """Whether a fit that is still outside is at least nearer than the measured one."""
    end = t.ends[1] if t.large else t.ends[0]
    return end is not None and max(abs(e - end) for e in fit.ends if e is not None) < abs(t.value.value - end)


def _with(t: Trouble, line: Line, name: str, part: str, new: Printed) -> Option:
    """The fit with a new part, where the other was measured."""
    other = t.sides.get(OTHER_SIDE[part])
    change = t.change(name, new.ends, new)
    text = line.text.format(new=f"a new part, {t.data.quantities[name]['label'].lower()} {change.text}")
    if other is None:
        left = _label(t, OTHER_SIDE[part])
        return _option(t, line, text, cites=new.cites, changes=(change,), why=f"the {left} was not measured")
    fit = t.fit(against(other.value, new.ends, part), other.expanded)
    return _option(t, line, text, cites=new.cites, changes=(change,), fit=fit)


def against(other: Fraction, ends: Ends, part: str) -> Ends:
    """Clearance of a bore or shaft between two ends against the other part."""
    low, high = ends
    assert low is not None and high is not None
    return (low - other, high - other) if part == "bore" else (other - high, other - low)


def _itself(t: Trouble, line: Line) -> Iterator[Option]:
    """A new part that is measured by itself."""
    if t.ends == (None, None):
        return
    printed = Printed(t.ends, t.bounds, tuple(r.row for r in t.judged.tried.trials if r.row))
    change = t.change(t.case.item, t.ends, printed)
    text = line.text.format(new=f"another part, {t.case.quantity['label'].lower()} {change.text}")
    yield _option(t, line, text, cites=printed.cites, changes=(change,), fit=t.fit(t.ends, 0.0), general=line.general)


def graded(t: Trouble, line: Line) -> Iterator[Option]:
    """Grades of a part that pages print, each against the other part as it was measured; only those that help."""
    part = line.part
    other = t.sides.get(OTHER_SIDE[part])
    if other is None:
        return
    for name in t.case.quantity[SIDES[part]].split():
        for row, words in _grades(t, name):
            ends = wanted(bounds(row, t.data))
            if None in ends:
                continue
            fit = t.fit(against(other.value, ends, part), other.expanded)
            if fit.meets != "outside":
                change = t.change(name, ends, Printed(ends, bounds(row, t.data), (row,)))
                label = t.data.quantities[name]["label"].lower()
                text = line.text.format(new=f"{words}, {label} {change.text}")
                yield _option(t, line, text, cites=(row.cite,), changes=(change,), fit=fit)


def _grades(t: Trouble, name: str) -> Iterator[tuple[Row, str]]:
    """Selective rows of a size at this place, whatever grade is fitted, with their marks in words."""
    family = t.data.family(t.bench.engine)
    here = Here(t.data, family, t.bench.engine, name, t.case.position)
    for row in t.data.rows(t.bench.engine, name):
        asked = family.speaks(row).parts
        build = replace(t.build, fitted={q: a for q, a in t.build.fitted.items() if q not in asked})
        there = row["position"] == "all" or t.data.is_at(row, t.case.position)
        graded_ = row.cells.get("class") in ("selective", "repair") and not row.cells.get("size") and asked
        if graded_ and there and admits(row, build, here):
            yield row, family.words(row["applies"])


def shells(t: Trouble, line: Line) -> Iterator[Option]:
    """Shells by their printed walls: in the measured housing on the measured journal, else against the present ones."""
    wall, before = t.wall, _before(t)
    if not wall or before is None:
        return
    space, expanded, why = before
    new = t.printed(wall)
    plain = [(r, "new shells") for r in new.rows[:1]] if new and t.housing else []
    for row, words in chain(plain, _grades(t, wall)):
        low, high = wanted(bounds(row, t.data))
        if low is None or high is None:
            continue
        fit = t.fit((space[0] - 2 * high, space[1] - 2 * low), expanded)
        if fit.meets != "outside":
            change = t.change(wall, (low, high), Printed((low, high), bounds(row, t.data), (row,)))
            text = line.text.format(new=f"{words}, wall {change.text}")
            yield _option(t, line, text, cites=(row.cite,), changes=(change,), fit=fit, why=why)


def _before(t: Trouble) -> tuple[tuple[Fraction, Fraction], float, str] | None:
    """Room for two walls and the clearance, with its U: of housing and journal, else by the present shells' grade."""
    shaft, bore = t.sides.get("shaft"), t.housing
    if shaft and bore:
        space = bore.value - shaft.value
        return (space, space), (bore.expanded**2 + shaft.expanded**2) ** 0.5, "by the measured housing and journal"
    family = t.data.family(t.bench.engine)
    for row, words in _grades(t, t.wall) if t.wall else ():
        ends = wanted(bounds(row, t.data))
        answers = {q: t.build.answer(q, t.case.position, family) for q in family.speaks(row).parts}
        if None not in ends and all(answers[q] in p for q, p in family.speaks(row).parts.items()):
            low, high = (t.value.value + 2 * e for e in ends if e is not None)
            return (low, high), t.expanded, f"from the present shells, {words}; {_WORN}"
    return None


def thinner_bore(t: Trouble, line: Line) -> Iterator[Option]:
    """Shells of a small printed undersize on the journal as it is: they take up at most their undersize."""
    part = t.case.quantity["repair"]
    for size, row in t.sizes(part):
        amount = abs(Fraction(size.value) * t.data.units[size.unit].factor)
        if amount > _SMALL:
            return
        fit = t.fit((t.value.value - amount,) * 2)
        text = line.text.format(new=f"shells {size.text} on the journal as it is take up {t.one(amount)}")
        yield _option(t, line, text, cites=(row.cite,), fit=fit, size=(part, size.text), why=_WORN)


_SMALL = Fraction(1, 10000)
"""Undersizes above this (0.1 mm) are for ground journals only."""


def pieces(t: Trouble, line: Line) -> Iterator[Option]:
    """Thicker or thinner pieces that pages print (washers, plates, shims), one or several alike."""
    base = t.printed(line.part) if line.piece_replaced else Printed((Fraction(0), Fraction(0)), t.bounds, ())
    if base is None or None in base.ends:
        return
    for row, words in [*_thicknesses(t, line.part), *_grades(t, line.part)]:
        low, high = wanted(bounds(row, t.data))
        if low is None or high is None:
            continue
        for count in line.counts:
            more = low - base.ends[1], high - base.ends[0]  # type: ignore[operator]
            moved = sorted(t.value.value + line.effect * count * m for m in more)
            fit = t.fit((moved[0], moved[1]))
            if fit.meets in ("new", "wear-limit", "agrees", "undecided") and _towards(t, moved):
                change = t.change(line.part, (low, high), Printed((low, high), bounds(row, t.data), (row,)))
                sides = SIDES_OF.get(count, "") if len(line.counts) > 1 else ""
                text = line.text.format(new=f"{words}, {change.text}{sides}")
                note = f"; the page says: {row['note']}" if row["note"] else ""
                why = "reckoned from present ones of the printed standard thickness" if line.piece_replaced else ""
                option = _option(t, line, text + note, cites=(row.cite,), changes=(change,), fit=fit, why=why)
                part = t.data.quantities[line.part]["repair"]
                yield replace(option, size=(part, size_of(row).text) if row.cells.get("size") else None)


def _towards(t: Trouble, moved: list[Fraction]) -> bool:
    return moved[0] < t.value.value if t.large else moved[1] > t.value.value


def _thicknesses(t: Trouble, name: str) -> Iterator[tuple[Row, str]]:
    """Rows of repair sizes of a piece, with the size in words."""
    part = t.data.quantities[name]["repair"]
    for size, _ in t.sizes(part) if part else ():
        new = t.printed(name, t.resized(part, size))
        if new and new.rows[0].cells.get("size"):
            yield new.rows[0], f"{t.data.quantities[name]['label'].lower()} for {size.text}"


def matching(t: Trouble, line: Line) -> Iterator[Option]:
    """A part that a maker's table gives for the measured value itself: a gasket by the protrusion."""
    for row, words in _grades(t, t.case.item):
        limits = bounds(row, t.data)
        fit = t.fit((t.value.value, t.value.value), by=Printed(wanted(limits), limits, (row,)))
        if fit.meets == "new":
            text = line.text.format(new=words)
            yield _option(t, line, text, cites=(row.cite,), fit=fit)


def halves(t: Trouble, line: Line) -> Iterator[Option]:
    """One thicker half: takes up half of a 0.001 in set (common practice)."""
    amount = Fraction(127, 10**7)
    fit = t.fit((t.value.value - amount,) * 2)
    if fit.meets != "outside":
        yield _option(t, line, line.text.format(amount=t.one(amount)), general=True, fit=fit, why=_WORN)


_WORN = "reckoned from the present shells: where those are worn, new ones take up more; measure again"


def _label(t: Trouble, part: str) -> str:
    names = t.case.quantity[SIDES[part]].split()
    return " or ".join(t.data.quantities[n]["label"].lower() for n in names) or part


def _option(t: Trouble, line: Line, text: str, **more: object) -> Option:
    return replace(Option(line.action, text, line.effort, drags=line.drags), **more)  # type: ignore[arg-type]
