"""`jacketcalc check`: reads and validates, computes nothing."""

from __future__ import annotations

import click

from jacketcalc.cli.output import CommandError, write_out
from jacketcalc.cli.settings import CONTEXT, common_options


@click.command("check", short_help="See what was understood of a case.", context_settings=CONTEXT)
@click.argument(
    "cases", metavar="CASE...", type=click.Path(allow_dash=True), nargs=-1, required=True
)
@click.option("--json", "as_json", is_flag=True, help="One JSON object in SI units; one CASE.")
@common_options
def command(cases: tuple[str, ...], as_json: bool) -> None:
    """Read each CASE and print what was understood.

    Every value that was filled in is shown, and the sizes that follow: areas, volumes, the
    length of each channel. No machine is solved. With - the case is read from standard input.
    """
    if as_json and len(cases) > 1:
        raise CommandError("--json takes one case: check each with a command of its own")
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
        if as_json:
            from jacketcalc.show.case_json import make_case_json

            write_out(make_case_json(case))
            continue
        from jacketcalc.show.case_text import describe_case

        write_out(("\n" if number else "") + describe_case(case))
    if problems:
        raise CaseError(problems, hidden)
