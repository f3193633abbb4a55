"""Broken bench sheets: the check names file, line or cell, what was found and what was expected, and writes nothing."""

import io
import itertools
import json
import os
import subprocess
import sys
import time
import tomllib
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from click.testing import CliRunner, Result

from runningfits.cli import main
from runningfits.sheets import sheet_form, workbook

from .workbook_cases import (
    BOOKS,
    crowded,
    far_off,
    lying_of_its_size,
    member,
    packed,
    populous,
    ranges_without_end,
    spacious,
)

GOOD = Path(__file__).with_name("sheet.json")
CASES = tomllib.loads(Path(__file__).with_name("sheets.toml").read_text(encoding="utf-8"))
TEXT = {name: given for family in CASES.values() for name, given in family.items() if "swap" in given}
CELLS = {name: given for family in CASES.values() for name, given in family.items() if "put" in given}


def check(sheet: Path, *more: str) -> Result:
    return CliRunner().invoke(main, ["check", str(sheet), *more], catch_exceptions=False)


def unusable(sheet: Path, expected: str) -> list[str]:
    """Lines that refuse a sheet; asserts the message, that each line names the sheet, and that no report is written."""
    report = sheet.parent / "report.html"
    result = check(sheet, "--report", str(report))
    assert expected in result.stderr
    assert (result.exit_code, result.stdout) == (2, "")
    assert all(line.startswith(f"runningfits: {sheet.name}") for line in result.stderr.splitlines())
    assert "Traceback" not in result.stderr
    assert [p.name for p in sheet.parent.iterdir()] == [sheet.name]
    return result.stderr.splitlines()


def written(folder: Path, raw: bytes, name: str = "sheet.json") -> Path:
    (folder / name).write_bytes(raw)
    return folder / name


