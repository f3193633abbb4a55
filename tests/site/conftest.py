"""The site, built once; a server for it on this machine; a browser."""

import functools
import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest

from .tools import browser

ROOT = Path(__file__).resolve().parents[2]


def build(target: Path, data: Path | None = None, last: Path | None = None) -> str:
    """Build the site of a data folder as a contributor does; what the build said."""
    more = {"RUNNINGFITS_DATA": str(data or ""), "RUNNINGFITS_LAST": str(last or ""), "NO_MKDOCS_2_WARNING": "1"}
    command = [
        sys.executable,
        "-m",
        "mkdocs",
        "build",
        "-q",
        "-f",
        str(ROOT / "docs" / "mkdocs.yml"),
        "-d",
        str(target),
    ]
    done = subprocess.run(command, env=os.environ | more, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout + done.stderr


class Quiet(SimpleHTTPRequestHandler):
    """Files of a folder, without a line for each."""

    def log_message(self, *_: Any) -> None:
        """Say nothing."""


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("built") / "site"
    build(target)
    return target


@pytest.fixture(scope="session")
def served(site: Path) -> Iterator[str]:
    """Address of the built site."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Quiet, directory=str(site)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_address[1]}"
    server.shutdown()
    server.server_close()


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    with browser() as found:
        yield found
