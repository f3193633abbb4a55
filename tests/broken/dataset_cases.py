"""Broken datasets: how each is broken, and what the audit says of it."""

import csv
import io
import json
import os
import shutil
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

from .dataset import ENGINE, path_of

Edit = Callable[[Path], object]
MANIFEST, SIZES = "datapackage.json", path_of("sizes")


def cell(table: str, line: int, column: str, text: str) -> Edit:
    """Put a text into one cell."""

    def edit(data: Path) -> None:
        path = data / path_of(table)
        rows = list(csv.reader(io.StringIO(path.read_text(encoding="utf-8"))))
        at = rows[0].index(column)
        assert rows[line - 1][at] != text
        rows[line - 1][at] = text
        out = io.StringIO()
        csv.writer(out, lineterminator="\n").writerows(rows)
        path.write_text(out.getvalue(), encoding="utf-8", newline="\n")

    return edit


def recoded(name: str, change: Callable[[bytes], bytes]) -> Edit:
    """Change the bytes of a file."""

    def edit(data: Path) -> None:
        raw = (data / name).read_bytes()
        assert change(raw) != raw
        (data / name).write_bytes(change(raw))

    return edit


def swap(table: str, old: str, new: str) -> Edit:
    """Replace a text where it first stands."""
    return recoded(path_of(table), lambda raw: raw.replace(old.encode(), new.encode(), 1))


def add(table: str, text: str) -> Edit:
    """Add a text at the end."""
    return recoded(path_of(table), lambda raw: raw + text.encode())


def written(name: str, raw: bytes) -> Edit:
    """Write a file, its folders made."""

    def edit(data: Path) -> None:
        (data / name).parent.mkdir(parents=True, exist_ok=True)
        (data / name).write_bytes(raw)

    return edit


def deep(name: str, levels: int) -> Edit:
    """Write an empty file below that many folders."""

    def edit(data: Path) -> None:
        for _ in range(levels):
            data /= "a"
            data.mkdir()
        (data / name).write_bytes(b"")

    return edit


def without(name: str) -> Edit:
    """Take a file away."""
    return lambda data: (data / name).unlink()


def folder_for(name: str) -> Edit:
    """Put a folder in the place of a file."""
    return lambda data: ((data / name).unlink(), (data / name).mkdir())


def misnamed(data: Path) -> None:
    """Add a file whose name is not UTF-8."""
    Path(os.fsdecode(os.fsencode(data) + b"/caf\xe9.csv")).write_bytes(b"")


def misnamed_engine(data: Path) -> None:
    """Add the folder of an engine whose name is not UTF-8."""
    shutil.copytree(data / "engines" / ENGINE, os.fsdecode(os.fsencode(data) + b"/engines/caf\xe9"))


def manifest(change: Callable[[dict[str, Any]], object]) -> Edit:
    """Change the manifest's values."""

    def edit(data: Path) -> None:
        values = json.loads((data / MANIFEST).read_text(encoding="utf-8"))
        change(values)
        (data / MANIFEST).write_text(json.dumps(values, indent=2), encoding="utf-8")

    return edit


def nested(levels: int) -> list[Any]:
    found: list[Any] = []
    for _ in range(levels):
        found = [found]
    return found


