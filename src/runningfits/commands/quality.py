"""Commands for contributors: audit and tidy."""

import json
import sys
from pathlib import Path

import click

from ..auditing.findings import Report, UnusableError
from ..places import folder


@click.command()
@click.argument("folder_", metavar="[DIR]", required=False, type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print the findings as JSON.")
def audit(folder_: Path | None, as_json: bool) -> None:
    """Check a data folder against the schema and the rules.

    Exit status: 0 clean, 1 something was found, 2 the folder could not be used.
    """
    from ..auditing.run import audit as run

    try:
        report = run(folder_ or folder("data"))
    except (UnusableError, OSError) as error:
        click.echo(f"runningfits: {error}", err=True)
        sys.exit(2)
    click.echo(json.dumps(report.as_dict(), indent=2, ensure_ascii=False) if as_json else _text(report))
    sys.exit(0 if report.clean else 1)


def _text(report: Report) -> str:
    counts = report.counts
    found = [f.text for f in report.findings]
    summary = ", ".join(f"{counts[s]} {s}{'' if counts[s] == 1 else 's'}" for s in ("error", "warning", "remark"))
    return "\n".join([*found, f"{counts['rows']} rows: {summary}"])


@click.command()
@click.argument("folder_", metavar="[DIR]", required=False, type=click.Path(path_type=Path))
def tidy(folder_: Path | None) -> None:
    """Put a data folder into canonical form: LF, quotes only where needed, sorted rows, the manifest."""
    from ..tidy import tidy as run

    try:
        changed, left = run(folder_ or folder("data"))
    except (UnusableError, OSError) as error:
        click.echo(f"runningfits: {error}", err=True)
        sys.exit(2)
    for name in changed:
        click.echo(f"tidied {name}")
    for name in left:
        click.echo(f"left {name}: its form does not allow it; `runningfits audit` says why", err=True)
    if not changed and not left:
        click.echo("already tidy")
    sys.exit(1 if left else 0)
