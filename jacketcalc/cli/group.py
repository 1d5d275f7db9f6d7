"""The commands by name, each imported when it is called or completed."""

from __future__ import annotations

from importlib import import_module

import click

from jacketcalc import __version__
from jacketcalc.cli.output import CommandError
from jacketcalc.cli.settings import CONTEXT, common_options

COMMANDS = (
    "new",
    "check",
    "assess",
    "propose",
    "water",
    "limits",
    "draw",
    "fill",
    "report",
    "pitch",
    "rivals",
    "differ",
    "vary",
    "optimise",
    "uncertainty",
    "rank",
    "reconcile",
    "plan-test",
    "verify",
    "remedy",
    "schema",
    "completion",
)
"""Commands in the order in which help lists them; `NAME` lives in `commands/NAME.py`."""


class LazyGroup(click.Group):
    """A group that imports a command's module when that command is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names in the order of `COMMANDS`."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return a command, None where there is none of that name."""
        if cmd_name not in COMMANDS:
            return None
        module = import_module(f"jacketcalc.cli.commands.{cmd_name.replace('-', '_')}")
        found: click.Command = module.command
        return found

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Refuse an unknown command with the nearest one; commands are never abbreviated.

        Raises
        ------
        CommandError
            When there is no such command.
        """
        name = args[0]
        if name in COMMANDS or name.startswith("-") or ctx.resilient_parsing:
            return super().resolve_command(ctx, args)
        from jacketcalc.casefile.similar import find_similar

        near = find_similar(name, COMMANDS)
        hint = f'the nearest is "{near}"' if near else "`jacketcalc --help` lists the commands"
        raise CommandError(f'there is no command "{name}"; {hint}')


EPILOG = """\b
Exit status:
  0         computed, whatever the answer
  2         the command or the case is wrong
  3         no solution was reached and nothing was written, or a check of
            `verify` failed
  10 to 12  what `assess --fail-on` asked for; `jacketcalc assess -h` lists it
  70        an unexpected fault of the program; a file to pass on was written
  130       interrupted
"""


@click.group(cls=LazyGroup, context_settings=CONTEXT, epilog=EPILOG)
@click.version_option(__version__, "--version", message="jacketcalc %(version)s")
@common_options
def group() -> None:
    """Find out whether cooling jackets fed by the drive exhaust pay on a pressure booster.

    \b
    Examples:
      jacketcalc new booster.toml       write a commented case to start from
      jacketcalc check booster.toml     see what was understood of it
      jacketcalc assess booster.toml    solve it without and with jackets
    """
