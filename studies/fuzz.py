"""Fuzz study: hostile bench sheets, workbooks and data folders, in process and as commands; none may knock it over.

Run as `python studies/fuzz.py`; `--again KIND/NUMBER` repeats one trial and shows what came of it, `--seed` takes other
trials. A trial is bad if anything but a refusal in words comes out, with a status other than 0, 1 or 2, or if it takes
more than 10 s of the processor or, as a command, more than 400 MB (an audit apart). Ends with status 1 if one is bad.
"""

import argparse
import contextlib
import json
import multiprocessing
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
sys.path[:0] = [str(ROOT), str(ROOT / "studies")]

import hostile  # noqa: E402
from click.testing import CliRunner  # noqa: E402

import runningfits as rf  # noqa: E402
from runningfits import cli  # noqa: E402
from runningfits.commands import checking, ending, lookup  # noqa: E402
from runningfits.faces.report import page  # noqa: E402
from runningfits.files import UNFINISHED  # noqa: E402
from runningfits.sheets import sheet_form, workbook  # noqa: E402
from runningfits.sheets.faults import SheetError  # noqa: E402
from tests.broken import dataset  # noqa: E402

KINDS = {"sheet": 6000, "text": 2000, "workbook": 1000, "folder": 1000, "command": 200, "stream": 60, "killed": 40}
"""How often each kind is tried: 10,000 times in process, 300 times as a command."""

SECONDS, MEGABYTES, DEADLINE = 10, 400, 120
COMMAND = [sys.executable, "-c", "from runningfits.cli import main; main()"]
SHEET = ROOT / "tests" / "broken" / "sheet.json"


@dataclass(frozen=True)
class Trial:
    """What came of a trial: `judged`, `refused` or why it is bad; processor seconds; megabytes where measured."""

    kind: str
    number: int
    outcome: str
    seconds: float
    megabytes: int = 0


class BadError(Exception):
    """Something came out that must not."""


@cache
def base() -> Path:
    """A folder of this process with good data in it."""
    there = Path(tempfile.mkdtemp(prefix="fuzz-"))
    dataset.make(there / "good")
    return there


@cache
def data() -> rf.Dataset:
    return rf.load()


@cache
def book() -> bytes:
    path = base() / "book.xlsx"
    workbook.write(json.loads(SHEET.read_text(encoding="utf-8")), path, sheet_form.fields())
    return path.read_bytes()


def trial(task: tuple[int, str, int]) -> Trial:
    """One trial, made by its seed, kind and number alone."""
    seed, kind, number = task
    dice = random.Random(f"{seed}/{kind}/{number}")
    signal.signal(signal.SIGALRM, _late)
    signal.alarm(DEADLINE)
    start, megabytes = time.process_time(), 0
    here = Path(tempfile.mkdtemp(dir=base()))
    try:
        outcome, seconds, megabytes = MAKERS[kind](dice, here)
    except BadError as error:
        outcome, seconds = f"bad: {error}", 0.0
    except BaseException as error:
        outcome, seconds = f"bad: {type(error).__name__}: {error}", 0.0
    finally:
        signal.alarm(0)
        shutil.rmtree(here, ignore_errors=True)
    seconds = seconds or time.process_time() - start
    if seconds > SECONDS and not outcome.startswith("bad"):
        outcome = f"bad: {seconds:.0f} s"
    return Trial(kind, number, outcome, seconds, megabytes)


def _late(*_: object) -> None:
    raise BadError(f"no end within {DEADLINE} s")


Outcome = tuple[str, float, int]


def _checked(sheet: Path, whole: bool) -> Outcome:
    """A sheet judged in process, now and then with its report."""
    try:
        found = rf.check(sheet, data())
    except SheetError as error:
        if not error.faults or not all(f.text.startswith(sheet.name) for f in error.faults):
            raise BadError(f"a refusal without a place: {error}") from error
        "\n".join(f.text for f in error.faults).encode("utf-8", ending.ESCAPES)
        return "refused", 0.0, 0
    shown = found.as_dict()
    json.loads(json.dumps(shown, allow_nan=False))
    if whole:
        page(shown, found.sheet, found.data).encode("utf-8")
    return "judged", 0.0, 0


def _written(path: Path, raw: bytes) -> Path:
    path.write_bytes(raw)
    return path


