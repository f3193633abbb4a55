"""Findings that say one thing: those of one slip under the strongest of them."""

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import replace
from functools import cache
from typing import Any

from ..findings import Finding
from ..rulebook import FAMILIES, SEVERITIES, rules

Key = tuple[str, ...]
_PLAINEST = tuple(FAMILIES)
"""Families by how plainly they name the cell to mend: form first, plausibility last."""


def grouped(found: Iterable[Finding]) -> list[Finding]:
    """Findings of one slip as one: the strongest, with the others in its `also`.

    Together belong findings of one row; of rows that contradict each other; of one word that many rows use and no
    list has; and what a fault of form drags behind it in its file (order, steps) or in the manifest. A remark stays
    with its own row. The row that most findings name is the one to look at first. A finding of plausibility on a row
    that an error speaks of adds nothing and is left out.
    """
    found = list(found)
    wrong = {f.row for f in found if f.row and f.severity == "error"}
    kept = [f for f in found if f.code[0] != "P" or f.row not in wrong]
    ties, causes = _ties(kept), _causes(kept)
    groups: defaultdict[Key, list[Finding]] = defaultdict(list)
    for f in kept:
        groups[ties.root(causes.get(_consequence(f), _own(f)))].append(f)
    return sorted(_one(group) for group in groups.values())


@cache
def _groups() -> dict[str, dict[str, Any]]:
    """How the findings of a rule group, by its code."""
    return {r.code: r.group for r in rules("dataset")}


def _group(f: Finding) -> dict[str, Any]:
    return _groups().get(f.code, {})


def _own(f: Finding) -> Key:
    """Key of a finding by its word, where one missing line makes its rule fire in many places, or by its place."""
    if _group(f).get("many"):
        return f.code, f.message
    return (f.file, str(f.line)) if f.line else (f.file, f.code, f.message)


def _consequence(f: Finding) -> Key | None:
    """What would explain a finding that another can drag behind it."""
    group = _group(f)
    if "column" in group and f.column == group["column"]:
        return (group["explains"],)
    follows = group.get("follows")
    return ("form", f.file) if follows == "form" else (follows,) if follows else None


def _causes(found: list[Finding]) -> dict[Key | None, Key]:
    """Findings by what they would explain: a fault of form its file, others what their rule says they explain."""
    causes: dict[Key | None, Key] = {}
    for f in sorted(found):
        group = _group(f)
        if f.code[0] == "F" and "follows" not in group:
            causes.setdefault(("form", f.file), _own(f))
        if "explains" in group and (f.column == group.get("column", f.column) or f.file == f"{group['column']}s.csv"):
            causes.setdefault((group["explains"],), _own(f))
    return causes


class _Ties:
    """Keys that belong together."""

    def __init__(self) -> None:
        self.parent: dict[Key, Key] = {}

    def root(self, key: Key) -> Key:
        """The key that stands for all those tied to it."""
        while (above := self.parent.get(key, key)) != key:
            key = above
        return key

    def tie(self, one: Key, other: Key) -> None:
        """Let two keys belong together."""
        self.parent[self.root(other)] = self.root(one)


def _ties(found: list[Finding]) -> _Ties:
    """Lines tied to their rows, and rows that contradict each other."""
    ties = _Ties()
    for f in found:
        if f.row and f.line:
            ties.tie(_own(f), ("row", f.row))
        for other in f.others if f.severity != "remark" else ():
            ties.tie(("row", f.row), ("row", other))
    return ties


def _one(group: list[Finding]) -> Finding:
    """The strongest of a group, with the others."""
    named = Counter(name for f in group for name in {f.row, *f.others} if name)
    first, *others = sorted(group, key=lambda f: _rank(f, named))
    return replace(first, also=tuple(others))


def _rank(f: Finding, named: Counter[str]) -> tuple[int, int, int, Finding]:
    return SEVERITIES.index(f.severity), _PLAINEST.index(f.code[0]), -named[f.row], f
