"""Bench sheets: whatever the values are, a sheet is taken or refused with every fault in its place."""

import json
import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from runningfits.dataset import Dataset
from runningfits.faces.report import page
from runningfits.judging.judge import check
from runningfits.sheets import jsonfile, sheet_form, workbook
from runningfits.sheets.faults import SheetError, path_text
from runningfits.sheets.sheet import load

PATIENT = settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
FIELDS = sheet_form.fields()
NAMES = sorted({name for names in FIELDS.values() for name in names} | set(FIELDS))
WORDS = [
    "perkins-4-236",
    "main-journal-diameter",
    "mic-1",
    "outside-micrometer",
    "in",
    "1",
    "0.5",
    "-1",
    "all",
    "",
    "5\n",
]
TEXTS = st.one_of(st.sampled_from(WORDS), st.text(max_size=8), st.text(st.characters(), max_size=4))
SCALARS = st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), TEXTS)
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=4),
        st.dictionaries(st.one_of(st.sampled_from(NAMES), TEXTS), inner, max_size=6),
    ),
    max_leaves=12,
)
FITTING: dict[str, list[Any]] = {
    "item": ["main-journal-diameter", "main-bearing-clearance", "crank-end-play", "gear-backlash", "valve-lash"],
    "position": ["1", "5", "rear", "all", "3/top-ring"],
    "part": ["bore", "shaft", "gap", "strip"],
    "value": ["2.9988", "0.0015", "76.165", "9" * 20, ""],
    "unit": ["in", "mm"],
    "instrument": ["mic-1", "dial-2"],
    "place": ["front", "rear"],
    "variant": ["timing-idler"],
    "class": ["new", "repair"],
    "temperature": ["21 degC", "-400 degF", "0 K"],
    "decision": ["guarded", "simple"],
    "part_temperature": ["99999 K"],
    "honing_allowance": ["0", "0.05"],
    "honing_unit": ["mm"],
}
LIKELY = FITTING | {
    "id": ["mic-1", "dial-2"],
    "position": [*FITTING["position"], "9", "1-4", "beside"],
    "value": [*FITTING["value"], "0", "-0.001"],
    "to": ["3", "0.002"],
    "unit": [*FITTING["unit"], "lbf.ft", "K", "inch"],
    "instrument": [*FITTING["instrument"], "bore-gauge", "torque-wrench"],
    "joint": ["main-cap", "cam-gear", "cheese"],
    "step": [1, 2, 0],
    "set_on": ["mic-1"],
    "mpe": ["0", "0.0001", "1"],
    "range_from": ["0", "250"],
    "material": ["steel", "cheese"],
    "honing_unit": ["mm", "N.m"],
}
"""Words by field: those that fit, and those that may."""
TOOLS = [
    {"id": "mic-1", "instrument": "outside-micrometer", "mpe": "0.0001", "unit": "in"},
    {"id": "dial-2", "instrument": "dial-indicator", "mpe": "0", "resolution": "0", "unit": "mm", "set_on": "mic-1"},
]


def lines(table: str, words: dict[str, list[Any]]) -> st.SearchStrategy[list[dict[str, Any]]]:
    """Lines of a table with words in every field that it needs, and in some that it does not."""
    needed = sheet_form.schema()["properties"][table]["items"]["required"]
    cells = {f: st.sampled_from(words[f]) for f in FIELDS[table] if f in words}
    more = {f: found for f, found in cells.items() if f not in needed}
    return st.lists(st.fixed_dictionaries({f: cells[f] for f in needed}, optional=more), max_size=6)