def of_sheet(dice: random.Random, here: Path) -> Outcome:
    good = json.loads(SHEET.read_text(encoding="utf-8"))
    return _checked(_written(here / "sheet.json", hostile.sheet(dice, good)), dice.random() < 0.3)


def of_text(dice: random.Random, here: Path) -> Outcome:
    return _checked(_written(here / "sheet.json", hostile.text(dice, SHEET.read_bytes())), False)


def of_workbook(dice: random.Random, here: Path) -> Outcome:
    return _checked(_written(here / "sheet.xlsx", hostile.workbook(dice, book())), False)


def of_folder(dice: random.Random, here: Path) -> Outcome:
    """A command run in process on a data folder, its own or one that is named."""
    there = hostile.folder(dice, base() / "good", here / "data")
    command = _on_folder(dice, there, here)
    for module in (lookup, checking, ending):
        module.folder = lambda name: there  # type: ignore[attr-defined]
    result = CliRunner().invoke(cli.main, command)
    return _told(command, result.exit_code, result.stdout, result.stderr), 0.0, 0


def _on_folder(dice: random.Random, there: Path, here: Path) -> list[str]:
    values = json.loads(SHEET.read_text(encoding="utf-8")) | {"engine": dataset.ENGINE, "torques": []}
    values["readings"] = values["readings"][:1]
    sheet = _written(here / "sheet.json", json.dumps(values).encode())
    item = ["--item", "main-bearing-clearance", "--position", "2"]
    return dice.choice(
        (
            ["audit", str(there)],
            ["audit", str(there), "--json"],
            ["tidy", str(there)],
            ["changes", str(there), str(base() / "good")],
            ["show", dataset.ENGINE],
            ["show", dataset.ENGINE, *item, "--json"],
            ["show", dataset.ENGINE, "--missing"],
            ["engines"],
            ["sheet", dataset.ENGINE, "-o", str(here / f"blank.{dice.choice(('json', 'xlsx', 'html'))}")],
            ["check", str(sheet)],
        )
    )


def _told(command: list[str], status: int, out: str, err: str, allowed: tuple[int, ...] = (0, 1, 2)) -> str:
    """What a command came to; raises BadError for a stack, another status, or a refusal without a word."""
    if status not in allowed or "Traceback" in out + err or "a fault of the program" in err:
        raise BadError(f"{command[0]} ended with {status}: {err[-500:]}")
    if status == 2 and not err.strip():
        raise BadError(f"{command[0]} refused without a word")
    if "--json" in command and status in (0, 1) and out:
        json.loads(out)
    return "refused" if status == 2 else "judged"


def _ran(command: list[str], here: Path, most: int = MEGABYTES, **more: Any) -> tuple[int, str, str, float, int]:
    """Status, output, errors, processor seconds and megabytes of a command."""
    out, err = here / "stdout", here / "stderr"
    with out.open("wb") as to, err.open("wb") as errors:
        started = subprocess.Popen([*COMMAND, *command], **({"stdout": to, "stderr": errors} | more))
        _, status, used = os.wait4(started.pid, 0)
        started.returncode = os.waitstatus_to_exitcode(status)
    megabytes, seconds = used.ru_maxrss // 1024, used.ru_utime + used.ru_stime
    if megabytes > most:
        raise BadError(f"{command[0]}: {megabytes} MB")
    texts = [p.read_bytes().decode("utf-8", "replace") for p in (out, err)]
    return started.returncode, texts[0], texts[1], seconds, megabytes


def of_command(dice: random.Random, here: Path) -> Outcome:
    """A command on a hostile sheet, workbook or folder, on a terminal of some encoding."""
    act = dice.randrange(4)
    if act == 0:
        command = ["audit", str(hostile.folder(dice, base() / "good", here / "data"))]
    elif act == 1:
        command = ["check", str(_written(here / "sheet.xlsx", hostile.workbook(dice, book())))]
    else:
        good = json.loads(SHEET.read_text(encoding="utf-8"))
        raw = hostile.sheet(dice, good) if act == 2 else hostile.text(dice, SHEET.read_bytes())
        command = [
            "check",
            str(_written(here / "sheet.json", raw)),
            *dice.choice(([], ["--json"], ["--report", "r.html"])),
        ]
    encoding = dice.choice(("utf-8", "ascii", "cp1252"))
    most = 10**6 if command[0] == "audit" else MEGABYTES
    status, out, err, seconds, megabytes = _ran(
        command, here, most, cwd=here, env=os.environ | {"PYTHONIOENCODING": encoding}
    )
    return _told(command, status, out, err), seconds, megabytes


