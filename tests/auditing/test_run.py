"""The audit as a whole: exceptions, and findings that say one thing once."""

from pathlib import Path

from runningfits.auditing import run
from runningfits.auditing.load import load

from .examples import in_memory, on_disk

SLIP = {"quantity": "main-bearing-clearance", "lower": "0.0350", "upper": "0.0015", "unit": "in"}
FAR = {"quantity": "main-bearing-clearance", "lower": "0.150", "upper": "0.350", "unit": "in"}


def test_plausibility_is_quiet_where_an_error_speaks() -> None:
    codes = {f.code for f in run.judge(in_memory({"clearances": [SLIP]}), []).findings if f.row}
    assert codes == {"C101"}
    plausible = {f.code[0] for f in run.judge(in_memory({"clearances": [FAR]}), []).findings if f.row}
    assert plausible == {"P"}


def test_an_exception_passes_a_row_over_and_an_idle_one_is_a_fault() -> None:
    found = in_memory({"clearances": [SLIP]})
    row = "example-engine/main-bearing-clearance/all@example:1"
    given = [(2, {"rule": "C101", "row": row}), (3, {"rule": "U101", "row": row})]
    left = [f for f in run.judge(found, given).findings if f.file == "exceptions.csv" or f.code == "C101"]
    assert [(f.code, f.line) for f in left] == [("S900", 3)]


def test_two_rows_of_one_key_are_told_whatever_they_hold() -> None:
    journal = {"quantity": "main-journal-diameter", "unit": "in"}
    whole = journal | {"lower": "2.4990", "upper": "2.5000"}
    alone = journal | {"limit": "2.4960", "limit_as": "value"}
    assert "F116" in {f.code for f in run.judge(in_memory({"sizes": [whole, alone]}), []).findings}


def test_a_folder_is_judged_whole(tmp_path: Path) -> None:
    report = run.judge(load(on_disk({}, tmp_path)), [])
    assert {f.code for f in report.findings} == {"S102"}, "documents of the real tables that nothing cites here"
    assert not report.clean
    assert report.counts["rows"] > 300
