"""The dataset in memory."""

from decimal import Decimal

import pytest

from runningfits.dataset import Dataset, NotInDatasetError

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
    with pytest.raises(NotInDatasetError, match=r'no engine "cummins-ntc"; there are .*cummins-ntc-400'):
        data.rows("cummins-ntc")


def test_an_unknown_item_names_those_near_it(data: Dataset) -> None:
    with pytest.raises(NotInDatasetError, match='no item "main-clearance"; there are Main bearing oil clearance'):
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
    with pytest.raises(NotInDatasetError, match="not a table"):
        data.frame("engine")
