"""The command `runningfits`."""

import click

from .version import __version__

_COMMANDS = {
    "audit": "quality",
    "changes": "quality",
    "check": "checking",
    "engines": "lookup",
    "publish": "quality",
    "reread": "quality",
    "sheet": "checking",
    "show": "lookup",
    "tidy": "quality",
}


class _Lazy(click.Group):
    """Commands by name, each module loaded when its command is called."""

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
