"""Bench sheets as workbooks: from JSON to XLSX and back nothing changes."""

import json
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import runningfits as rf
from runningfits.build import Build
from runningfits.dataset import Dataset
from runningfits.faces import blank_page
from runningfits.sheets import blank, grids, sheet_form, wording, workbook
from runningfits.sheets.faults import SheetError
from runningfits.sheets.placed import Sheet
from runningfits.sheets.sheet import load

from ..shop import TOOLS, fit, grid, reading, sheet, torque


def there_and_back(values: dict[str, Any], path: Path, data: Dataset) -> dict[str, Any]:
    """A sheet written as a workbook, read, and written as JSON again."""
    workbook.write(values, path, sheet_form.fields())
    text = json.dumps(load(path, data).values)
    path.with_suffix(".json").write_text(text, encoding="utf-8")
    return dict(load(path.with_suffix(".json"), data).values)


def test_the_demo_comes_back_as_it_was(data: Dataset, root: Path, tmp_path: Path) -> None:
    demo = root / "docs" / "demo" / "launch.json"
    back = there_and_back(json.loads(demo.read_text(encoding="utf-8")), tmp_path / "launch.xlsx", data)
    assert back == load(demo, data).values
    assert back["readings"][28]["to"] == "0.0020", "trailing zeros are kept"


def test_the_demo_has_the_same_result_from_both(data: Dataset, root: Path, tmp_path: Path) -> None:
    demo, path = root / "docs" / "demo" / "launch.json", tmp_path / "launch.xlsx"
    workbook.write(json.loads(demo.read_text(encoding="utf-8")), path, sheet_form.fields())
    first, second = (rf.check(p, data).as_dict() for p in (demo, path))
    assert first.pop("findings") != second.pop("findings"), "lines of one, cells of the other"
    assert first.pop("sheet_sha256") != second.pop("sheet_sha256"), "two files"
    assert first == second


def test_a_finding_names_the_cell(data: Dataset, tmp_path: Path) -> None:
    wrong = reading("main-journal-diameter", "shaft", "44.992")
    right = reading("main-journal-diameter", "shaft", "4.4992", "2")
    path = tmp_path / "sheet.xlsx"
    workbook.write(sheet(right, wrong, engine="cummins-ntc-400"), path, sheet_form.fields())
    (found,) = [f for f in rf.check(path, data).findings if f.code == "B101"]
    assert found.file == "sheet.xlsx"
    table, _, place = found.column.partition("!")
    cell = openpyxl.load_workbook(path)[table][place]
    assert (table, cell.value) == ("readings", "44.992")


WORDS = st.text(st.characters(min_codepoint=32, max_codepoint=0x2FFF, exclude_categories=["Cc", "Cs"]), max_size=40)
PLAIN = WORDS.map(str.strip).filter(lambda t: t and not t.startswith("="))
NUMBERS = st.from_regex(r"[0-9]{1,3}\.[0-9]{1,5}", fullmatch=True).filter(lambda t: float(t) > 0)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=30, deadline=None)
@given(PLAIN, PLAIN, NUMBERS, NUMBERS, st.integers(1, 50))
def test_any_text_and_number_come_back(
    data: Dataset, tmp_path: Path, title: str, note: str, bore: str, value: str, number: int
) -> None:
    whole = sheet(
        *fit("main-bearing-clearance", bore, value, note=note),
        torques=[torque("main-cap", number, value, note=note)],
        engine="cummins-ntc-400",
    )
    whole |= {"title": title, "customer": note}
    assert there_and_back(whole, tmp_path / "sheet.xlsx", data) == load(whole, data).values


@pytest.mark.parametrize(
    ("typed", "text"), [(4.4992, "4.4992"), (4, "4"), (0.1, "0.1"), (0.00001, "0.00001"), ("4.4990", "4.4990")]
)
def test_a_number_typed_as_one_is_read_as_it_shows(
    data: Dataset, tmp_path: Path, typed: float | str, text: str
) -> None:
    path = tmp_path / "sheet.xlsx"
    workbook.write(sheet(reading("crank-end-play", "gap", "1"), engine="cummins-ntc-400"), path, sheet_form.fields())
    book = openpyxl.load_workbook(path)
    head, line = grid(book, "readings")
    line[[c.value for c in head].index("value")].value = typed
    book.save(path)
    assert load(path, data).values["readings"][0]["value"] == text


