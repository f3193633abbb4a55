"""Commands of the bench: a blank sheet, and the check."""

import json
import sys
from pathlib import Path
from typing import Any

import click

from ..build import STAGES
from ..dataset import Dataset
from ..files import write_whole
from ..folding import folded
from ..places import folder
from ..shared_tables import NotInDatasetError
from .ending import console
from .named import ENGINE, own_data
from .options import build_options, fail, judged, keep, named_build, print_json, read_sheet


@click.command()
@click.argument("engine", type=ENGINE, required=False)
@click.option(
    "-o", "--output", required=True, type=click.Path(path_type=Path), help="File to write: .xlsx, .csv, .json or .html."
)
@build_options
@click.option("--stage", type=click.Choice(STAGES, case_sensitive=False), help="When the readings are taken: found.")
@click.option(
    "--resume",
    type=click.Path(path_type=Path),
    help="A half-filled sheet: keep what is filled, ask for what is missing; as .html that alone.",
)
@click.option("--force", is_flag=True, help="Write over a file that is there.")
@click.option("--json", "as_json", is_flag=True, help="Print what was written as JSON.")
def sheet(
    engine: str | None,
    output: Path,
    model: str,
    fitted: tuple[str, ...],
    size: tuple[str, ...],
    stage: str | None,
    resume: Path | None,
    force: bool,
    as_json: bool,
) -> None:
    """Write a blank bench sheet for one build of an ENGINE, in measuring order, with the range of each reading.

    Without a model every row of the family stands on it, and the sheet asks. With --resume the engine, its build and
    the stage are those of the half-filled sheet.
    """
    from ..faces import blank_page

    if bool(engine) == bool(resume):
        fail("name the ENGINE of a new sheet, or by --resume a sheet that is half filled")
    if resume and (model or fitted or size or stage):
        fail("--resume: the build and the stage are those of the sheet; fill them in there")
    if output.suffix.lower() not in (".xlsx", ".csv", ".json", ".html"):
        fail(f'{output}: a bench sheet is .xlsx, .csv, .json or .html, not "{output.suffix}"')
    keep(output, force)
    data = own_data()
    try:
        if resume:
            _go_on(resume, output, data, as_json)
        elif engine:
            build = named_build(data, engine, model, fitted, size)
            values = blank_page.write(data, engine, output, build, stage or STAGES[0])
            _tell_sheet(output, values, 0, "", as_json)
    except (NotInDatasetError, OSError) as error:
        fail(error)


def _go_on(half: Path, output: Path, data: Dataset, as_json: bool) -> None:
    """Write a half-filled sheet with empty lines for what it lacks, and say how much that is."""
    from ..faces import blank_page
    from ..sheets.resuming import resumed

    found = resumed(read_sheet(half, data), data)
    blank_page.write_sheet(found.values, data, found.left, output)
    first = next((f", first {data.quantities[a.line.item]['label'].lower()}" for a in found.left.lines), "")
    words = f": {found.kept} filled, {found.empty} still to take{first}"
    _tell_sheet(output, found.values, found.kept, words, as_json)


def _tell_sheet(output: Path, sheet: dict[str, Any], filled: int, words: str, as_json: bool) -> None:
    """Say which sheet was written; as JSON with how many readings and torques it has, filled and empty."""
    if not as_json:
        click.echo(f"wrote {output}{words}")
        return
    lines = len(sheet["readings"]) + len(sheet["torques"])
    counts = {"lines": lines, "filled": filled, "empty": lines - filled}
    print_json({"wrote": str(output), "engine": sheet["engine"]} | counts)


@click.command()
@click.argument("sheet", type=click.Path(path_type=Path))
@click.option(
    "--report",
    type=click.Path(path_type=Path),
    help="Write the report as one HTML file; never over a file that is there.",
)
@click.option("--force", is_flag=True, help="Write the report over a file that is there.")
@click.option(
    "--since",
    type=click.Path(path_type=Path),
    help="An earlier result of the sheet, as --json printed it: say what is judged otherwise since.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the result as JSON.")
def check(sheet: Path, report: Path | None, force: bool, since: Path | None, as_json: bool) -> None:
    """Judge the readings of a bench SHEET (JSON, XLSX or CSV; - reads it) against the cited ranges of its engine.

    Exit status: 0 nothing out, 1 something out, undecided or found, 2 the sheet could not be used.
    """
    from ..faces import terminal
    from ..faces.report import page

    if report:
        _refuse(report, sheet, force)
    earlier = _earlier(since) if since else None
    found = judged(sheet, own_data())
    shown = found.as_dict()
    if report:
        try:
            write_whole(report, page(shown, found.sheet, found.data))
        except OSError as error:
            fail(f"{report}: {error.strerror}")
    if as_json:
        print_json(shown)
    else:
        terminal.show(shown, console())
    if report:
        click.echo(f"wrote {report}", err=as_json)
    if earlier is not None:
        _tell_since(earlier, shown, as_json)
    sys.exit(0 if found.clean else 1)


@click.command()
@click.argument("sheet", type=click.Path(path_type=Path))
@click.option("-o", "--output", required=True, type=click.Path(path_type=Path), help="File to write, .html.")
@click.option("--force", is_flag=True, help="Write over a file that is there.")
@click.option("--json", "as_json", is_flag=True, help="Print what was written as JSON.")
def note(sheet: Path, output: Path, force: bool, as_json: bool) -> None:
    """Write the page for the machinist from a bench SHEET: found and wanted sizes by place, what goes along."""
    from ..faces.note import count, page

    _refuse(output, sheet, force)
    found = judged(sheet, own_data())
    try:
        write_whole(output, page(found.as_dict(), found.bench))
    except OSError as error:
        fail(f"{output}: {error.strerror}")
    if as_json:
        print_json({"wrote": str(output), "engine": found.bench.engine, "lines": count(found.bench)})
    else:
        click.echo(f"wrote {output}")


def _earlier(path: Path) -> dict[str, Any]:
    """An earlier result from its file; ends the command where it is none."""
    from jsonschema import Draft202012Validator
    from referencing import Registry
    from referencing.jsonschema import DRAFT202012

    try:
        values = json.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        fail(f"{path}: {error.strerror}")
    except (ValueError, RecursionError):
        fail(f"{path}: is no JSON; expected a result as `runningfits check SHEET --json` prints it")
    forms = {n: json.loads((folder("schema") / n).read_text(encoding="utf-8")) for n in ("result.json", "finding.json")}
    known = Registry().with_resources((n, DRAFT202012.create_resource(f)) for n, f in forms.items())
    if fault := next(Draft202012Validator(forms["result.json"], registry=known).iter_errors(values), None):
        where = "/".join(map(str, fault.absolute_path)) or "its top"
        fail(f"{path}: is no result of a check (at {where}); expected what `runningfits check SHEET --json` prints")
    return dict(values)


def _tell_since(earlier: dict[str, Any], shown: dict[str, Any], as_json: bool) -> None:
    """Say what is judged otherwise since; beside a result as JSON on standard error."""
    from ..faces import since

    for line in since.lines(since.since(earlier, shown), shown):
        click.echo(folded(line), err=as_json)


def _refuse(report: Path, sheet: Path, force: bool) -> None:
    """Leave with a message where a report would be no page, or would go over the sheet or another file."""
    if report.suffix.lower() not in (".html", ".htm"):
        fail(f'{report}: a report is .html, not "{report.suffix}"')
    if report.exists() and sheet.exists() and report.samefile(sheet):
        fail(f"{report}: is the sheet itself; name another file for the report")
    keep(report, force)
