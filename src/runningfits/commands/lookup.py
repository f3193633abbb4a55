"""Commands that look values up; they import neither numpy nor pandas nor rich."""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any

import click

from ..dataset import Dataset
from ..folding import folded
from ..near import Words, key
from ..positions import PositionError
from ..rows import Row, document_words
from ..shared_tables import NotInDatasetError
from ..shown import column_words, counts, cylinders_of, doubt, label, places_of, range_text, row_values
from ..thumb import has_rule
from .named import ENGINE, ITEM, own_data
from .options import build_options, fail, named_build, print_json, tell

if TYPE_CHECKING:
    from ..build import Build

SEARCHED = ("engine", "maker", "designation", "also_known_as", "layout", "fuel", "cooling")
"""Columns of engines.csv in which a text is looked for."""


@click.command()
@click.argument("text", required=False, default="")
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
def engines(text: str, as_json: bool) -> None:
    """List engine families, with how many ranges and tightening steps each has.

    TEXT finds families by id, maker, designation, other names, layout, fuel or cooling.
    """
    data = own_data()
    searched = {e: _searched(r, data) for e, r in data.engines.items()}
    words = text.lower().split()
    found = [data.engines[e] for e, s in searched.items() if all(w in s.lower() for w in words)]
    found = found or [data.engines[e] for e, s in searched.items() if key(text) in key(s)]
    if not found:
        fail(f'no engine for "{text}"; {data.engine_words.expected(text)} All are listed without a text')
    listed = [_engine(e, data) for e in found]
    if as_json:
        print_json(listed)
        return
    width = max(len(e["engine"]) for e in listed)
    for e in listed:
        counts = f"{e['ranges']} ranges, {e['torque_steps']} torque steps, {e['read_twice']} read twice"
        tell(f"{e['engine']:{width}}  {e['maker']} {e['designation']}, {e['build']}: {counts}")


def _searched(engine: dict[str, str], data: Dataset) -> str:
    """Everything of a family in which a text is looked for."""
    models = data.family(engine["engine"]).models.values()
    return " ".join([*(engine[k] for k in SEARCHED), *(n for m in models for n in m.names)])


def _engine(engine: dict[str, str], data: Dataset) -> dict[str, Any]:
    found = counts(data, engine["engine"])
    rows = found["ranges"] + found["torque_steps"]
    layout = " ".join(filter(None, (engine["layout"], cylinders_of(data, engine["engine"]))))
    build = ", ".join((layout, f"{engine['cycle']}-stroke", engine["fuel"], engine["cooling"]))
    models = [{"model": m.model, "label": m.label} for m in data.family(engine["engine"]).models.values()]
    named = {k: engine[k] for k in ("engine", "maker", "designation")}
    share = f"{100 * found['read_twice'] // max(1, rows)} %"
    return named | {"build": build, "models": models} | found | {"read_twice": share}


@click.command()
@click.argument("engine", type=ENGINE)
@click.option("--item", type=ITEM, help="One quantity or joint, by its name or id.")
@click.option("--position", help="One place, such as 3, rear or 3/top-ring.")
@build_options
@click.option(
    "--unit", type=click.Choice(["mm", "in"]), help="Convert lengths to this unit where the page prints another."
)
@click.option("--missing", "lacking", is_flag=True, help="What a builder needs first and no row gives.")
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
def show(
    engine: str,
    item: str | None,
    position: str | None,
    model: str,
    fitted: tuple[str, ...],
    size: tuple[str, ...],
    unit: str | None,
    lacking: bool,
    as_json: bool,
) -> None:
    """Show ranges and tightening steps of an ENGINE with their citation, both printed units.

    With a model, fitted parts or repair sizes: those alone that are true for such an engine.
    """
    data = own_data()
    try:
        if lacking:
            _missing(data, engine, as_json)
            return
        build = named_build(data, engine, model, fitted, size) if model or fitted or size else None
        item = _item(item, data) if item else None
        rows = _rows(data, engine, item, position, build)
    except (NotInDatasetError, PositionError) as error:
        fail(error)
    if as_json:
        print_json([row_values(r, data, unit) | {"marks": list(r.marks)} for r in rows])
        return
    if rows:
        _print(rows, data, unit)
    else:
        for line in _nothing(data, engine, item, position, build):
            click.echo(folded(line))
    if item and not any(r.cells.get("limit") for r in rows):
        for line in _thumb(engine, build, item, position, rows[0] if rows else None, data):
            tell(line)
    if rows:
        tell("The maker's current book for that engine rules.")


def _item(item: str, data: Dataset) -> str:
    """The quantity or joint that a text names; the text itself where it names none."""
    if item in data.quantities or item in data.joints:
        return item
    return data.item_words([*data.quantities, *data.joints]).meant(item) or item


