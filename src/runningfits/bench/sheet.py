"""Bench sheets: read from JSON, XLSX or a dict, checked against the schema and the dataset."""

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from .. import positions, units
from ..dataset import Dataset
from ..numerals import NumeralError, parse, shown
from ..places import folder
from . import jsonfile, workbook
from .faults import SheetError, SheetFault

MOST_BYTES = 5_000_000
Spot = tuple[str, int, str]


@dataclass(frozen=True)
class Sheet:
    """A sheet that fits the schema and the dataset; `spot` gives file, line and column of the value at a path.

    A line of 0 says that there is none.
    """

    values: dict[str, Any]
    spot: Callable[[list[str | int]], Spot]

    def place(self, path: list[str | int]) -> str:
        """The spot in one text."""
        file, line, column = self.spot(path)
        return ":".join(filter(None, (file, str(line) if line else "", column)))


def load(source: str | Path | dict[str, Any], data: Dataset) -> Sheet:
    """Read and check a sheet; raises SheetError with every fault that was found."""
    found = Sheet(source, lambda p: ("", 0, _path(p))) if isinstance(source, dict) else _read(Path(source))
    found = _filled(found)
    faults = list(_schema_faults(found)) or list(_dataset_faults(found, data))
    if faults:
        raise SheetError(faults)
    return found


def _filled(sheet: Sheet) -> Sheet:
    """The sheet without empty fields, and without lines that have no value yet."""
    if not isinstance(sheet.values, dict):
        return sheet
    kept: dict[str, list[int]] = {}
    values = {k: v for k, v in sheet.values.items() if v != ""}
    for table in workbook.TABLES:
        lines = values.get(table)
        if not isinstance(lines, list):
            continue
        clean = [{k: v for k, v in r.items() if v != ""} if isinstance(r, dict) else r for r in lines]
        empty = [
            isinstance(r, dict) and isinstance(raw, dict) and raw.get("value") == ""
            for r, raw in zip(clean, lines, strict=True)
        ]
        kept[table] = [n for n, gone in enumerate(empty) if not gone]
        values[table] = [clean[n] for n in kept[table]]

    def spot(path: list[str | int]) -> Spot:
        if len(path) > 1 and str(path[0]) in kept and isinstance(path[1], int) and path[1] < len(kept[str(path[0])]):
            path = [path[0], kept[str(path[0])][path[1]], *path[2:]]
        return sheet.spot(path)

    return Sheet(values, spot)


def _path(path: list[str | int]) -> str:
    return "".join(f"[{p}]" if isinstance(p, int) else f".{p}" for p in path).lstrip(".") or "sheet"


def _read(path: Path) -> Sheet:
    name = path.name
    if not path.is_file():
        raise SheetError([SheetFault(str(path), "no such file", "a bench sheet, JSON or XLSX")])
    if path.stat().st_size > MOST_BYTES:
        size = path.stat().st_size / 1_000_000
        raise SheetError([SheetFault(name, f"{size:.0f} MB", f"at most {MOST_BYTES // 1_000_000} MB")])
    if path.suffix.lower() in (".xlsx", ".xlsm", ".xls", ".ods"):
        values, cells = workbook.read(path, name)
        return Sheet(values, lambda p: _cell(cells, p, name))
    text = _decoded(path.read_bytes(), name)
    values = jsonfile.parse(text, name)
    return Sheet(values, lambda p: (name, jsonfile.line(text, p), _path(p)))


def _cell(cells: dict[tuple[str | int, ...], str], path: list[str | int], name: str) -> Spot:
    for length in range(len(path), 0, -1):
        if tuple(path[:length]) in cells:
            return name, 0, cells[tuple(path[:length])]
    return name, 0, str(path[0]) if path else ""


def _decoded(raw: bytes, name: str) -> str:
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        fault = SheetFault(f"{name}:{line}", f"byte 0x{raw[error.start]:02x}", "UTF-8 text")
        raise SheetError([fault]) from error
    if not text.strip():
        raise SheetError([SheetFault(name, "an empty file", "a bench sheet")])
    return text


@cache
def schema() -> dict[str, Any]:
    """JSON Schema of a bench sheet."""
    loaded: dict[str, Any] = json.loads((folder("schema") / "sheet.json").read_text(encoding="utf-8"))
    return loaded


