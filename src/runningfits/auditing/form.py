"""Form of a table file: bytes, header, cells, by its Table Schema."""

import datetime
import json
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from .. import numerals, tables
from ..tables import MOST_BYTES
from . import saved

MOST_FAULTS = 1000
MOST_DIGITS = 20


@dataclass(frozen=True)
class Fault:
    """A fault of form: its kind, the line, the column, what was found and what was expected."""

    kind: str
    line: int
    column: str
    found: str
    expected: str


@dataclass
class Sheet:
    """Rows of a file that could be read, each with its line, and the faults of form."""

    header: list[str]
    rows: list[tuple[int, dict[str, str]]]
    faults: list[Fault]


@cache
def schema(base: Path, table: str) -> dict[str, Any]:
    """Table Schema of a table."""
    loaded: dict[str, Any] = json.loads((base / f"{table}.json").read_text(encoding="utf-8"))
    return loaded


def read(path: Path, described: dict[str, Any]) -> Sheet:
    """Rows and faults of a file.

    A row with a fault in a cell stays, with that cell emptied, so that one slip gives one finding.
    """
    if path.stat().st_size > MOST_BYTES:
        size = path.stat().st_size // 1_000_000
        return Sheet([], [], [Fault("size", 0, "", f"{size} MB", f"at most {MOST_BYTES // 1_000_000} MB")])
    return parse(path.read_bytes(), described)


def parse(raw: bytes, described: dict[str, Any]) -> Sheet:
    """Rows and faults of a file's bytes."""
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        return Sheet([], [], [Fault("encoding", line, "", f"byte 0x{raw[error.start]:02x}", "UTF-8 text")])
    faults = list(_byte_faults(text))
    text = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    names = [f["name"] for f in described["fields"]]
    checks = [(f["name"], f["type"], _cell_check(f)) for f in described["fields"]]
    lines, found = tables.numbered(text), list(faults)
    try:
        _, header = next(lines, (1, []))
        if header != names:
            return Sheet([], [], [*faults, _header_fault(header, names)])
        rows = list(_rows(lines, names, checks, found))
    except tables.QuoteError as error:
        return Sheet([], [], [*faults, Fault("quoting", error.line, "", str(error), "closed quotes")])
    whole = len(found) <= MOST_FAULTS
    return Sheet(names if whole else [], rows, list(_fewer(found)))


def _fewer(faults: list[Fault]) -> Iterator[Fault]:
    yield from faults[:MOST_FAULTS]
    if len(faults) > MOST_FAULTS:
        line = faults[MOST_FAULTS].line
        yield Fault("too-many", line, "", f"more than {MOST_FAULTS} faults", "a table of this form")


def _byte_faults(text: str) -> Iterator[Fault]:
    if text.startswith("\ufeff"):
        yield Fault("byte-order-mark", 1, "", "a byte order mark", "UTF-8 text without one")
    if "\r" in text:
        line = text[: text.index("\r")].count("\n") + 1
        yield Fault("line-end", line, "", "a carriage return", "lines that end in LF alone")
    if "\x00" in text:
        yield Fault("control", text[: text.index("\x00")].count("\n") + 1, "", "a NUL character", "plain text")
    if text and not text.endswith("\n"):
        yield Fault("last-line", text.count("\n") + 1, "", "no line end", "a line end after the last row")


def _header_fault(found: list[str], names: list[str]) -> Fault:
    if not found:
        return Fault("header", 1, "", "an empty file", "the header " + ",".join(names))
    if between := saved.separator(found, names):
        return Fault("header", 1, "", f"{between} between the cells, as some spreadsheets save a table", "commas")
    missing = [n for n in names if n not in found]
    extra = [numerals.shown(n, 80)[1:-1] for n in found if n not in names]
    if missing or extra:
        words = [
            f"missing {', '.join(missing)}" if missing else "",
            f"unknown {', '.join(extra)[:80]}" if extra else "",
        ]
        return Fault(
            "header", 1, (extra or missing)[0], "; ".join(filter(None, words)), "the header " + ",".join(names)
        )
    return Fault("header", 1, "", "columns in another order or twice", "the header " + ",".join(names))


