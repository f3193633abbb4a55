"""The command that sets two sheets of one engine beside each other."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ..folding import folded
from .named import own_data
from .options import fail, judged, print_json

if TYPE_CHECKING:
    from ..judging.judge import Result


@click.command()
@click.argument("first", type=click.Path(path_type=Path))
@click.argument("second", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
def compare(first: Path, second: Path, as_json: bool) -> None:
    """Set two bench sheets of one engine beside each other.

    The machinist's numbers and one's own: first the mean offset of their instruments, then the places that stand out.
    A sheet of what was found and a later one: what changed, what was done, what is open.

    Exit status: 0 they agree or nothing is open, 1 they do not, 2 a sheet could not be used.
    """
    data = own_data()
    one, other = judged(first, data), judged(second, data)
    _one_engine(one, other)
    found = one.bench.stage == "found"
    if found != (other.bench.stage == "found"):
        pair = (one, other) if found else (other, one)
        clean, values, lines = _changes(*pair)
    else:
        clean, values, lines = _readings(one, other, first, second)
    if as_json:
        print_json(values)
    else:
        for line in lines:
            click.echo(folded(line))
    sys.exit(0 if clean else 1)


def _one_engine(one: "Result", other: "Result") -> None:
    """End the command where the sheets are of two engines or models."""
    for said in ("engine", "model"):
        words = [r.sheet["engine"] if said == "engine" else r.bench.build.model for r in (one, other)]
        if all(words) and words[0] != words[1]:
            fail(f"the sheets are of two {said}s, {words[0]} and {words[1]}; expected two sheets of one")


def _changes(then: "Result", now: "Result") -> tuple[bool, dict[str, object], list[str]]:
    from ..faces import compared

    values = compared.changes(then.as_dict(), now.as_dict())
    return not values["open"] and now.clean, values, list(compared.change_lines(values))


def _readings(one: "Result", other: "Result", first: Path, second: Path) -> tuple[bool, dict[str, object], list[str]]:
    from ..faces import compared
    from ..judging import between
    from ..scale import USUAL_STEPS, Scale
    from ..sheets.blank import engine_unit

    found = between.compared(one.bench, other.bench)
    if not found.offsets:
        fail(f"{first} and {second} have no size at the same place; expected readings of the same parts")
    unit = one.data.units[engine_unit(one.data, one.bench.engine)]
    values = compared.as_values(found, one.bench, other.bench, Scale(unit.unit, unit.factor, USUAL_STEPS[unit.unit]))
    return found.agrees, values, list(compared.lines(values, (first.name, second.name)))
