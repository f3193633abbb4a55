"""How a command ends: output that any terminal can hold, and one sentence for whatever goes wrong."""

import codecs
import contextlib
import io
import os
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

from ..places import folder
from ..unusable import UnusableError

if TYPE_CHECKING:
    from rich.console import Console

UNUSABLE, FAULT, STOPPED, CLOSED_PIPE = 2, 3, 130, 141
"""Exit status: the input or the place for the output cannot be used, a fault of the program, and what a shell says of
a program that an interrupt or a closed pipe has ended."""

ESCAPES = "runningfits-escapes"


class ClosedPipeError(Exception):
    """Nobody reads the output any more."""


@contextlib.contextmanager
def reader_watched() -> Iterator[None]:
    """Let a closed pipe come through as ClosedPipeError, which click does not turn into a status of its own."""
    try:
        yield
    except BrokenPipeError as error:
        raise ClosedPipeError from error


def console() -> "Console":
    """A terminal to print on that lets a closed pipe come through, which rich else turns into a status of its own."""
    from rich.console import Console

    class Piped(Console):
        def on_broken_pipe(self) -> None:
            raise ClosedPipeError

    return Piped()


def run(command: Callable[[], Any]) -> NoReturn:
    """Run a command and leave with its status; nothing that goes wrong shows a stack.

    `python -X dev` lets a fault of the program come through whole.
    """
    _settle()
    try:
        status = _flushed(command)
    except click.ClickException as error:
        with contextlib.suppress(OSError):
            error.show()
        status = error.exit_code
    except (click.Abort, KeyboardInterrupt):
        status = _say("stopped", STOPPED)
    except (ClosedPipeError, BrokenPipeError):
        status = CLOSED_PIPE
    except MemoryError:
        status = _say("this needs more memory than there is; give it less at once", UNUSABLE)
    except OSError as error:
        status = _say(os_words(error), UNUSABLE)
    except UnusableError as error:
        status = _say(str(error), UNUSABLE)
    except Exception as error:
        if sys.flags.dev_mode:
            raise
        status = _say(_fault_words(error), FAULT)
    _silence()
    sys.exit(status)


def _settle() -> None:
    codecs.register_error(ESCAPES, escaped)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=ESCAPES)


def escaped(error: UnicodeError) -> tuple[str, int]:
    r"""What an encoding cannot hold, as escapes that JSON knows too, such as \u00b0 for a degree sign."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    units = error.object[error.start : error.end].encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{units[n : n + 2].hex()}" for n in range(0, len(units), 2)), error.end


def _flushed(command: Callable[[], Any]) -> int:
    """Status of a command once all of its output is written."""
    try:
        found = command()
    except SystemExit as ended:
        found = ended.code
    if sys.stdout:
        sys.stdout.flush()
    return found if isinstance(found, int) else 0


def _say(words: str, status: int) -> int:
    with contextlib.suppress(OSError, ValueError):
        click.echo(f"runningfits: {words}", err=True)
    return status


def _silence() -> None:
    """Point streams that cannot be flushed at nothing, so that the interpreter's own flush at its end is quiet."""
    for stream in filter(None, (sys.stdout, sys.stderr)):
        try:
            stream.flush()
        except (OSError, ValueError):
            with contextlib.suppress(OSError, ValueError):
                os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def os_words(error: OSError) -> str:
    """What the system could not do, and with which file."""
    return f"{error.filename or 'the output'}: {error.strerror or error}"


def _fault_words(error: Exception) -> str:
    last = error.__traceback__
    while last and last.tb_next:
        last = last.tb_next
    where = f" in {Path(last.tb_frame.f_code.co_filename).name}, line {last.tb_lineno}" if last else ""
    what = f"{type(error).__name__}: {str(error)[:200]}{where}"
    return f"a fault of the program ({what}); please report it with the command and its files"


def data_fault(error: Exception) -> str:
    """The first fault of the data folder that comes with the program, and what to do; empty where it has none.

    For what went wrong while a command read it; a file that cannot be opened elsewhere is no fault of it.
    """
    base = folder("data")
    if isinstance(error, OSError) and not str(error.filename or "").startswith(str(base)):
        return ""
    with contextlib.suppress(Exception):
        return _first_fault(base)
    return ""


_HARMLESS = ("line-end", "last-line", "unsorted", "stray-file", "manifest-stale", "blank-line")
"""Faults of form that leave every cell readable: the last to be named."""


def _first_fault(base: Path) -> str:
    from ..auditing.load import load
    from ..auditing.run import audit

    try:
        faults = load(base).faults
    except UnusableError as error:
        return str(error)
    for file, f in sorted(faults, key=lambda f: f[1].kind in _HARMLESS):
        place = ":".join(filter(None, (str(base / file), str(f.line) if f.line else "", f.column)))
        return f"{place}: {f.found}, expected {f.expected}; {WHAT_TO_DO}"
    for finding in audit(base).findings:
        if finding.severity == "error":
            return f"{base / finding.place}: {finding.message}; {WHAT_TO_DO}"
    return ""


WHAT_TO_DO = "mend it or install the data anew; `runningfits audit` lists every fault"
