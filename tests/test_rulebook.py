"""Every rule finds its bad rows, is quiet on its good ones, and has all its parts."""

from pathlib import Path
from typing import Any

import pytest

from runningfits import rulebook
from runningfits.places import folder

from .bench_examples import database

RULES = rulebook.rules("dataset") + rulebook.rules("bench")


def _examples(kind: str) -> list[Any]:
    return [pytest.param(r, e, id=f"{r.code}-{n}") for r in RULES for n, e in enumerate(getattr(r, kind))]


@pytest.mark.parametrize(("rule", "example"), _examples("bad"))
def test_a_bad_example_is_found(rule: rulebook.Rule, example: dict[str, Any], tmp_path: Path) -> None:
    base = database(example, tmp_path)
    found = list(rulebook.run(rule, base))
    base.close()
    said = sorted(f"{f.column}: {f.message}" for f in found)
    assert said == sorted(example.get("says", said))
    assert len(found) == len(example.get("says", ())) or example.get("finds", 1) == len(found)
    assert {f.severity for f in found} == {example.get("severity", rule.severity)}
    assert all(f.message and "{" not in f.message + f.help and f.file for f in found)


@pytest.mark.parametrize(("rule", "example"), _examples("good"))
def test_a_good_example_is_passed(rule: rulebook.Rule, example: dict[str, Any], tmp_path: Path) -> None:
    base = database(example, tmp_path)
    found = list(rulebook.run(rule, base))
    base.close()
    assert not found, [f.text for f in found]


def test_every_family_has_rules_and_the_dataset_at_least_25() -> None:
    assert {r.code[0] for r in RULES} == set(rulebook.FAMILIES)
    assert len(rulebook.rules("dataset")) >= 25


@pytest.mark.parametrize("rule", RULES, ids=lambda r: r.code)
def test_a_rule_has_all_its_parts(rule: rulebook.Rule) -> None:
    assert rule.bad and rule.good and rule.since and rule.status in ("stable", "trial")
    assert all(text.strip() for text in (rule.why, rule.basis, rule.query, rule.message, rule.help))
    assert rule.name == rule.name.lower() and " " not in rule.name


def test_codes_and_names_are_unique() -> None:
    assert len({r.code for r in RULES}) == len(RULES) == len({r.name for r in RULES})


def test_a_rule_file_that_lacks_a_part_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "C999-half.toml"
    path.write_text('code = "C999"\nname = "half"\n', encoding="utf-8")
    with pytest.raises(rulebook.RuleError, match=r"C999-half.toml: missing or unknown parts: .*query"):
        rulebook.read(path)


def test_a_rule_whose_query_fails_says_so(tmp_path: Path) -> None:
    text = (folder("rules") / "C106-row-without-number.toml").read_text(encoding="utf-8")
    path = tmp_path / "C106-row-without-number.toml"
    path.write_text(text.replace("FROM limits r", "FROM nowhere r"), encoding="utf-8")
    base = database(rulebook.read(path).good[0], tmp_path)
    with pytest.raises(rulebook.RuleError, match=r"C106 .*nowhere"):
        list(rulebook.run(rulebook.read(path), base))
    base.close()
