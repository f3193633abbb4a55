"""What an audit costs: time grows with the rows, not with their square."""

import time
from pathlib import Path

import pytest

from runningfits import tables
from runningfits.auditing.load import MOST_ALIKE
from runningfits.auditing.run import audit
from runningfits.tidy import render, tidy

from ..broken import dataset

MANY = 3_000


def grown(data: Path, table: str, change: dict[str, str]) -> Path:
    """The small dataset with many more rows like the last of a table; `{}` in a change stands for their number."""
    path = dataset.make(data) / dataset.path_of(table)
    rows = tables.rows(path)
    more = [rows[-1] | {k: v.format(n) for k, v in change.items()} for n in range(1, MANY + 1)]
    path.write_text(render(table, list(rows[0]), rows + more), encoding="utf-8")
    return data


def with_pages(data: Path) -> Path:
    path = data / "pages.csv"
    rows = tables.rows(path)
    page = next(r for r in rows if r["source"] == "example")
    more = [page | {"page": f"c-{n}"} for n in range(1, MANY + 1)]
    path.write_text(render("pages", list(page), rows + more), encoding="utf-8")
    tidy(data)
    return data


def test_thousands_of_rows_of_one_quantity(tmp_path: Path) -> None:
    data = grown(tmp_path / "data", "sizes", {"at": "{}", "at_unit": "mm"})
    tidy(data)
    start = time.process_time()
    assert audit(data).clean
    assert time.process_time() - start < 15


@pytest.mark.parametrize("table", ["sizes", "clearances", "torques"])
def test_rows_beyond_number_are_named_once(table: str, tmp_path: Path) -> None:
    data = with_pages(grown(tmp_path / "data", table, {"page": "c-{}"}))
    start = time.process_time()
    found = audit(data).findings
    assert time.process_time() - start < 15
    (crowd,) = [f for f in found if f.code == "F122"]
    assert crowd.file == dataset.path_of(table)
    assert int(crowd.message.split()[0]) > MANY
    assert f"expected at most {MOST_ALIKE}" in crowd.message