def fields() -> dict[str, list[str]]:
    """Names of the sheet's own fields and of the columns of each table."""
    properties = schema()["properties"]
    tables = {t: list(properties[t]["items"]["properties"]) for t in workbook.TABLES}
    return {"sheet": [k for k in properties if k not in tables]} | tables


def _schema_faults(sheet: Sheet, most: int = 50) -> Iterator[SheetFault]:
    from jsonschema import Draft202012Validator

    errors = Draft202012Validator(schema()).iter_errors(sheet.values)
    for number, error in enumerate(errors):
        if number == most:
            yield SheetFault("sheet", f"more than {most} faults", "a bench sheet")
            return
        yield SheetFault(sheet.place(list(error.absolute_path)), *_words(error))


def _words(error: Any) -> tuple[str, str]:
    """What was found and what was expected, from a schema error."""
    found = shown(error.instance) if isinstance(error.instance, str) else _kind(error.instance)
    if error.validator == "required":
        missing = next(k for k in error.validator_value if k not in error.instance)
        return f"no {missing}", f"the field {missing}"
    if error.validator == "additionalProperties":
        extra = sorted(set(error.instance) - set(error.schema["properties"]))
        return f"the unknown field {', '.join(map(str, extra))[:80]}", "one of " + ", ".join(error.schema["properties"])
    if error.validator == "enum":
        return found, "one of " + ", ".join(error.validator_value)
    if error.validator == "pattern" and isinstance(error.instance, str):
        return found, _pattern_words(error)
    if error.validator == "type":
        number = isinstance(error.instance, int | float) and not isinstance(error.instance, bool)
        hint = f', written as text: "{error.instance}"' if number and error.validator_value == "string" else ""
        return found, f"{_TYPES.get(error.validator_value, error.validator_value)}{hint}"
    return found, f"{error.validator} {error.validator_value}"


_TYPES = {"string": "text", "integer": "a whole number", "object": "an object", "array": "a list"}


def _pattern_words(error: Any) -> str:
    if "number" in str(error.schema.get("$ref", "")) or "[0-9]+(\\.[0-9]+)?$" in error.validator_value:
        try:
            parse(error.instance)
        except NumeralError as fault:
            return str(fault).partition(" is not ")[2]
        return "a number that is not negative"
    return {
        schema()["$defs"]["temperature"]["pattern"]: "a temperature such as 21 degC",
        schema()["$defs"]["words"]["pattern"]: "text without control characters",
        schema()["$defs"]["place"]["pattern"]: "a place such as 3, rear or 3/top-ring",
        schema()["$defs"]["spans"]["pattern"]: "all, 3, 1-10 or a named place",
    }.get(error.validator_value, "small letters and digits joined by hyphens")


def _kind(value: Any) -> str:
    if value is None or isinstance(value, bool):
        return {None: "null", True: "true", False: "false"}[value]
    if isinstance(value, int | float):
        return f"the number {value}"
    return f"{'a list' if isinstance(value, list) else 'an object'} of {len(value)}"


def _dataset_faults(sheet: Sheet, data: Dataset) -> Iterator[SheetFault]:
    values = sheet.values
    engine = values["engine"]
    if engine not in data.engines:
        known = ", ".join(data.engines)
        yield SheetFault(sheet.place(["engine"]), f'"{engine}"', f"an engine of the dataset: {known}")
        return
    yield from _instrument_faults(sheet, data)
    named = set(data.keyed("positions"))
    for number, reading in enumerate(values["readings"]):
        path: list[str | int] = ["readings", number]
        quantity = data.quantities.get(reading["item"])
        if quantity is None:
            yield SheetFault(sheet.place([*path, "item"]), shown(reading["item"]), "a quantity of the dataset")
            continue
        yield from _unit_faults(sheet, data, path, reading, quantity["dimension"])
        yield from _place_faults(sheet, data, path, reading, named)
        if "material" in reading and reading["material"] not in data.keyed("materials"):
            known = ", ".join(data.keyed("materials"))
            yield SheetFault(sheet.place([*path, "material"]), shown(reading["material"]), f"one of {known}")
        if quantity["kind"] in ("gap", "end-play") and parse(reading["value"]) < 0:
            yield SheetFault(sheet.place([*path, "value"]), shown(reading["value"]), "a gap or play of 0 or more")
        if reading["part"] in ("bore", "shaft") and parse(reading["value"]) <= 0:
            yield SheetFault(sheet.place([*path, "value"]), shown(reading["value"]), "a size above 0")
        if "to" in reading and parse(reading["to"]) <= parse(reading["value"]):
            yield SheetFault(sheet.place([*path, "to"]), shown(reading["to"]), "more than the value")
    yield from _torque_faults(sheet, data)


