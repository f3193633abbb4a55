"""Joined tables as CSV, Parquet and XLSX; the same tables always give the same bytes."""

import csv
import io
import re
import zipfile
from collections.abc import Iterable
from datetime import datetime
from typing import Any

from ..numerals import shown
from ..unusable import UnusableError
from .about import told
from .joined import Table, Value

EARLIEST = (1980, 1, 1, 0, 0, 0)
"""The date that every member of a workbook bears."""

MOST_CHARACTERS = 32_767
"""What a cell of a workbook holds; the rest would be cut off."""


def csv_bytes(table: Table) -> bytes:
    """A table as CSV: UTF-8, LF, quotes only where needed.

    Readers guess what a column holds from the first hundred rows or so: those that show it stand first, such as one
    with a fraction in a column of which most are whole; the others follow in their order.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([c.name for c in table.columns])
    lines = [["" if v is None else repr(v) if isinstance(v, float) else str(v) for v in row] for row in table.rows]
    telling = dict.fromkeys(n for cells in zip(*lines, strict=True) if (n := _telling(cells)) is not None)
    writer.writerows(lines[n] for n in (*telling, *(n for n in range(len(lines)) if n not in telling)))
    return out.getvalue().encode("utf-8")


def _telling(cells: Iterable[str]) -> int | None:
    """Place of the first cell that shows what a column holds: a word, else a fraction, else a whole number, if any."""
    kinds: dict[int, int] = {}
    for n, cell in enumerate(cells):
        if cell:
            kinds.setdefault(2 if cell.lstrip("-").isdigit() else 1 if _A_NUMBER.fullmatch(cell) else 0, n)
    return kinds[min(kinds)] if kinds else None


_A_NUMBER = re.compile(r"-?\d+(\.\d+)?(e[-+]?\d+)?", re.ASCII)


def parquet_bytes(table: Table, about: dict[str, str]) -> bytes:
    """A typed table as Parquet, `about` among its metadata; needs the extra `publish`."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    types = {"text": pa.string(), "real": pa.float64(), "whole": pa.int64()}
    fields = [
        pa.field(c.name, types[c.kind], metadata={"title": c.field["title"], "description": c.field["description"]})
        for c in table.columns
    ]
    columns = [pa.array([row[n] for row in table.rows], f.type) for n, f in enumerate(fields)]
    out = io.BytesIO()
    pq.write_table(pa.Table.from_arrays(columns, schema=pa.schema(fields, metadata=about)), out, compression="zstd")
    return out.getvalue()


def xlsx_bytes(tables: Iterable[Table], about: dict[str, str], made: datetime) -> bytes:
    """Typed tables as a workbook, a sheet each, the first row fixed, no text as a formula; the first sheet is `about`.

    Raises UnusableError for a text that a cell cannot hold whole.
    """
    from openpyxl import Workbook

    tables = (told(about), *tables)
    _refuse_longer(v for t in tables for row in t.rows for v in row)
    book = Workbook(write_only=True)
    book.properties.title = book.properties.creator = about["title"]
    book.properties.created = book.properties.modified = made
    for table in tables:
        sheet = book.create_sheet(table.name)
        sheet.freeze_panes = "A2"
        sheet.append([c.name for c in table.columns])
        for row in table.rows:
            sheet.append([_cell(sheet, value) for value in row])
    out = io.BytesIO()
    book.save(out)
    return _undated(out.getvalue(), made)


def _refuse_longer(values: Iterable[Value]) -> None:
    for value in values:
        if isinstance(value, str) and len(value) > MOST_CHARACTERS:
            found = f"{shown(value)}: {len(value)} characters"
            raise UnusableError(f"{found}, expected at most {MOST_CHARACTERS}, which a cell of a workbook holds")


def _cell(sheet: Any, value: Value) -> Any:
    """A value as a workbook takes it: text as text, whatever it begins with."""
    from openpyxl.cell import WriteOnlyCell

    if not isinstance(value, str):
        return value
    cell = WriteOnlyCell(sheet, value)
    cell.data_type = "s"
    return cell


def _undated(raw: bytes, made: datetime) -> bytes:
    """A workbook's bytes without the time at which it was saved."""
    stamp = made.strftime("%Y-%m-%dT%H:%M:%SZ")
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(raw)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            content = old.read(name)
            if name == "docProps/core.xml":
                content = re.sub(rb"(<dcterms:modified[^>]*>)[^<]*", rb"\g<1>" + stamp.encode(), content)
            member = zipfile.ZipInfo(name, EARLIEST)
            member.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(member, content)
    return out.getvalue()
