"""Tables of the dataset, read as text."""

import csv
import io
import re
from collections.abc import Iterator
from pathlib import Path

SHARED = (
    "units",
    "sources",
    "pages",
    "engines",
    "quantities",
    "methods",
    "positions",
    "states",
    "purposes",
    "questions",
    "repairs",
    "needs",
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
LIMITS = ("sizes", "clearances")
PRINTED = ("lower", "upper", "nominal", "tolerance", "limit")


def rows(path: Path) -> list[dict[str, str]]:
    """Rows of a clean table as text by column; an absent file has none.

    For data that the audit has passed: it does not look for faults.
    """
    if not path.exists():
        return []
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def of_engine(data: Path, engine: str, table: str) -> list[dict[str, str]]:
    """Rows of a table of an engine as text by column."""
    return rows(data / "engines" / engine / f"{table}.csv")


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
    try:
        for cells in reader:
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
    return re.sub(r"[ ,]+", "+", text.strip()).replace("/", "-")


def _size_part(size: str) -> str:
    return size and f"size{size if size.startswith('-') else '+' + size}"