def sheets(words: dict[str, list[Any]], **tables: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    own = {f: st.sampled_from(words[f]) for f in FIELDS["sheet"] if f in words}
    fixed = {"engine": st.just("perkins-4-236"), "readings": lines("readings", words), **tables}
    return st.fixed_dictionaries(fixed, optional=own | {"title": TEXTS})


SHEETS = sheets(LIKELY, instruments=lines("instruments", LIKELY), torques=lines("torques", LIKELY))
FITTING_SHEETS = sheets(FITTING, instruments=st.just(TOOLS))
GOOD: dict[str, Any] = {
    "engine": "perkins-4-236",
    "instruments": [{"id": "mic-1", "instrument": "outside-micrometer", "mpe": "0.0001", "unit": "in"}],
    "readings": [
        {
            "item": "main-journal-diameter",
            "position": "5",
            "part": "shaft",
            "value": "2.9988",
            "unit": "in",
            "instrument": "mic-1",
        }
    ],
}


def refused(source: Any, data: Dataset) -> list[str]:
    """Places of the faults of a sheet, none where it is taken."""
    try:
        load(source, data)
    except SheetError as error:
        assert error.faults
        assert all(f.found and f.expected and f.text.isprintable() for f in error.faults)
        return [f.place for f in error.faults]
    return []


@PATIENT
@given(st.one_of(st.dictionaries(st.one_of(st.sampled_from(NAMES), TEXTS), VALUES), SHEETS))
@example({"engine": "perkins-4-236", "instruments": [], "readings": []})
@example({"engine": [], "readings": [1], "instruments": [[]], "torques": {}})
def test_values_are_taken_or_refused(data: Dataset, values: dict[str, Any]) -> None:
    assert all(refused(values, data))


@PATIENT
@given(FITTING_SHEETS)
def test_what_is_taken_is_judged(data: Dataset, values: dict[str, Any]) -> None:
    if refused(values, data):
        return
    result = check(values, data)
    shown = result.as_dict()
    assert json.loads(json.dumps(shown, allow_nan=False)) == shown
    assert page(shown, result.sheet, data).startswith("<!doctype html>")


@PATIENT
@given(st.one_of(VALUES, SHEETS))
def test_a_file_of_values_is_taken_or_refused(data: Dataset, tmp_path: Path, values: Any) -> None:
    path = tmp_path / "sheet.json"
    path.write_text(json.dumps(values, indent=1), encoding="utf-8")
    assert all(place.startswith("sheet.json:") for place in refused(path, data))


@PATIENT
@given(st.one_of(st.binary(), st.text('{}[]",:0\\\n e-N').map(str.encode)))
@pytest.mark.parametrize("name", ["sheet.json", "sheet.xlsx"])
def test_a_file_of_bytes_is_taken_or_refused(data: Dataset, tmp_path: Path, name: str, raw: bytes) -> None:
    path = tmp_path / name
    path.write_bytes(raw)
    assert all(place.startswith(name) for place in refused(path, data))


@PATIENT
@given(st.lists(st.tuples(st.floats(0, 1, exclude_max=True), st.binary(max_size=6)), min_size=1, max_size=4))
def test_a_damaged_workbook_is_taken_or_refused(
    data: Dataset, tmp_path: Path, book: bytes, damage: list[tuple[float, bytes]]
) -> None:
    path, raw = tmp_path / "sheet.xlsx", bytearray(book)
    for share, new in damage:
        at = math.floor(share * len(raw))
        raw[at : at + len(new)] = new
    path.write_bytes(raw)
    assert all(place.startswith("sheet.xlsx") for place in refused(path, data))


@pytest.fixture(scope="session")
def book(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    path = tmp_path_factory.mktemp("book") / "sheet.xlsx"
    workbook.write(GOOD, path, sheet_form.fields())
    return path.read_bytes()


def test_a_good_sheet_is_taken(data: Dataset) -> None:
    assert load(GOOD, data).values == GOOD


@PATIENT
@given(VALUES)
def test_every_value_has_the_line_on_which_it_stands(values: Any) -> None:
    text = json.dumps(values, indent=1)
    lines = text.split("\n")
    for path, value in paths(values, ()):
        shown = lines[jsonfile.line(text, path) - 1].strip().rstrip(",")
        key = f"{json.dumps(path[-1])}: " if path and isinstance(path[-1], str) else ""
        assert shown.startswith(key + json.dumps(value, indent=1).split("\n")[0])


def paths(value: Any, path: tuple[str | int, ...]) -> list[tuple[tuple[str | int, ...], Any]]:
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [(path, value), *(found for key, v in inner for found in paths(v, (*path, key)))]


def test_the_line_of_what_is_missing_is_that_of_what_is_around_it() -> None:
    assert jsonfile.line('{\n "readings": [\n  {}\n ]\n}', ["readings", 0, "value"]) == 3


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ([], "sheet"),
        (["engine"], "engine"),
        (["readings", 3, "value"], "readings[3].value"),
        (["\x1b"], '"\\x1b"'),
        (["a b", 0], '"a b"[0]'),
    ],
)
def test_a_path_in_words(path: list[str | int], text: str) -> None:
    assert path_text(path) == text
