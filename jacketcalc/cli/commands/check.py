"""`jacketcalc check`: reads and validates, computes nothing."""

from __future__ import annotations

import click

from jacketcalc.cli.output import write_out
from jacketcalc.cli.settings import CONTEXT, common_options


@click.command("check", short_help="See what was understood of a case.", context_settings=CONTEXT)
@click.argument(
    "cases", metavar="CASE...", type=click.Path(allow_dash=True), nargs=-1, required=True
)
@common_options
def command(cases: tuple[str, ...]) -> None:
    """Read each CASE and print what was understood, with every value filled in.

    Nothing is computed. With - the case is read from standard input.
    """
    from jacketcalc.casefile.describe import describe_case
    from jacketcalc.casefile.reading import read_case
    from jacketcalc.errors import CaseError

    problems, hidden = [], 0
    for number, file in enumerate(cases):
        try:
            case = read_case(file)
        except CaseError as error:
            problems += error.problems
            hidden += error.hidden
            continue
        write_out(("\n" if number else "") + describe_case(case))
    if problems:
        raise CaseError(problems, hidden)
