"""A clone that turns line ends keeps those of the data."""

import shutil
import subprocess
from pathlib import Path

import pytest

from runningfits.auditing.run import audit

from .broken import dataset

ATTRIBUTES = Path(__file__).resolve().parent.parent / ".gitattributes"


def git(folder: Path, *arguments: str) -> None:
    named = ("-c", "user.name=a", "-c", "user.email=a@example.org", "-c", "commit.gpgsign=false")
    subprocess.run(["git", *named, *arguments], cwd=folder, check=True, capture_output=True)


@pytest.mark.skipif(not ATTRIBUTES.exists(), reason="no clone but a package")
@pytest.mark.parametrize("kept", [True, False])
def test_a_clone_with_other_line_ends_is_clean(kept: bool, tmp_path: Path) -> None:
    origin = tmp_path / "origin"
    dataset.make(origin / "data")
    if kept:
        shutil.copy(ATTRIBUTES, origin)
    git(origin, "init", "-q")
    git(origin, "add", "--all")
    git(origin, "commit", "-q", "-m", "data")
    git(tmp_path, "-c", "core.autocrlf=true", "clone", "-q", str(origin), "clone")
    report = audit(tmp_path / "clone" / "data")
    assert report.clean is kept, "without .gitattributes every file has other line ends"
    assert (not any(b"\r" in p.read_bytes() for p in (tmp_path / "clone" / "data").rglob("*.csv"))) is kept