def _instrument_faults(sheet: Sheet, data: Dataset) -> Iterator[SheetFault]:
    classes, seen = data.keyed("instruments"), set[str]()
    listed = [i["id"] for i in sheet.values["instruments"]]
    used = {r["instrument"] for r in (*sheet.values["readings"], *sheet.values.get("torques", ()))}
    for number, tool in enumerate(sheet.values["instruments"]):
        path: list[str | int] = ["instruments", number]
        if tool["id"] in seen:
            yield SheetFault(sheet.place([*path, "id"]), f'"{tool["id"]}" again', "each instrument once")
        seen.add(tool["id"])
        known = classes.get(tool["instrument"])
        if known is None:
            yield SheetFault(
                sheet.place([*path, "instrument"]), shown(tool["instrument"]), "one of " + ", ".join(classes)
            )
            continue
        if tool["id"] in used and not any(tool.get(k) or known[k] for k in ("mpe", "mpe_percent")):
            yield SheetFault(
                sheet.place([*path]),
                f"no limit of error for {tool['id']}",
                "mpe: no published limit is known for its class",
            )
        if any(k in tool for k in ("resolution", "mpe", "zero_shift", "range_to")) and "unit" not in tool:
            yield SheetFault(
                sheet.place([*path]), f"no unit for {tool['id']}", "the unit of resolution, limit and shift"
            )
        elif "unit" in tool and tool["unit"] not in data.units:
            yield SheetFault(sheet.place([*path, "unit"]), shown(tool["unit"]), "one of " + ", ".join(data.units))
        if "set_on" in tool and (tool["set_on"] not in listed or tool["set_on"] == tool["id"]):
            yield SheetFault(sheet.place([*path, "set_on"]), shown(tool["set_on"]), "another instrument of this sheet")


def _unit_faults(
    sheet: Sheet, data: Dataset, path: list[str | int], record: dict[str, Any], dimension: str | None
) -> Iterator[SheetFault]:
    try:
        units.pick(data.units, record["unit"], dimension)
    except units.UnitError as error:
        words = [u.unit for u in data.units.values() if dimension in (None, u.dimension)]
        yield SheetFault(sheet.place([*path, "unit"]), str(error).partition(":")[0], "one of " + ", ".join(words))
    if record["instrument"] not in {i["id"] for i in sheet.values["instruments"]}:
        yield SheetFault(sheet.place([*path, "instrument"]), shown(record["instrument"]), "an instrument of this sheet")


def _place_faults(
    sheet: Sheet, data: Dataset, path: list[str | int], reading: dict[str, Any], named: set[str]
) -> Iterator[SheetFault]:
    number, name = positions.split(reading["position"])
    if name and name not in named:
        yield SheetFault(
            sheet.place([*path, "position"]), f'the unknown place "{name}"', "a named place of the dataset"
        )
    count = data.count(sheet.values["engine"], reading["item"])
    if number and count and number > count:
        yield SheetFault(sheet.place([*path, "position"]), f"place {number} of {count}", f"1 to {count}")


def _torque_faults(sheet: Sheet, data: Dataset) -> Iterator[SheetFault]:
    named = set(data.keyed("positions"))
    for number, torque in enumerate(sheet.values.get("torques", ())):
        path: list[str | int] = ["torques", number]
        if torque["joint"] not in data.joints:
            yield SheetFault(sheet.place([*path, "joint"]), shown(torque["joint"]), "a joint of the dataset")
        yield from _unit_faults(sheet, data, path, torque, None)
        try:
            positions.check(torque["position"], named)
        except positions.PositionError as error:
            yield SheetFault(sheet.place([*path, "position"]), str(error), "all, 3, 1-10 or a named place")
