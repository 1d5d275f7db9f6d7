"""`jacketcalc new`: a commented case to start from."""

from __future__ import annotations

import shlex

import click

from jacketcalc.cli.output import check_target, say
from jacketcalc.cli.settings import CONTEXT, common_options


@click.command("new", short_help="Write a commented case to start from.", context_settings=CONTEXT)
@click.argument("file", type=click.Path(allow_dash=True))
@common_options
def command(file: str) -> None:
    """Write a complete commented case to FILE; an existing file is left as it is.

    With - as FILE the case is printed.
    """
    from jacketcalc.casefile.template import make_template

    target = check_target(file)
    target.write(make_template())
    if not target.is_stdout:
        say(f"Next:  jacketcalc check {shlex.quote(file)}")
