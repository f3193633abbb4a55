"""The command that makes, explains and marks drills for apprentices."""

import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ..files import write_whole
from ..folding import folded
from ..shared_tables import NotInDatasetError
from ..sheets.blank import Work
from .named import ENGINE, own_data
from .options import build_options, fail, keep, named_build, print_json

if TYPE_CHECKING:
    from ..judging.teaching.exercise import Drill

FORMS = (".csv", ".html", ".json", ".xlsx")


@click.command()
@click.argument("engine", type=ENGINE)
@click.option("--seed", required=True, type=click.IntRange(min=0), help="Number of the drill: the same one again.")
@build_options
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    help="Write the drill: .csv to fill in, .html to print, .json or .xlsx as a bench sheet that `check` judges.",
)
@click.option("--force", is_flag=True, help="Write over a file that is there.")
@click.option("--mark", "filled", type=click.Path(path_type=Path), help="Mark a table that was filled in.")
@click.option("--key", is_flag=True, help="Print the key, with reasons.")
@click.option("--json", "as_json", is_flag=True, help="Print what was written, the marks or the key as JSON.")
def drill(
    engine: str,
    seed: int,
    model: str,
    fitted: tuple[str, ...],
    size: tuple[str, ...],
    output: Path | None,
    force: bool,
    filled: Path | None,
    key: bool,
    as_json: bool,
) -> None:
    """Readings to practise on: invented ones of an ENGINE by its real pages, with planted faults and slips.

    The apprentice fills in the last two columns of the table; the same engine, seed and build mark it, and give the
    key. Each answer is the judge's own verdict on the readings. Where no model is named, the seed takes one.

    Exit status: 0 written, shown or all right, 1 something wrong or not answered, 2 the table could not be used.
    """
    if sum((output is not None, filled is not None, key)) != 1:
        fail("say one of: -o FILE to write the drill, --mark FILE to mark it, --key to see the key")
    if output is not None:
        _refuse(output, force)
    found = _made(engine, seed, model, fitted, size)
    if output is not None:
        _write(found, output, str(seed), as_json)
    elif filled is not None:
        sys.exit(0 if _marked(found, filled, as_json) else 1)
    else:
        _key(found, str(seed), as_json)


def _refuse(output: Path, force: bool) -> None:
    if output.suffix.lower() not in FORMS:
        fail(f'{output}: a drill is {", ".join(FORMS)}, not "{output.suffix}"')
    keep(output, force)


def _made(engine: str, seed: int, model: str, fitted: tuple[str, ...], size: tuple[str, ...]) -> "Drill":
    from ..judging.teaching.exercise import DrillError
    from ..judging.teaching.exercise import drill as made

    data = own_data()
    try:
        return made(data, engine, named_build(data, engine, model, fitted, size), str(seed))
    except (NotInDatasetError, DrillError) as error:
        fail(error)


def _key(found: "Drill", seed: str, as_json: bool) -> None:
    from ..faces import drilled

    name = drilled.title(found, seed)
    if as_json:
        print_json({"title": name, "places": drilled.key_values(found)})
    else:
        _tell([name, *drilled.key_lines(found)])


def _write(found: "Drill", output: Path, seed: str, as_json: bool) -> None:
    from ..faces import blank_page, drilled

    data, name = found.result.data, drilled.title(found, seed)
    try:
        if (end := output.suffix.lower()) in (".csv", ".html"):
            write_whole(output, drilled.csv_text(found) if end == ".csv" else drilled.page(found, seed))
        else:
            blank_page.write_sheet(found.result.sheet | {"title": name}, data, Work([], []), output)
    except OSError as error:
        fail(f"{output}: {error.strerror}")
    if as_json:
        print_json(
            {"wrote": str(output), "engine": found.result.bench.engine, "title": name, "lines": len(found.tasks)}
        )
    else:
        click.echo(f"wrote {output}: {name}, {len(found.tasks)} places")


def _marked(found: "Drill", filled: Path, as_json: bool) -> bool:
    """Whether every answer is right; ends the command with every fault of a table that cannot be used."""
    from ..faces import drilled
    from ..judging.teaching import marking
    from ..sheets.faults import SheetError

    try:
        said = marking.answers(filled, drilled.cells(found))
    except SheetError as error:
        fail("\nrunningfits: ".join(f.text for f in error.faults))
    marks = marking.marked(found.tasks, said)
    if as_json:
        print_json(drilled.mark_values(found, marks))
    else:
        _tell(drilled.mark_lines(found, marks))
    return all(m.right for m in marks)


def _tell(lines: Iterable[str]) -> None:
    for line in lines:
        click.echo(folded(line))
