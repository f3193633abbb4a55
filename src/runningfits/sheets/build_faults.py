"""Faults of a sheet's build: sizes and places that the engine does not have."""

from collections.abc import Iterator
from typing import Any

from ..build import size_from
from ..choosing import NONE
from ..dataset import Dataset
from ..engine_models import Family
from ..numerals import parse, shown
from .faults import SheetFault, Step
from .placed import Sheet


def faults(sheet: Sheet, data: Dataset) -> Iterator[SheetFault]:
    """Faults of the build: sizes of the wrong sign, places that the model does not have."""
    family = data.family(sheet.values["engine"])
    yield from _size_faults(sheet, data)
    yield from _place_faults(sheet, data, family)


def _size_faults(sheet: Sheet, data: Dataset) -> Iterator[SheetFault]:
    repairs = data.keyed("repairs")
    for part, given in sheet.values.get("build", {}).get("size", {}).items():
        for path, text in _answers(["build", "size", part], given):
            size = size_from(text, data.units)
            wrong = not isinstance(size, str) and size.value and (size.value > 0) != (repairs[part]["sign"] == "plus")
            if wrong:
                sign = "above" if repairs[part]["sign"] == "plus" else "below"
                yield SheetFault(sheet.place(path), shown(text), f"a size {sign} 0 for the {repairs[part]['label']}")


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
