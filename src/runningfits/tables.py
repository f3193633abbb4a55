"""Tables of the dataset, read as text."""

import contextlib
import csv
import io
import json
import re
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path

from .places import folder
from .unusable import UnusableError

SHARED = (
    "units",
    "sources",
    "pages",
    "engines",
    "quantities",
    "methods",
    "positions",
    "states",
    "directions",
    "purposes",
    "questions",
    "repairs",
    "needs",
    "synonyms",
    "joints",
    "instruments",
    "materials",
    "fasteners",
    "threads",
    "general_torques",
    "guides",
    "choices",
    "misprints",
    "renamed",
    "rereadings",
)
PER_ENGINE = ("models", "covers", "parts", "sought", "sizes", "clearances", "torques", "sequences")
ROWS = ("sizes", "clearances", "torques")
ITEM = {"sizes": "quantity", "clearances": "quantity", "torques": "joint"}
"""Columns that name the item of a row."""
CITED = (*ROWS, "sequences")
LIMITS = ("sizes", "clearances")
PRINTED = ("lower", "upper", "nominal", "tolerance", "limit")


MOST_BYTES = 20_000_000
"""A file of more is no table."""
MOST_CELL = 131_072
"""Characters of the longest cell."""


class TableError(UnusableError):
    """A table whose rows cannot be told apart."""


def rows(path: Path, expected: Sequence[str] = (), *, needed: bool = False) -> list[dict[str, str]]:
    """Rows of a clean table as text by column; an absent file has none, or raises UnusableError where it is needed.

    For data that the audit has passed: it looks for no fault but those that would put a cell under another column.
    `expected` are the columns, where they are known. Raises TableError with the line.
    """
    if not needed and not path.exists():
        return []
    text = text_of(path)
    try:
        names, *lines = _cells(text) or [[]]
        if not all(map(_NAME.fullmatch, names or [""])) or names != list(expected or names):
            raise TableError(f"{path}:1: another header, expected {','.join(expected) or 'names'}; {_HELP}")
        if any(len(cells) != len(names) for cells in lines if cells):
            raise _uneven(path, text, len(names))
        return [dict(zip(names, cells, strict=True)) for cells in lines if cells]
    except QuoteError as error:
        raise TableError(f"{path}:{error.line}: {error}, expected closed quotes; {_HELP}") from error


def text_of(path: Path) -> str:
    """Text of a table's file; raises TableError where it is too big or no UTF-8, UnusableError where none is there."""
    if not path.is_file():
        raise UnusableError(f"{path}: no file; expected a table with its header")
    if path.stat().st_size > MOST_BYTES:
        raise TableError(f"{path}: more than {MOST_BYTES // 1_000_000} MB, expected a table; {_HELP}")
    try:
        return path.read_bytes().decode("utf-8")
    except UnicodeDecodeError as error:
        line = error.object[: error.start].count(b"\n") + 1
        raise TableError(f"{path}:{line}: byte 0x{error.object[error.start]:02x}, expected UTF-8; {_HELP}") from error


def lines_by_key(path: Path, expected: Sequence[str]) -> dict[str, list[str]]:
    """Lines of a clean table by their first cell, for a table of which few rows are needed; see `rows_of_key`.

    Raises TableError, UnusableError where no file is there.
    """
    found: dict[str, list[str]] = {}
    header, *lines = text_of(path).split("\n")
    if header.rstrip("\r") != ",".join(expected):
        rows(path, expected)
    for line in lines:
        found.setdefault(line.partition(",")[0], []).append(line)
    return found


def rows_of_key(path: Path, key: str, lines: list[str], expected: Sequence[str]) -> list[dict[str, str]]:
    """Rows of a clean table by their lines, which begin with a key; one with a fault is read whole, which tells it."""
    with contextlib.suppress(QuoteError):
        cells = _cells("\n".join(lines))
        if all(len(c) == len(expected) for c in cells):
            return [dict(zip(expected, c, strict=True)) for c in cells]
    return [r for r in rows(path, expected) if next(iter(r.values())) == key]


_NAME = re.compile("[a-z0-9_]+")

_HELP = "mend the line; `runningfits audit` lists every fault"


def _cells(text: str) -> list[list[str]]:
    """Cells of all rows of CSV text; raises QuoteError."""
    try:
        return list(csv.reader(io.StringIO(text, newline=""), strict=True))
    except csv.Error:
        return [cells for _, cells in numbered(text)]


