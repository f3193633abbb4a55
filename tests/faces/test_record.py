"""What a record and a printed sheet say of instruments, parts and what was left undone."""

from pathlib import Path

from runningfits.build import Build
from runningfits.dataset import Dataset
from runningfits.faces import blank_page, record, words
from runningfits.sheets import blank

from ..shop import fit, judge, row, shop


def test_a_printed_sheet_has_lines_for_parts_and_corrections(data: Dataset) -> None:
    sheet = blank.blank(data, "cummins-b-series")
    page = blank_page.page(sheet, data, blank.work(data, "cummins-b-series", Build()))
    for title in ("Known correction", "Zero checked", "Maker", "Number", *(p["part"] for p in sheet["parts"])):
        assert f">{title}</t" in page, title
    assert "outside micrometer, 75 mm to 100 mm, no. 1" in page


def test_a_usual_limit_is_marked_as_common_practice(data: Dataset) -> None:
    tools = [{"id": "bore-gauge-1", "instrument": "bore-gauge"}, {"id": "mic-1", "instrument": "outside-micrometer"}]
    html = str(list(record.blank_lines({"instruments": tools, "parts": []}, data)))
    assert html.count("common practice") == 1
    assert "0.005 mm" in html


def test_what_was_not_judged_is_told_with_why(tmp_path: Path) -> None:
    clearances = [row("main-bearing-clearance", "0.0015", "0.0030"), row("main-journal-taper", "", "0.0005")]
    readings = [
        *fit("main-bearing-clearance", "2.5022", "2.4998"),
        *fit("main-bearing-clearance", "2.5022", "2.4998", "2"),
    ]
    result = judge(shop(tmp_path, clearances=clearances), *readings)
    assert words.not_judged_lines(result) == [
        "Main journal taper, 1; 2: it needs readings at two places in one direction"
    ]
