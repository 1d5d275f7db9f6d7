"""`jacketcalc remedy`: the longer text behind the name of a problem."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from jacketcalc.cli.output import CommandError, write_out
from jacketcalc.cli.settings import CONTEXT, common_options

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem


def _complete(_: click.Context, __: click.Parameter, begun: str) -> list[CompletionItem]:
    from click.shell_completion import CompletionItem

    from jacketcalc.casefile.remedy import list_names
    from jacketcalc.casefile.unsayable import NAME

    return [CompletionItem(name) for name in (*list_names(), NAME) if name.startswith(begun)]


@click.command(
    "remedy", short_help="See how a kind of problem is mended.", context_settings=CONTEXT
)
@click.argument("name", required=False, shell_complete=_complete)
@common_options
def command(name: str | None) -> None:
    """Tell what the problem called NAME is about and how it is mended.

    NAME stands in brackets at the end of an error. Without NAME, list the names.
    With cannot-say as NAME: what machines have that a case cannot say, such as
    double-acting stages or spring return, and the nearest equivalent.
    """
    from jacketcalc.casefile.remedy import list_names, tell_remedy
    from jacketcalc.casefile.similar import find_similar
    from jacketcalc.casefile.unsayable import NAME, tell_wishes

    names = (*list_names(), NAME)
    if name is None:
        write_out("\n".join(names) + "\n")
        return
    asked = name.strip("[]")
    text = tell_wishes() if asked == NAME else tell_remedy(asked)
    if text is None:
        near = find_similar(name, names)
        hint = f'; the nearest is "{near}"' if near else "; `jacketcalc remedy` lists the names"
        raise CommandError(f'no problem is called "{name}"{hint}')
    write_out(text)
