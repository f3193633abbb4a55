"""The rule book: rules, one TOML file each, and their queries run on prepared tables."""

import re
import sqlite3
import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from .findings import Finding
from .places import folder

FAMILIES = {
    "F": "form",
    "S": "source",
    "U": "unit",
    "C": "consistency within a row",
    "X": "consistency across rows",
    "P": "plausibility",
    "B": "bench",
}
OTHERS = ("other", "outer_row", "inner_row")
"""Columns of a query that name the rows that speak against the row at fault."""
SEVERITIES = ("error", "warning", "remark")
PARTS = (
    "code",
    "name",
    "since",
    "status",
    "severity",
    "scope",
    "why",
    "basis",
    "query",
    "message",
    "help",
    "bad",
    "good",
)


OPTIONAL = ("numbers", "equal", "group")
"""Parts that a rule may lack: its numbers by name, which stand as {name} in its texts and its query; changes of its
query that change nothing, with the reason; how its findings group with others (`auditing/grouping.py`)."""


class RuleError(Exception):
    """A rule file that is not one."""


@dataclass(frozen=True)
class Rule:
    """A rule: what it looks for and why, its query, its message, and rows that are bad and good by it."""

    code: str
    name: str
    since: str
    status: str
    severity: str
    scope: str
    why: str
    basis: str
    query: str
    message: str
    help: str
    bad: tuple[dict[str, Any], ...]
    good: tuple[dict[str, Any], ...]
    numbers: dict[str, float] = field(default_factory=dict)
    equal: dict[str, str] = field(default_factory=dict)
    group: dict[str, Any] = field(default_factory=dict)


def read(path: Path) -> Rule:
    """The rule in a file; raises RuleError that names the file and the part that is missing or wrong."""
    try:
        parts = tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise RuleError(f"{path.name}: {error}") from error
    if wrong := set(PARTS) ^ (set(parts) - set(OPTIONAL)):
        raise RuleError(f"{path.name}: missing or unknown parts: {', '.join(sorted(wrong))}")
    if not re.fullmatch(r"[FSUCXPB]\d{3}", parts["code"]) or path.stem != f"{parts['code']}-{parts['name']}":
        raise RuleError(f"{path.name}: expected a file named by code and name, such as C101-lower-above-upper.toml")
    if parts["severity"] not in SEVERITIES or parts["scope"] not in ("dataset", "bench"):
        raise RuleError(f"{path.name}: severity or scope is not in the list")
    bad, good = tuple(parts.pop("bad")), tuple(parts.pop("good"))
    equal = {e["mutant"]: e["reason"] for e in parts.pop("equal", ())}
    return Rule(**_filled(path.name, parts), bad=bad, good=good, equal=equal)


_TEXTS = ("why", "basis", "query", "message", "help")


def _filled(name: str, parts: dict[str, Any]) -> dict[str, Any]:
    """The parts with the rule's numbers in the place of their names; raises RuleError for one that no text names."""
    numbers = parts.get("numbers", {})
    if idle := [n for n in numbers if f"{{{n}}}" not in parts["query"]]:
        raise RuleError(f"{name}: the query does not name {', '.join(idle)}")
    for text in _TEXTS:
        parts[text] = re.sub(r"\{(\w+)\}", lambda m: str(numbers.get(m[1], m[0])), parts[text])
    return parts


def changed(rule: Rule, query: str) -> Rule:
    """The rule with another query."""
    return replace(rule, query=query)


@cache
def rules(scope: str, base: Path | None = None) -> tuple[Rule, ...]:
    """Rules of a scope (`dataset` or `bench`) in the order of their codes."""
    found = [read(p) for p in sorted((base or folder("rules")).glob("*.toml"))]
    return tuple(r for r in found if r.scope == scope)


def create(base: sqlite3.Connection, name: str, columns: dict[str, str], rows: Iterable[tuple[Any, ...]]) -> None:
    """Make a STRICT table of columns with their SQLite types, and fill it."""
    listed = ", ".join(f'"{c}" {t}' for c, t in columns.items())
    base.execute(f'CREATE TABLE "{name}" ({listed}) STRICT')
    base.executemany(f'INSERT INTO "{name}" VALUES ({",".join("?" * len(columns))})', rows)


def run(rule: Rule, base: sqlite3.Connection) -> Iterator[Finding]:
    """Findings of one rule.

    The query gives `file`, `line`, `column`, the values that the message names, and `row` where a row has an id; a
    `severity` of its own where a finding weighs less than the rule's worst.
    Raises RuleError when the query or the message does not fit.
    """
    try:
        cursor = base.execute(rule.query)
        names = [d[0] for d in cursor.description]
        for values in cursor:
            hit = dict(zip(names, values, strict=True))
            text = {k: _shown(v) for k, v in hit.items()}
            yield Finding(
                file=hit["file"],
                line=hit["line"],
                column=hit["column"] or "",
                code=rule.code,
                name=rule.name,
                severity=hit.get("severity") or rule.severity,
                message=rule.message.format_map(text),
                help=rule.help.format_map(text),
                row=hit.get("row") or "",
                others=tuple(hit[k] for k in OTHERS if hit.get(k)),
            )
    except (sqlite3.Error, KeyError) as error:
        raise RuleError(f"{rule.code} {rule.name}: {error}") from error


def _shown(value: Any) -> Any:
    """A value of a query as a message shows it, numbers never in powers of ten."""
    return format(Decimal(f"{value:.6g}"), "f") if isinstance(value, float) else value
