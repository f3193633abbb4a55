"""Places of measured items that have no reading."""

from collections import defaultdict
from collections.abc import Iterator

from .. import positions
from ..engine_models import MODEL
from .cases import Bench


def unmeasured(bench: Bench) -> tuple[tuple[str, str], ...]:
    """Item and place of what a sheet measured at some places of the engine and not at others, in its order."""
    return tuple(_missing(bench))


def _missing(bench: Bench) -> Iterator[tuple[str, str]]:
    groups: defaultdict[tuple[str, str], set[int]] = defaultdict(set)
    for case in bench.cases:
        if not case.derived:
            name, found = _places(case.position, _count(case.item, bench))
            groups[case.item, name] |= found
    for (item, name), found in groups.items():
        count = _count(item, bench) if found else None
        for number in range(1, (count or 0) + 1):
            if number not in found:
                yield item, f"{number}/{name}" if name else str(number)


def _places(position: str, count: int | None) -> tuple[str, set[int]]:
    """Name that tells one of several at each place, and the numbers of the places; `rear` is the last place itself."""
    number, name = positions.split(position)
    if number:
        return name or "", {number}
    found = positions.places(name or "", count)
    return ("", set(found)) if found else (name or "", set())


def _count(item: str, bench: Bench) -> int | None:
    """How many places an item has in the model on the bench; None where the model is not told or no page says so."""
    family = bench.data.family(bench.engine)
    model = bench.build.answer(MODEL, "all", family)
    return bench.data.count(bench.engine, item, model) if model in family.models else None
