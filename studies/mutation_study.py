"""Study: mutants of the code of three rooms, each of which must be noticed by the tests of its room.

Run by hand as `python studies/mutation_study.py [--count 200] [--seed 1] [--room ROOM] [--write FILE]`. One mutant
after the other is tried in a copy of the checkout: first by the tests that meet its line, the quickest first, then by
all tests of its room. What came of each is kept in `--kept FILE`, so that a run can go on where it was stopped; a
mutant that survived is tried again. `studies/equal_mutants.csv` lists those that change nothing, with the reason.
"""

import argparse
import csv
import json
import os
import random
import resource
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from mutants import Mutant, mutants

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = Path("src") / "runningfits"
ROOMS = {
    "auditing": ("tests/auditing", "tests/test_rulebook.py", "tests/broken/test_datasets.py"),
    "publishing": ("tests/publishing",),
    "judging": ("tests/judging", "tests/test_vectors.py"),
}
"""Rooms and their tests: their own folder, and what tries the rules, broken data and the vectors through them."""
TIDY = ("-q", "-x", "-n0", "-p", "no:cacheprovider", "-p", "no:randomly")
MEMORY = 6 << 30
"""Most memory that a mutant may take, in bytes."""
PATIENCE = 60.0
"""Seconds that a run may take beyond six times what its tests take; a mutant that runs on is noticed."""
EQUAL = Path(__file__).with_name("equal_mutants.csv")


@dataclass(frozen=True)
class Met:
    """Tests of a room by the lines that they meet, and how long each takes in seconds."""

    tests: dict[tuple[str, int], list[str]]
    took: dict[str, float]

    def of(self, mutant: Mutant) -> list[str]:
        """Tests that meet the lines of a mutant, the quickest first."""
        lines = range(mutant.first, mutant.last + 1)
        found = {t for n in lines for t in self.tests.get((mutant.module, n), ())}
        return sorted(found, key=lambda t: (self.took[t], t))


def drawn(count: int, seed: int) -> dict[str, list[Mutant]]:
    """Mutants drawn by lot, the rooms by how many mutants they have."""
    every = {room: _every(room) for room in ROOMS}
    whole = sum(map(len, every.values()))
    return {
        room: random.Random(f"{seed}/{room}").sample(found, round(count * len(found) / whole))
        for room, found in every.items()
    }


def _every(room: str) -> list[Mutant]:
    package = ROOT / PACKAGE
    return [m for path in sorted((package / room).rglob("*.py")) for m in mutants(path, package)]


class Bench:
    """A copy of the checkout in which mutants are tried."""

    def __init__(self, base: Path) -> None:
        self.base = base / "checkout"
        left = shutil.ignore_patterns(".git", "site", "__pycache__", ".*_cache", ".hypothesis")
        shutil.copytree(ROOT, self.base, ignore=left, dirs_exist_ok=True)
        # the folder of the site's pages bears the name that is left out as a build
        shutil.copytree(ROOT / "docs" / "site", self.base / "docs" / "site", dirs_exist_ok=True)
        for part in (PACKAGE / "site", Path("tests") / "site"):
            shutil.copytree(ROOT / part, self.base / part, dirs_exist_ok=True)

    def met(self, room: str) -> Met:
        """What the tests of a room meet; raises SystemExit where one of them fails as it is."""
        out = self.base.parent / f"{room}.json"
        more = {"MET_LINES": str(out), "MET_PACKAGE": str(self.base / PACKAGE)}
        if not self.passes([*ROOMS[room], "-p", "met_lines"], 3600, more):
            raise SystemExit(f"the tests of {room} fail without a mutant")
        found = json.loads(out.read_text(encoding="utf-8"))
        return Met({(file, n): tests for file, n, tests in found["lines"]}, found["took"])

    def passes(self, arguments: Sequence[str], seconds: float, more: dict[str, str] | None = None) -> bool:
        """Whether these tests pass within a time."""
        paths = os.pathsep.join(str(self.base / p) for p in ("src", "studies"))
        given = os.environ | {"PYTHONPATH": paths, "PYTHONDONTWRITEBYTECODE": "1"} | (more or {})
        try:
            done = subprocess.run(
                [sys.executable, "-m", "pytest", *TIDY, *arguments],
                cwd=self.base,
                env=given,
                timeout=seconds,
                preexec_fn=_bounded,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                check=False,
            )
        except subprocess.TimeoutExpired:
            return False
        return done.returncode == 0

    def noticed(self, mutant: Mutant, room: str, met: Met) -> bool:
        """Whether a test of the room fails with the mutant."""
        path = self.base / PACKAGE / mutant.module
        text = path.read_text(encoding="utf-8")
        path.write_text(mutant.source(), encoding="utf-8", newline="\n")
        try:
            near = met.of(mutant)
            seconds = 6 * sum(met.took[t] for t in near) + PATIENCE
            if near and not self.passes(near, seconds):
                return True
            return not self.passes(ROOMS[room], 6 * sum(met.took.values()) + PATIENCE)
        finally:
            path.write_text(text, encoding="utf-8", newline="\n")