def _missing(data: Dataset, engine: str, as_json: bool) -> None:
    """What a builder needs first that no row of an engine gives, and what was looked for in vain."""
    from ..needs import missing

    found = missing(data, engine)
    if as_json:
        keys = ("need", "label", "sought_on", "note")
        print_json([{k: getattr(n, k) for k in keys} for n in found])
        return
    for need in found:
        tell(f"{need.label}: {need.words}{f' ({need.note})' if need.note else ''}")
    if not found:
        tell("nothing of what a builder needs first is missing")


def _rows(data: Dataset, engine: str, item: str | None, position: str | None, build: "Build | None") -> list[Row]:
    """Rows of an engine, those that are true for a build where one is named, in measuring order, joints last."""
    found = data.rows(engine, item, position, build.model or None if build else None)
    if build:
        from .true_rows import by_place

        found = by_place(found, data, build, position)
    return sorted(found, key=lambda r: (r.table == "torques", _order(r, data), r.item))


def _print(rows: Iterable[Row], data: Dataset, unit: str | None) -> None:
    item = ""
    doubts: dict[str, str] = {}
    for row in rows:
        if row.item != item:
            tell(label(row, data))
        item = row.item
        tell(_line(row, data, unit))
        for column, misprint in row.misprints.items():
            what = column_words(row, column)
            tell(f"    * {what} is printed {misprint['printed']}: {misprint['why']} ({misprint['evidence']})")
        if words := data.family(row.engine).doubt(row):
            doubts[document_words(row.cite.number, row.cite.title)] = words
    for document, words in doubts.items():
        tell(f"{document}: {words}")


def _nothing(
    data: Dataset, engine: str, item: str | None, position: str | None, build: "Build | None"
) -> Iterator[str]:
    """Lines that no row was found, and the nearest that there are, or for which places, models and parts."""
    where = f"{_label(item, data) if item else engine}{f' at {position}' if position else ''}"
    if item and (others := data.rows(engine, item)):
        yield f"no range for {where} in this engine; there are:"
        yield from _few([places_of(r, data) for r in others], f"{engine} --item {item}")
        return
    there = {label(r, data): () for r in _rows(data, engine, None, None, build)}
    near = Words(there).nearest(_label(item, data)) if item else []
    yield f"no range for {where} in this engine; there are:"
    yield from _few([*near, *there], engine, len(near) or MOST_TOLD)


MOST_TOLD = 6
"""Lines of what there is in the place of what was asked."""


def _few(told: Iterable[str], command: str, most: int = MOST_TOLD) -> Iterator[str]:
    """The first of some lines, and how to see the others."""
    lines = list(dict.fromkeys(told))
    yield from (f"  {line}" for line in lines[:most])
    if len(lines) > most:
        yield f"  and {len(lines) - most} more: runningfits show {command}"


def _label(item: str, data: Dataset) -> str:
    known = data.quantities.get(item) or data.joints.get(item)
    return known["label"] if known else item


def _thumb(
    engine: str, build: "Build | None", item: str | None, position: str | None, row: Row | None, data: Dataset
) -> Iterator[str]:
    """Published rules of thumb for an item, worked out for an engine, in the unit of a row or of the engine."""
    if item not in data.quantities or not has_rule(item, data):
        # most items have no rule, and a look-up need not wait for what works one out
        return
    from ..build import Build
    from ..judging.guides import BOUNDS, guides
    from ..scale import USUAL_STEPS, Scale, of_row
    from ..sheets.blank import engine_unit

    unit = data.units[engine_unit(data, engine)]
    scale = of_row(row, data) if row else Scale(unit.unit, unit.factor, USUAL_STEPS[unit.unit])
    for g in guides(data, engine, build or Build(), item, position or "1"):
        value = f"{BOUNDS[g.bound]} {scale.text(g.value, finer=1)} {scale.unit}"
        yield f"  rule of thumb, not this engine's page: {value} ({g.rule})  [{g.cite.text}]"


def _order(row: Row, data: Dataset) -> int:
    return int(data.quantities[row.item]["order"]) if row.item in data.quantities else 0


def _line(row: Row, data: Dataset, unit: str | None) -> str:
    values, limit = range_text(row, data, unit)
    once = "" if row["reading"] == "twice" else f", read {row['reading']}"
    parts = filter(None, (values, f"limit {limit}" if limit else ""))
    told = "; ".join((f"{row.cite.text}{once}", *filter(None, (doubt(row, data), *row.marks))))
    return f"  {places_of(row, data)}: {'; '.join(parts)}  [{told}]"
