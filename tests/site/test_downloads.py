"""The examples of the page of downloads, run as their reader would run them."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from runningfits.publishing.publish import publish
from runningfits.site import downloads

from .tools import needed

EXAMPLES = Path(__file__).resolve().parents[2] / "docs" / "site" / "examples"


@pytest.fixture(scope="module")
def form(tmp_path_factory: pytest.TempPathFactory, root: Path) -> Path:
    target = tmp_path_factory.mktemp("form") / "site"
    publish(root / "data", target)
    return target


@pytest.mark.parametrize(("file", "command"), [(e[1], e[3]) for e in downloads.EXAMPLES])
def test_an_example_prints_what_the_page_says(form: Path, file: str, command: str) -> None:
    shutil.copy(EXAMPLES / file, form / file)
    program = command.split(maxsplit=1)[0]
    if program == "Rscript" and shutil.which(program) is None:
        pytest.skip("R is missing")
    needed(program, program == "python" or shutil.which(program) is not None)
    command = command.replace("python", sys.executable, 1)
    done = subprocess.run(command, shell=True, cwd=form, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stdout == (EXAMPLES / f"{file}.out").read_text(encoding="utf-8")


def test_everything_that_is_offered_is_there(form: Path) -> None:
    offered = [a for a, _, _ in downloads.FORMS] + [a for more in downloads.FILES.values() for a in more]
    assert [a for a in offered if not (form / a).exists()] == []
    told = {a.removeprefix("v1/").partition("/")[0] for a in offered}
    assert {p.name for p in (form / "v1").iterdir()} == told


def test_every_example_file_is_on_the_page() -> None:
    assert {p.name for p in EXAMPLES.iterdir()} == {f"{e[1]}{end}" for e in downloads.EXAMPLES for end in ("", ".out")}
