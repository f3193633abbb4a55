"""The examples of docstrings give what they say."""

import doctest
import pkgutil
from importlib import import_module

import pytest

import runningfits

FOUND = [m.name for m in pkgutil.walk_packages(runningfits.__path__, "runningfits.")]
MODULES = ["runningfits", *(n for n in FOUND if not n.endswith("__main__"))]
WITH = [n for n in MODULES if any(t.examples for t in doctest.DocTestFinder().find(import_module(n)))]


def test_some_have_examples() -> None:
    assert WITH


@pytest.mark.parametrize("name", WITH)
def test_examples_hold(name: str) -> None:
    found = doctest.testmod(import_module(name), optionflags=doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE)
    assert found.failed == 0
