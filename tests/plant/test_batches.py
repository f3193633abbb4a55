"""Tables of readings judged: each reading by itself, in its place, whatever stands beside it."""

import subprocess
import sys
from typing import Any

import pyarrow as pa
import pytest

import runningfits as rf
from runningfits.judging.against import DOUBTS
from runningfits.plant import batches
from runningfits.plant.batches import OPEN_END
from runningfits.plant.numbering import MOST_PAIRS
from runningfits.plant.reading_columns import MADE

from .readings import REASONS, VERDICTS, table

FIRST = table()


def _told(found: pa.Table) -> list[dict[str, Any]]:
    return list(found.select(MADE).to_pylist())


def test_each_reading_has_its_verdict_and_its_reason() -> None:
    found = rf.judge(FIRST).to_pylist()
    assert [r["verdict"] for r in found] == VERDICTS
    told = {n: r["reason"] for n, r in enumerate(found) if r["reason"]}
    assert told.keys() == REASONS.keys()
    assert all(told[n].startswith(words) for n, words in REASONS.items())
    assert found[3]["row"] == "cummins-ntc-400/main-journal-diameter/all@tm-9-2815-225-34p:3-166"
    assert found[3]["cite"] == "TM 9-2815-225-34&P, p. 3-166"
    assert all(r["row"] is r["probability"] is None for r in found if r["verdict"] == "refused")


def test_its_own_columns_stay_and_come_first() -> None:
    found = rf.judge(FIRST)
    assert found.select(FIRST.column_names).equals(FIRST)
    assert found.column_names == [*FIRST.column_names, *MADE]
    assert all(pa.types.is_dictionary(found.schema.field(n).type) for n in ("verdict", "row", "cite", "reason"))


def test_many_readings_are_judged_as_few_are() -> None:
    """More than a block, in batches of any size, with kinds that come up late."""
    times = 40_000 // len(FIRST)
    whole = rf.judge(pa.concat_tables([FIRST.slice(0, 2), table(times)]))
    once = _told(rf.judge(FIRST))
    assert _told(whole) == once[:2] + once * times
    small = batches.batches(FIRST.to_batches(max_chunksize=1))
    assert [row for b in small for row in _told(pa.Table.from_batches([b]))] == once


@pytest.mark.parametrize("kind", [pa.large_string(), pa.string_view(), pa.dictionary(pa.int8(), pa.string())], ids=str)
def test_words_of_any_kind_of_text(kind: pa.DataType) -> None:
    words = ("engine", "item", "position", "unit", "instrument")
    fields = [f.with_type(kind) if f.name in words else f for f in FIRST.schema]
    assert _told(rf.judge(FIRST.cast(pa.schema(fields)))) == _told(rf.judge(FIRST))


def test_numbers_as_text_and_places_as_numbers() -> None:
    line = {
        "engine": "cummins-ntc-400",
        "model": "big-cam-iii",
        "item": "main-journal-diameter",
        "position": 1,
        "unit": "in",
    }
    values = ("4.4992", " 4.4992 ", "4,4992", "", "nan", "1e999")
    lines = [line | {"value": v, "instrument": "outside micrometer"} for v in values]
    found = rf.judge(pa.Table.from_pylist(lines)).to_pylist()
    assert [r["verdict"] for r in found] == ["new", "new", *["refused"] * 4]
    assert [(r["reason"] or "")[:13] for r in found[2:]] == [
        "value: no num",
        "value: empty,",
        "value: no num",
        "value: no num",
    ]


def test_a_repair_size_and_what_is_fitted_choose_the_row() -> None:
    """A ground journal is judged by its undersize, and never passes as a standard one that is worn away."""
    line = {"engine": "nissan-h20", "item": "main-journal-diameter", "position": "1", "unit": "mm", "value": 62.698}
    sizes = ("", "main-journal=-0.25 mm", "main-journal=-0.25", "main-journal")
    lines = [line | {"standard_uncertainty": 0.001, "size": s} for s in sizes]
    found = rf.judge(pa.Table.from_pylist(lines)).to_pylist()
    assert [r["verdict"] for r in found] == ["cannot-tell", "new", "refused", "refused"]
    assert found[0]["reason"] == DOUBTS["resized"]
    assert found[2]["reason"].startswith("size: ")


def test_a_thrust_plate_does_not_pass_by_its_least_alone() -> None:
    # TM 9-2815-225-34P, 3-194: at least 0.083 in
    lines = {
        "engine": ["cummins-ntc-400"] * 2,
        "item": ["cam-thrust-plate-thickness"] * 2,
        "position": ["all"] * 2,
        "value": [0.09, 0.08],
        "unit": ["in"] * 2,
        "instrument": ["outside-micrometer"] * 2,
    }
    found = rf.judge(pa.table(lines)).to_pylist()
    assert [r["verdict"] for r in found] == ["cannot-tell", "loose"]
    assert found[0]["reason"] == OPEN_END


def test_an_empty_table_has_the_columns() -> None:
    found = rf.judge(FIRST.slice(0, 0))
    assert found.num_rows == 0
    assert found.column_names[-len(MADE) :] == list(MADE)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda t: t.drop_columns(["item"]), 'no column "item"'),
        (lambda t: t.rename_columns({"value": "val"}), 'no column "value", found "val"'),
        (
            lambda t: t.drop_columns(["instrument", "standard_uncertainty"]),
            "no column instrument or standard_uncertainty",
        ),
        (lambda t: t.append_column("verdict", t["item"]), 'column "verdict" is there already'),
        (lambda t: t.append_column("item", t["item"]), 'column "item" stands twice'),
        (lambda t: t.set_column(0, "engine", t["value"]), 'column "engine" is of type double, expected text'),
        (
            lambda t: t.set_column(7, "value", pa.array([True] * len(t))),
            'column "value" is of type bool, expected numbers',
        ),
    ],
)
def test_a_table_that_cannot_be_judged_is_refused_by_its_column(change: Any, words: str) -> None:
    with pytest.raises(rf.UnusableError, match=words):
        rf.judge(change(FIRST))


def test_a_column_of_serial_numbers_is_no_column_of_words(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("runningfits.plant.numbering.MOST_PAIRS", 40)
    assert MOST_PAIRS > 10_000_000
    many = FIRST.slice(3, 1).take([0] * 60).set_column(3, "position", pa.array([f"no. {n}" for n in range(60)]))
    with pytest.raises(rf.UnusableError, match='column "position" holds 61 different words'):
        rf.judge(many)


def test_an_unknown_decision_is_refused() -> None:
    with pytest.raises(ValueError, match="guarded or simple"):
        rf.judge(FIRST, decision="generous")


def test_without_the_extra_it_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pyarrow", None)
    monkeypatch.delitem(sys.modules, "runningfits.plant.batches")
    with pytest.raises(ImportError, match=r"pyarrow: install runningfits\[plant\]"):
        rf.judge(pa.table({}))


def test_looking_up_and_checking_import_neither_pyarrow_nor_scipy() -> None:
    code = (
        "import sys, runningfits as rf\n"
        "rf.load().rows('cummins-ntc-400', 'main-bearing-clearance')\n"
        "found = rf.check('docs/demo/launch.json').as_dict()\n"
        "assert any(r['remedies'] for r in found['results'])\n"
        "print(sorted({'pyarrow', 'scipy', 'pandas', 'pyspark', 'dask'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