def test_a_formula_is_refused(data: Dataset, tmp_path: Path) -> None:
    path = tmp_path / "sheet.xlsx"
    workbook.write(sheet(engine="cummins-ntc-400"), path, sheet_form.fields())
    book = openpyxl.load_workbook(path)
    book["sheet"]["B3"].value = "=1+1"
    book.save(path)
    with pytest.raises(SheetError, match=r"sheet!B3: a formula"):
        load(path, data)


def test_every_column_has_its_heading(tmp_path: Path) -> None:
    path = tmp_path / "sheet.xlsx"
    workbook.write(sheet(), path, sheet_form.fields())
    book = openpyxl.load_workbook(path)
    assert book.sheetnames == ["sheet", "readings", "help"]
    for table in grids.TABLES:
        headings = [str(c.value) for c in grid(book, table)[0] if c.value]
        more = ["again"] if table == "readings" else []
        assert sorted(headings) == sorted([*more, *(grids.heading(f) for f in sheet_form.fields()[table])])
        assert not any("_" in h for h in headings)
    assert len(grid(book, "instruments")) == 1 + len(TOOLS)


def test_a_given_sheet_is_left_as_it_is(data: Dataset) -> None:
    given_sheet = sheet(*fit("main-bearing-clearance", "4.5026", "4.4992"), engine="cummins-ntc-400")
    given_sheet["customer"] = ""
    before = json.dumps(given_sheet)
    rf.check(given_sheet, data).as_dict()
    assert json.dumps(given_sheet) == before


def test_no_text_of_a_blank_sheet_is_a_formula(tmp_path: Path) -> None:
    values = sheet() | {
        "title": "=1+2",
        "serial": "#N/A",
        "parts": [{"part": "=SUM(A1)", "maker": "+1", "number": "-1"}],
    }
    workbook.write(
        values, tmp_path / "sheet.xlsx", sheet_form.fields() | {"parts": ["=part", "part", "maker", "number"]}
    )
    book = openpyxl.load_workbook(tmp_path / "sheet.xlsx")
    texts = [c for table in book.worksheets for row in table.iter_rows() for c in row if isinstance(c.value, str)]
    assert {c.value for c in texts} > {"=1+2", "#N/A", "=SUM(A1)", "+1", "-1", "=part"}
    assert {c.data_type for c in texts} == {"s"}


def test_headings_are_read_as_fields_or_as_words(data: Dataset, tmp_path: Path) -> None:
    values, path = (
        sheet(*fit("main-bearing-clearance", "4.5026", "4.4992"), engine="cummins-ntc-400"),
        tmp_path / "s.xlsx",
    )
    workbook.write(values | {"second_check_by": "Mate"}, path, sheet_form.fields())
    first = load(path, data).values
    assert first["second_check_by"] == "Mate"
    book = openpyxl.load_workbook(path)
    for table in ("sheet", *grids.TABLES):
        cells = [r[0] for r in grid(book, table)] if table == "sheet" else grid(book, table)[0]
        for cell in cells:
            found = [f for f in sheet_form.fields()[table] if grids.heading(f) == cell.value]
            cell.value = found[0] if found else cell.value
    book.save(path)
    assert load(path, data).values == first


@pytest.mark.parametrize("engine", ["cummins-ntc-400", "nissan-h20", "kohler-command-ch18-745"])
def test_a_blank_workbook_shows_labels_and_is_read_as_words(data: Dataset, tmp_path: Path, engine: str) -> None:
    path = tmp_path / "blank.xlsx"
    blank_page.write(data, engine, path)
    book = openpyxl.load_workbook(path)
    head, *lines = grid(book, "readings")
    column = {c.value: n for n, c in enumerate(head)}
    plain = blank.blank(data, engine)
    labels = [data.quantities[r["item"]]["label"] for r in grids.folded(plain["readings"])]
    assert [r[column["item"]].value for r in lines] == labels
    for row in lines:
        row[column["value"]].value = "1.0"
        row[column["again"]].value = None if row[column["again"]].fill.fill_type else "1.0"
    book.save(path)
    back = wording.read(Sheet(workbook.read(path.read_bytes(), "blank.xlsx")[0], lambda p: ("", 0, "")), data)
    assert back[1] == []
    same = ("item", "position", "part", "unit", "instrument", "which", "state", "method", "at")
    assert [[r.get(k) for k in same] for r in back[0].values["readings"]] == [
        [r.get(k) for k in same] for r in plain["readings"]
    ]