Check = Callable[[str], tuple[str, str] | None]


def _rows(
    lines: Iterator[tuple[int, list[str]]], names: list[str], checks: list[tuple[str, str, Check]], faults: list[Fault]
) -> Iterator[tuple[int, dict[str, str]]]:
    """Rows of a table until it has more faults than are told; what follows is not kept."""
    for line, cells in lines:
        if len(faults) > MOST_FAULTS:
            return
        if not cells:
            faults.append(Fault("blank-line", line, "", "a blank line", "a row, or no line"))
        elif len(cells) != len(names):
            faults.append(Fault("cell-count", line, "", f"{len(cells)} cells", f"{len(names)} cells"))
        else:
            row = dict(zip(names, cells, strict=True))
            faults.extend(_cell_faults(line, row, checks))
            yield line, row


def _cell_faults(line: int, row: dict[str, str], checks: list[tuple[str, str, Check]]) -> Iterator[Fault]:
    for name, kind, check in checks:
        if fault := check(row[name]):
            yield Fault(fault[0], line, name, saved.shown(row[name], kind), fault[1])
            row[name] = ""


def _cell_check(field: dict[str, Any]) -> Check:
    """Check of one cell by its field: kind of fault and what was expected, or None."""
    limits, syntax = field.get("constraints", {}), _SYNTAX[field["type"]]

    @lru_cache(10_000)
    def check(text: str) -> tuple[str, str] | None:
        if not text:
            return ("required", field["title"].lower()) if limits.get("required") else None
        if text != text.strip() or not text.isprintable():
            return "blanks", "no blanks around it and no control characters in it"
        if text[0] in "=+-@" and field["type"] == "string" and not _NUMERIC.fullmatch(text):
            return "formula", "text that a spreadsheet does not take for a formula"
        if expected := syntax(text):
            return "cell-type", expected
        return _constraint(text, limits)

    return check


_NUMERIC = re.compile(r"-\d+([./]\d+)?", re.ASCII)


def _constraint(text: str, limits: dict[str, Any]) -> tuple[str, str] | None:
    if "enum" in limits and text not in [str(v) for v in limits["enum"]]:
        return "not-in-list", "one of " + ", ".join(str(v) for v in limits["enum"])
    if "pattern" in limits and not re.fullmatch(limits["pattern"], text):
        return "pattern", f"the form {limits['pattern']}"
    if "minimum" in limits and numerals.parse(text) < limits["minimum"]:
        return "bound", f"at least {limits['minimum']}"
    if "exclusiveMinimum" in limits and numerals.parse(text) <= limits["exclusiveMinimum"]:
        return "bound", f"more than {limits['exclusiveMinimum']}"
    if "maximum" in limits and numerals.parse(text) > limits["maximum"]:
        return "bound", f"at most {limits['maximum']}"
    return None


def _number(text: str) -> str:
    try:
        numerals.parse(text)
    except numerals.NumeralError as error:
        return str(error).partition(" is not ")[2]
    return "" if len(text) <= MOST_DIGITS else f"a number of at most {MOST_DIGITS} characters"


def _date(text: str) -> str:
    try:
        return "" if len(text) == 10 and datetime.date.fromisoformat(text) else "a date such as 2026-11-24"
    except ValueError:
        return "a date such as 2026-11-24"


_SYNTAX: dict[str, Callable[[str], str]] = {
    "string": lambda text: "",
    "number": _number,
    "integer": lambda text: "" if re.fullmatch(r"-?\d{1,9}", text, re.ASCII) else "a whole number",
    "boolean": lambda text: "" if text in ("true", "false") else "true or false",
    "date": _date,
}
