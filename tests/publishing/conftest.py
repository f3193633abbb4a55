"""The published form, made once for all tests of it."""

from pathlib import Path

import pytest

from runningfits.publishing.publish import publish


@pytest.fixture(scope="session")
def v1(tmp_path_factory: pytest.TempPathFactory, root: Path) -> Path:
    target = tmp_path_factory.mktemp("published") / "site"
    publish(root / "data", target)
    return target / "v1"
