"""Places of measured items that have no reading."""

from collections import defaultdict
from collections.abc import Iterator

from .. import positions
from ..engine_models import MODEL
from ..sheets.measuring import in_each
from .cases import Bench


def unmeasured(bench: Bench) -> tuple[tuple[str, str], ...]:
    """Item and place of what has no reading, in the sheet's order.

    Those are the places of the engine where an item was not measured that was at others, and the lines of the sheet
    that were left empty where no other line of the item and place has a reading.
    """
    found = dict.fromkeys(_missing(bench))
    read = {(c.item, c.position) for c in bench.cases}
    return tuple(found | dict.fromkeys(spot for spot in bench.sheet.empty if spot not in read))


def _missing(bench: Bench) -> Iterator[tuple[str, str]]:
    groups: defaultdict[tuple[str, str], set[int]] = defaultdict(set)
    for case in bench.cases:
        if not case.derived:
            found = _places(case.item, case.position, bench)
            if found:
                groups[case.item, found[0]] |= found[1]
    for (item, name), found_there in groups.items():
        for number in range(1, (_count(item, bench) or 0) + 1):
            if number not in found_there:
                yield item, f"{number}/{name}" if name else str(number)


def _places(item: str, position: str, bench: Bench) -> tuple[str, set[int]] | None:
    """Name that tells one of several at each place, and the numbers of the places; None for a place of its own.

    `rear` is the last place itself; a reading for all places, or of the top rings, is none of the counted ones.
    """
    number, name = positions.split(position)
    if number:
        return name or "", {number}
    if name == "all":
        return "", set()
    found = positions.places(name or "", _count(item, bench))
    if found:
        return "", set(found)
    return (name or "", set()) if in_each(item, bench.data) else None


def _count(item: str, bench: Bench) -> int | None:
    """How many places an item has in the model on the bench; None where the model is not told or no page says so."""
    family = bench.data.family(bench.engine)
    model = bench.build.answer(MODEL, "all", family)
    return bench.data.count(bench.engine, item, model) if model in family.models else None
