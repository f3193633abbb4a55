"""What to do about a fit that is out, with numbers."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import pi

from ..build import Build
from ..choosing import true_for
from ..dataset import Dataset
from ..resolving import size_of
from ..rows import Row
from ..scale import Scale
from .bounds import bounds

HONING = Fraction(5, 100000)
"""Honing allowance where the sheet gives none: 0.05 mm (common practice)."""


@dataclass(frozen=True)
class Out:
    """A fit that is out: measured value, bore and shaft where they were measured (SI), range, side and uncertainty."""

    item: str
    engine: str
    position: str
    verdict: str
    value: Fraction
    bore: Fraction | None
    shaft: Fraction | None
    low: Fraction
    high: Fraction
    expanded: float
    scale: Scale
    data: Dataset
    build: Build
    honing: Fraction | None

    @property
    def middle(self) -> Fraction:
        """Middle of the range."""
        return (self.low + self.high) / 2

    def span(self, low: Fraction, high: Fraction) -> str:
        """Two ends with the unit."""
        return f"{self.scale.text(low)} to {self.scale.text(high)} {self.scale.unit}"

    def one(self, value: Fraction) -> str:
        """A number with the unit."""
        return f"{self.scale.text(value)} {self.scale.unit}"


COMMON_UNDERSIZE = Fraction(254, 10**6)
"""Undersize where the dataset prints none: 0.010 in (common practice)."""

HALF = (
    "one half of a 0.001 in undersize set with a standard half, where the maker allows mixed halves "
    "(thick half on the loaded side)"
)

Option = dict[str, object]


def options(case: Out) -> list[Option]:
    """Remedies in the order in which they are tried; empty where the dataset's trade notes have none."""
    maker = _MAKERS.get(case.item)
    return [o for o in maker(case) if o] if maker else []


def _option(action: str, text: str, case: Out, result: Fraction | None = None) -> Option:
    """An option; `result` is the fit that it would give."""
    option: Option = {"action": action, "text": text}
    if result is not None:
        option["result"] = case.scale.text(result)
        option["unit"] = case.scale.unit
        option["uncertainty"] = case.scale.up(case.expanded)
        option["inside"] = case.low <= result <= case.high
    return option


def _bearing(case: Out) -> Iterator[Option]:
    journal = "main-journal-diameter" if case.item == "main-bearing-clearance" else "crankpin-diameter"
    if case.verdict != "tight":
        take = case.span(case.value - case.high, case.value - case.low)
        yield _option("thicker shells", f"shells whose two walls together are thicker by {take}", case)
        for amount, name in (
            (
                Fraction(127, 10**7),
                HALF,
            ),
            (Fraction(254, 10**7), "a 0.001 in undersize set"),
        ):
            yield _option("selective shells", f"{name}: takes up {case.one(amount)}", case, case.value - amount)
        yield from _undersizes(case, journal)
        return
    give = case.span(case.low - case.value, case.high - case.value)
    yield _option(
        "thinner shells", f"shells whose two walls together are thinner by {give}; never scrape or shim a shell", case
    )
    yield _option("correct the housing", f"or a housing bore larger by {give}, at full cap torque", case)
    if case.bore is not None:
        yield _option(
            "target journal",
            f"or a journal of {case.span(case.bore - case.high, case.bore - case.low)} in these shells",
            case,
            case.middle,
        )


def _undersizes(case: Out, journal: str) -> Iterator[Option]:
    """Grinding to each undersize that the maker prints: the target journal follows from the bore that was measured."""
    if case.bore is None:
        yield _option(
            "measure the bore",
            "for a grinding size measure the bore of the tightened bearing: "
            "target journal = bore of the undersize shell - wanted clearance",
            case,
        )
        return
    printed: list[tuple[Fraction, Row | None]] = [*_repairs(case, journal)] or [(COMMON_UNDERSIZE, None)]
    for amount, row in printed:
        bore = case.bore - amount
        window = case.span(bore - case.high, bore - case.low)
        own = "a common undersize, none printed" if row is None else f"{size_of(row).text}, {row.cite.text}"
        text = f"grind to {case.one(bore - case.middle)} (window {window}) for shells {case.one(amount)} undersize"
        text += f" ({own}); all of a set together"
        yield _option("grind", text, case, case.middle)


