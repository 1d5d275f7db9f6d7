"""`jacketcalc completion`: the script that teaches a shell to complete."""

from __future__ import annotations

import click

from jacketcalc.cli.output import CommandError, write_out
from jacketcalc.cli.settings import CONTEXT, common_options

SHELLS = ("bash", "zsh", "fish")


@click.command(
    "completion", short_help="Print a shell's completion script.", context_settings=CONTEXT
)
@click.argument("shell", type=click.Choice(SHELLS))
@common_options
def command(shell: str) -> None:
    """Print the completion script of SHELL.

    \b
    For bash, in ~/.bashrc; for zsh, in ~/.zshrc after compinit:
      eval "$(jacketcalc completion bash)"
      eval "$(jacketcalc completion zsh)"
    For fish, once:
      jacketcalc completion fish > ~/.config/fish/completions/jacketcalc.fish
    """
    from click.shell_completion import get_completion_class

    from jacketcalc.cli.group import group
    from jacketcalc.cli.main import COMPLETION, NAME

    found = get_completion_class(shell)
    if found is None:
        raise CommandError(f"click knows no completion for {shell}")
    write_out(found(group, {}, NAME, COMPLETION).source())
