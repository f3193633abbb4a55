"""The command on tables of readings: verdicts on millions of them."""

import json
import sys
from collections import Counter
from pathlib import Path

import click

from .options import fail, keep


@click.command()
@click.argument("readings", type=click.Path(path_type=Path))
@click.option("-o", "--output", required=True, type=click.Path(path_type=Path), help="File to write: .parquet or .csv.")
@click.option(
    "--decision",
    type=click.Choice(("guarded", "simple"), case_sensitive=False),
    default="guarded",
    help="Whether the uncertainty counts against the part, or the value alone decides.",
)
@click.option("--force", is_flag=True, help="Write over a file that is there.")
@click.option("--json", "as_json", is_flag=True, help="Print how many of each verdict as JSON.")
def judge(readings: Path, output: Path, decision: str, force: bool, as_json: bool) -> None:
    """Judge a table of READINGS (Parquet, CSV or Arrow), a reading a row, each by itself.

    Columns: engine, item, position, value, unit, and instrument or standard_uncertainty; where they matter model,
    fitted, size, stage, part, which, state, method, at, class. Other columns are kept. Needs the extra plant.

    Exit status: 0 each row judged, 1 some rows refused, 2 the table could not be used.
    """
    try:
        from ..plant import batches, table_files
    except ImportError as error:
        fail(f'{error.name} is not installed; install it with pip install "runningfits[plant]"')
    if output.suffix.lower() not in table_files.OUT:
        fail(f'{output}: verdicts are written as {" or ".join(table_files.OUT)}, not "{output.suffix}"')
    if output.exists() and readings.exists() and output.samefile(readings):
        fail(f"{output}: is the readings themselves; name another file for the verdicts")
    keep(output, force)
    counts: Counter[str] = Counter()
    with table_files.opened(readings) as (columns, source):
        made = batches.batches(source, None, decision, columns, str(readings))
        for batch in table_files.write(output, columns, made):
            counts.update({c["values"]: c["counts"] for c in batch.column("verdict").value_counts().to_pylist()})
    _tell(counts, output, as_json)
    sys.exit(1 if counts["refused"] else 0)


def _tell(counts: Counter[str], output: Path, as_json: bool) -> None:
    if as_json:
        click.echo(json.dumps({"output": str(output), "readings": counts.total(), "verdicts": dict(counts)}, indent=2))
        return
    click.echo(f"wrote {output}: {counts.total():,} readings")
    for verdict, count in counts.most_common():
        click.echo(f"  {verdict.replace('-', ' '):<12} {count:>15,}")
