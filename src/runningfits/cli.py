"""The command `runningfits`."""

import gc
from collections.abc import Sequence
from functools import partial
from typing import Any

import click

from .commands import ending
from .commands.options import fail
from .unusable import UnusableError
from .version import __version__

_COMMANDS = {
    "audit": "quality",
    "changes": "quality",
    "check": "checking",
    "compare": "comparing",
    "drill": "drilling",
    "engines": "lookup",
    "judge": "plant_table",
    "note": "checking",
    "publish": "quality",
    "reread": "quality",
    "sheet": "checking",
    "show": "lookup",
    "stack": "planning",
    "tidy": "quality",
    "torque": "wrench",
}


_READ_DATA = ("check", "compare", "drill", "engines", "judge", "note", "sheet", "show", "stack", "torque")
"""Commands that read the data folder of the program without an audit before."""


class _Lazy(click.Group):
    """Commands by name, each module loaded when its command is called; whatever goes wrong ends in a sentence."""

    def main(
        self,
        args: Sequence[str] | None = None,
        prog_name: str | None = None,
        complete_var: str | None = None,
        standalone_mode: bool = True,
        **extra: Any,
    ) -> Any:
        if args is None:
            # the program itself: what its imports made stays to the end, and the collector need not go through it
            gc.freeze()
        run = partial(super().main, args, prog_name, complete_var, standalone_mode=False, **extra)
        return ending.run(run) if standalone_mode else run()

    def make_context(self, *args: Any, **extra: Any) -> click.Context:
        with ending.reader_watched():
            return super().make_context(*args, **extra)

    def invoke(self, ctx: click.Context) -> Any:
        with ending.reader_watched():
            try:
                return super().invoke(ctx)
            except (click.ClickException, click.Abort, click.exceptions.Exit, BrokenPipeError, UnusableError):
                raise
            except Exception as error:
                if ctx.invoked_subcommand in _READ_DATA and (words := ending.data_fault(error)):
                    fail(words)
                raise

    def list_commands(self, ctx: click.Context) -> list[str]:
        return sorted(_COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in _COMMANDS:
            return None
        from importlib import import_module

        found: click.Command = getattr(import_module(f".commands.{_COMMANDS[cmd_name]}", __package__), cmd_name)
        return found


@click.group(cls=_Lazy, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, message="%(version)s")
def main() -> None:
    """Engine fits and torques with their page, and verdicts on your readings.

    The maker's current book for your engine rules; aviation and certified work only to approved data by licensed
    people. A pass on size is not a pass on cracks or condition. Stop if it binds.
    """
