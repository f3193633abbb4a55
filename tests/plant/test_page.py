"""The page on millions of readings: its examples run, its columns are those of the code."""

import doctest
import re
from pathlib import Path

from runningfits.plant.reading_columns import MADE, NEEDED, NUMBERS, WORDS


def test_the_examples_hold(root: Path) -> None:
    found = doctest.testfile(str(root / "docs" / "plant.md"), module_relative=False, encoding="utf-8")
    assert found.attempted > 8
    assert found.failed == 0


def test_every_column_stands_on_it(root: Path) -> None:
    text = (root / "docs" / "plant.md").read_text(encoding="utf-8")
    tables = re.findall(r"^\| (`.+?`) \|", text, re.MULTILINE)
    named = {n for cell in tables for n in re.findall("`(.+?)`", cell)}
    assert named == {*WORDS, *NUMBERS, *NEEDED, *MADE}
