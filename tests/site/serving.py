"""How the site is built and served for the tests."""

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


@contextmanager
def one_at_a_time(lock: Path) -> Iterator[None]:
    """Alone among the workers until the end of the block; a worker that dies gives the lock back."""
    with lock.open("w") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        yield


@contextmanager
def serving(site: Path) -> Iterator[str]:
    """Address of a built site, on this machine."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Quiet, directory=str(site)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_address[1]}"
    server.shutdown()
    server.server_close()
