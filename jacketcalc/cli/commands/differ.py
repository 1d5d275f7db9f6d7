"""`jacketcalc differ`: two cases compared."""

from __future__ import annotations

import sys

import click

from jacketcalc.cli.output import CommandError, check_target
from jacketcalc.cli.progress_line import ProgressLine
from jacketcalc.cli.settings import CONTEXT, Settings, common_options, file_options, json_option
from jacketcalc.cli.terminal import shows_ascii_only, shows_color


@click.command("differ", short_help="Compare two cases.", context_settings=CONTEXT)
@click.argument("first", metavar="A", type=click.Path(allow_dash=True))
@click.argument("second", metavar="B", type=click.Path(allow_dash=True))
@click.option(
    "--walk/--no-walk",
    "walk",
    default=None,
    help="Change one input after the other; without either, where at most 8 have changed.",
)
@click.option(
    "--threads",
    metavar="N",
    type=click.IntRange(1, 512),
    help="Machines of the walk solved at once; one for each core when not given.",
)
@json_option
@file_options
@common_options
@click.pass_obj
def command(
    settings: Settings, first: str, second: str, walk: bool | None, threads: int | None,
    as_json: bool, output: str | None, force: bool,
) -> None:  # fmt: skip
    """Say what differs between the cases A and B, and what it does to every headline number.

    Both cases are assessed. A walk then leads from A to B, one typed input after the other, and
    says what each does, on top of those before and alone. What the program fills in follows.
    """
    if first == second == "-":
        raise CommandError("standard input holds one case; name a file for the other")
    target = check_target(output, force=force, keep=first)
    check_target(output, force=force, keep=second)
    from jacketcalc.casefile.reading import read_case
    from jacketcalc.studies.differ import differ

    was, now = read_case(first), read_case(second)
    with ProgressLine(sys.stderr) as progress:
        found = differ(was, now, walk=walk, threads=threads, progress=progress)
    if as_json or target.path.endswith(".json"):
        from jacketcalc.show.difference_json import make_difference_json

        target.write(make_difference_json(found))
        return
    from jacketcalc.show.difference_text import make_difference_text

    color = target.is_stdout and shows_color(sys.stdout, settings)
    ascii_only = target.is_stdout and shows_ascii_only(sys.stdout)
    target.write(make_difference_text(found, color=color, ascii_only=ascii_only))
