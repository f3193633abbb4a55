"""A contributor with a text editor and a clone on Windows, where git turns line ends: a row added by hand.

The editor saves with CRLF and a byte order mark, and puts the row where the cursor stood.
"""

import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from ..broken import dataset
from .walking import Step

ROOT = Path(__file__).resolve().parents[2]
NEW = {
    "quantity": "cam-end-play",
    **dataset.RANGE,
    "reading": "once",
    "lower": "0.003",
    "upper": "0.008",
    "lower_2": "0.08",
    "upper_2": "0.20",
}
"""Invented, as the whole small dataset is."""


@dataclass
class Contributor:
    """Where he works."""

    folder: Path

    @property
    def clone(self) -> Path:
        return self.folder / "clone"

    @property
    def table(self) -> Path:
        return self.clone / "data" / dataset.CLEARANCES

    def git(self, *arguments: str, at: Path | None = None) -> str:
        """What git says, as set up on Windows."""
        named = ("-c", "user.name=a", "-c", "user.email=a@example.org", "-c", "commit.gpgsign=false")
        done = subprocess.run(
            ["git", *named, *arguments], cwd=at or self.clone, check=True, capture_output=True, text=True
        )
        return done.stdout

    def runningfits(self, *arguments: str, status: int) -> str:
        """What the command prints."""
        command = [sys.executable, "-m", "runningfits", *arguments]
        done = subprocess.run(command, cwd=self.clone, capture_output=True, text=True, check=False)
        assert done.returncode == status, done.stdout + done.stderr
        return done.stdout


def clone(at: Contributor) -> None:
    origin = at.folder / "origin"
    dataset.make(origin / "data")
    shutil.copy(ROOT / ".gitattributes", origin)
    at.git("init", "-q", at=origin)
    at.git("add", "--all", at=origin)
    at.git("commit", "-q", "-m", "data", at=origin)
    at.git("-c", "core.autocrlf=true", "clone", "-q", str(origin), str(at.clone), at=at.folder)
    at.git("config", "core.autocrlf", "true")
    assert b"\r" not in at.table.read_bytes()


def add_row(at: Contributor) -> None:
    """By hand, above all others, saved as the editor likes it."""
    header, *lines = at.table.read_text(encoding="utf-8").splitlines()
    typed = ",".join(NEW.get(column, "") for column in header.split(","))
    assert not any(line.startswith(NEW["quantity"]) for line in lines)
    text = "\r\n".join([header, typed, *lines, ""])
    at.table.write_bytes(b"\xef\xbb\xbf" + text.encode("utf-8"))


def hear_what_is_wrong(at: Contributor) -> None:
    """The audit names the file, and what the editor did to it."""
    told = at.runningfits("audit", "data", status=1)
    assert "byte order mark" in told
    assert f"{dataset.CLEARANCES}:1" in told


def tidy(at: Contributor) -> None:
    assert dataset.CLEARANCES in at.runningfits("tidy", "data", status=0)


def audit(at: Contributor) -> None:
    assert "0 errors, 0 warnings" in at.runningfits("audit", "data", status=0)


def commit(at: Contributor) -> None:
    """What is sent is the one line, with the line ends of the dataset."""
    at.git("add", "--all")
    (changed,) = at.git("diff", "--cached", "--numstat").splitlines()
    assert changed.split() == ["1", "0", f"data/{dataset.CLEARANCES}"]
    at.git("commit", "-q", "-m", "End play of the example engine")
    at.git("-c", "core.autocrlf=true", "checkout", "-q", "--force", "HEAD")
    assert b"\r" not in at.table.read_bytes()


STEPS: tuple[Step[Contributor], ...] = (
    ("clone on Windows", clone),
    ("add a row in an editor", add_row),
    ("hear what is wrong", hear_what_is_wrong),
    ("put the file into form", tidy),
    ("audit", audit),
    ("commit the one line", commit),
)
