"""`jacketcalc explain`: the longer text behind the name of a problem."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from jacketcalc.cli.output import CommandError, write_out
from jacketcalc.cli.settings import CONTEXT, common_options

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem


def _complete(_: click.Context, __: click.Parameter, begun: str) -> list[CompletionItem]:
    from click.shell_completion import CompletionItem

    from jacketcalc.casefile.explain import list_names

    return [CompletionItem(name) for name in list_names() if name.startswith(begun)]


@click.command("explain", short_help="Explain a kind of problem.", context_settings=CONTEXT)
@click.argument("name", required=False, shell_complete=_complete)
@common_options
def command(name: str | None) -> None:
    """Explain the problem called NAME; without NAME, list the names."""
    from jacketcalc.casefile.explain import explain_problem, list_names
    from jacketcalc.casefile.similar import find_similar

    if name is None:
        write_out("\n".join(list_names()) + "\n")
        return
    text = explain_problem(name.strip("[]"))
    if text is None:
        near = find_similar(name, list_names())
        hint = f'; the nearest is "{near}"' if near else "; `jacketcalc explain` lists the names"
        raise CommandError(f'no problem is called "{name}"{hint}')
    write_out(text)
