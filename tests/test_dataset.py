"""The dataset in memory."""

import sys
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from runningfits import audit
from runningfits.dataset import Dataset
from runningfits.shared_tables import NotInDatasetError

from .broken import dataset

ENGINE = "cummins-ntc-400"


def test_rows_of_an_item(data: Dataset) -> None:
    row, *more = data.rows(ENGINE, "main-bearing-clearance")
    assert not more
    assert row.range() == (Decimal("0.0015"), Decimal("0.005"))
    assert row.limit("upper") == Decimal("0.007")
    assert row.cite.text == "TM 9-2815-225-34&P, F-2"


def test_rows_at_a_place(data: Dataset) -> None:
    assert data.rows(ENGINE, "main-bearing-clearance", "3") == data.rows(ENGINE, "main-bearing-clearance", "rear")
    desired = {r["position"] for r in data.rows("gm-6-2-diesel", "main-bearing-clearance", "5")}
    assert "1-4" not in desired


def test_a_ring_belongs_to_a_group_of_rings(data: Dataset) -> None:
    rows = data.rows("isuzu-c240", "ring-gap", "3/top-ring")
    assert [r["position"] for r in rows] == ["compression-rings"]
    assert [r["position"] for r in data.rows("isuzu-c240", "ring-gap", "3/oil-ring")] == ["oil-ring"]


def test_an_unknown_engine_names_those_near_it(data: Dataset) -> None:
    with pytest.raises(NotInDatasetError, match=r'no engine "cummins-ntc"; perhaps cummins-ntc-400'):
        data.rows("cummins-ntc")


def test_an_unknown_item_names_those_near_it(data: Dataset) -> None:
    with pytest.raises(NotInDatasetError, match=r'no item "main-clearance"; there are main-bearing-clearance \(Main'):
        data.rows(ENGINE, "main-clearance")


def test_a_length_in_another_unit_keeps_its_step(data: Dataset) -> None:
    row = data.rows(ENGINE, "ring-gap")[0]
    assert row.in_unit("lower", data.units, "in") == row["lower"]
    assert row.in_unit("lower", data.units, "mm") == row["lower_2"]


def test_frame(data: Dataset) -> None:
    frame = data.frame("clearances")
    assert list(frame.columns[:3]) == ["id", "engine", "quantity"]
    assert frame["id"].is_unique
    assert set(frame["engine"]) <= set(data.engines)
    with pytest.raises(NotInDatasetError, match='no table "engine"; perhaps engines'):
        data.frame("engine")


@pytest.mark.parametrize(
    ("position", "told"),
    [("99", "no place 99; there are 7"), ("rera", 'no place "rera"; perhaps rear'), ("99/front", "no place 99")],
)
def test_an_unknown_place_names_those_near_it(data: Dataset, position: str, told: str) -> None:
    with pytest.raises(NotInDatasetError, match=told):
        data.rows(ENGINE, "main-bearing-clearance", position)


@pytest.mark.parametrize("place", ["1", "7", "rear", "thrust"])
def test_a_place_that_is_there_is_taken(data: Dataset, place: str) -> None:
    assert data.rows(ENGINE, "main-bearing-clearance", place)


@pytest.mark.parametrize(("text", "near"), [("NTC 400", "cummins-ntc-400"), ("perkns", "perkins-400")])
def test_an_engine_is_found_near_its_name(data: Dataset, text: str, near: str) -> None:
    with pytest.raises(NotInDatasetError, match=near):
        data.engine(text)


def test_a_table_s_name_is_near(data: Dataset) -> None:
    with pytest.raises(NotInDatasetError, match='no table "unit"; perhaps units'):
        data.table("unit")


def test_a_frame_without_pandas_names_the_extra(data: Dataset, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pandas", None)
    with pytest.raises(ImportError, match=r"install runningfits\[frames\]"):
        data.frame("clearances")


def test_a_notebook_shows_text_as_text(data: Dataset) -> None:
    row = data.rows(ENGINE, "main-bearing-clearance")[0]
    html = replace(row, cells={**row.cells, "note": "<script>"})._repr_html_()
    assert "&lt;script&gt;" in html and "<script>" not in html
    assert "TM 9-2815-225-34&amp;P, F-2" in html and "0.0015" in html
    assert f"{len(data.engines)} engine families" in data._repr_html_()


@pytest.mark.parametrize(
    ("table", "told"),
    [("clearence", "perhaps clearances|one of .*clearances"), ("models", "one of|perhaps")],
)
def test_an_unknown_table_of_rows_names_those_there_are(data: Dataset, table: str, told: str) -> None:
    with pytest.raises(NotInDatasetError, match=told):
        data.all_rows(ENGINE, table)


def test_no_name_is_no_item(data: Dataset) -> None:
    with pytest.raises(NotInDatasetError, match='no item ""'):
        data.rows(ENGINE, "")


@pytest.mark.parametrize("item", [None, "main-bearing-clearance"])
def test_an_unknown_model_names_those_near_it(data: Dataset, item: str | None) -> None:
    with pytest.raises(NotInDatasetError, match='no model "big-cam-ii"; one of big-cam-i; big-cam-iii'):
        data.rows(ENGINE, item, model="big-cam-ii")
    assert data.rows(ENGINE, item, model="big-cam-iii") == data.rows(ENGINE, item, model="unknown")


@pytest.mark.parametrize(
    ("source", "page", "told"),
    [
        ("tm-9-2815-225-34p", "F-222", 'no page of tm-9-2815-225-34p "F-222"; perhaps F-2'),
        ("tm-9-2815-225-34", "F-2", 'no document "tm-9-2815-225-34"; perhaps tm-9-2815-225-34p'),
    ],
)
def test_an_unknown_page_names_those_near_it(data: Dataset, source: str, page: str, told: str) -> None:
    with pytest.raises(NotInDatasetError, match=told):
        data.cite(source, page)


def test_a_notebook_shows_findings(tmp_path: Path) -> None:
    folder = dataset.make(tmp_path / "data")
    (folder / dataset.CLEARANCES).write_text("a<b\n", encoding="utf-8")
    html = audit(folder)._repr_html_()
    assert dataset.CLEARANCES in html and "error" in html
    assert "<b\n" not in html