def test_a_part_with_its_maker_alone_is_kept(data: Dataset, tmp_path: Path) -> None:
    path = tmp_path / "sheet.xlsx"
    named = [{"part": "rod bolts", "maker": "Example Works"}, {"part": "pistons"}]
    workbook.write(sheet(engine="cummins-ntc-400") | {"parts": named}, path, sheet_form.fields())
    assert load(path, data).values["parts"] == named[:1]


def test_a_second_reading_stands_in_the_line_of_the_first(data: Dataset, tmp_path: Path) -> None:
    twice = [reading("main-journal-diameter", "shaft", v) for v in ("4.4992", "4.4993", "4.4991")]
    leaves = [reading("crank-end-play", "gap", "0.005", "all", to="0.006") for _ in "ab"]
    whole, path = sheet(*twice, *leaves, engine="cummins-ntc-400"), tmp_path / "sheet.xlsx"
    assert there_and_back(whole, path, data)["readings"] == load(whole, data).values["readings"]
    book = openpyxl.load_workbook(path)
    head, *lines = grid(book, "readings")
    column = {c.value: n for n, c in enumerate(head)}
    assert [[r[column[k]].value for k in ("value", "again", "to")] for r in lines] == [
        ["4.4992", "4.4993", None],
        ["4.4991", None, None],
        *[["0.005", None, "0.006"]] * 2,
    ]
    lines[0][column["again"]].value = "4,4993"
    lines[2][column["again"]].value = "0.007"
    book.save(path)
    with pytest.raises(SheetError, match=rf"readings!{lines[0][column['again']].coordinate}: .4,4993") as told:
        load(path, data)
    assert len(told.value.faults) == 1
    lines[0][column["again"]].value = lines[0][column["value"]].value = None
    book.save(path)
    read = load(path, data).values["readings"]
    assert [(r["value"], r.get("to")) for r in read] == [
        ("4.4991", None),
        ("0.005", "0.006"),
        ("0.007", None),
        ("0.005", "0.006"),
    ]


def test_worksheets_of_one_grid_each_are_read_too(data: Dataset, tmp_path: Path) -> None:
    path = tmp_path / "sheet.xlsx"
    whole = sheet(*fit("main-bearing-clearance", "4.5026", "4.4992"), engine="cummins-ntc-400")
    workbook.write(whole, path, sheet_form.fields())
    book = openpyxl.load_workbook(path)
    own = book["sheet"]
    tools = grid(book, "instruments")
    apart = book.create_sheet("instruments")
    for line in tools:
        apart.append([c.value for c in line])
    book.save(path)
    again = r"sheet.xlsx:instruments: the grid instruments again, expected each grid once"
    with pytest.raises(SheetError, match=again):
        load(path, data)
    own.delete_rows(tools[0][0].row - 1, len(tools) + 1)
    book.save(path)
    assert load(path, data).values["instruments"] == whole["instruments"]


@pytest.mark.parametrize(
    ("heads", "title"), [(("item", "position", "Value", "unit"), "readings"), (("joint", "step", "value"), "torques")]
)
def test_a_further_worksheet_with_lines_of_a_grid_is_refused(
    data: Dataset, tmp_path: Path, heads: tuple[str, ...], title: str
) -> None:
    path = tmp_path / "sheet.xlsx"
    whole = sheet(*fit("main-bearing-clearance", "4.5026", "4.4992"), engine="cummins-ntc-400")
    workbook.write(whole, path, sheet_form.fields())
    book = openpyxl.load_workbook(path)
    more = book.create_sheet("more")
    more.append(["what we read later, value in inches"])
    book.save(path)
    assert load(path, data).values["readings"] == whole["readings"]
    more.append(heads)
    book.save(path)
    told = rf'sheet.xlsx:more!2: {title} on a worksheet "more", expected them on the worksheet {title}'
    with pytest.raises(SheetError, match=told):
        load(path, data)


