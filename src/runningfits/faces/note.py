"""The page for the machinist: what was found, what is wanted, how it is held, what goes along."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from .. import choosing, shown
from ..cautions import CAUTIONS
from ..choosing import Choice
from ..dataset import Dataset
from ..judging import values
from ..judging.between import sizes_read
from ..judging.bounds import Bounds, bounds, together
from ..judging.cases import Bench
from ..judging.naming import misprints, place_words
from ..judging.values import Value
from ..scale import USUAL_STEPS, Scale
from ..sheets.blank import engine_unit
from . import row_words, templating, words
from .remedy_words import remedy_lines
from .report import head_fields

HEADS = ("Place", "Found, mean ± U", "in the other unit", "Smallest to largest read", "To take off", "Measured after")


@dataclass(frozen=True)
class Spot:
    """A size at a place: its mean, the ends of its readings (SI), the rows that say what is wanted, their window."""

    position: str
    found: Value
    least: Fraction
    most: Fraction
    choice: Choice
    wanted: Bounds | None


def page(result: dict[str, Any], bench: Bench) -> str:
    """HTML of the note of a judged sheet: one page for a usual engine, everything in it."""
    title = result["title"] or result["engine_words"]
    return templating.page(
        "note.html",
        title=f"{title}: for the machinist",
        heading=f"For the machinist: {title}",
        fields=head_fields(result, bench.sheet.values),
        sections=list(_sections(bench)),
        remedies=_remedies(result),
        missing=". ".join(words.missing_lines(result)),
        cautions=[" ".join(CAUTIONS)],
    )


def count(bench: Bench) -> int:
    """How many lines its tables have: the places of the sizes that were read."""
    return sum(len(spots) for spots in _spots(bench).values())


def _sections(bench: Bench) -> Iterator[dict[str, Any]]:
    """A table for each size that was read, in measuring order."""
    data, scales = bench.data, _scales(bench)
    for size, spots in _spots(bench).items():
        wanted = [_wanted(spot, scales, data) for spot in spots]
        alike = len(set(wanted)) == 1
        rows = [_cells(spot, size, scales, data) for spot in spots]
        yield {
            "title": data.quantities[size]["label"],
            "wanted": wanted[0] if alike else "",
            "heads": HEADS if alike else (*HEADS[:4], "Wanted", *HEADS[4:]),
            "rows": [[*c[:4], *([] if alike else [w]), c[4], ""] for c, w in zip(rows, wanted, strict=True)],
            "about": list(_about(size, spots, bench)),
        }


def _spots(bench: Bench) -> dict[str, list[Spot]]:
    quantities = bench.data.quantities
    read = [(k, r) for k, r in sizes_read(bench).items() if quantities[k[0]]["kind"] == "size"]
    found: dict[str, list[Spot]] = {}
    for (size, part, position), readings in sorted(read, key=lambda e: int(quantities[e[0][0]]["order"])):
        mean = values.part_value(readings, "mean", bench.means, part in ("bore", "shaft"))
        assert mean is not None
        choice = choosing.choose(bench.data, bench.engine, bench.build, size, position)
        wanted = together([bounds(r, bench.data) for r in choice.rows]) if choice.rows else None
        ends = [r.value for r in readings]
        found.setdefault(size, []).append(Spot(position, mean, min(ends), max(ends), choice, wanted))
    return found


def _scales(bench: Bench) -> tuple[Scale, Scale]:
    """Both units of length, that of the engine first."""
    first = engine_unit(bench.data, bench.engine)
    names = (first, "mm" if first == "in" else "in")
    one, other = (Scale(n, bench.data.units[n].factor, USUAL_STEPS[n]) for n in names)
    return one, other


def _cells(spot: Spot, size: str, scales: tuple[Scale, Scale], data: Dataset) -> list[str]:
    shaft = data.quantities[size]["limit_side"] == "lower"
    found = [f"{s.text(spot.found.value, 1)} ± {s.up(spot.found.expanded)} {s.unit}" for s in scales]
    read = f"{scales[0].text(spot.least, 1)} to {scales[0].text(spot.most, 1)} {scales[0].unit}"
    return [place_words(spot.position, data), *found, read, _off(spot, shaft, scales)]


def _ends(spot: Spot) -> tuple[Fraction, Fraction] | None:
    """The window of a size by the stricter of what is printed; None where no page prints both ends."""
    wanted = spot.wanted
    return (wanted.low.strict, wanted.high.strict) if wanted and wanted.low and wanted.high else None


def _wanted(spot: Spot, scales: tuple[Scale, Scale], data: Dataset) -> str:
    """Window in both units with its page, else why there is none."""
    choice = spot.choice
    if choice.asked:
        return "; ".join(a.words for a in choice.asked)
    if not choice.rows:
        return choice.why
    row, ends = choice.rows[0], _ends(spot)
    if ends is None:
        printed = " / ".join(filter(None, shown.range_text(row, data)))
        return f"{row_words.starred(printed, misprints(row))} [{row.cite.text}]"
    window = "; ".join(f"{s.text(ends[0], 1)} to {s.text(ends[1], 1)} {s.unit}" for s in scales)
    return f"{window}{row_words.marked(list(row.marks))} [{row.cite.text}]"


def _off(spot: Spot, shaft: bool, scales: tuple[Scale, Scale]) -> str:
    """What is to be taken off the mean to lie in the window; that metal is missing, or that nothing is to be done."""
    ends = _ends(spot)
    if ends is None:
        return ""
    mean = spot.found.value
    least, most = (mean - ends[1], mean - ends[0]) if shaft else (ends[0] - mean, ends[1] - mean)
    if most < 0:
        return "metal is missing"
    if least <= 0:
        return "inside"
    return "; ".join(f"{s.text(least, 1)} to {s.text(most, 1)} {s.unit}" for s in scales)


def _about(size: str, spots: list[Spot], bench: Bench) -> Iterator[str]:
    """Side to aim for, forms that must hold, how it is held, what goes along."""
    data, quantity = bench.data, bench.data.quantities[size]
    if any(_ends(s) for s in spots) and quantity["limit_side"] != "both":
        side = "largest" if quantity["limit_side"] == "lower" else "smallest"
        yield f"Aim for the {side} that the window allows: wear goes the other way (common practice)."
    for form, row in _forms(size, bench):
        said = row_words.starred(" ".join(filter(None, shown.range_text(row, data))), misprints(row))
        yield f"{data.quantities[form]['label']}: {said} [{row.cite.text}]."
    part = data.keyed("repairs").get(quantity["repair"])
    if part and part["held"]:
        yield f"Held: {part['held']} (common practice)."
    if part:
        yield f"Bring along: {part['bring']} (common practice)."


def _forms(size: str, bench: Bench) -> Iterator[tuple[str, Any]]:
    """Forms of a size with the row that holds for this build."""
    for form, quantity in bench.data.quantities.items():
        if size in quantity["of"].split() and quantity["kind"] == "form":
            choice = choosing.choose(bench.data, bench.engine, bench.build, form, "1" if quantity["count"] else "all")
            if choice.row:
                yield form, choice.row


def _remedies(result: dict[str, Any]) -> list[str]:
    """What is out, each with what may be done with least work; alike ones in one line."""
    places: dict[tuple[str, str, str], list[str]] = {}
    for r in (r for r in result["results"] if r["remedies"]):
        options = "; ".join(remedy_lines(r)[0])
        places.setdefault((r["label"], words.verdict_words(r), options), []).append(words.place(r))
    return [f"{label}, {'; '.join(at)}: {verdict}; {options}" for (label, verdict, options), at in places.items()]