def _bounded() -> None:
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))


def tried(found: dict[str, list[Mutant]], rooms: Iterable[str], kept: Path) -> dict[str, bool]:
    """Whether each mutant was noticed, by its name; those of other rooms as they were kept."""
    known: dict[str, bool] = json.loads(kept.read_text(encoding="utf-8")) if kept.is_file() else {}
    equal = reasons()
    with tempfile.TemporaryDirectory() as base:
        bench = Bench(Path(base))
        for room in rooms:
            left = [m for m in found[room] if not known.get(_name(m)) and m.key not in equal]
            met = bench.met(room) if left else None
            for m in left if met else ():
                known[_name(m)] = bench.noticed(m, room, met)
                print("noticed " if known[_name(m)] else "SURVIVED", _name(m), flush=True)
                kept.write_text(json.dumps(known, indent=1), encoding="utf-8")
    return known


def _name(mutant: Mutant) -> str:
    return " | ".join(mutant.key)


def reasons() -> dict[tuple[str, str, str], str]:
    """Why each mutant that is listed as equal changes nothing."""
    with EQUAL.open(encoding="utf-8", newline="") as file:
        return {(r["module"], r["function"], r["change"]): r["reason"] for r in csv.DictReader(file)}


PREFACE = """# Whether the tests would notice

Small changes of the code (an operator, a number, a word, a condition, a line left out), drawn by lot from all that
its modules allow, each tried alone against the tests of its room. Sentences for people are left alone: reading holds
them. A change is noticed where a test fails or runs without end. Changes that make no difference to anything that can
be seen stand apart, with the reason. Made anew by hand with `python studies/mutation_study.py --write docs/mutation-
study.md`, which takes an hour or two.
"""


def report(found: dict[str, list[Mutant]], known: dict[str, bool], seed: int) -> str:
    """The study as Markdown."""
    equal = reasons()
    lines = [PREFACE, "| room | changes | equal | noticed | not noticed | not noticed, % |"]
    lines.append("| --- |" + " ---: |" * 5)
    every = [m for ms in found.values() for m in ms]
    for room, ms in [*found.items(), ("all", every)]:
        apart = [m for m in ms if m.key in equal]
        seen = [m for m in ms if m.key not in equal and known[_name(m)]]
        left = len(ms) - len(apart) - len(seen)
        share = f"{100 * left / (len(ms) - len(apart)):.1f}"
        lines.append(f"| {room} | {len(ms)} | {len(apart)} | {len(seen)} | {left} | {share} |")
    unseen = [m for m in every if m.key not in equal and not known[_name(m)]]
    lines += ["", "## Not noticed", "", *_list([(m, "") for m in unseen])]
    lines += ["", "## Equal", "", *_list([(m, equal[m.key]) for m in every if m.key in equal])]
    return "\n".join([*lines, "", f"{len(every)} changes, seed {seed}.", ""])


def _list(found: list[tuple[Mutant, str]]) -> list[str]:
    lines = []
    for m, reason in found:
        place = f"{m.module}, {m.function}" if m.function else m.module
        lines.append(f"- {place}: `{m.old.replace('`', '´')}` became `{m.new.replace('`', '´')}`")
        lines += [f"  {reason}"] if reason else []
    return lines or ["None."]


def main() -> None:
    """Run the study and print or write its table."""
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    options.add_argument("--count", type=int, default=200)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--room", choices=list(ROOMS), action="append")
    options.add_argument("--kept", type=Path, default=Path(tempfile.gettempdir()) / "mutation-study.json")
    options.add_argument("--write", type=Path)
    given = options.parse_args()
    found = drawn(given.count, given.seed)
    rooms = given.room or list(ROOMS)
    known = tried(found, rooms, given.kept)
    text = report({room: found[room] for room in rooms}, known, given.seed)
    print(text)
    if given.write:
        given.write.write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