def _repairs(case: Out, item: str) -> list[tuple[Fraction, Row]]:
    """Undersizes or oversizes that the dataset prints for a size, as amounts in SI, each once, the smallest first."""
    rows = true_for(case.data.rows(case.engine, item), case.data, case.build, sizes=False)
    found: dict[Fraction, Row] = {}
    for row in rows:
        if row["size"]:
            found.setdefault(abs(Fraction(row["size"])) * case.data.units[row["unit"]].factor, row)
    return sorted(found.items(), key=lambda pair: pair[0])


def _end_play(case: Out) -> Iterator[Option]:
    if case.verdict != "tight":
        take = case.span(case.value - case.high, case.value - case.low)
        yield _option(
            "thicker thrust set",
            f"thrust washers or a thrust bearing thicker in all by {take}, both halves of a side alike; "
            f"aim for {case.one(case.value - case.middle)}",
            case,
            case.middle,
        )
        return
    give = case.span(case.low - case.value, case.high - case.value)
    yield _option(
        "seat again",
        "slacken the thrust cap, pry the shaft both ways to seat the thrust faces, tighten, and measure again",
        case,
    )
    yield _option(
        "relieve", f"if it stays: thrust faces thinner in all by {give}, as the maker allows", case, case.middle
    )


def _ring_gap(case: Out) -> Iterator[Option]:
    if case.verdict == "tight":
        remove = case.span(case.low - case.value, case.high - case.value)
        yield _option(
            "file", f"file the ends square: take off {remove}, a little at a time, and deburr", case, case.middle
        )
        return
    grown = Fraction((case.value - case.high) / Fraction(pi))
    yield _option("check the ring", "is it the ring of this bore and groove? try another of the set", case)
    yield _option(
        "check the bore",
        f"the gap is {case.one(case.value - case.high)} over: "
        f"a bore {case.one(grown)} larger than it should be gives as much",
        case,
    )
    yield _option("next oversize", "fit the next ring size, or bore to the next oversize with its own rings", case)


def _piston(case: Out) -> Iterator[Option]:
    honing = case.honing if case.honing is not None else HONING
    if case.verdict != "tight":
        take = case.span(case.value - case.high, case.value - case.low)
        yield _option("select a piston", f"a piston larger by {take}", case)
        for _, row in _repairs(case, "piston-skirt-diameter"):
            size = bounds(row, case.data)
            if size.low is not None and size.high is not None:
                yield from _bore_to(
                    case, (size.low.strict + size.high.strict) / 2, f"{size_of(row).text}, {row.cite.text}", honing
                )
        yield _option(
            "bore",
            "or bore all cylinders to one oversize that cleans the worst: finished size = measured piston + clearance",
            case,
        )
        return
    if case.shaft is not None:
        yield from _bore_to(case, case.shaft, "this piston", honing)


def _bore_to(case: Out, piston: Fraction, name: str, honing: Fraction) -> Iterator[Option]:
    low, high = piston + case.low, piston + case.high
    text = f"finished bore {case.span(low, high)} for a piston of {case.one(piston)} ({name}); "
    text += (
        f"bore to {case.one((low + high) / 2 - honing)}, {case.one(honing)} for honing; measure the piston itself first"
    )
    yield _option("bore and hone", text, case, case.middle)


_MAKERS: dict[str, Callable[[Out], Iterator[Option]]] = {
    "main-bearing-clearance": _bearing,
    "rod-bearing-clearance": _bearing,
    "crank-end-play": _end_play,
    "cam-end-play": _end_play,
    "ring-gap": _ring_gap,
    "piston-clearance": _piston,
}
