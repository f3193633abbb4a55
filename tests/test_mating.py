"""Sizes that make a fit."""

import pytest

from runningfits.dataset import Dataset
from runningfits.mating import both_ends_matter, measured_size


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


def test_of_which_both_ends_matter(data: Dataset) -> None:
    assert both_ends_matter("main-journal-diameter", data)
    assert both_ends_matter("rod-bearing-wall", data), "it stands between housing and journal"
    assert both_ends_matter("thrust-washer-thickness", data)
    assert not both_ends_matter("head-bolt-length", data)
    assert not both_ends_matter("valve-margin", data), "more of it is no fault"
