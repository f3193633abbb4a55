"""Broken workbooks: how each is broken, and what the check says of it."""

import io
import struct
import zipfile
import zlib
from collections.abc import Callable

import openpyxl
from openpyxl.chart import BarChart
from openpyxl.workbook import Workbook
from openpyxl.worksheet.formula import ArrayFormula


def packed(book: Workbook) -> bytes:
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def edited(change: Callable[[Workbook], object]) -> Callable[[bytes], bytes]:
    """Edit of a workbook as openpyxl sees it."""

    def edit(raw: bytes) -> bytes:
        opened = openpyxl.load_workbook(io.BytesIO(raw))
        change(opened)
        return packed(opened)

    return edit


def member(name: str, content: bytes) -> Callable[[bytes], bytes]:
    """Edit that adds a file to the package, or puts it in the place of the one there."""

    def edit(raw: bytes) -> bytes:
        out = io.BytesIO()
        with zipfile.ZipFile(io.BytesIO(raw)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
            for info in old.infolist():
                if info.filename != name:
                    new.writestr(info.filename, old.read(info))
            new.writestr(name, content)
        return out.getvalue()

    return edit


def merged(cells: str) -> Callable[[bytes], bytes]:
    return edited(lambda b: b["readings"].merge_cells(cells))


def chart_for(title: str) -> Callable[[bytes], bytes]:
    """Edit that puts a sheet with a chart in the place of a worksheet."""

    def change(opened: Workbook) -> None:
        del opened[title]
        opened.create_chartsheet(title).add_chart(BarChart())

    return edited(change)


def array_formula(opened: Workbook) -> None:
    opened["readings"]["F2"] = ArrayFormula("F2:F3", "=A1:A2")


def swollen(raw: bytes) -> bytes:
    """The workbook with 60 MB of nothing in it, which packs to some 60 kB."""
    bomb = member("xl/media/image1.png", bytes(60_000_000))(raw)
    assert len(bomb) < 200_000
    return bomb


def understated(raw: bytes) -> bytes:
    """The workbook with a worksheet of 60 MB that says of itself that it is small."""
    bomb = member("xl/worksheets/sheet3.xml", b"<worksheet>" + b" " * 60_000_000 + b"</worksheet>")(raw)
    at = bomb.rindex(b"PK\x01\x02", 0, bomb.rindex(b"xl/worksheets/sheet3.xml"))
    return bomb[: at + 24] + struct.pack("<I", 1000) + bomb[at + 28 :]


def crowded(raw: bytes) -> bytes:
    """The workbook with 3.5 million empty cells, which pack to some 15 kB and unpack to a gigabyte."""
    return member("xl/worksheets/sheet3.xml", b"<worksheet>" + b"<c/>" * 3_500_000 + b"</worksheet>")(raw)


def newer(raw: bytes) -> bytes:
    """The package as one that needs version 9.9 of ZIP."""
    at = raw.index(b"PK\x01\x02")
    return raw[: at + 6] + struct.pack("<H", 99) + raw[at + 8 :]


def entities(raw: bytes) -> bytes:
    """A worksheet of entities that grow to gigabytes."""
    lines = "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10}">' for n in range(1, 12))
    text = f'<?xml version="1.0"?><!DOCTYPE w [<!ENTITY e0 "0123456789">{lines}]><worksheet>&e11;</worksheet>'
    return member("xl/worksheets/sheet3.xml", text.encode())(raw)


NS = b'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'


def sheet_of(inside: bytes) -> Callable[[bytes], bytes]:
    """Edit that puts a worksheet in the place of the readings."""
    return member("xl/worksheets/sheet2.xml", b"<worksheet " + NS + b">" + inside + b"</worksheet>")


def ranges_without_end(raw: bytes) -> bytes:
    """The workbook with a worksheet that names millions of ranges."""
    return sheet_of(b'<sheetData/><conditionalFormatting sqref="' + b"A1 " * 5_000_000 + b'"/>')(raw)


def spacious(raw: bytes) -> bytes:
    """The workbook with a worksheet of as many bytes as may be."""
    return sheet_of(b"<sheetData>" + b" " * 49_000_000 + b"</sheetData>")(raw)


def populous(raw: bytes) -> bytes:
    """The workbook with a worksheet of as many numbers as may be."""
    row = b"<row>" + b"<c><v>1.2345</v></c>" * 97 + b"</row>"
    return sheet_of(b"<sheetData>" + row * 3_800 + b"</sheetData>")(raw)


def far_off(raw: bytes) -> bytes:
    """The workbook with a further worksheet whose one cell is the last that there may be."""
    return edited(lambda book: book.create_sheet("more").cell(1_048_576, 16_384, "x"))(raw)


def lying_of_its_size(raw: bytes) -> bytes:
    """The workbook with a worksheet of 800 MB whose header, checksum and all, is that of its first thousand bytes."""
    start = (b"<worksheet>" + b" " * 1000)[:1000]
    squeeze = zlib.compressobj(1, zlib.DEFLATED, -15)
    packed = (
        squeeze.compress(start) + b"".join(squeeze.compress(b" " * 1_000_000) for _ in range(800)) + squeeze.flush()
    )
    name = b"xl/worksheets/sheet2.xml"
    whole = member(name.decode(), b"")(raw)
    at = whole.rindex(b"PK\x03\x04", 0, whole.rindex(name, 0, whole.rindex(b"PK\x01\x02")))
    head, central = whole[:at], whole[whole.index(b"PK\x01\x02", at) :]
    facts = struct.pack("<III", zlib.crc32(start), len(packed), len(start))
    local = (
        whole[at : at + 8] + struct.pack("<H", 8) + whole[at + 10 : at + 14] + facts + whole[at + 26 : at + 30] + name
    )
    mine = central.rindex(b"PK\x01\x02", 0, central.rindex(name))
    central = (
        central[: mine + 10] + struct.pack("<H", 8) + central[mine + 12 : mine + 16] + facts + central[mine + 28 :]
    )
    ending = central.rindex(b"PK\x05\x06")
    central = central[: ending + 16] + struct.pack("<I", len(head + local + packed)) + central[ending + 20 :]
    return head + local + packed + central


BOOKS: dict[str, tuple[Callable[[bytes], bytes], str]] = {
    "empty-file": (lambda raw: b"", "sheet.xlsx: a file that is no workbook, expected an XLSX file"),
    "text": (lambda raw: b"{}", "sheet.xlsx: a file that is no workbook, expected an XLSX file"),
    "cut-off": (lambda raw: raw[:2000], "sheet.xlsx: a file that is no workbook, expected an XLSX file"),
    "another-package": (
        lambda raw: member("a.txt", b"")(b"PK\x05\x06" + bytes(18)),
        "sheet.xlsx: a workbook that does not open (KeyError), expected an XLSX file",
    ),
    "package-of-a-later-version": (newer, "sheet.xlsx: a file that is no workbook, expected an XLSX file"),
    "damaged-worksheet": (
        member("xl/worksheets/sheet3.xml", b"<worksheet><sheetData><row>"),
        "sheet.xlsx: a workbook that does not open (",
    ),
    "number-of-thousands-of-digits": (
        member(
            "xl/worksheets/sheet3.xml",
            b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row r="1">'
            b'<c r="A1"><v>' + b"9" * 5000 + b"</v></c></row></sheetData></worksheet>",
        ),
        "sheet.xlsx: a workbook that does not open (ValueError), expected an XLSX file",
    ),
    "entities-without-end": (entities, "sheet.xlsx: a workbook that does not open ("),
    "zip-bomb": (swollen, "sheet.xlsx: 60 MB unpacked, expected at most 50 MB"),
    "zip-bomb-that-lies": (understated, "sheet.xlsx: a file that is no workbook, expected an XLSX"),
    "millions-of-cells": (crowded, " marks in its XML, expected at most 1500000"),
    "millions-of-marks-that-are-no-cells": (
        member("xl/styles.xml", b"<styleSheet " + NS + b"><cellXfs>" + b"<xf/>" * 900_000 + b"</cellXfs></styleSheet>"),
        "sheet.xlsx: 900",
    ),
    "half-a-million-cells": (
        sheet_of(b"<sheetData><row>" + b"<c/>" * 500_000 + b"</row></sheetData>"),
        "sheet.xlsx: 500",
    ),
    "merged-over-the-whole-sheet": (
        sheet_of(b'<sheetData/><mergeCells><mergeCell ref="A1:XFD1048576"/></mergeCells>'),
        "sheet.xlsx: merged cells A1:XFD1048576, expected one value a cell",
    ),
    "another-encoding": (
        member("xl/worksheets/sheet2.xml", "<worksheet/>".encode("utf-16")),
        "sheet.xlsx: a workbook that does not open (its XML), expected an XLSX file in UTF-8",
    ),
    "macro": (
        member("xl/vbaProject.bin", b"?"),
        "sheet.xlsx: a workbook with macros, expected a workbook without macros",
    ),
    "merged-cells": (merged("F2:F3"), "sheet.xlsx:readings!F2:F3: merged cells, expected one value a cell"),
    "no-worksheet": (edited(lambda b: b.remove(b["readings"])), "sheet.xlsx: no worksheet readings, expected workshe"),
    "no-worksheet-of-that-name": (
        edited(lambda b: setattr(b["readings"], "title", "Sheet1")),
        "sheet.xlsx: no worksheet readings, expected worksheets sheet, build, instruments, readings, torques",
    ),
    "chart-for-a-worksheet": (chart_for("readings"), "sheet.xlsx: no worksheet readings, expected worksheets sheet"),
    "array-formula": (edited(array_formula), 'sheet.xlsx:readings!F2: a formula "=A1:A2", expected a value'),
}
