"""The audit's check of form and the package's own engine agree on the real and the broken datasets.

Where the audit is stricter, the kinds of fault are named here, and the engine is known to let them pass.
"""

import csv
import shutil
from pathlib import Path

import pytest
from frictionless import Package

from runningfits.auditing.load import load
from runningfits.tidy import tidy

from . import dataset
from .dataset_cases import CASES

STRICTER = {
    "byte-order-mark",
    "line-end",
    "last-line",
    "blanks",
    "cell-type",
    "quoting",
    "unsorted",
    "position",
    "stray-file",
    "manifest-stale",
    "manifest-version",
}
"""Kinds that the engine may let pass: bytes, blanks, numbers such as `1_000` or `inf`, the order of rows, places, files
that the manifest does not list."""

OURS = ("factor-",)
"""Cases of a fault beyond any schema: the factor of a unit as a fraction above 0."""

EMPTIED = ("general_torques", "threads", "fasteners", "materials", "guides")


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small dataset without the reference values, which no case touches, so that each check is quick."""
    data = dataset.make(tmp_path_factory.mktemp("frictionless") / "data")
    for name in EMPTIED:
        path = data / f"{name}.csv"
        path.write_text(path.read_text(encoding="utf-8").partition("\n")[0] + "\n", encoding="utf-8")
    used = {r["quantity"] for name in (dataset.SIZES, dataset.CLEARANCES) for r in rows(data / name)}
    kept = [r | {"material": ""} for r in rows(data / "quantities.csv") if r["quantity"] in used]
    write(data / "quantities.csv", kept)
    write(data / "joints.csv", [r | {"strip": ""} for r in rows(data / "joints.csv")])
    tidy(data)
    return data


def write(path: Path, lines: list[dict[str, str]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(lines[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(lines)


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def outside(data: Path, changed: tuple[str, ...] = ()) -> bool:
    """Whether the package's own engine finds a dataset valid, or only the files of some names in it."""
    try:
        package = Package(str(data / "datapackage.json"))
        names = [r.name for r in package.resources if r.path in changed]
        if names:
            return all(package.validate(name=name).valid for name in names)
        return bool(package.validate().valid)
    except Exception as error:
        assert type(error).__module__.startswith(("frictionless", "json", "builtins")), error
        return False


def changes(data: Path, good: Path) -> tuple[str, ...]:
    """Tables of an engine that differ, where nothing else does; none where all must be looked at."""
    files = {p.relative_to(d).as_posix() for d in (data, good) for p in d.rglob("*") if p.is_file()}
    differing = {
        f for f in files if not (data / f).is_file() or not (good / f).is_file() or not same(data / f, good / f)
    }
    return tuple(sorted(differing)) if all(f.startswith("engines/") and (data / f).is_file() for f in differing) else ()


def same(one: Path, other: Path) -> bool:
    return one.read_bytes() == other.read_bytes()


def test_the_real_dataset(root: Path) -> None:
    """That the engine finds it valid is held by tests/test_data.py."""
    assert load(root / "data").faults == []


def test_the_small_dataset(good: Path) -> None:
    assert load(good).faults == []
    assert outside(good)


@pytest.mark.parametrize("name", [n for n in CASES if "deep" not in n])
def test_a_broken_dataset(name: str, good: Path, tmp_path: Path) -> None:
    data = shutil.copytree(good, tmp_path / "data")
    CASES[name][0](data)
    kinds = {f.kind for _, f in load(data).faults}
    if outside(data, changes(data, good)):
        assert kinds <= STRICTER or name.startswith(OURS)
    else:
        assert kinds
