"""The site, built once; a server for it on this machine; a browser."""

import fcntl
import functools
import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest

from .tools import browser

ROOT = Path(__file__).resolve().parents[2]


def build(target: Path, data: Path | None = None, last: Path | None = None) -> str:
    """Build the site of a data folder as a contributor does; what the build said."""
    more = {"RUNNINGFITS_DATA": str(data or ""), "RUNNINGFITS_LAST": str(last or "")}
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
def site(tmp_path_factory: pytest.TempPathFactory, worker_id: str) -> Path:
    """The site of the real dataset, built by the first worker that asks for it; the others wait and read the same."""
    base = tmp_path_factory.getbasetemp()
    base = base if worker_id == "master" else base.parent
    with one_at_a_time(base / "site.lock"):
        if not (base / "site").exists():
            build(base / "unfinished")
            (base / "unfinished").rename(base / "site")
    return base / "site"


@contextmanager
def one_at_a_time(lock: Path) -> Iterator[None]:
    """Alone among the workers until the end of the block; a worker that dies gives the lock back."""
    with lock.open("w") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        yield


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
