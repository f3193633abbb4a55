"""Bench sheets: read from JSON, XLSX or a dict, checked against the schema and the dataset."""

import json
from collections.abc import Iterator
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from typing import Any

from .. import positions, units
from ..dataset import Dataset
from ..numerals import shown
from . import build_faults, csvfile, grids, jsonfile, reading_faults, sheet_form, tool_faults, wording, workbook
from .faults import SheetError, SheetFault, path_text
from .placed import Sheet, Spot

MOST_BYTES = 5_000_000
STREAM = "standard input"
MOST_FAULTS = 50
"""How many faults of words are told."""


def load(source: str | Path | bytes | dict[str, Any], data: Dataset) -> Sheet:
    """Read and check a sheet, of a file or of its bytes; raises SheetError with every fault that was found."""
    if isinstance(source, bytes):
        read = _opened(source, STREAM)
    else:
        read = Sheet(source, lambda p: ("", 0, path_text(p))) if isinstance(source, dict) else _read(Path(source))
    found, faults = checked(_filled(read), data)
    if faults:
        raise SheetError(faults)
    return replace(found, digest=_digest(source))


def _digest(source: str | Path | bytes | dict[str, Any]) -> str:
    """SHA-256 of a sheet's file, or of its values as JSON with sorted names."""
    if isinstance(source, bytes):
        return sha256(source).hexdigest()
    if isinstance(source, dict):
        return sha256(json.dumps(source, sort_keys=True, ensure_ascii=False).encode()).hexdigest()
    return sha256(Path(source).read_bytes()).hexdigest()


def checked(sheet: Sheet, data: Dataset) -> tuple[Sheet, list[SheetFault]]:
    """A sheet in the dataset's own words, and its faults: of words and form, else of what the dataset knows."""
    found, of_words = wording.read(sheet, data)
    told = tuple(f.place for f in of_words)
    form = [f for f in sheet_form.faults(found.values, found.place) if not _within(f.place, told)]
    faults = dict.fromkeys([*of_words[:MOST_FAULTS], *form]) or dict.fromkeys(_dataset_faults(found, data))
    return found, list(faults)


def _within(place: str, others: tuple[str, ...]) -> bool:
    """Whether a place is one of others, or lies in one."""
    return place in others or place.startswith(tuple(f"{p}." for p in others))


_TELLING = {"readings": ("value", "to"), "torques": ("value",), "parts": ("maker", "number", "note")}
"""Cells of which a line has none filled while it tells nothing yet."""


def _filled(sheet: Sheet) -> Sheet:
    """The sheet without empty fields, and without lines that have no value yet."""
    if not isinstance(sheet.values, dict):
        return sheet
    kept: dict[str, list[int]] = {}
    values = {k: v for k, v in sheet.values.items() if v != ""}
    if isinstance(values.get("materials"), dict):
        values["materials"] = {k: v for k, v in values["materials"].items() if v != ""}
    for table in grids.TABLES:
        lines = values.get(table)
        if not isinstance(lines, list):
            continue
        clean = [{k: v for k, v in r.items() if v != ""} if isinstance(r, dict) else r for r in lines]
        empty = [isinstance(r, dict) and _tells_nothing(r, _TELLING.get(table, ())) for r in lines]
        kept[table] = [n for n, gone in enumerate(empty) if not gone]
        values[table] = [clean[n] for n in kept[table]]

    def spot(path: list[str | int]) -> Spot:
        if len(path) > 1 and str(path[0]) in kept and isinstance(path[1], int) and path[1] < len(kept[str(path[0])]):
            path = [path[0], kept[str(path[0])][path[1]], *path[2:]]
        return sheet.spot(path)

    left = _left_joints(sheet.values.get("torques"))
    return Sheet(values, spot, _left_empty(sheet.values.get("readings")), left_joints=left)


def _left_empty(readings: Any) -> tuple[tuple[str, str], ...]:
    """Item and place of the lines that have no value yet."""
    lines = [r for r in readings if isinstance(r, dict)] if isinstance(readings, list) else []
    return tuple(dict.fromkeys((str(r.get("item")), str(r.get("position"))) for r in lines if r.get("value") == ""))


