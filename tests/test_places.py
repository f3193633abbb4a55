"""Data, schemas, rules and vectors are found from a checkout and stand in the wheel."""

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from runningfits.places import folder


@pytest.mark.parametrize("name", ["data", "schema", "rules", "vectors"])
def test_a_folder_is_found(name: str) -> None:
    assert any(folder(name).iterdir())


def test_an_unknown_folder_is_named() -> None:
    with pytest.raises(FileNotFoundError, match="'nothing'"):
        folder("nothing")


def test_the_wheel_holds_every_file_of_the_folders(root: Path, tmp_path: Path) -> None:
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(tmp_path)]
    subprocess.run(command, cwd=root, check=True, capture_output=True)
    (wheel,) = tmp_path.glob("*.whl")
    with zipfile.ZipFile(wheel) as packed:
        names = set(packed.namelist())
    wanted = [p for f in ("data", "schema", "rules") for p in (root / f).rglob("*") if p.is_file()]
    wanted += list((root / "tests" / "vectors").iterdir())
    packed_as = {p: p.relative_to(root).as_posix().removeprefix("tests/") for p in wanted}
    missing = [p for p in wanted if f"runningfits/{packed_as[p]}" not in names]
    assert wanted and not missing
    faces = [p for p in (root / "src" / "runningfits" / "faces").rglob("*") if p.suffix in (".css", ".html", ".svg")]
    assert {f"runningfits/faces/{p.relative_to(root / 'src/runningfits/faces').as_posix()}" for p in faces} <= names
    assert len(faces) > 5
