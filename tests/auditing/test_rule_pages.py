"""Pages about the rules."""

import pytest
from click.testing import CliRunner

from runningfits.auditing import rule_pages
from runningfits.cli import main
from runningfits.places import folder
from runningfits.rulebook import FAMILIES, Rule

ALL = rule_pages.all_rules()


def test_every_rule_has_a_page_named_as_its_file() -> None:
    made = rule_pages.pages()
    files = {p.stem for p in folder("rules").glob("*.toml")}
    gone = {f"{r['code']}-{r['name']}" for r in rule_pages.retired()}
    assert gone and not gone & files
    assert set(made) == {"index.md", "S900-idle-exception.md"} | {f"{stem}.md" for stem in files | gone}


def test_a_retired_rule_leads_on_and_its_code_is_not_used_again() -> None:
    assert not {r["code"] for r in rule_pages.retired()} & {r.code for r in ALL}
    text = rule_pages.pages()["P101-bearing-clearance-implausible.md"]
    assert "See [P201 level-out-of-population](P201-level-out-of-population.md)." in text
    assert rule_pages.about("p101") == text


def test_the_index_lists_every_rule_under_its_family() -> None:
    text = rule_pages.index(ALL)
    for letter, title in FAMILIES.items():
        part = text.partition(f"## {letter}: {title}\n")[2].partition("\n## ")[0]
        wanted = [r for r in ALL if r.code[0] == letter]
        assert [line for line in part.splitlines() if line.startswith("| [")] == [
            f"| [{r.code} {r.name}]({r.code}-{r.name}.md) | {r.severity} | {r.why} |" for r in wanted
        ]
    assert "[S900 idle-exception](S900-idle-exception.md)" in text
    assert "[P112 end-play-implausible](P112-end-play-implausible.md)" in text


@pytest.mark.parametrize("rule", ALL, ids=lambda r: r.code)
def test_a_page_has_all_parts(rule: Rule) -> None:
    text = rule_pages.page(rule)
    for part in (rule.why, rule.basis, rule.message, rule.help, rule.query.strip(), rule.since):
        assert part in text
    bad, good = (text.partition(f"## {k}\n")[2].partition("\n## ")[0].strip() for k in ("Bad", "Good"))
    assert bad and good and bad != good
    for row in (r for e in rule.bad for t in ("sizes", "clearances", "torques") for r in e.get(t, ())):
        assert all(str(v) in bad for v in row.values())
    assert ("## In the study" in text) == (rule.scope == "dataset")


PAGE = """# C101 lower-above-upper

Consistency within a row. error (it cannot be right as printed), dataset, stable, since 0.1.0.

## Why

The lower end of a range cannot lie above the upper.

Basis: arithmetic.

## What it says

> lower {low} is above upper {high}

Help: read both on the page; if the page prints them so, register a misprint with its proof.

## Bad

clearances.csv:

| quantity | lower | upper | unit |
| --- | --- | --- | --- |
| main-bearing-clearance | 0.0035 | 0.0015 | in |

- lower: lower 0.0035 is above upper 0.0015

## Good

"""


def test_a_page_stands_as_it_is_read() -> None:
    rule = next(r for r in ALL if r.code == "C101")
    text = rule_pages.page(rule)
    assert text.startswith(PAGE)
    assert text.endswith(f"\n\n## Query\n\n```sql\n{rule.query.strip()}\n```\n")


def test_what_a_rule_found_is_that_of_the_study() -> None:
    found = [r for r in rule_pages.study() if r["rule"] == "C101"]
    text = rule_pages.page(next(r for r in ALL if r.code == "C101"))
    assert len(found) > 3
    for r in found:
        assert f"| {r['kind']} | {r['found']} | {r['tried']} | {100 * int(r['found']) / int(r['tried']):.1f} |" in text


@pytest.mark.parametrize("word", ["C101", "c101", "lower-above-upper"])
def test_the_audit_tells_about_a_rule(word: str) -> None:
    result = CliRunner().invoke(main, ["audit", "--about", word], catch_exceptions=False)
    assert (result.exit_code, result.output.splitlines()[0]) == (0, "# C101 lower-above-upper")


def test_a_code_of_no_rule_is_told() -> None:
    result = CliRunner().invoke(main, ["audit", "--about", "C999"], catch_exceptions=False)
    assert result.exit_code == 2
    assert 'no rule "C999"; there are F101, ' in result.output