def _left_joints(torques: Any) -> frozenset[str]:
    """Joints of the torque lines that have no value yet."""
    lines = [t for t in torques if isinstance(t, dict)] if isinstance(torques, list) else []
    return frozenset(str(t.get("joint")) for t in lines if t.get("value") == "")


def _tells_nothing(line: dict[str, Any], cells: tuple[str, ...]) -> bool:
    return any(c in line for c in cells) and all(line.get(c, "") == "" for c in cells)


def _read(path: Path) -> Sheet:
    if not path.is_file():
        raise SheetError([SheetFault(str(path), "no such file", "a bench sheet, JSON, XLSX or CSV")])
    if path.stat().st_size > MOST_BYTES:
        raise _too_big(path.name, path.stat().st_size)
    try:
        return _opened(path.read_bytes(), path.name)
    except OSError as error:
        raise SheetError([SheetFault(path.name, str(error.strerror), "a file that can be read")]) from error


def _too_big(name: str, size: int) -> SheetError:
    return SheetError([SheetFault(name, f"{size / 1_000_000:.0f} MB", f"at most {MOST_BYTES // 1_000_000} MB")])


OTHER_BOOKS = {
    ".ods": "an OpenDocument workbook",
    ".xls": "a workbook of the old form",
    ".numbers": "a Numbers file",
}
"""Files of spreadsheets that are not read, by the end of the name."""


def _opened(raw: bytes, name: str) -> Sheet:
    """The sheet in a file's bytes: a workbook or JSON by the name or by how it begins, else CSV."""
    if len(raw) > MOST_BYTES:
        raise _too_big(name, len(raw))
    end = Path(name).suffix.lower()
    if end in OTHER_BOOKS:
        way = "XLSX, CSV or JSON: save it in the spreadsheet as .xlsx"
        raise SheetError([SheetFault(name, OTHER_BOOKS[end], way)])
    if end in (".xlsx", ".xlsm") or raw.startswith(b"PK\x03\x04"):
        values, cells = workbook.read(raw, name)
        return Sheet(values, lambda p: _cell(cells, p, name))
    text = _decoded(raw, name)
    if end == ".csv" or (end != ".json" and text.lstrip()[:1] not in "{["):
        values, cells = csvfile.read(text, name)
        return Sheet(values, lambda p: _cell(cells, p, name))
    values = jsonfile.parse(text, name)
    return Sheet(values, lambda p: (name, jsonfile.line(text, p), path_text(p)))


def _cell(cells: grids.Paths, path: list[str | int], name: str) -> Spot:
    for length in range(len(path), 0, -1):
        if tuple(path[:length]) in cells:
            return name, 0, cells[tuple(path[:length])]
    return name, 0, str(path[0]) if path else "sheet"


def _decoded(raw: bytes, name: str) -> str:
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        fault = SheetFault(
            f"{name}:{line}", f"byte 0x{raw[error.start]:02x}", "UTF-8 text, as a spreadsheet saves CSV UTF-8"
        )
        raise SheetError([fault]) from error
    if not text.strip():
        raise SheetError([SheetFault(name, "an empty file", "a bench sheet")])
    return text


def _dataset_faults(sheet: Sheet, data: Dataset) -> Iterator[SheetFault]:
    values = sheet.values
    yield from build_faults.faults(sheet, data)
    yield from list(reading_faults.temperature_faults(sheet, data)) or reading_faults.room_faults(sheet, data)
    if "honing_unit" in values:
        yield from _unit_faults(sheet, data, ["honing_unit"], values["honing_unit"], "length")
    yield from _instrument_faults(sheet, data)
    for number, reading in enumerate(values["readings"]):
        path: list[str | int] = ["readings", number]
        quantity = data.quantities[reading["item"]]
        yield from _unit_faults(sheet, data, [*path, "unit"], reading["unit"], quantity["dimension"])
        yield from _tool_faults(sheet, path, reading["instrument"])
        yield from _place_faults(sheet, data, path, reading)
        yield from build_faults.spread_fault(sheet, data, path, reading)
        yield from build_faults.detail_faults(sheet, data, path, reading)
        yield from tool_faults.measuring_faults(sheet, data, path, reading)
        yield from reading_faults.direction_faults(sheet, data, path, reading)
        yield from reading_faults.value_faults(sheet, data, path, reading)
        yield from reading_faults.fit_faults(sheet, data, path, reading)
    yield from _torque_faults(sheet, data)