def test_a_line_that_says_to_what_and_not_from_what_is_refused(data: Dataset, tmp_path: Path) -> None:
    path = tmp_path / "sheet.xlsx"
    leaves = [reading("crank-end-play", "gap", "0.005", "all", to="0.006") for _ in "ab"]
    workbook.write(sheet(*leaves, engine="cummins-ntc-400"), path, sheet_form.fields())
    book = openpyxl.load_workbook(path)
    head, line, _ = grid(book, "readings")
    cell = next(c for c, h in zip(line, head, strict=True) if h.value == "value")
    cell.value = None
    book.save(path)
    with pytest.raises(SheetError, match=rf"sheet.xlsx:readings!{cell.row}: no value, expected the field value"):
        load(path, data)
    values = sheet(*leaves, engine="cummins-ntc-400")
    values["readings"][1]["value"] = ""
    with pytest.raises(SheetError, match=r"readings\[1\]: no value"):
        load(values, data)


WIDE, HIGH, PER_CHARACTER, LETTER = 210 / 25.4 * 72, 297 / 25.4 * 72, 5.25, 11
"""Points of an A4 page, of a character's width and of a letter at full size."""


def pages(table: Any) -> tuple[int, float]:
    """On how many A4 pages a worksheet prints, and the points of its letters there, from all that decides it."""
    edge, setup = table.page_margins, table.page_setup
    assert (setup.orientation, setup.fitToWidth) in (("portrait", 1), ("portrait", None))
    assert table.sheet_properties.pageSetUpPr.fitToPage and int(setup.paperSize) == 9
    wide, high = WIDE - 72 * (edge.left + edge.right), HIGH - 72 * (edge.top + edge.bottom)
    columns = sum(c.width for c in table.column_dimensions.values() if not c.hidden)
    heights = [table.row_dimensions[n].height for n in range(1, table.max_row + 1)]
    repeated = heights[0] if table.print_title_rows else 0

    def taken(scale: float) -> int:
        count, left = 1, high / scale
        for height in heights:
            if height > left:
                count, left = count + 1, high / scale - repeated
            left -= height
        return count

    scale = min(1.0, wide / (columns * PER_CHARACTER))
    while taken(scale) > setup.fitToHeight:
        scale *= 0.999
    return taken(scale), LETTER * scale


@pytest.mark.parametrize(("engine", "model"), [("cummins-b-series", "6bt"), ("cummins-ntc-400", "big-cam-i")])
def test_the_workbook_of_a_six_prints_on_six_pages_that_can_be_read(
    data: Dataset, tmp_path: Path, engine: str, model: str
) -> None:
    path = tmp_path / "six.xlsx"
    blank_page.write(data, engine, path, Build(model))
    book = openpyxl.load_workbook(path)
    found = {t.title: pages(t) for t in book.worksheets}
    assert sum(count for count, _ in found.values()) <= 6, found
    assert found["sheet"][0] == found["help"][0] == 1
    assert all(points >= 6.9 for _, points in found.values()), found
    assert book["readings"].print_title_rows == "$1:$1"
    assert all(t.print_area.endswith("$1048576") for t in book.worksheets), "notes do not run over the edge"


def test_a_column_that_the_sheet_needs_is_not_folded(tmp_path: Path) -> None:
    path = tmp_path / "sheet.xlsx"
    workbook.write(sheet(reading("crank-end-play", "gap", "1", temperature="20 C")), path, sheet_form.fields())
    book = openpyxl.load_workbook(path)
    columns = book["readings"].column_dimensions
    folded = [c.value for c in grid(book, "readings")[0] if columns[c.column_letter].hidden]
    assert folded == ["which", "state", "method", "at", "class", "material"]
