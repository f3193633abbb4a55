"""Commands for contributors and releases: audit, changes, publish, reread and tidy."""

import sys
from pathlib import Path

import click

from ..findings import Report
from ..places import folder
from ..unusable import UnusableError
from .options import print_json


@click.command()
@click.argument("folder_", metavar="[DIR]", required=False, type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print the findings as JSON.")
@click.option("--remarks", is_flag=True, help="List remarks too; they are counted all the same.")
@click.option("--about", metavar="CODE", help="Print what a rule looks for, why, and what to do; nothing is checked.")
def audit(folder_: Path | None, as_json: bool, remarks: bool, about: str | None) -> None:
    """Check a data folder against the schema and the rules.

    Exit status: 0 clean, 1 something was found, 2 the folder could not be used.
    """
    if about:
        _about(about, as_json)
        return
    from ..auditing.run import audit as run

    try:
        report = run(folder_ or folder("data"))
    except (UnusableError, OSError) as error:
        click.echo(f"runningfits: {error}", err=True)
        sys.exit(2)
    if as_json:
        print_json(report.as_dict())
    else:
        click.echo(_text(report, remarks))
    sys.exit(0 if report.clean else 1)


def _about(code: str, as_json: bool) -> None:
    from ..auditing import rule_pages

    found = rule_pages.about(code)
    if found is None:
        known = ", ".join(r.code for r in rule_pages.all_rules())
        click.echo(f'runningfits: no rule "{code}"; there are {known}', err=True)
        sys.exit(2)
    if as_json:
        print_json({"rule": code, "page": found})
    else:
        click.echo(found.rstrip())


def _text(report: Report, remarks: bool) -> str:
    """Findings in words and a summary; remarks are listed where asked, so that they do not hide what must be mended."""
    counts = report.counts
    found = [f.text for f in report.findings if remarks or f.severity != "remark"]
    summary = ", ".join(f"{counts[s]} {s}{'' if counts[s] == 1 else 's'}" for s in ("error", "warning", "remark"))
    more = ["more on a rule: runningfits audit --about CODE"] if found else []
    hint = " (--remarks lists them)" if counts["remark"] and not remarks else ""
    return "\n".join([*found, *more, f"{counts['rows']} rows: {summary}{hint}"])


@click.command()
@click.argument("folder_", metavar="[DIR]", required=False, type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
def tidy(folder_: Path | None, as_json: bool) -> None:
    """Put a data folder into canonical form: LF, quotes only where needed, sorted rows, the manifest."""
    from ..tidy import tidy as run

    try:
        changed, left = run(folder_ or folder("data"))
    except (UnusableError, OSError) as error:
        click.echo(f"runningfits: {error}", err=True)
        sys.exit(2)
    if as_json:
        print_json({"tidied": changed, "left": left})
        sys.exit(1 if left else 0)
    for name in changed:
        click.echo(f"tidied {name}")
    for name in left:
        click.echo(f"left {name}: its form does not allow it; `runningfits audit` says why", err=True)
    if not changed and not left:
        click.echo("already tidy")
    sys.exit(1 if left else 0)


@click.command()
@click.argument("files", metavar="FILE...", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--data", metavar="DIR", type=click.Path(path_type=Path), help="Data folder to compare with.")
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
def reread(files: tuple[Path, ...], data: Path | None, as_json: bool) -> None:
    """Compare a second, blind reading of pages with the rows of a data folder.

    FILE is CSV with the columns of sizes.csv and clearances.csv, or of torques.csv. All rows on the pages that it
    speaks of are compared, cell by cell. Exit status: 0 all agree, 1 something differs, 2 a file or the folder
    could not be used.
    """
    from ..reread import as_dict, compared_files, report

    try:
        compared, faults = compared_files(files, data or folder("data"))
    except (UnusableError, OSError) as error:
        click.echo(f"runningfits: {error}", err=True)
        sys.exit(2)
    for file, fault in faults:
        place = ":".join(filter(None, (file, str(fault.line) if fault.line else "", fault.column)))
        click.echo(f"{place}: {fault.found}, expected {fault.expected}", err=True)
    if faults:
        sys.exit(2)
    if as_json:
        print_json(as_dict(compared))
    else:
        click.echo(report(compared))
    sys.exit(0 if all(c.agrees for c in compared) else 1)


@click.command()
@click.argument("old", metavar="OLD", type=click.Path(path_type=Path))
@click.argument("new", metavar="NEW", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print the changes as JSON.")
def changes(old: Path, new: Path, as_json: bool) -> None:
    """List the rows that two data folders differ in: added, changed, withdrawn, renamed.

    Exit status: 0 no change, 1 changes, 2 a folder could not be used.
    """
    from .. import changes as listed

    try:
        before, after = listed.read(old), listed.read(new)
    except (UnusableError, OSError) as error:
        click.echo(f"runningfits: {error}", err=True)
        sys.exit(2)
    found = listed.changes(before, after)
    versions = before.number, after.number
    if as_json:
        print_json(listed.as_dict(found, *versions))
    else:
        click.echo(listed.text(found, *versions))
    sys.exit(1 if found else 0)


@click.command()
@click.argument("target", metavar="DIR", type=click.Path(path_type=Path))
@click.option("--data", metavar="DIR", type=click.Path(path_type=Path), help="Data folder to publish.")
@click.option("--last", metavar="DIR", type=click.Path(path_type=Path), help="Data folder of the last release.")
@click.option("--json", "as_json", is_flag=True, help="Print the names of the files as JSON.")
def publish(target: Path, data: Path | None, last: Path | None, as_json: bool) -> None:
    """Write the published form to a new folder: JSON, CSV, Parquet, SQLite, XLSX, citations, checksums, changes.

    Needs the extra `publish`. Exit status: 0 written, 2 the data are not clean, or DIR is there or cannot be written.
    """
    from ..publishing.publish import publish as run

    try:
        names = run(data or folder("data"), target, last)
    except ModuleNotFoundError as error:
        click.echo(
            f"runningfits: {error.name} is not installed; it comes with the extra: runningfits[publish]", err=True
        )
        sys.exit(2)
    except (UnusableError, OSError) as error:
        click.echo(f"runningfits: {error}", err=True)
        sys.exit(2)
    if as_json:
        print_json({"wrote": str(target), "files": names})
    else:
        click.echo(f"{len(names)} files in {target}")