def swapped(old: str, new: str) -> bytes:
    text = GOOD.read_text(encoding="utf-8")
    assert text.count(old) == 1
    return text.replace(old, new).encode()


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The good sheet as a workbook."""
    path = tmp_path_factory.mktemp("book") / "sheet.xlsx"
    workbook.write(json.loads(GOOD.read_text(encoding="utf-8")), path, sheet_form.fields())
    return path.read_bytes()


def test_the_unbroken_sheet_is_clean(tmp_path: Path, book: bytes) -> None:
    assert check(GOOD).exit_code == 0
    assert check(written(tmp_path, book, "sheet.xlsx")).exit_code == 0


@pytest.mark.parametrize("name", TEXT)
def test_a_fault_in_the_text(name: str, tmp_path: Path) -> None:
    given = TEXT[name]
    expected = f"sheet.json:{given['at']}: {given['finds']}"
    assert len(unusable(written(tmp_path, swapped(*given["swap"])), expected)) == given.get("faults", 1)


@pytest.mark.parametrize("name", CELLS)
def test_a_fault_in_a_cell(name: str, tmp_path: Path, book: bytes) -> None:
    given = CELLS[name]
    title, at, value = given["put"]
    opened = openpyxl.load_workbook(io.BytesIO(book))
    opened[title][at] = value
    expected = f"sheet.xlsx:{given.get('at', f'{title}!{at}')}: {given['finds']}"
    assert len(unusable(written(tmp_path, packed(opened), "sheet.xlsx"), expected)) == given.get("faults", 1)


def without(key: str) -> bytes:
    values = json.loads(GOOD.read_text(encoding="utf-8"))
    del values[key]
    return json.dumps(values, indent=1).encode()


BYTES: dict[str, tuple[bytes, str]] = {
    "empty-file": (b"", "sheet.json: an empty file, expected a bench sheet"),
    "blanks-alone": (b" \r\n\t\n", "sheet.json: an empty file, expected a bench sheet"),
    "byte-order-mark-alone": (b"\xef\xbb\xbf", "sheet.json: an empty file, expected a bench sheet"),
    "latin-1": (
        GOOD.read_bytes().replace(b"Auxiliary", b"Auxili\xe8re"),
        "sheet.json:3: byte 0xe8, expected UTF-8 text",
    ),
    "utf-16": (GOOD.read_text(encoding="utf-8").encode("utf-16"), "sheet.json:1: byte 0xff, expected UTF-8 text"),
    "nul-bytes": (bytes(1000), "sheet.json:1:1: expecting value, expected a JSON document"),
    "list": (b"[]", "sheet.json:1:sheet: a list of 0, expected an object"),
    "text": (b'"perkins-4-236"', 'sheet.json:1:sheet: "perkins-4-236", expected an object'),
    "null": (b"\nnull", "sheet.json:2:sheet: null, expected an object"),
    "number": (b"2.9988", "sheet.json:1:sheet: the number 2.9988, expected an object"),
    "true": (b"true", "sheet.json:1:sheet: true, expected an object"),
    "empty-object": (b"{}", "sheet.json:1:sheet: no engine, instruments, readings, expected the field engine, instr"),
    "cut-off": (GOOD.read_bytes()[:700], "sheet.json:13:88: expecting ',' delimiter"),
    "cut-off-in-a-text": (GOOD.read_bytes()[:20], "sheet.json:2:12: unterminated string starting at, expected a JSON"),
    "no-readings": (without("readings"), "sheet.json:1:sheet: no readings, expected the field readings"),
    "no-instruments": (without("instruments"), "sheet.json:1:sheet: no instruments, expected the field instruments"),
    "object-for-readings": (
        without("readings").replace(b'"torques": [', b'"readings": {}, "torques": ['),
        "readings: an object of 0, expected a list",
    ),
    "nested-10000-deep": (b"\n" + b"[" * 10_000 + b"]" * 10_000, "sheet.json:2: lists nested too deep, expected at"),
    "opened-10000-deep": (b'{"a":' * 10_000, "sheet.json:1: lists nested too deep, expected at most 12 levels"),
    "very-long-title": (
        swapped("Auxiliary", "A" * 501),
        f'sheet.json:3:title: "{"A" * 39}…", expected at most 500 characters',
    ),
    "thousands-of-digits": (
        swapped('"2.9988"', "9" * 5000),
        f"sheet.json:13:readings[0].value: the number {'9' * 39}…, expected text",
    ),
    "thousands-of-digits-as-text": (
        swapped('"2.9988"', f'"{"9" * 5000}"'),
        f'sheet.json:13:readings[0].value: "{"9" * 39}…", expected at most 20 characters',
    ),
    "step-of-thousands-of-digits": (
        swapped('"step": 1', f'"step": {"9" * 5000}'),
        f"sheet.json:18:torques[0].step: the number {'9' * 39}…, expected ",
    ),
    "exponent-beyond-all": (
        swapped('"2.9988"', "1e99999999999999999999"),
        "sheet.json:13:readings[0].value: the number 1e99999999999999999999, expected text",
    ),
    "exponent-beyond-all-below": (
        swapped('"step": 1', '"step": -1.5E-99999999999999999999'),
        "sheet.json:18:torques[0].step: the number -1.5E-99999999999999999999, expected at least 1",
    ),
    "too-many-instruments": (
        swapped('"instruments": [', '"instruments": [' + "{}," * 200),
        "sheet.json:6:instruments: a list of 204, expected at most 200 lines",
    ),
    "more-faults-than-can-be-shown": (
        swapped('"readings": [', '"readings": [' + "{}," * 200),
        "sheet.json:1:sheet: more than 50 faults, expected a bench sheet",
    ),
}


@pytest.mark.parametrize("name", BYTES)
def test_a_fault_of_the_whole_text(name: str, tmp_path: Path) -> None:
    raw, expected = BYTES[name]
    unusable(written(tmp_path, raw), expected)


@pytest.mark.parametrize("name", BOOKS)
def test_a_fault_of_the_whole_workbook(name: str, tmp_path: Path, book: bytes) -> None:
    edit, expected = BOOKS[name]
    unusable(written(tmp_path, edit(book), "sheet.xlsx"), expected)


MEGABYTES = """
import re, sys
from pathlib import Path
from runningfits.cli import main
try:
    main(["check", sys.argv[1]])
