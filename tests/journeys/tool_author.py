"""A tool author in an empty environment, with the README: the wheel and what it declares, no extra, no clone's source.

What the wheel declares comes from this environment by links, so that nothing is fetched and nothing else is there.
"""

import json
import os
import re
import subprocess
import sys
import sysconfig
from collections.abc import Iterator
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path
from typing import Any
from zipfile import ZipFile

from .walking import Step

ROOT = Path(__file__).resolve().parents[2]
ENGINE, ITEM, POSITION = "cummins-ntc-400", "main-bearing-clearance", "3"


@dataclass
class Author:
    """Where he works, and the published form that he has downloaded."""

    folder: Path
    v1: Path

    @property
    def python(self) -> Path:
        return self.folder / "venv" / "bin" / "python"

    def run(self, *arguments: str, status: int = 0) -> str:
        """What his Python prints, with the repository as the folder that he is in."""
        clean = {k: v for k, v in os.environ.items() if not k.startswith("PYTHON")}
        done = subprocess.run(
            [self.python, "-W", "error", *arguments], cwd=ROOT, env=clean, capture_output=True, text=True, check=False
        )
        assert done.returncode == status, done.stderr
        return done.stdout


def declared(name: str, seen: dict[str, metadata.Distribution]) -> dict[str, metadata.Distribution]:
    """What a distribution needs without any extra, and what that needs, by name."""
    from packaging.requirements import Requirement

    for text in metadata.distribution(name).requires or ():
        wanted = Requirement(text)
        if (wanted.marker is None or wanted.marker.evaluate({"extra": ""})) and wanted.name not in seen:
            seen[wanted.name] = metadata.distribution(wanted.name)
            declared(wanted.name, seen)
    return seen


def top_names(found: metadata.Distribution) -> Iterator[str]:
    """First parts of a distribution's files within its folder."""
    names = {path.parts[0] for path in found.files or ()}
    yield from (n for n in names if n not in ("..", "__pycache__"))


def build_wheel(at: Author) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(at.folder / "dist")],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr


def make_environment(at: Author) -> None:
    """The environment, into which the wheel is unpacked beside what it declares."""
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(at.folder / "venv")], check=True)
    packages = Path(sysconfig.get_path("purelib", vars={"base": str(at.folder / "venv")}))
    (wheel,) = (at.folder / "dist").glob("*.whl")
    with ZipFile(wheel) as file:
        file.extractall(packages)
    for found in declared("runningfits", {}).values():
        for name in top_names(found):
            target = packages / name
            if not target.exists():
                target.symlink_to(Path(str(found.locate_file(name))))


def has_no_extra(at: Author) -> None:
    at.run("-c", "import runningfits, sys; assert sys.prefix in runningfits.__file__")
    for name in ("pandas", "pyarrow", "mkdocs", "griffe", "frictionless", "pytest"):
        at.run("-c", f"import importlib.util; assert importlib.util.find_spec('{name}') is None, '{name}'")


def run_the_example(at: Author) -> None:
    """The README's, less its last line, which says that it needs an extra; that line then says which."""
    (code,) = re.findall(r"```python\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.DOTALL)
    *lines, last = code.strip().splitlines()
    assert "extra `frames`" in last
    printed = at.run("-c", "\n".join(lines))
    assert f"{ENGINE}/{ITEM}/" in printed and "F-2" in printed
    asked = "import runningfits as rf\ntry: rf.load().frame('clearances')\nexcept ImportError as e: print(e)"
    assert "runningfits[frames]" in at.run("-c", asked)


def read_by_command(at: Author) -> None:
    rows = json.loads(at.run("-m", "runningfits", "show", ENGINE, "--item", ITEM, "--position", POSITION, "--json"))
    (at.folder / "rows.json").write_text(json.dumps(rows), encoding="utf-8")
    found = at.run("-m", "runningfits", "check", "docs/demo/launch.json", "--json", status=1)
    (at.folder / "result.json").write_text(found, encoding="utf-8")
    assert [r["lower"] for r in rows] == ["0.0015"]


def read_the_published_form(at: Author) -> None:
    """The same rows stand in the published form."""
    document = load(at.v1 / "engines" / f"{ENGINE}.json")
    by_id = {r["id"]: r for r in document["ranges"]}
    for row in load(at.folder / "rows.json"):
        assert row.pop("marks") == []
        assert by_id[row["id"]] == row


def validate(at: Author) -> None:
    """By the published schemas, with the jsonschema that came with the wheel."""
    asked = [
        [str(at.v1 / "schema" / "published-engine.json"), str(at.v1 / "engines" / f"{ENGINE}.json")],
        [str(at.v1 / "schema" / "published-index.json"), str(at.v1 / "index.json")],
        [str(at.v1 / "schema" / "result.json"), str(at.folder / "result.json")],
    ]
    code = (
        "import json, sys\n"
        "from pathlib import Path\n"
        "from jsonschema import Draft202012Validator as V\n"
        "from referencing import Registry\n"
        "from referencing.jsonschema import DRAFT202012 as D\n"
        "load = lambda p: json.loads(Path(p).read_text(encoding='utf-8'))\n"
        "for schema, document in json.loads(sys.argv[1]):\n"
        "    beside = {p.name: load(p) for p in Path(schema).parent.iterdir()}\n"
        "    known = Registry().with_resources((n, D.create_resource(s)) for n, s in beside.items())\n"
        "    form, values = load(schema), load(document)\n"
        "    faults = list(V(form, registry=known).iter_errors(values))\n"
        "    values.pop('data_version')\n"
        "    spoilt = list(V(form, registry=known).iter_errors(values))\n"
        "    print(len(faults), len(spoilt) > 0)\n"
    )
    assert at.run("-c", code, json.dumps(asked)).split() == ["0", "True"] * len(asked)


def load(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"))


STEPS: tuple[Step[Author], ...] = (
    ("build the wheel", build_wheel),
    ("make an environment with the wheel and what it declares", make_environment),
    ("see that no extra is there", has_no_extra),
    ("run the README's example", run_the_example),
    ("read ranges and verdicts by command, as JSON", read_by_command),
    ("find the same rows in the published form", read_the_published_form),
    ("validate them by the published schemas", validate),
)
