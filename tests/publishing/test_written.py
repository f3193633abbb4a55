"""Joined tables as files of other kinds: no text becomes a formula, none is cut."""

import csv
import io
import sqlite3
import zipfile
from datetime import datetime
from pathlib import Path

import openpyxl
import pytest

from runningfits.publishing import written
from runningfits.publishing.database import sqlite_file
from runningfits.publishing.joined import Column, Table
from runningfits.unusable import UnusableError

TEXTS = ("=HYPERLINK(1)", "+1", "-1", "-0.25", "@a", "#N/A", "TRUE", "1.50", "2026-11-26", " a ", "a\nb", "'=1", "é")
NOTE = Column({"name": "note", "type": "string", "title": "Note", "description": "Note"}, "text")
ABOUT = {"title": "Sizes", "schema_version": "3.0.0"}
MADE = datetime(2026, 11, 26)


def table(*texts: str) -> Table:
    return Table("sizes", "Sizes", "Sizes", (NOTE,), tuple((t,) for t in texts), ("note",))


def test_text_in_a_workbook_is_text() -> None:
    book = openpyxl.load_workbook(io.BytesIO(written.xlsx_bytes([table(*TEXTS)], ABOUT, MADE)))
    cells = [c for (c,) in book["sizes"].iter_rows(min_row=2)]
    assert [c.value for c in cells] == list(TEXTS)
    assert {c.data_type for c in cells} <= {"s", "inlineStr"}


def test_the_parts_of_a_workbook_bear_the_first_day_that_an_archive_knows() -> None:
    with zipfile.ZipFile(io.BytesIO(written.xlsx_bytes([table(*TEXTS)], ABOUT, MADE))) as book:
        assert {part.date_time for part in book.infolist()} == {(1980, 1, 1, 0, 0, 0)}


def test_a_text_that_a_cell_cannot_hold_is_refused() -> None:
    longest = "a" * written.MOST_CHARACTERS
    book = openpyxl.load_workbook(io.BytesIO(written.xlsx_bytes([table(longest)], ABOUT, MADE)))
    assert book["sizes"]["A2"].value == longest
    with pytest.raises(
        UnusableError, match=r"32768 characters, expected at most 32767, which a cell of a workbook holds$"
    ):
        written.xlsx_bytes([table(longest + "a")], ABOUT, MADE)


def test_text_is_whole_in_csv_and_sqlite(tmp_path: Path) -> None:
    rows = list(csv.reader(io.StringIO(written.csv_bytes(table(*TEXTS)).decode(), newline="")))
    assert [r[0] for r in rows[1:]] == list(TEXTS)
    sqlite_file([table(*TEXTS)], tmp_path / "a.sqlite", ABOUT)
    base = sqlite3.connect(tmp_path / "a.sqlite")
    assert sorted(r[0] for r in base.execute("SELECT note FROM sizes")) == sorted(TEXTS)
    base.close()