OTHERS: dict[str, tuple[Edit, str]] = {
    "latin-1": (
        recoded(SIZES, lambda raw: raw.replace(b"twice,\nmain", b"twice,caf\xe9\nmain")),
        f"{SIZES}:3 F101 not-utf-8: byte 0xe9, expected UTF-8 text",
    ),
    "utf-16": (
        recoded(SIZES, lambda raw: raw.decode().encode("utf-16")),
        f"{SIZES}:1 F101 not-utf-8: byte 0xff, expected UTF-8 text",
    ),
    "crlf": (
        recoded(SIZES, lambda raw: raw.replace(b"\n", b"\r\n")),
        f"{SIZES}:1 F103 line-end: a carriage return, expected lines that end in LF alone",
    ),
    "no-final-newline": (
        recoded(SIZES, lambda raw: raw[:-1]),
        f"{SIZES}:4 F104 no-last-line-end: no line end, expected a line end after the last row",
    ),
    "semicolons": (
        recoded(SIZES, lambda raw: raw.replace(b",", b";")),
        f"{SIZES}:1 F107 wrong-header: header with semicolons between the cells",
    ),
    "tabs": (
        recoded(SIZES, lambda raw: raw.replace(b",", b"\t")),
        f"{SIZES}:1 F107 wrong-header: header with tabs between the cells",
    ),
    "empty-table": (
        written(SIZES, b""),
        f"{SIZES}:1 F107 wrong-header: header with an empty file, expected the header quantity,position",
    ),
    "nothing-but-nul": (written(SIZES, bytes(4096)), f"{SIZES}:1 F105 control-character: a NUL character"),
    "random-bytes": (written(SIZES, bytes(range(256)) * 8), f"{SIZES}:2 F101 not-utf-8: byte 0x80"),
    "header-alone-in-units": (
        recoded("units.csv", lambda raw: raw[: raw.index(b"\n") + 1]),
        f'{SIZES}:2:unit F117 unknown-word: "in", expected a row of units.csv',
    ),
    "cell-beyond-all-size": (cell("sizes", 4, "note", "n" * 140_000), f"{SIZES}:4 F106 broken-quotes: field larger"),
    "file-beyond-all-size": (
        lambda data: os.truncate(data / SIZES, 30_000_000),
        f"{SIZES} F122 too-big: 30 MB, expected at most 20 MB",
    ),
    "more-faults-than-can-be-shown": (
        add("sizes", "\n" * 2000),
        f"{SIZES}:1005 F122 too-big: more than 1000 faults, expected a table of this form",
    ),
    "hundreds-of-digits": (
        cell("sizes", 4, "lower", "9" * 400),
        f'{SIZES}:4:lower F111 wrong-type: "{"9" * 39}…", expected a number of at most 20 characters',
    ),
    "thousands-of-digits": (
        cell("sizes", 4, "lower", "1." + "9" * 9000),
        f'{SIZES}:4:lower F111 wrong-type: "1.{"9" * 37}…", expected a number of at most 20 characters',
    ),
    "factor-of-thousands-of-digits": (
        cell("units", 11, "factor", "9" * 5000),
        f'units.csv:11:factor F115 number-out-of-bounds: "{"9" * 39}…", expected a number or fraction above 0',
    ),
    "places-without-end": (
        cell("clearances", 3, "position", ",".join(["1-9999"] * 9000)),
        f"{path_of('clearances')}:3:position F118 bad-position: ",
    ),
    "missing-table": (without("states.csv"), "states.csv F119 missing-file: no file, expected a table with its header"),
    "folder-for-a-table": (folder_for("states.csv"), "states.csv F119 missing-file: no file, expected a table"),
    "stray-file": (written("notes.txt", b"?"), "notes.txt F120 stray-file: a file that is no table, expected only"),
    "stray-table": (written(f"engines/{ENGINE}/colours.csv", b"a\n"), f"engines/{ENGINE}/colours.csv F120 stray-file"),
    "stray-file-in-a-deep-folder": (deep("b.csv", 1200), f"{'a/' * 1200}b.csv F120 stray-file: a file"),
    "name-not-utf-8": (misnamed, "caf\\udce9.csv F120 stray-file: a file that is no table"),
    "engine-name-not-utf-8": (
        misnamed_engine,
        "engines/caf\\udce9/sizes.csv S112 folder-of-no-engine: the folder caf\\udce9 has rows",
    ),
    "broken-manifest": (
        recoded(MANIFEST, lambda raw: raw.replace(b'"name":', b'"name"', 1)),
        f"{MANIFEST}:3 F121 manifest: Expecting ':' delimiter",
    ),
    "manifest-cut-off": (recoded(MANIFEST, lambda raw: raw[:400]), f"{MANIFEST}:"),
    "empty-manifest": (written(MANIFEST, b""), f"{MANIFEST}:1 F121 manifest: Expecting value"),
    "manifest-in-latin-1": (written(MANIFEST, b'{"version": "caf\xe9"}'), f"{MANIFEST} F121 manifest: 'utf-8' codec"),
    "manifest-with-byte-order-mark": (
        recoded(MANIFEST, lambda raw: b"\xef\xbb\xbf" + raw),
        f"{MANIFEST}:1 F121 manifest: Unexpected UTF-8 BOM",
    ),
    "manifest-of-a-list": (
        written(MANIFEST, b"[]"),
        f"{MANIFEST} F121 manifest: no version, expected an object with a version such as 1.0.0",
    ),
    "manifest-of-null": (written(MANIFEST, b"null"), f"{MANIFEST} F121 manifest: no version"),
    "manifest-of-nothing": (written(MANIFEST, b"{}"), f"{MANIFEST} F121 manifest: no version"),
    "manifest-nested-10000-deep": (
        written(MANIFEST, b"[" * 10_000 + b"]" * 10_000),
        f"{MANIFEST} F121 manifest: ",
    ),
    "manifest-nested-900-deep": (manifest(lambda m: m.update(more=nested(900))), f"{MANIFEST} F121 manifest: "),
    "manifest-without-version": (manifest(lambda m: m.pop("version")), f"{MANIFEST} F121 manifest: no version"),
    "manifest-with-number-for-version": (
        manifest(lambda m: m.update(version=1.0)),
        f"{MANIFEST} F121 manifest: no version",
    ),
    "manifest-with-half-a-pair": (manifest(lambda m: m.update(title="\ud800")), f"{MANIFEST} F121 manifest: "),
    "manifest-without-a-table": (
        manifest(lambda m: m["resources"].pop()),
        f"{MANIFEST} F121 manifest: a list that does not fit the files or schemas, expected the list as tidy writes it",
    ),
}  # fmt: skip


def case(given: dict[str, Any]) -> tuple[Edit, str]:
    """Edit of a line of datasets.toml, and what the audit says."""
    kind = next(k for k in ("cell", "swap", "add") if k in given)
    edit: Edit = {"cell": cell, "swap": swap, "add": add}[kind](*given[kind])
    at = given["at"] if "at" in given else f"{given['cell'][1]}:{given['cell'][2]}"
    return edit, f"{path_of(given.get('of', given[kind][0]))}{at and ':'}{at} {given['finds']}"


LISTED = tomllib.loads(Path(__file__).with_name("datasets.toml").read_text(encoding="utf-8"))
CASES = {name: case(given) for family in LISTED.values() for name, given in family.items()} | OTHERS
