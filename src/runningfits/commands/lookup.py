"""Commands that look values up; they import neither numpy nor pandas nor rich."""

import json
import sys
from collections.abc import Iterator
from fractions import Fraction
from typing import Any, NoReturn

import click

from ..dataset import Dataset, NotInDatasetError
from ..places import folder
from ..positions import PositionError
from ..rows import Row
from ..shown import counts, label, places_of, range_text, row_values

SEARCHED = ("engine", "maker", "designation", "also_known_as", "layout", "fuel", "cooling")
"""Columns of engines.csv in which a text is looked for."""


def fail(message: object) -> NoReturn:
    """Print a message to standard error and leave with status 2."""
    click.echo(f"runningfits: {message}", err=True)
    sys.exit(2)


@click.command()
@click.argument("text", required=False, default="")
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
def engines(text: str, as_json: bool) -> None:
    """List engine families, with how many ranges and tightening steps each has.

    TEXT finds families by id, maker, designation, other names, layout, fuel or cooling.
    """
    data = Dataset(folder("data"))
    words = text.lower().split()
    found = [e for e in data.engines.values() if all(w in " ".join(e[k] for k in SEARCHED).lower() for w in words)]
    if not found:
        fail(f'no engine for "{text}"; there are {", ".join(data.engines)}')
    listed = [_engine(e, data) for e in found]
    if as_json:
        click.echo(json.dumps(listed, indent=2, ensure_ascii=False))
        return
    width = max(len(e["engine"]) for e in listed)
    for e in listed:
        counts = f"{e['ranges']} ranges, {e['torque_steps']} torque steps, {e['read_twice']} read twice"
        click.echo(f"{e['engine']:{width}}  {e['maker']} {e['designation']}, {e['build']}: {counts}")


def _engine(engine: dict[str, str], data: Dataset) -> dict[str, Any]:
    found = counts(data, engine["engine"])
    rows = found["ranges"] + found["torque_steps"]
    build = f"{engine['layout']} {engine['cylinders']}, {engine['cycle']}-stroke, {engine['fuel']}, {engine['cooling']}"
    named = {k: engine[k] for k in ("engine", "maker", "designation")}
    share = f"{100 * found['read_twice'] // max(1, rows)} %"
    return named | {"build": build} | found | {"read_twice": share}


@click.command()
@click.argument("engine")
@click.option("--item", help="One quantity or joint, such as main-bearing-clearance.")
@click.option("--position", help="One place, such as 3, rear or 3/top-ring.")
@click.option(
    "--unit", type=click.Choice(["mm", "in"]), help="Convert lengths to this unit where the page prints another."
)
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
def show(engine: str, item: str | None, position: str | None, unit: str | None, as_json: bool) -> None:
    """Show ranges and tightening steps of an ENGINE with their citation, both printed units."""
    data = Dataset(folder("data"))
    try:
        rows = data.rows(engine, item, position)
    except (NotInDatasetError, PositionError) as error:
        fail(error)
    if as_json:
        click.echo(json.dumps([row_values(r, data, unit) for r in rows], indent=2, ensure_ascii=False))
        return
    if not rows:
        there = sorted({r.item for r in data.rows(engine)})
        click.echo(
            f"no range for {item or engine}{f' at {position}' if position else ''}; there are {', '.join(there)}"
        )
        for line in _thumb(engine, item, position, None, data):
            click.echo(line)
        return
    item_before = ""
    for row in sorted(rows, key=lambda r: (r.table == "torques", _order(r, data), r.item)):
        if row.item != item_before:
            click.echo(f"{label(row, data)} ({row.item})")
        item_before = row.item
        click.echo(_line(row, data, unit))
        for column, misprint in row.misprints.items():
            click.echo(f"    * {column} is printed {misprint['printed']}: {misprint['why']} ({misprint['evidence']})")
    if item and not any(r.cells.get("limit") for r in rows):
        for line in _thumb(engine, item, position, rows[0], data):
            click.echo(line)
    click.echo("The maker's current book for that engine rules.")


def _thumb(engine: str, item: str | None, position: str | None, row: Row | None, data: Dataset) -> Iterator[str]:
    """Published rules of thumb for an item, worked out for an engine, in the unit of a row or of the engine."""
    from ..judging.guides import BOUNDS, guides
    from ..scale import Scale, of_row

    if item not in data.quantities:
        return
    unit = data.units[data.engine(engine)["unit"] or "in"]
    scale = of_row(row, data) if row else Scale(unit.unit, unit.factor, _STEPS[unit.unit])
    for g in guides(data, engine, item, position or "1"):
        value = f"{BOUNDS[g.bound]} {scale.text(g.value, finer=1)} {scale.unit}"
        yield f"  rule of thumb, not this engine's page: {value} ({g.rule})  [{g.cite.text}]"


_STEPS = {"in": Fraction(1, 10_000), "mm": Fraction(1, 1000)}
"""Steps in which a rule of thumb is shown where no row gives one."""


def _order(row: Row, data: Dataset) -> int:
    return int(data.quantities[row.item]["order"]) if row.item in data.quantities else 0


def _line(row: Row, data: Dataset, unit: str | None) -> str:
    values, limit = range_text(row, data, unit)
    once = "" if row["reading"] == "twice" else f", read {row['reading']}"
    parts = filter(None, (values, f"limit {limit}" if limit else ""))
    return f"  {places_of(row)}: {'; '.join(parts)}  [{row.cite.text}{once}]"
