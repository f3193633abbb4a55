"""Faults of a sheet's build: sizes and places that the engine does not have."""

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from .. import positions
from ..build import UNKNOWN, parsed, size_from, uneven
from ..choosing import NONE
from ..dataset import Dataset
from ..engine_models import MODEL, Family
from ..numerals import parse, shown
from . import part_sizes
from .faults import SheetFault, Step
from .placed import Sheet


def faults(sheet: Sheet, data: Dataset) -> Iterator[SheetFault]:
    """Faults of the build: sizes of the wrong sign, places that the model does not have, parts of another size."""
    family = data.family(sheet.values["engine"])
    wrong = [*_contradictions(sheet, family), *_size_faults(sheet, data), *_place_faults(sheet, data, family)]
    yield from wrong or part_sizes.faults(sheet, parsed(sheet.values.get("build", {}), data.units), data)


def _contradictions(sheet: Sheet, family: Family) -> Iterator[SheetFault]:
    """Answers that contradict what the model always has."""
    build = sheet.values.get("build", {})
    has = family.answers(build.get("model") or family.only_model)
    for question, answer in build.get("fitted", {}).items():
        for path, word in _answers(["build", "fitted", question], answer):
            if word not in (UNKNOWN, has.get(question, word)):
                yield _against(sheet, path, question, word, family)


def _against(sheet: Sheet, path: list[Step], question: str, word: str, family: Family) -> SheetFault:
    """An answer that contradicts what the model always has."""
    model = sheet.values["build"].get("model") or family.only_model
    has = family.answers(model)[question]
    expected = f'"{has}" ({family.label(question, has)}), which {family.label(MODEL, model)} always has'
    return SheetFault(sheet.place(path), f"{shown(word)} ({family.label(question, word)})", expected)


def _size_faults(sheet: Sheet, data: Dataset) -> Iterator[SheetFault]:
    repairs = data.keyed("repairs")
    for part, given in sheet.values.get("build", {}).get("size", {}).items():
        for path, text in _answers(["build", "size", part], given):
            size = size_from(text, data.units)
            if isinstance(size, str) or not size.value:
                continue
            line = repairs[part]
            if (size.value > 0) != (line["sign"] == "plus"):
                sign = "above" if line["sign"] == "plus" else "below"
                yield SheetFault(sheet.place(path), shown(text), f"a size {sign} 0 for the {line['label']}")
            elif abs(Fraction(size.value)) * data.units[size.unit].factor > Fraction(line["most"]) / 1000:
                expected = f"a repair size of the {line['label']}, at most {line['most']} mm either way"
                yield SheetFault(sheet.place(path), shown(text), expected)


def _place_faults(sheet: Sheet, data: Dataset, family: Family) -> Iterator[SheetFault]:
    """Places of answers beyond those of the model."""
    build = sheet.values.get("build", {})
    model = [build["model"]] if build.get("model") in family.models else []
    repairs = data.repair_parts
    for kind in ("fitted", "size"):
        for question, answer in build.get(kind, {}).items():
            by = repairs.get(question, "") if kind == "size" else ""
            counts = (by,) if by else ("cylinders", "crankpins", "mains")
            most = max(family.count(c, model) or 0 for c in counts)
            for place in answer if isinstance(answer, dict) else ():
                path: list[Step] = ["build", kind, question, place]
                number = place.isascii() and place.isdigit()
                if number and most and not 1 <= int(place) <= most:
                    yield SheetFault(sheet.place(path), shown(place), f"a number from 1 to {most}")
                elif (number and place != str(int(place))) or (not number and positions.numbers(place)):
                    yield SheetFault(sheet.place(path), shown(place), "all, a number such as 3, or a named place")


def spread_fault(sheet: Sheet, data: Dataset, path: list[Step], reading: dict[str, Any]) -> Iterator[SheetFault]:
    """The fault of a reading for all places where the build differs by place in what its rows depend on."""
    if positions.split(reading["position"])[0] or not data.counted_by(reading["item"]):
        return
    build = parsed(sheet.values.get("build", {}), data.units)
    fitted = [q for q, given in build.fitted.items() if uneven(given)]
    sizes = [p for p, given in build.size.items() if uneven(given)]
    if not fitted and not sizes:
        return
    engine, items = sheet.values["engine"], _judged_by(reading["item"], data)
    rows = [r for i in items for r in data.rows(engine, i)]
    asked = {q for r in rows for q in data.family(engine).speaks(r).parts}
    parts = {data.quantities[i]["repair"] for i in items}
    differing = [q.replace("-", " ") for q in fitted if q in asked]
    differing += [f"size of the {data.repair_words(p)}" for p in sizes if p in parts]
    if differing:
        expected = f"a place such as 1: the {' and the '.join(sorted(differing))} is not the same at every place"
        yield SheetFault(sheet.place([*path, "position"]), shown(reading["position"]), expected)


def _judged_by(item: str, data: Dataset) -> list[str]:
    """An item with what else its readings judge: its sizes, and their forms."""
    quantity = data.quantities[item]
    sizes = [item, *quantity["outer"].split(), *quantity["inner"].split()]
    return sizes + [q for q, row in data.quantities.items() if set(sizes) & set(row["of"].split())]


def detail_faults(sheet: Sheet, data: Dataset, path: list[Step], reading: dict[str, Any]) -> Iterator[SheetFault]:
    """Faults of what a reading says of its row: a number without its unit."""
    if reading.get("at", NONE) != NONE:
        number, _, unit = reading["at"].partition(" ")
        try:
            parse(number)
        except ValueError as error:
            yield SheetFault(sheet.place([*path, "at"]), shown(reading["at"]), str(error))
        if unit not in data.units:
            yield SheetFault(sheet.place([*path, "at"]), shown(reading["at"]), "a number and its unit, such as 2.07 in")


def _answers(path: list[Step], answer: Any) -> Iterator[tuple[list[Step], str]]:
    if isinstance(answer, dict):
        yield from (([*path, place], str(word)) for place, word in answer.items())
    else:
        yield path, str(answer)
