"""One slip, one finding."""

from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from runningfits.auditing import run
from runningfits.auditing.grouping import grouped
from runningfits.cli import main
from runningfits.findings import Finding
from runningfits.rulebook import Rule, rules

from ..broken import dataset
from .examples import FILES, in_memory


def finding(code: str, line: int = 2, file: str = "sizes.csv", column: str = "lower", **more: Any) -> Finding:
    severity = {"P": "warning", "R": "remark"}.get(code[0], "error")
    given = {"severity": severity, "message": f"{code} {line}", "row": f"row-{line}" if code[0] != "F" else ""} | more
    return Finding(file, line, column, code.replace("R", "U"), "a-name", help="do it", **given)


def shape(found: list[Finding]) -> list[tuple[str, list[str]]]:
    """Code of each finding with the codes under it."""
    return [(f.code, [a.code for a in f.also]) for f in found]


def test_findings_of_one_row_stand_under_the_strongest() -> None:
    found = [finding("C101"), finding("U101", column="lower_2"), finding("R108", column="upper"), finding("C101", 3)]
    assert shape(grouped(found)) == [("C101", []), ("U101", ["C101", "U108"])][::-1]


def test_rows_that_contradict_each_other_stand_under_the_one_that_most_name() -> None:
    found = [finding("X101", n, others=("row-9",)) for n in (3, 4, 5)] + [finding("X106", 9, others=("row-8",))]
    (one,) = grouped(found)
    assert (one.line, [a.line for a in one.also]) == (9, [3, 4, 5])


def test_a_remark_ties_nothing_and_plausibility_is_quiet_beside_an_error() -> None:
    found = [finding("R111", 2, others=("row-3",)), finding("U101", 3), finding("P201", 3)]
    assert shape(grouped(found)) == [("U111", []), ("U101", [])]


def test_what_a_fault_of_form_drags_behind_it_stands_under_it() -> None:
    found = [finding("F111", 4), finding("F123", 5), finding("X104", 6), finding("X104", 6, file="torques.csv")]
    assert shape(grouped(found)) == [("F111", ["F123", "X104"]), ("X104", [])]


def test_one_unknown_word_in_many_rows_is_one_finding() -> None:
    found = [finding("F117", n, column="unit", message="a unit that no list has") for n in range(2, 30)]
    ((code, also),) = shape(grouped(found))
    assert (code, len(also)) == ("F117", 27)


def test_remarks_are_listed_where_asked(tmp_path: Path) -> None:
    data = dataset.make(tmp_path / "data")
    path = data / dataset.CLEARANCES
    path.write_text(path.read_text(encoding="utf-8").replace(",0.089,", ",,", 1), encoding="utf-8")
    plain = CliRunner().invoke(main, ["audit", str(data)], catch_exceptions=False)
    asked = CliRunner().invoke(main, ["audit", str(data), "--remarks"], catch_exceptions=False)
    assert plain.exit_code == asked.exit_code == 0
    assert len(plain.output.splitlines()) == 1 and plain.output.endswith("2 remarks (--remarks lists them)\n")
    assert "U107 half-a-second-unit" in asked.output and "U110 last-digit-out-of-habit" in asked.output


def test_the_text_has_a_line_for_each_and_json_holds_them() -> None:
    report = run.judge(in_memory({"clearances": [_ROW | {"upper_2": "0.2"}]}), [])
    (one,) = [f for f in report.findings if f.row]
    assert one.text.count("\n    also ") == len(one.also) > 0
    (values,) = [f for f in report.as_dict()["findings"] if f["file"].startswith("engines/")]
    assert [a["code"] for a in values["also"]] == [a.code for a in one.also]


_ROW = {
    "quantity": "main-bearing-clearance",
    "lower": "0.0035",
    "upper": "0.0015",
    "unit": "in",
    "lower_2": "0.089",
    "upper_2": "0.038",
    "unit_2": "mm",
}


def _examples() -> list[tuple[Rule, dict[str, Any]]]:
    """Examples with one slip, as rows; of habits of a document the first, which has no more places than an engine."""
    wanted = [
        (r, b)
        for r in rules("dataset")
        for b in (r.bad[:1] if r.code in ("U109", "U116") else r.bad)
        if b.get("severity", r.severity) != "remark"
    ]
    return [(r, b) for r, b in wanted if not set(b) & set(FILES) and len(b.get("says", "1")) == b.get("finds", 1) == 1]


TWO_SLIPS = ("S115",)
"""Rules whose example has a document that nothing cites."""


@pytest.mark.parametrize(("rule", "example"), _examples(), ids=lambda v: getattr(v, "code", ""))
def test_who_breaks_a_rule_gets_one_finding(rule: Rule, example: dict[str, Any]) -> None:
    """The shared tables cite documents that the example does not have (F117), and its rows are as written (F123)."""
    found = [f for f in run.judge(in_memory(example), []).findings if f.severity != "remark"]
    mine = [f for f in found if f.code not in ("F117", "F123") or f.code == rule.code]
    assert len(mine) == (2 if rule.code in TWO_SLIPS else 1)
    assert rule.code in {c for f in mine for c in (f.code, *(a.code for a in f.also))}
