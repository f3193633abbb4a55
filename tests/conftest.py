"""Shared fixtures."""

from pathlib import Path

import pytest

import runningfits as rf
from runningfits.dataset import Dataset


@pytest.fixture(scope="session")
def root() -> Path:
    return Path(__file__).resolve().parent.parent


@pytest.fixture(scope="session")
def data() -> Dataset:
    return rf.load()