finally:
    print(int(re.search(r"VmHWM:\\s*(\\d+)", Path("/proc/self/status").read_text())[1]) // 1024)
"""
"""Checks a sheet and tells the most memory that it held; what getrusage tells begins with that of the parent."""


@pytest.mark.parametrize("edit", [lying_of_its_size, ranges_without_end, crowded, spacious, populous, far_off])
def test_a_bomb_takes_little_memory(edit: Callable[[bytes], bytes], tmp_path: Path, book: bytes) -> None:
    sheet = written(tmp_path, edit(book), "sheet.xlsx")
    done = subprocess.run([sys.executable, "-c", MEGABYTES, str(sheet)], capture_output=True, text=True, check=False)
    assert done.returncode in (0, 1, 2), done.stderr
    assert 20 < int(done.stdout.splitlines()[-1]) < 400


def test_a_hundred_megabytes(tmp_path: Path) -> None:
    sheet = written(tmp_path, b"{")
    os.truncate(sheet, 100_000_000)
    unusable(sheet, "sheet.json: 100 MB, expected at most 5 MB")


def test_no_such_file(tmp_path: Path) -> None:
    result = check(tmp_path / "none.json", "--report", str(tmp_path / "report.html"))
    assert (result.exit_code, list(tmp_path.iterdir())) == (2, [])
    assert f"{tmp_path / 'none.json'}: no such file, expected a bench sheet, JSON, XLSX or CSV" in result.stderr


def test_a_folder_is_no_sheet(tmp_path: Path) -> None:
    result = check(tmp_path)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "no such file, expected a bench sheet" in result.stderr


@pytest.mark.parametrize("name", ["sheet.json", "sheet.xlsx"])
def test_a_file_that_may_not_be_read(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(path: Path) -> bytes:
        raise PermissionError(13, "Permission denied", str(path))

    sheet = written(tmp_path, GOOD.read_bytes(), name)
    monkeypatch.setattr(Path, "read_bytes", refuse)
    unusable(sheet, f"{name}: Permission denied, expected a file that can be read")


def test_a_report_that_is_there_stays(tmp_path: Path) -> None:
    before = written(tmp_path, b"before", "report.html")
    result = check(written(tmp_path, b"{}"), "--report", str(before))
    assert (result.exit_code, before.read_bytes()) == (2, b"before")


@pytest.mark.parametrize("name", ["sheet.json", "other.html", "sheet.htm"])
def test_a_report_goes_over_no_file(name: str, tmp_path: Path) -> None:
    sheet, there = written(tmp_path, GOOD.read_bytes()), tmp_path / name
    if not there.exists():
        there.write_bytes(b"before")
    before = there.read_bytes()
    result = check(sheet, "--report", str(there))
    assert (result.exit_code, result.stdout, there.read_bytes()) == (2, "", before)
    assert str(there) in result.stderr


def test_a_report_goes_over_another_file_when_told(tmp_path: Path) -> None:
    sheet, there = written(tmp_path, GOOD.read_bytes()), written(tmp_path, b"before", "report.html")
    assert check(sheet, "--report", str(there), "--force").exit_code == 0
    assert there.read_bytes().startswith(b"<!doctype html>")


def test_a_report_never_goes_over_its_sheet(tmp_path: Path) -> None:
    sheet = written(tmp_path, GOOD.read_bytes(), "sheet.html")
    result = check(sheet, "--report", str(sheet), "--force")
    assert (result.exit_code, sheet.read_bytes()) == (2, GOOD.read_bytes())
    assert "is the sheet itself" in result.stderr


@pytest.mark.parametrize("name", ["report.xlsx", "report.json", "report", "report.pdf"])
def test_a_report_is_a_page(name: str, tmp_path: Path) -> None:
    result = check(GOOD, "--report", str(tmp_path / name))
    assert (result.exit_code, list(tmp_path.iterdir())) == (2, [])
    assert "a report is .html" in result.stderr


def test_a_report_that_cannot_be_written(tmp_path: Path) -> None:
    report = tmp_path / "none" / "report.html"
    result = check(GOOD, "--report", str(report))
    assert (result.exit_code, result.stdout, list(tmp_path.iterdir())) == (2, "", [])
    assert result.stderr == f"runningfits: {report}: No such file or directory\n"


def test_every_fault_is_told(tmp_path: Path) -> None:
    text = GOOD.read_text(encoding="utf-8").replace('"2.9988"', '"2,447"').replace('"3.1665"', '"x"')
    result = check(written(tmp_path, text.encode()))
    assert [line.split(": ")[1] for line in result.stderr.splitlines()] == [
        "sheet.json:13:readings[0].value",
        "sheet.json:14:readings[1].value",
    ]


def long(table: str, times: int) -> bytes:
    values = json.loads(GOOD.read_text(encoding="utf-8"))
    values[table] = values[table][:1] * times
    return json.dumps(values).encode()


@pytest.mark.parametrize(("table", "most"), [("readings", 10_000), ("torques", 1_000)])
def test_a_sheet_of_more_than_an_engine_has_is_refused(table: str, most: int, tmp_path: Path) -> None:
    expected = f"sheet.json:1:{table}: a list of {most + 1}, expected at most {most} lines"
    unusable(written(tmp_path, long(table, most + 1)), expected)


def of_all_parts(root: Path, times: int) -> bytes:
    """The launch's sheet with its readings over and over: bores, shafts and gaps of the same fits by the hundred."""
    values = json.loads((root / "docs" / "demo" / "launch.json").read_text(encoding="utf-8"))
    values["readings"] = list(itertools.islice(itertools.cycle(values["readings"]), times))
    return json.dumps(values).encode()


def seconds(sheet: Path) -> float:
    """Time of the processor that a check takes."""
    start = time.process_time()
    assert check(sheet).exit_code in (0, 1)
    return time.process_time() - start


@pytest.mark.parametrize(("table", "most"), [("readings", 10_000), ("torques", 1_000)])
def test_a_sheet_as_long_as_may_be_is_judged_in_time(table: str, most: int, tmp_path: Path) -> None:
    assert seconds(written(tmp_path, long(table, most))) < 30


def test_four_times_the_readings_take_about_four_times_as_long(tmp_path: Path, root: Path) -> None:
    some = seconds(written(tmp_path, of_all_parts(root, 2_500)))
    assert seconds(written(tmp_path, of_all_parts(root, 10_000))) < min(6 * some, 30)


def many(line: dict[str, Any]) -> bytes:
    values = json.loads(GOOD.read_text(encoding="utf-8"))
    values["readings"] = [line] * 8_000
    return json.dumps(values).encode()


SLOW = {
    "quotes-without-end": b'{"a": "' + b'\\"' * 1_000_000,
    "half-escape-at-the-end": b'{"a": "' + b'\\"' * 1_000_000 + b"\\",
    "one-fault-a-line": many(json.loads(GOOD.read_bytes())["readings"][0] | {"item": "cheese"}),
}


@pytest.mark.parametrize("name", SLOW)
def test_what_could_take_for_ever_does_not(name: str, tmp_path: Path) -> None:
    start = time.monotonic()
    unusable(written(tmp_path, SLOW[name]), "sheet.json:1:")
    assert time.monotonic() - start < 20


@pytest.mark.parametrize("change", [lambda raw: b"\xef\xbb\xbf" + raw, lambda raw: raw.replace(b"\n", b"\r\n")])
def test_what_an_editor_adds_is_accepted(change: Callable[[bytes], bytes], tmp_path: Path) -> None:
    first, second = (
        json.loads(check(p, "--json").stdout) for p in (written(tmp_path, change(GOOD.read_bytes())), GOOD)
    )
    assert first.pop("sheet_sha256") != second.pop("sheet_sha256")
    assert first == second


def test_lines_and_tabs_in_a_title_are_accepted(tmp_path: Path) -> None:
    assert check(written(tmp_path, swapped("Auxiliary", "First\\n\\tsecond"))).exit_code == 0


HTML = "<script>alert(1)</script> & \"quotes\" 'too' [bold]"


@pytest.mark.parametrize("field", ["title", "serial", "customer", "checked_by", "second_check_by"])
def test_html_is_escaped_in_the_report(field: str, tmp_path: Path) -> None:
    values = json.loads(GOOD.read_text(encoding="utf-8")) | {field: HTML}
    report = tmp_path / "report.html"
    assert check(written(tmp_path, json.dumps(values).encode()), "--report", str(report)).exit_code == 0
    page = report.read_text(encoding="utf-8")
    assert "&lt;script&gt;alert(1)&lt;/script&gt; &amp; &#34;quotes&#34;" in page
    assert "<script" not in page


def test_what_openpyxl_leaves_out_is_no_fault(tmp_path: Path, book: bytes) -> None:
    with zipfile.ZipFile(io.BytesIO(book)) as package:
        sheet = package.read("xl/worksheets/sheet3.xml")
    more = b'<extLst><ext uri="{CCE6A557-97BC-4B89-ADB6-D9C93CAAB3DF}"/></extLst></worksheet>'
    raw = member("xl/worksheets/sheet3.xml", sheet.replace(b"</worksheet>", more))(book)
    assert check(written(tmp_path, raw, "sheet.xlsx")).exit_code == 0
