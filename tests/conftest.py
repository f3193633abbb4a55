"""Settings and shared fixtures."""

from pathlib import Path

import pytest
from hypothesis import settings

import runningfits as rf
from runningfits.dataset import Dataset

# a busy machine may stall any one example
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")


@pytest.fixture(scope="session")
def root() -> Path:
    return Path(__file__).resolve().parent.parent


@pytest.fixture(scope="session")
def data() -> Dataset:
    return rf.load()