def _uneven(path: Path, text: str, wide: int) -> TableError:
    line, found = next((n, len(cells)) for n, cells in numbered(text) if cells and len(cells) != wide)
    return TableError(f"{path}:{line}: {found} cells, expected {wide} as in the header; {_HELP}")


def manifest_text(data: Path) -> str:
    """Text of the manifest of a data folder, line ends as they are.

    Raises TableError where it is far too big, UnicodeDecodeError, OSError.
    """
    path = data / "datapackage.json"
    if path.stat().st_size > MOST_BYTES:
        raise TableError(f"{path}: more than {MOST_BYTES // 1_000_000} MB, expected a manifest; {_HELP}")
    return path.read_bytes().decode("utf-8")


def of_engine(data: Path, engine: str, table: str) -> list[dict[str, str]]:
    """Rows of a table of an engine as text by column; raises TableError."""
    return rows(data / "engines" / engine / f"{table}.csv", columns(table))


@cache
def columns(table: str) -> tuple[str, ...]:
    """Columns of a table, as its schema has them."""
    described = json.loads((folder("schema") / f"{table}.json").read_text(encoding="utf-8"))
    return tuple(f["name"] for f in described["fields"])


class QuoteError(csv.Error):
    """A quote that is not closed, a stray one, or a cell beyond all size; `line` is where the row starts."""

    def __init__(self, fault: csv.Error, line: int) -> None:
        """Keep the reader's words and the line."""
        super().__init__(str(fault))
        self.line = line


def numbered(text: str) -> Iterator[tuple[int, list[str]]]:
    """Line number and cells of each row of CSV text, the header first; raises QuoteError."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    line = 1
    huge = len(text) > MOST_CELL
    try:
        for cells in reader:
            # the reader's own bound is one for the whole program, and other libraries lift it
            if huge and max(map(len, cells), default=0) > MOST_CELL:
                raise csv.Error(f"field larger than field limit ({MOST_CELL})")
            yield line, cells
            line = reader.line_num + 1
    except csv.Error as error:
        raise QuoteError(error, line) from error


def engine_folders(data: Path) -> list[Path]:
    """Folders of the engines, in order."""
    base = data / "engines"
    return sorted(p for p in base.iterdir() if p.is_dir()) if base.is_dir() else []


def paths(data: Path) -> Iterator[tuple[str, str, Path]]:
    """Table name, engine id (empty for a shared table) and path of every table file that is there."""
    for name in SHARED:
        if (data / f"{name}.csv").is_file():
            yield name, "", data / f"{name}.csv"
    for base in engine_folders(data):
        for name in PER_ENGINE:
            if (base / f"{name}.csv").is_file():
                yield name, base.name, base / f"{name}.csv"


def row_id(table: str, engine: str, row: dict[str, str]) -> str:
    """Id of a row of an engine's table, derived from its key.

    `engine/quantity/position[/which][/applies][/class][/size][/state][/method][/at]@source:page`; a torque has its
    joint, purpose, thread and step, a place in an order its joint and `order-N`. The class `new` is left out; words of
    one part are joined by a plus, so that no part holds a blank, comma or slash. A row of the tables that say what an
    engine is has its own key.
    """
    if table in _OWN_KEYS:
        return "/".join([engine, table, *(row[k] for k in _OWN_KEYS[table])])
    if table in LIMITS:
        parts = [row["quantity"], row["position"], row["which"], row["applies"], row["class"], _size_part(row["size"])]
        parts += [row["state"], row["method"], f"at-{row['at']}" if row["at"] else ""]
        parts[4] = "" if parts[4] == "new" else parts[4]
    elif table == "torques":
        parts = [row["joint"], row["position"], row["which"], row["applies"], row["purpose"], row["thread"]]
        parts.append(f"step-{row['step']}")
    else:
        parts = [row["joint"], row["applies"], f"order-{row['order']}"]
    return "/".join([engine, *filter(None, map(_part, parts))]) + f"@{row['source']}:{row['page']}"


_OWN_KEYS = {"models": ("model",), "covers": ("source",), "parts": ("question", "part"), "sought": ("need",)}


def _part(text: str) -> str:
    return _BETWEEN.sub("+", text.strip()).replace("/", "-")


_BETWEEN = re.compile("[ ,]+")


def _size_part(size: str) -> str:
    return size and f"size{size if size.startswith('-') else '+' + size}"
