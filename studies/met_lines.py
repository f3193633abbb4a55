"""A plugin of pytest: which tests meet which lines of the package, and how long each test takes.

Used as `python -m pytest -p met_lines` with the folder of this file on the path; `MET_LINES` names the file written.
"""

import json
import os
import sys
import time
from collections import defaultdict
from collections.abc import Generator
from pathlib import Path
from types import FrameType
from typing import Any

import pytest

PACKAGE = os.environ["MET_PACKAGE"]
_met: defaultdict[tuple[str, int], list[str]] = defaultdict(list)
_took: dict[str, float] = {}


@pytest.hookimpl(hookwrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Generator[None, None, None]:
    """Keep the lines that one test meets, its fixtures made for it included."""
    here: set[tuple[str, int]] = set()

    def line(frame: FrameType, event: str, _: Any) -> Any:
        here.add((frame.f_code.co_filename, frame.f_lineno))
        return line

    def call(frame: FrameType, event: str, _: Any) -> Any:
        return line if frame.f_code.co_filename.startswith(PACKAGE) else None

    start = time.perf_counter()
    sys.settrace(call)
    yield
    sys.settrace(None)
    _took[item.nodeid] = time.perf_counter() - start
    for place in here:
        _met[place].append(item.nodeid)


def pytest_sessionfinish() -> None:
    """Write what was met."""
    lines = [[file[len(PACKAGE) + 1 :], number, tests] for (file, number), tests in _met.items()]
    Path(os.environ["MET_LINES"]).write_text(json.dumps({"lines": lines, "took": _took}), encoding="utf-8")
