"""Options that several commands share: the build that they name; and how a command ends."""

import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

import click

from ..dataset import Dataset
from ..folding import folded
from .named import MODEL

if TYPE_CHECKING:
    from ..build import Build
    from ..judging.judge import Result
    from ..sheets.placed import Sheet

Read = TypeVar("Read")
Command = TypeVar("Command", bound=Callable[..., Any])


def fail(message: object) -> NoReturn:
    """Print a message to standard error and leave with status 2."""
    for line in f"runningfits: {message}".split("\n"):
        tell(line, err=True)
    sys.exit(2)


def keep(path: Path, force: bool) -> None:
    """End the command where a file is there that nobody said to write over."""
    if path.exists() and not force:
        fail(f"{path}: is there already; name another file, or say --force to write over it")


def on_terminal(err: bool = False) -> bool:
    """Whether somebody reads what is printed, or what is told on standard error, and no program."""
    stream = sys.stderr if err else sys.stdout
    return stream is not None and stream.isatty()


def tell(line: str, err: bool = False) -> None:
    """Print a line: on a terminal wrapped between words, what follows indented; whole where a program reads it."""
    if on_terminal(err):
        from shutil import get_terminal_size

        line = folded(line, get_terminal_size().columns)
    click.echo(line, err=err)


def print_json(values: object) -> None:
    """Print values as JSON."""
    click.echo(json.dumps(values, indent=2, ensure_ascii=False))


def judged(sheet: Path, data: Dataset) -> "Result":
    """Verdicts on a sheet's file, or on the sheet that comes in where it is `-`.

    Ends the command with every fault of one that cannot be used.
    """
    from ..judging.judge import check

    return _usable(lambda: check(_source(sheet), data))


def read_sheet(sheet: Path, data: Dataset) -> "Sheet":
    """A sheet's file, or the sheet that comes in; ends the command with every fault of one that cannot be used."""
    from ..sheets.sheet import load

    return _usable(lambda: load(_source(sheet), data))


def _source(sheet: Path) -> Path | bytes:
    return sys.stdin.buffer.read() if str(sheet) == "-" else sheet


def _usable(read: Callable[[], Read]) -> Read:
    from ..sheets.faults import SheetError

    try:
        return read()
    except SheetError as error:
        click.echo("\n".join(f"runningfits: {f.text}" for f in error.faults), err=True)
        sys.exit(2)


def build_options(command: Command) -> Command:
    """A command with the options that name a build: `--model`, `--fitted` and `--size`."""
    options = (
        click.option("--model", type=MODEL, default="", help="Which member of the family it is."),
        click.option(
            "--fitted",
            multiple=True,
            help="What is fitted, as QUESTION=PART or QUESTION@PLACE=PART; may stand again.",
        ),
        click.option(
            "--size", multiple=True, help="To what size it is machined, as crankpin=-0.25mm or cylinder@3=0.50mm."
        ),
    )
    for option in reversed(options):
        command = option(command)
    return command


def named_build(data: Dataset, engine: str, model: str, fitted: tuple[str, ...], size: tuple[str, ...]) -> "Build":
    """The build that a command's options name; ends the command with every fault that was found."""
    from ..build import Build, parsed

    if not (model or fitted or size):
        return Build()
    from ..sheets.faults import path_text
    from ..sheets.placed import Sheet
    from ..sheets.sheet import checked

    data.engine(engine)
    values: dict[str, Any] = {"model": model} if model else {}
    values |= {"fitted": _answers(fitted, "--fitted"), "size": _answers(size, "--size")}
    alone = {"engine": engine, "build": values, "instruments": [], "readings": []}
    found, faults = checked(Sheet(alone, lambda p: ("", 0, path_text(p))), data)
    if faults:
        fail("; ".join(f"{f.found}: expected {f.expected}" for f in faults))
    return parsed(found.values["build"], data.units)


def _answers(given: tuple[str, ...], option: str) -> dict[str, dict[str, str]]:
    found: dict[str, dict[str, str]] = {}
    for text in given:
        name, sign, word = text.partition("=")
        if not sign or not word:
            fail(f'{option} "{text}": expected NAME=ANSWER, such as {_EXAMPLES[option]}')
        question, _, place = name.partition("@")
        found.setdefault(question, {})[place or "all"] = word
    return found


_EXAMPLES = {"--fitted": "piston=trunk-piston", "--size": "crankpin=-0.25mm"}
