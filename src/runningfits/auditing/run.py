"""The audit of a data folder."""

from collections import Counter
from pathlib import Path

from .. import tables
from ..findings import Finding, Report
from ..places import folder
from ..rulebook import rules, run
from .form import read, schema
from .grouping import grouped
from .load import Folder, load
from .prepare import prepare


def audit(data: Path) -> Report:
    """Findings on a data folder: form, keys and rules, less the registered exceptions.

    Raises UnusableError when the folder is no dataset.
    """
    return judge(load(data), exceptions())


def judge(found: Folder, passed: list[tuple[int, dict[str, str]]]) -> Report:
    """Findings on loaded tables; an exception that passes nothing over is a finding of its own."""
    base = prepare(found)
    try:
        hits = [f for rule in rules("dataset") for f in run(rule, base)]
    finally:
        base.close()
    keys = {(r["rule"], r["row"]) for _, r in passed}
    fired = {(f.code, f.row) for f in hits}
    left = [f for f in hits if (f.code, f.row) not in keys]
    rows = {r for t in tables.PER_ENGINE for _, _, r, _ in found.of(t)}
    left += [_idle(line, r) for line, r in passed if (r["rule"], r["row"]) not in fired and r["row"] in rows]
    return Report(tuple(grouped(left)), _count(found))


def exceptions() -> list[tuple[int, dict[str, str]]]:
    """Registered exceptions with their lines."""
    return read(folder("rules") / "exceptions.csv", schema(folder("schema"), "exceptions")).rows


def _idle(line: int, row: dict[str, str]) -> Finding:
    return Finding(
        "exceptions.csv",
        line,
        "rule",
        "S900",
        "idle-exception",
        "error",
        f"{row['rule']} does not fire on {row['row']}, expected an exception that is needed",
        "take the line out of rules/exceptions.csv",
    )


def _count(found: Folder) -> dict[str, int]:
    counts: Counter[str] = Counter()
    for file in found.files:
        counts[file.table] += len(file.rows)
    return dict(counts)
