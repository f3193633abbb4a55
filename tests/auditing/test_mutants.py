"""Every change of one token in a rule's query is noticed by the rule's own examples, or listed with its reason."""

import sqlite3
from pathlib import Path
from typing import Any

import pytest

from runningfits import rulebook
from runningfits.rulebook import Rule, RuleError

from ..bench_examples import database
from .mutants import mutants

RULES = rulebook.rules("dataset") + rulebook.rules("bench")
Outcome = list[tuple[int, str, str, str]] | None
MOST_STEPS = 3_000_000
"""Steps of the database engine after which a mutant is taken to run without end."""


def outcome(rule: Rule, base: sqlite3.Connection) -> Outcome:
    """Lines, columns, severities and messages that a rule finds, or None where its query fails or does not end."""
    base.set_progress_handler(lambda: 1, MOST_STEPS)
    try:
        return sorted((f.line, f.column, f.severity, f.message) for f in rulebook.run(rule, base))
    except RuleError:
        return None


def survivors(rule: Rule, folder: Path) -> list[str]:
    """Mutants of a rule's query that none of its examples notices."""
    examples: list[dict[str, Any]] = [*rule.bad, *rule.good]
    bases = []
    for n, example in enumerate(examples):
        (folder / str(n)).mkdir()
        bases.append(database(example, folder / str(n)))
    wanted = [outcome(rule, b) for b in bases]
    left = []
    for shown, query in mutants(rule.query):
        changed = rulebook.changed(rule, query)
        if all(outcome(changed, b) == w for b, w in zip(bases, wanted, strict=True)):
            left.append(shown)
    for base in bases:
        base.close()
    return left


@pytest.mark.parametrize("rule", RULES, ids=lambda r: r.code)
def test_no_mutant_survives_but_those_that_change_nothing(rule: Rule, tmp_path: Path) -> None:
    assert sorted(set(survivors(rule, tmp_path))) == sorted(rule.equal)
    assert all(reason.strip() for reason in rule.equal.values())


def test_a_mutant_that_no_example_notices_is_told(tmp_path: Path) -> None:
    rule = next(r for r in RULES if r.code == "C101")
    blunt = rulebook.changed(rule, rule.query + " AND 7 < 8")
    assert any("[8 -> 9]" in m for m in survivors(blunt, tmp_path))


def test_every_token_has_its_mutant() -> None:
    shown = [m for m, _ in mutants("SELECT a FROM t WHERE a <> 'x = 1' AND b BETWEEN 1 AND 2 OR c IS NOT NULL")]
    changes = [m.partition("[")[2].partition("]")[0] for m in shown]
    assert changes == [
        *("<> -> =", "AND -> OR", "BETWEEN -> NOT BETWEEN", "1 -> 2", "1 -> 0", "2 -> 3", "2 -> 1"),
        *("OR -> AND", "IS NOT NULL -> IS NULL"),
    ]  # fmt: skip
