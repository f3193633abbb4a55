"""The printed drill and blank sheet on a phone: cells to write in grow with their text, none lies over another."""

from pathlib import Path
from typing import Any

import pytest

from runningfits.build import Build
from runningfits.dataset import Dataset
from runningfits.faces import blank_page, drilled
from runningfits.judging.teaching.exercise import drill

OVERLAPS = """() => Array.from(document.querySelectorAll("tr")).filter(row => {
  const cells = Array.from(row.children).filter(c => c.getClientRects().length);
  return cells.some((c, n) => c.scrollHeight > c.clientHeight + 1 || (n && cells[n - 1].getBoundingClientRect().bottom
    > c.getBoundingClientRect().top + 1));
}).length"""


@pytest.mark.parametrize("kind", ["drill", "blank"])
def test_no_cell_lies_over_another_on_a_phone(chromium: Any, data: Dataset, tmp_path: Path, kind: str) -> None:
    path = tmp_path / "page.html"
    if kind == "drill":
        path.write_text(drilled.page(drill(data, "cummins-b-series", Build(), "7"), "7"), encoding="utf-8")
    else:
        blank_page.write(data, "nissan-h20", path)
    page = chromium.new_page(viewport={"width": 360, "height": 740})
    page.goto(path.as_uri())
    assert page.evaluate("document.querySelectorAll('tbody tr').length") > 8
    assert page.evaluate(OVERLAPS) == 0
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    page.close()
