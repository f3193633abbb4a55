"""What a builder needs first, and the table of coverage made from the data."""

from pathlib import Path

from runningfits import needs
from runningfits.dataset import Dataset

from .shop import row, shop, step


def test_the_page_is_that_of_the_data(data: Dataset, root: Path) -> None:
    assert (root / "docs" / "coverage.md").read_text(encoding="utf-8") == needs.page(data)


def test_a_need_is_there_sought_or_not_looked_for(tmp_path: Path) -> None:
    sought = [{"need": "head", "sought_on": "2026-01-02", "note": "two pages seen"}]
    data = shop(
        tmp_path,
        clearances=[row("crank-end-play", "0.004", "0.009"), row("ring-gap", "0.010", "0.020", position="top-ring")],
        torques=[step("rod-cap", "1", "30", "35"), step("main-cap", "1", "70", "80", purpose="measuring")],
        sought=sought,
    )
    found = {n.need: n.words for n in needs.needs(data, "example-engine")}
    assert found["crank-end-play"] == "1 row"
    assert found["rod-cap"] == "1 row"
    assert found["main-cap"] == "not looked for", "a torque for a check only meets no need"
    assert found["head"] == "looked for on 2026-01-02, no page found"
    lacking = [n.need for n in needs.missing(data, "example-engine")]
    assert "head" in lacking and "ring-gap" not in lacking
    assert len(found) == 12


def test_a_fit_without_a_range_is_met_by_the_sizes_of_both_parts(tmp_path: Path) -> None:
    bore = row("cylinder-bore", "4.0000", "4.0010", position="all-cylinders")
    for sizes, words in (
        ([bore], "not looked for"),
        ([bore, row("piston-skirt-diameter", "3.9950", "3.9960")], "2 rows"),
    ):
        folder = tmp_path / str(len(sizes))
        folder.mkdir()
        data = shop(folder, sizes=sizes)
        (found,) = [n for n in needs.needs(data, "example-engine") if n.need == "piston-clearance"]
        assert words in found.words and found.met is (len(sizes) == 2)
        assert (found in needs.missing(data, "example-engine")) is not found.met
