"""Sizes that make a fit."""

import pytest

from runningfits.dataset import Dataset
from runningfits.mating import measured_size, runs_in_another


@pytest.mark.parametrize(
    ("item", "part", "size"),
    [
        ("piston-clearance", "shaft", "piston-skirt-diameter"),
        ("piston-clearance", "bore", "cylinder-bore"),
        ("piston-clearance", "gap", ""),
        ("main-journal-diameter", "shaft", "main-journal-diameter"),
    ],
)
def test_the_size_that_a_reading_measures(data: Dataset, item: str, part: str, size: str) -> None:
    assert measured_size(item, part, data) == size


def test_what_runs_in_another(data: Dataset) -> None:
    assert runs_in_another("main-journal-diameter", data)
    assert not runs_in_another("head-bolt-length", data)
