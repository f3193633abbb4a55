"""The figure of how well pages were read."""

from pathlib import Path

from runningfits import readings
from runningfits.dataset import Dataset

from .shop import row, shop


def test_the_page_is_that_of_the_data(data: Dataset, root: Path) -> None:
    assert (root / "docs" / "readings.md").read_text(encoding="utf-8") == readings.page(data)


def test_differences_are_counted_by_kind_and_by_who_was_wrong(tmp_path: Path) -> None:
    name = "example-engine/crank-end-play/all@example:1"
    settled = [
        {
            "row": name,
            "column": "lower",
            "first": "0.004",
            "second": "0.040",
            "settled": "0.004",
            "kind": "decimal point",
        },
        {
            "row": name,
            "column": "upper",
            "first": "0.090",
            "second": "0.009",
            "settled": "0.009",
            "kind": "decimal point",
        },
        {"row": name, "column": "limit", "first": "", "second": "0.012", "settled": "0.012", "kind": "passed over"},
    ]
    given = [row("crank-end-play", "0.004", "0.009", "0.012", reading="twice"), row("cam-end-play", "0.001", "0.002")]
    text = readings.page(shop(tmp_path, clearances=given, rereadings=settled))
    assert "2 ranges and tightening steps: 1 read twice (50.0 %), 0 from memory." in text
    assert "| decimal point | 2 | 1 | 333.33 | 1 | 333.33 |" in text
    assert "| passed over | 1 | 1 | 333.33 | 0 | 0.00 |" in text
    assert "| all | 3 | 2 | 666.67 | 1 | 333.33 |" in text
    assert "3 numbers were compared." in text
