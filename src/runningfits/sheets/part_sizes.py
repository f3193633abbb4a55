"""Sizes that a sheet's parts name in free text, against the sizes that its build says."""

import re
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from ..build import UNKNOWN, Build, Size, same_size, size_from
from ..dataset import Dataset
from ..numerals import shown
from .faults import SheetFault
from .placed import Sheet

ANY = re.ASCII | re.IGNORECASE
OF = (
    ("crankpin", re.compile(r"\b(rod|big[- ]end)\b.*\b(bearings?|shells?)\b", ANY)),
    ("main-journal", re.compile(r"\bmain\b.*\b(bearings?|shells?)\b", ANY)),
    ("cylinder", re.compile(r"\bpistons?\b", ANY)),
)
"""The machined part whose size a part must have, by its name."""

NOT_OF = re.compile(r"\b(bolts?|studs?|screws?|capscrews?|nuts?|caps?|pins?|jets?|bush(es|ings?)?)\b", ANY)
"""Words of parts that have no repair size of those."""

UNDER = r"(?:under|over|u/s|o/s)"
NUMBER = r"[+-]?(\d+\.\d+|\.\d+|\d+(?= ?(?:mm|thou)))"
UNIT = r'(?: ?(mm|in(?:ch)?|thou|"))?'
SIZES = (
    re.compile(rf"(?<![a-z0-9.]){NUMBER}{UNIT}[ -]*{UNDER}(?![a-z0-9]*[0-9])", ANY),
    re.compile(rf"(?<![a-z])(?:under-?sized?|over-?sized?|u/s|o/s):? *{NUMBER}{UNIT}(?![a-z0-9.])", ANY),
)
"""A number beside a word for undersize or oversize."""

STD = re.compile(r"(?<![a-z0-9])(std|standard)(?![a-z0-9])", ANY)
UNITS = {"mm": ("mm",), "in": ("in",), "inch": ("in",), '"': ("in",), "thou": ("thou",)}


def faults(sheet: Sheet, build: Build, data: Dataset) -> Iterator[SheetFault]:
    """Parts of another size than the build says, once the parts are machined; a part that names several needs one."""
    if sheet.values.get("stage", "found") == "found":
        return
    for number, part in enumerate(sheet.values.get("parts", ())):
        named = part["part"]
        of = next((p for p, words in OF if words.search(named) and not NOT_OF.search(named)), None)
        if not of:
            continue
        told = [(column, *s) for column in ("part", "number", "note") for s in _said(part.get(column, ""))]
        said = [t for t in told if _is_usual(t[2], of, data)]
        if said and not any(_fits(sizes, build, of, data) for _, _, sizes in said):
            column, text, _ = said[0]
            place = sheet.place(["parts", number, column])
            expected = (
                f"{_wanted(build, of)}, as the build says of the {data.repair_words(of)}: mend the one that is wrong"
            )
            yield SheetFault(place, shown(text), expected)


def _said(text: str) -> Iterator[tuple[str, list[Size]]]:
    """Sizes that a text names, each as written, with what it may mean: without a unit millimetres or inches."""
    for pattern in SIZES:
        for found in pattern.finditer(text):
            units = UNITS.get((found[2] or "").lower(), ("mm", "in"))
            yield found[0].strip(), [Size(Decimal(found[1]), u) for u in units]
    yield from ((found[0], [Size(Decimal(0), "mm")]) for found in STD.finditer(text))


def _is_usual(sizes: list[Size], of: str, data: Dataset) -> bool:
    """Whether what a text names is a usual repair size of a part, or standard."""
    usual = [size_from(t, data.units) for t in ("0", *data.keyed("repairs")[of]["common"].split(", "))]
    return any(isinstance(u, Size) and same_size(u, s, data.units) for u in usual for s in sizes)


def _fits(sizes: list[Size], build: Build, of: str, data: Dataset) -> bool:
    """Whether a size is one that the build says of a part at some place, or that may be it."""
    there = _sizes(build, of)
    return UNKNOWN in there or any(
        isinstance(own, Size) and same_size(Size(abs(own.value), own.unit), s, data.units)
        for own in there
        for s in sizes
    )


def _sizes(build: Build, of: str) -> list[Any]:
    given = build.size.get(of, {})
    return [*given.values(), *([] if "all" in given else [Size(Decimal(0), "mm")])]


def _wanted(build: Build, of: str) -> str:
    return " or ".join(dict.fromkeys(s.text for s in _sizes(build, of)))
