"""Pages about the rules, made from their files and from the study of what they find."""

import json
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

from .. import tables
from ..places import folder
from ..rulebook import FAMILIES, Rule, rules

SEVERITIES = {
    "error": "it cannot be right as printed",
    "warning": "implausible: look again",
    "remark": "a legal oddity: worth knowing, nothing to mend",
}
"""What the severities mean."""

IDLE = (
    "A line of rules/exceptions.csv names a row that its rule does not fire on. Expected an "
    "exception that is needed: take the line out. This check has no file of its own: it looks at what the others found."
)
"""The one check that is not a rule file, S900."""


def pages(base: Path | None = None) -> dict[str, str]:
    """Markdown by file name: `index.md`, and a page a rule, named as its file."""
    found = all_rules(base)
    made = {"index.md": index(found), "S900-idle-exception.md": _IDLE_PAGE}
    made |= {f"{r['code']}-{r['name']}.md": _retired(r, found) for r in retired(base)}
    return made | {f"{name(r)}.md": page(r) for r in found}


def retired(base: Path | None = None) -> list[dict[str, str]]:
    """Rules that are no more: code and name, the rule that they lead to, and why. Their codes are not used again."""
    return tables.rows((base or folder("rules")) / "retired.csv")


def _retired(gone: dict[str, str], found: Iterable[Rule]) -> str:
    heir = next(r for r in found if r.code == gone["leads_to"])
    text = f"Retired on {gone['date']}: {gone['why']}. See [{heir.code} {heir.name}]({name(heir)}.md)."
    return f"# {gone['code']} {gone['name']}\n\n{text}\n"


_IDLE_PAGE = f"# S900 idle-exception\n\nError.\n\n{IDLE}\n"


def all_rules(base: Path | None = None) -> tuple[Rule, ...]:
    """Rules of both scopes in the order of their families and codes."""
    order = list(FAMILIES)
    return tuple(sorted(rules("dataset", base) + rules("bench", base), key=lambda r: (order.index(r.code[0]), r.code)))


def name(rule: Rule) -> str:
    """Code and name, which are the file's and the page's name."""
    return f"{rule.code}-{rule.name}"


def index(found: Iterable[Rule]) -> str:
    """The rules by family, with what each looks for."""
    lines = ["# Rules", "", *(f"- {k}: {v}" for k, v in SEVERITIES.items())]
    family = ""
    for r in found:
        if r.code[0] != family:
            family = r.code[0]
            lines += ["", f"## {family}: {FAMILIES[family]}", ""]
            lines += ["| rule | severity | why |", "| --- | --- | --- |"]
        lines.append(f"| [{r.code} {r.name}]({name(r)}.md) | {r.severity} | {_cell(r.why)} |")
    lines += ["", f"[S900 idle-exception](S900-idle-exception.md) (error): {IDLE}"]
    gone = [f"[{r['code']} {r['name']}]({r['code']}-{r['name']}.md)" for r in retired()]
    return "\n".join([*lines, "", f"Retired: {', '.join(gone)}.", ""])


def page(rule: Rule) -> str:
    """What a rule looks for and why, bad and good rows, what to do, and what it found in the study."""
    head = f"{rule.severity} ({SEVERITIES[rule.severity]}), {rule.scope}, {rule.status}, since {rule.since}"
    lines = [f"# {rule.code} {rule.name}", "", f"{FAMILIES[rule.code[0]].capitalize()}. {head}.", ""]
    lines += ["## Why", "", rule.why, "", f"Basis: {rule.basis}.", ""]
    lines += ["## What it says", "", f"> {rule.message}", "", f"Help: {rule.help}.", ""]
    lines += ["## Bad", "", *_examples(rule.bad), "## Good", "", *_examples(rule.good)]
    lines += [*_study(rule), "## Query", "", "```sql", rule.query.strip(), "```", ""]
    return "\n".join(lines)


def _examples(examples: Iterable[dict[str, Any]]) -> Iterator[str]:
    for example in examples:
        listed = {k: v for k, v in example.items() if k in (*tables.SHARED, *tables.PER_ENGINE) and v}
        for table, rows in listed.items():
            yield from _table(f"{table}.csv", rows)
        sheet = example.get("sheet", {})
        lines = {k: v for k, v in sheet.items() if v and k in _LINES}
        for name, rows in lines.items():
            yield from _table(_LINES[name], rows)
        others = {k: v for k, v in example.items() if k not in (*listed, *_ABOUT) and v not in ((), [], "")}
        others |= {k: v for k, v in sheet.items() if k not in _LINES}
        if others:
            yield from ("```json", json.dumps(others, indent=1, ensure_ascii=False), "```", "")
        yield from (f"- {_cell(said.removeprefix(': '))}" for said in example.get("says", ()))
        yield from ("",) if "says" in example else ()


_ABOUT = ("says", "finds", "severity", "sheet")
"""What an example tells of the findings in it, and its sheet, whose lines stand in tables of their own."""
_LINES = {"instruments": "instruments of the sheet", "readings": "readings", "torques": "tightening"}


def _table(title: str, rows: list[dict[str, Any]]) -> Iterator[str]:
    columns = list(dict.fromkeys(c for r in rows for c in r))
    yield from (f"{title}:", "", f"| {' | '.join(columns)} |", f"|{' --- |' * len(columns)}")
    yield from (f"| {' | '.join(_cell(str(r.get(c, ''))) for c in columns)} |" for r in rows)
    yield ""


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")


def _study(rule: Rule) -> list[str]:
    """How often a rule fires on the errors that the study puts into the dataset."""
    if rule.scope == "bench":
        return []
    if rule.code[0] in "FS":
        return [
            "## In the study",
            "",
            "The study changes numbers, units and places; it has no error of form or source.",
            "",
        ]
    found = [r for r in study() if r["rule"] == rule.code]
    lines = ["## In the study", ""]
    if not found:
        return [*lines, "It found none of the errors that the study puts in.", ""]
    lines += ["| kind of error | found by it | of | % |", "| --- | ---: | ---: | ---: |"]
    for r in found:
        share = 100 * int(r["found"]) / int(r["tried"])
        lines.append(f"| {r['kind']} | {r['found']} | {r['tried']} | {share:.1f} |")
    return [*lines, ""]


@cache
def study() -> list[dict[str, str]]:
    """What each rule found of the errors that `studies/injection_study.py` puts into the dataset, by kind."""
    return tables.rows(folder("rules") / "study.csv")


def about(code: str) -> str | None:
    """Page of a rule by its code or name, or None."""
    found = all_rules()
    known = {(r.code, r.name): page(r) for r in found} | {("S900", "idle-exception"): _IDLE_PAGE}
    known |= {(r["code"], r["name"]): _retired(r, found) for r in retired()}
    return next((text for (c, n), text in known.items() if code.upper() == c or code == n), None)
