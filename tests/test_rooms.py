"""The rooms of the package: each module's name stands once, imports run downwards and never in a circle."""

import ast
from collections import Counter
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

import runningfits

PACKAGE = Path(runningfits.__file__).parent

BELOW = {
    "root": set[str](),
    "sheets": {"root"},
    "judging": {"root", "sheets"},
    "faces": {"root", "sheets", "judging"},
    "plant": {"root", "sheets", "judging"},
    "auditing": {"root"},
    "publishing": {"root", "auditing"},
    "site": {"root", "sheets", "judging", "faces", "auditing", "publishing"},
    "commands": {"root", "sheets", "judging", "faces", "plant", "auditing", "publishing"},
    "top": {"root", "sheets", "judging", "faces", "plant", "auditing", "commands"},
}
"""Rooms, and those that each may import from besides itself."""

ROOM = dict.fromkeys(("", "cli", "__main__"), "top")
ROOM |= dict.fromkeys(("changes", "readings", "reread", "tidy"), "auditing")
"""Root modules that do not lie at the bottom: the ways in, and what looks after a data folder."""


def _modules() -> dict[str, Path]:
    """Files of the package by dotted name, the package itself as the empty name."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(PACKAGE).with_suffix("").parts
        found[".".join(p for p in parts if p != "__init__")] = path
    return found


MODULES = _modules()


def _targets(name: str, node: ast.ImportFrom) -> set[str]:
    """Modules that an import names, whatever way it is written."""
    if node.level:
        here = name.split(".") if name else []
        here = here if MODULES[name].stem == "__init__" else here[:-1]
        base = [*here[: len(here) - node.level + 1], *(node.module or "").split(".")]
    elif (node.module or "").partition(".")[0] == "runningfits":
        base = (node.module or "").split(".")[1:]
    else:
        return set()
    within = ".".join(filter(None, base))
    return {m if (m := f"{within}.{a.name}".lstrip(".")) in MODULES else within for a in node.names}


def _imports() -> dict[str, set[str]]:
    """What each module imports, at its head, inside functions, and for types alone."""
    found: dict[str, set[str]] = {}
    for name, path in MODULES.items():
        tree = ast.parse(path.read_text(encoding="utf-8"))
        nodes = [n for n in ast.walk(tree) if isinstance(n, ast.ImportFrom)]
        found[name] = set().union(*(_targets(name, n) for n in nodes))
    return found


IMPORTS = _imports()


def _room(name: str) -> str:
    first, _, rest = name.partition(".")
    return ROOM.get(name, first if rest or first in BELOW else "root")


def test_no_name_stands_twice() -> None:
    stems = Counter(p.stem for p in MODULES.values() if p.stem != "__init__")
    assert [s for s, n in stems.items() if n > 1] == []


@pytest.mark.parametrize("name", MODULES)
def test_a_room_imports_downwards(name: str) -> None:
    allowed = BELOW[_room(name)] | {_room(name)}
    assert [t for t in IMPORTS[name] if _room(t) not in allowed] == []


def test_no_circle() -> None:
    try:
        TopologicalSorter(IMPORTS).prepare()
    except CycleError as error:
        pytest.fail(" <- ".join(error.args[1]))
