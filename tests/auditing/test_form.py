"""Form of a table: whatever the bytes are, there are rows and faults, and each fault has its place."""

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from runningfits.auditing.form import MOST_FAULTS, parse, read, schema
from runningfits.places import folder

SCHEMAS = {
    p.stem: schema(folder("schema"), p.stem) for p in folder("schema").glob("*.json") if "fields" in p.read_text()
}
SMALL: dict[str, Any] = {
    "fields": [
        {"name": "name", "type": "string", "title": "Name", "constraints": {"required": True, "pattern": "[a-z]+"}},
        {"name": "kind", "type": "string", "title": "Kind", "constraints": {"enum": ["new", "repair"]}},
        {"name": "value", "type": "number", "title": "Value", "constraints": {"minimum": 0, "maximum": 9}},
        {"name": "step", "type": "integer", "title": "Step", "constraints": {"exclusiveMinimum": 0}},
        {"name": "done", "type": "boolean", "title": "Done"},
        {"name": "day", "type": "date", "title": "Day"},
    ]
}
HEADER = b"name,kind,value,step,done,day\n"
PIECES = st.sampled_from(
    ["a", "new", "1", "0.5", "-1", "true", "2026-01-02", ",", '"', "\n", "\r", "\x00", "\ufeff", "²"]
)
LINES = st.lists(st.one_of(PIECES, st.text(max_size=3)), max_size=40).map(lambda found: "".join(found).encode())


@given(st.binary())
@example(b"\xef\xbb\xbf")
@example(HEADER[:-1])
def test_bytes_never_raise(raw: bytes) -> None:
    found = parse(raw, SMALL)
    assert found.rows or found.faults or raw.startswith(HEADER)


@given(LINES)
def test_a_row_has_every_cell_and_a_fault_its_line(lines: bytes) -> None:
    raw = HEADER + lines
    found = parse(raw, SMALL)
    last = raw.count(b"\n") + raw.count(b"\r") + 1
    assert all(1 <= fault.line <= last for fault in found.faults)
    assert all(set(row) == set(HEADER.decode().strip().split(",")) for _, row in found.rows)
    assert [line for line, _ in found.rows] == sorted({line for line, _ in found.rows})


@given(LINES)
def test_only_clean_cells_stay(lines: bytes) -> None:
    found = parse(HEADER + lines, SMALL)
    again = "".join(",".join(row.values()) + "\n" for _, row in found.rows).encode()
    assert all(fault.kind == "required" for fault in parse(HEADER + again, SMALL).faults)


@pytest.mark.parametrize("table", sorted(SCHEMAS))
@given(cells=st.lists(st.text(max_size=8), max_size=40))
def test_no_cell_of_a_real_table_raises(table: str, cells: list[str]) -> None:
    names = [f["name"] for f in SCHEMAS[table]["fields"]]
    quoted = [f'"{c.replace(chr(34), chr(34) * 2)}"' for c in (cells + [""] * len(names))[: len(names)]]
    raw = f"{','.join(names)}\n{','.join(quoted)}\n".encode()
    assert len(parse(raw, SCHEMAS[table]).rows) == 1


@pytest.mark.parametrize(
    ("cells", "kind", "column", "expected"),
    [
        (",new,1,1,true,2026-01-02", "required", "name", "name"),
        ("A,new,1,1,true,2026-01-02", "pattern", "name", "the form [a-z]+"),
        ("a,old,1,1,true,2026-01-02", "not-in-list", "kind", "one of new, repair"),
        ("a,new,-1,1,true,2026-01-02", "bound", "value", "at least 0"),
        ("a,new,10,1,true,2026-01-02", "bound", "value", "at most 9"),
        ("a,new,0.000000000000000000001,1,true,2026-01-02", "cell-type", "value", "a number of at most 20 characters"),
        ("a,new,1,0,true,2026-01-02", "bound", "step", "more than 0"),
        ("a,new,1,1.0,true,2026-01-02", "cell-type", "step", "a whole number"),
        ("a,new,1,\u0661,true,2026-01-02", "cell-type", "step", "a whole number"),
        ("a,new,1,1,yes,2026-01-02", "cell-type", "done", "true or false"),
        ("a,new,1,1,true,2026-02-30", "cell-type", "day", "a date such as 2026-11-24"),
        ("a,new,1,1,true,20260102", "cell-type", "day", "a date such as 2026-11-24"),
        ("a ,new,1,1,true,2026-01-02", "blanks", "name", "no blanks around it and no control characters in it"),
    ],
)
def test_a_faulty_cell_is_told_and_emptied(cells: str, kind: str, column: str, expected: str) -> None:
    found = parse(HEADER + cells.encode() + b"\n", SMALL)
    (fault,) = found.faults
    assert (fault.kind, fault.line, fault.column, fault.expected) == (kind, 2, column, expected)
    assert [row[column] for _, row in found.rows] == [""]


def test_a_clean_row_has_no_fault() -> None:
    found = parse(HEADER + b"a,new,1,1,true,2026-01-02\nb,,,,,\n", SMALL)
    assert (found.faults, [line for line, _ in found.rows]) == ([], [2, 3])


def test_lines_are_counted_through_quoted_line_ends() -> None:
    found = parse(HEADER + b'"a\nb",new,1,1,true,2026-01-02\nb,old,,,,\n', SMALL)
    assert [(fault.line, fault.column) for fault in found.faults] == [(2, "name"), (4, "kind")]


def test_faults_are_told_up_to_a_number() -> None:
    found = parse(HEADER + b"A,,,,,\n" * 5000, SMALL)
    assert len(found.faults) == MOST_FAULTS + 1
    assert (found.faults[-1].kind, found.faults[-1].line) == ("too-many", MOST_FAULTS + 2)


def test_a_file_is_read_like_its_bytes(tmp_path: Path) -> None:
    path = tmp_path / "table.csv"
    path.write_bytes(HEADER + b"A,old,x,y,z,w\n")
    assert read(path, SMALL) == parse(path.read_bytes(), SMALL)


def test_schemas_are_the_tables() -> None:
    listed = json.loads((folder("data") / "datapackage.json").read_text(encoding="utf-8"))["resources"]
    assert {r["name"] for r in listed if "/" not in r["path"]} <= set(SCHEMAS)