IN_UNIT = ("resolution", "mpe", "correction", "zero_shift", "range_from", "range_to")
"""Fields of an instrument that are in its unit."""


def _instrument_faults(sheet: Sheet, data: Dataset) -> Iterator[SheetFault]:
    classes, seen = data.keyed("instruments"), set[str]()
    for number, tool in enumerate(sheet.values["instruments"]):
        path: list[str | int] = ["instruments", number]
        if tool["id"] in seen:
            yield SheetFault(sheet.place([*path, "id"]), f'"{tool["id"]}" again', "each instrument once")
        seen.add(tool["id"])
        known = classes[tool["instrument"]]
        if "unit" not in tool and any(k in tool for k in IN_UNIT):
            yield SheetFault(
                sheet.place([*path]), f"no unit for {tool['id']}", "the unit of resolution, limit and shift"
            )
        else:
            dimension = data.units[known["unit"]].dimension
            wrong = list(_unit_faults(sheet, data, [*path, "unit"], tool.get("unit") or known["unit"], dimension))
            yield from wrong or tool_faults.faults(sheet, data, path, tool)
        yield from tool_faults.percent_faults(sheet, data, path, tool)
        yield from tool_faults.setting_faults(sheet, data, path, tool)


def _unit_faults(
    sheet: Sheet, data: Dataset, path: list[str | int], unit: str, dimension: str | None
) -> Iterator[SheetFault]:
    try:
        units.pick(data.units, unit, dimension)
    except units.UnitError as error:
        words = [u.unit for u in data.units.values() if dimension in (None, u.dimension)]
        yield SheetFault(sheet.place(path), str(error).partition(":")[0], "one of " + ", ".join(words))


def _tool_faults(sheet: Sheet, path: list[str | int], instrument: str) -> Iterator[SheetFault]:
    if instrument not in {i["id"] for i in sheet.values["instruments"]}:
        yield SheetFault(sheet.place([*path, "instrument"]), shown(instrument), "an instrument of this sheet")


def _place_faults(sheet: Sheet, data: Dataset, path: list[str | int], reading: dict[str, Any]) -> Iterator[SheetFault]:
    number, _ = positions.split(reading["position"])
    model = sheet.values.get("build", {}).get("model")
    count = data.count(sheet.values["engine"], reading["item"], model)
    if number and count and number > count:
        yield SheetFault(sheet.place([*path, "position"]), f"place {number} of {count}", f"1 to {count}")


def _torque_faults(sheet: Sheet, data: Dataset) -> Iterator[SheetFault]:
    named = set(data.keyed("positions"))
    for number, torque in enumerate(sheet.values.get("torques", ())):
        path: list[str | int] = ["torques", number]
        yield from _unit_faults(sheet, data, [*path, "unit"], torque["unit"], None)
        yield from _tool_faults(sheet, path, torque["instrument"])
        yield from tool_faults.torque_faults(sheet, data, path, torque)
        try:
            positions.check(torque["position"], named)
        except positions.PositionError as error:
            yield SheetFault(sheet.place([*path, "position"]), str(error), "all, 3, 1-10 or a named place")
            continue
        model = sheet.values.get("build", {}).get("model")
        count = data.count(sheet.values["engine"], torque["joint"], model)
        last = max(positions.numbers(torque["position"]), default=0)
        if count and last > count and not _prints(sheet, data, torque["joint"], last):
            yield SheetFault(sheet.place([*path, "position"]), f"place {last} of {count}", f"1 to {count}")


def _prints(sheet: Sheet, data: Dataset, joint: str, place: int) -> bool:
    """Whether a page numbers the fasteners of a joint that far, though it has fewer places."""
    engine = sheet.values["engine"]
    rows = [r["position"] for r in data.all_rows(engine, "torques") if r.item == joint]
    rows += [r["row"] for r in data.all_rows(engine, "sequences") if r.item == joint]
    printed = [n for text in rows for n in positions.numbers(text)]
    return place <= max(printed, default=0)