def of_stream(dice: random.Random, here: Path) -> Outcome:
    """A command whose output nobody can take."""
    command = dice.choice(
        (["show", "cummins-ntc-400"], ["engines", "--json"], ["check", str(SHEET)], ["--help"], ["check", "none.json"])
    )
    act = dice.randrange(4)
    if act == 0:
        reader, writer = os.pipe()
        os.close(reader)
        with os.fdopen(writer, "wb") as closed:
            status, out, err, *used = _ran(command, here, stdout=closed)
    elif act == 1:
        with Path("/dev/full").open("wb") as full:
            status, out, err, *used = _ran(command, here, stdout=full)
    elif act == 2:
        with Path("/dev/full").open("wb") as full:
            status, out, _, *used = _ran(command, here, stdout=full, stderr=full)
        err = "nothing could be said"
    else:
        status, out, err, *used = _ran(command, here, env=os.environ | {"PYTHONIOENCODING": "ascii"})
    return _told(command, status, out, err, (0, 1, 2, ending.CLOSED_PIPE)), used[0], used[1]


def of_killed(dice: random.Random, here: Path) -> Outcome:
    """A command that writes, killed at some moment, then run to its end: nothing else is left."""
    there = shutil.copytree(base() / "good", here / "work" / "data")
    for path in there.rglob("*.csv"):
        path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    target = here / "work" / "target"
    command = dice.choice((["tidy", str(there)], ["sheet", "cummins-ntc-400", "-o", f"{target}.html", "--force"]))
    if dice.random() < 0.4:
        command = ["publish", str(target), "--data", str(base() / "good")]
    started = subprocess.Popen([*COMMAND, *command], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    with contextlib.suppress(subprocess.TimeoutExpired):
        started.wait(dice.uniform(0.1, 2.0))
    started.kill()
    started.wait()
    if command[0] == "publish":
        shutil.rmtree(target, ignore_errors=True)
    status, out, err, seconds, megabytes = _ran(command, here, 10**6)
    if left := [p.name for p in (here / "work").rglob(f"*{UNFINISHED}")]:
        raise BadError(f"{command[0]} left {left}")
    return _told(command, status, out, err, (0,)), seconds, megabytes


MAKERS = {
    "sheet": of_sheet,
    "text": of_text,
    "workbook": of_workbook,
    "folder": of_folder,
    "command": of_command,
    "stream": of_stream,
    "killed": of_killed,
}


def table(done: list[Trial]) -> str:
    """What was tried, a line a kind."""
    lines = ["kind          tried  judged  refused  bad  longest  largest"]
    for kind in KINDS:
        of_kind = [t for t in done if t.kind == kind]
        found = Counter("bad" if t.outcome.startswith("bad") else t.outcome for t in of_kind)
        longest = max((t.seconds for t in of_kind), default=0.0)
        largest = max((t.megabytes for t in of_kind), default=0)
        counts = f"{found['judged']:6}  {found['refused']:7}  {found['bad']:3}"
        lines.append(
            f"{kind:12}  {len(of_kind):5}  {counts}  {longest:5.1f} s  {f'{largest} MB' if largest else '':>7}"
        )
    return "\n".join(lines)


def main() -> None:
    """Try all, print the table and what was bad."""
    told = argparse.ArgumentParser(description="Fuzz study")
    told.add_argument("--seed", type=int, default=1)
    told.add_argument("--again", metavar="KIND/NUMBER")
    told.add_argument("--share", type=float, default=1.0, help="a part of the trials alone")
    options = told.parse_args()
    if options.again:
        kind, _, number = options.again.partition("/")
        print(trial((options.seed, kind, int(number))))
        return
    tasks = [(options.seed, k, n) for k, most in KINDS.items() for n in range(round(most * options.share))]
    random.Random(options.seed).shuffle(tasks)
    with multiprocessing.Pool(2) as pool:
        done = list(pool.imap_unordered(trial, tasks, 20))
    print(table(done))
    bad = [t for t in done if t.outcome.startswith("bad")]
    for t in sorted(bad, key=lambda t: (t.kind, t.number))[:50]:
        print(f"{t.kind}/{t.number} {t.outcome}")
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()
