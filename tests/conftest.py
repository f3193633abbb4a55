"""Settings and shared fixtures."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from hypothesis import settings

import runningfits as rf
from runningfits.dataset import Dataset

from .site.serving import build, one_at_a_time, serving
from .site.tools import browser

# a busy machine may stall any one example
settings.register_profile("unhurried", deadline=None)
settings.load_profile("unhurried")


LONG = ("site/test_built.py", "test_data.py", "broken/", "faces/test_result_schemas.py", "judging/remedies/", "site/")
"""Files that take long, in the order in which they go first, so that both workers end together: one builds the site
while the other has no need of it."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the long files first; the others stay in their order."""
    here = Path(__file__).parent

    def rank(item: pytest.Item) -> int:
        path = item.path.relative_to(here).as_posix()
        return next((n for n, begin in enumerate(LONG) if path.startswith(begin)), len(LONG))

    items.sort(key=rank)


@pytest.fixture(scope="session")
def root() -> Path:
    return Path(__file__).resolve().parent.parent


@pytest.fixture(scope="session")
def data() -> Dataset:
    return rf.load()


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


@pytest.fixture(scope="session")
def served(site: Path) -> Iterator[str]:
    """Address of the built site."""
    with serving(site) as address:
        yield address


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    """One browser a worker: a second one beside it cannot be started."""
    with browser() as found:
        yield found


@pytest.fixture
def page(chromium: Any) -> Iterator[Any]:
    """A page that tells of errors and of requests to anywhere but its origin."""
    found = chromium.new_page(viewport={"width": 1280, "height": 900})
    faults: list[str] = []
    found.on("pageerror", lambda e: faults.append(str(e)))
    found.on("console", lambda m: faults.append(m.text) if m.type == "error" else None)
    found.on("request", lambda r: faults.append(r.url) if not _own(r.url) else None)
    yield found
    found.close()
    assert faults == []


def _own(address: str) -> bool:
    parts = urlsplit(address)
    return parts.scheme in ("file", "data", "blob") or parts.hostname == "127.0.0.1"
