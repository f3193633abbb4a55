"""Tools of the site's tests: there, or a reason to skip; a failure where they are required."""

import importlib.util
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest


def needed(name: str, found: bool) -> None:
    """Skip for want of a tool, or fail where RUNNINGFITS_TOOLS is `required`."""
    if found:
        return
    if os.environ.get("RUNNINGFITS_TOOLS") == "required":
        pytest.fail(f"{name} is missing, and RUNNINGFITS_TOOLS is required")
    pytest.skip(f"{name} is missing")


def node() -> str:
    """Path of node."""
    found = shutil.which("node")
    needed("node", found is not None)
    assert found
    return found


CHROMIUM = Path("/usr/bin/chromium")
ARGUMENTS = [
    "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--disable-features=WebUIOmniboxPopup,WebUIOmniboxAimPopup",
]  # fmt: skip


@contextmanager
def browser() -> Iterator[Any]:
    """Chromium without a screen."""
    needed("playwright", importlib.util.find_spec("playwright") is not None)
    needed(str(CHROMIUM), CHROMIUM.is_file())
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        found = play.chromium.launch(executable_path=str(CHROMIUM), headless=True, args=ARGUMENTS)
        yield found
        found.close()
