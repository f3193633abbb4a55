"""The parts of a workbook that hold cells, read within bounds and packed anew."""

import io
import re
import zipfile
from collections import Counter
from collections.abc import Iterator

from .faults import SheetError, SheetFault

MOST_UNPACKED = 50_000_000
MOST_MARKS = 1_500_000
MOST_CELLS = 400_000
MOST_OTHERS = 20_000
MOST_MERGED = 1_000
"""Bytes of all parts; marks of their XML; cells; marks that are no cell, row or text; cells of a merged range."""

_CHUNK = 1 << 16
_KEPT = re.compile(r"\[content_types\]\.xml|_rels/\.rels|xl/(_rels/[^/]+\.rels|(worksheets/)?[^/]+\.xml)", re.I)
_MARK = re.compile(rb"<(?:[\w.-]+:)?([A-Za-z]\w*)")
_ORDINARY = frozenset((b"c", b"row", b"v", b"t", b"is", b"si", b"f"))
_ENCODING = re.compile(rb"\A(?:\xef\xbb\xbf)?\s*<\?xml[^<>]*?encoding=[\"'](?!utf-8[\"'])", re.I)
_REF = re.compile(rb"<(?:\w+:)?mergeCell\b[^<>]*\bref=[\"']([A-Za-z0-9:$]{1,40})[\"']")


def repacked(raw: bytes, name: str) -> bytes:
    """A workbook with nothing but its cells, their texts and styles, so that opening it costs little.

    A part is read piece by piece, whatever its header says. Raises SheetError for a file that is no workbook, one with
    macros, or one that unpacks beyond the bounds.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as packed:
            _refuse(packed, name)
            parts = dict(_parts(packed, name))
    except SheetError:
        raise
    except Exception as error:
        raise SheetError([SheetFault(name, "a file that is no workbook", "an XLSX file")]) from error
    _refuse_crowds(parts, name)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as new:
        for part, content in parts.items():
            new.writestr(part, _lean(part, content, name))
    return out.getvalue()


def _refuse(packed: zipfile.ZipFile, name: str) -> None:
    size = sum(i.file_size for i in packed.infolist())
    if size > MOST_UNPACKED:
        raise _too_big(size, name)
    if any("vbaproject" in n.lower() for n in packed.namelist()):
        raise SheetError([SheetFault(name, "a workbook with macros", "a workbook without macros")])


def _too_big(size: int, name: str) -> SheetError:
    found, most = f"{size // 1_000_000} MB unpacked", f"at most {MOST_UNPACKED // 1_000_000} MB"
    return SheetError([SheetFault(name, found, most)])


def _parts(packed: zipfile.ZipFile, name: str) -> Iterator[tuple[str, bytes]]:
    left = MOST_UNPACKED
    for part in dict.fromkeys(packed.namelist()):
        if not _KEPT.fullmatch(part):
            continue
        if packed.getinfo(part).compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise SheetError([SheetFault(name, "a workbook packed in another way than deflated", "an XLSX file")])
        content = bytearray()
        with packed.open(part) as file:
            while piece := file.read(_CHUNK):
                content += piece
                if len(content) > left:
                    raise _too_big(MOST_UNPACKED + 1_000_000, name)
        left -= len(content)
        yield part, bytes(content)


def _refuse_crowds(parts: dict[str, bytes], name: str) -> None:
    """Raise SheetError where parts would fill the memory, or hold marks that could not be counted."""
    marks = sum(content.count(b"<") for content in parts.values())
    if marks > MOST_MARKS:
        raise SheetError([SheetFault(name, f"{marks} marks in its XML", f"at most {MOST_MARKS}")])
    found: Counter[bytes] = Counter()
    for content in parts.values():
        if b"\0" in content or _ENCODING.match(content) or b"<!DOCTYPE" in content:
            raise SheetError([SheetFault(name, "a workbook that does not open (its XML)", "an XLSX file in UTF-8")])
        found.update(_MARK.findall(content))
    others = sum(n for mark, n in found.items() if mark not in _ORDINARY)
    for number, most, what in ((found[b"c"], MOST_CELLS, "cells"), (others, MOST_OTHERS, "marks that are no cell")):
        if number > most:
            raise SheetError([SheetFault(name, f"{number} {what}", f"at most {most}")])


def _lean(part: str, content: bytes, name: str) -> bytes:
    """A part without what points to other parts; of a worksheet the rows and the merged cells alone."""
    if part.lower() == "xl/workbook.xml":
        for other in (b"externalReferences", b"pivotCaches", b"definedNames"):
            content = content.replace(_element(content, other), b"")
        return content
    if not part.lower().startswith("xl/worksheets/"):
        return content
    start, data = _opening(content, b"worksheet"), _element(content, b"sheetData")
    if not start or not data:
        raise SheetError([SheetFault(name, "a workbook that does not open (its rows)", "an XLSX file")])
    merged = _element(content, b"mergeCells")
    _refuse_merged(merged, name)
    return start[0] + data + merged + b"</" + start[1] + b"worksheet>"


def _opening(content: bytes, name: bytes) -> re.Match[bytes] | None:
    return re.search(rb"<((?:\w+:)?)" + name + rb"\b[^<>]*>", content)


def _element(content: bytes, name: bytes) -> bytes:
    """The element of a name from its first mark to its last end; empty where there is none."""
    first = _opening(content, name)
    if not first or first[0].endswith(b"/>"):
        return first[0] if first else b""
    last = b"</" + first[1] + name + b">"
    end = content.rfind(last, first.end())
    return content[first.start() : end + len(last)] if end >= 0 else b""


def _refuse_merged(merged: bytes, name: str) -> None:
    from openpyxl.utils.cell import range_boundaries

    for number, found in enumerate(_REF.findall(merged), 1):
        ref = found.decode("ascii")
        try:
            left, top, right, bottom = (n or MOST_MERGED for n in range_boundaries(ref))
        except (ValueError, TypeError):
            continue
        if number > MOST_MERGED or (right - left + 1) * (bottom - top + 1) > MOST_MERGED:
            raise SheetError([SheetFault(name, f"merged cells {ref}", "one value a cell")])
