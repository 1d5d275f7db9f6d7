"""`jacketcalc assess`: does the jacket pay?"""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from jacketcalc.cli.fail_on import Failure, find_failure, read_words
from jacketcalc.cli.output import Target, check_target, say, silence
from jacketcalc.cli.progress_line import ProgressLine
from jacketcalc.cli.settings import CONTEXT, Settings, common_options, file_options, json_option
from jacketcalc.cli.terminal import shows_ascii_only, shows_color

if TYPE_CHECKING:
    from jacketcalc.assessment.result import Assessment
    from jacketcalc.progress import Progress

EPILOG = """\b
Exit status:
  0   computed, whatever the answer
  2   the command or the case is wrong
  3   no solution was reached and nothing was written
With --fail-on, the first of these that was asked for and applies, after the
whole result was written:
\b
  10  limits: a limit is broken with jackets
  11  loss: the answer is DOES NOT PAY
  12  cannot-tell: the answer is CANNOT TELL
"""


@click.command(
    "assess",
    short_help="Find out whether the jackets pay.",
    context_settings=CONTEXT,
    epilog=EPILOG,
)
@click.argument("case", type=click.Path(allow_dash=True))
@click.option("--full", is_flag=True, help="Everything that was found, not one screen.")
@json_option
@file_options
@click.option(
    "--fail-on",
    "asked",
    metavar="WORD,WORD",
    multiple=True,
    callback=read_words,
    help="End with a status of its own on limits, loss or cannot-tell; see below.",
)
@common_options
@click.pass_context
def command(
    context: click.Context,
    case: str,
    full: bool,
    as_json: bool,
    output: str | None,
    force: bool,
    asked: tuple[Failure, ...],
) -> None:
    """Solve the machine of CASE with and without its jackets, and say whether they pay.

    A machine without jackets is solved as it is: rate, delivery, temperatures, limits, air.
    With - the case is read from standard input.
    """
    target = check_target(output, force=force, keep=case)
    from jacketcalc.casefile.reading import read_case

    read = read_case(case)
    from jacketcalc.assessment.as_it_is import has_jackets

    settings = context.ensure_object(Settings)
    if not has_jackets(read.machine):
        from jacketcalc.cli.as_it_is import run_as_it_is

        context.exit(run_as_it_is(read, target, asked, settings, full=full, as_json=as_json))
    from jacketcalc.assessment.assess import assess

    whole = full or as_json or not target.is_stdout
    with ProgressLine(sys.stderr) as progress:
        assessment = complete(assess(read, progress=progress), whole=whole, progress=progress)
    status, why = find_failure(assessment, asked)
    try:
        _write(assessment, target, full, as_json, settings)
    except BrokenPipeError:
        # A script that reads only the first line has asked for the status all the same.
        if not status:
            raise
        silence()
    if status:
        say(why)
        context.exit(status)


def complete(
    assessment: Assessment, *, whole: bool, progress: Progress | None = None
) -> Assessment:
    """Return an assessment with what it would take to pay, and what is assumed in it.

    Parameters
    ----------
    assessment : what `assess` found
    whole : whether changes of single parts are tried where the jackets pay too, and a way to pay
    progress : called with the share done, 0 to 1
    """
    from jacketcalc.assessment.summary import is_made_of_assumptions
    from jacketcalc.studies.single_changes import with_single_changes
    from jacketcalc.studies.way_to_pay import with_way

    found = with_single_changes(assessment, always=whole, progress=progress)
    if is_made_of_assumptions(found.case):
        # Asked here too: its statistics take a third of a second to load.
        from jacketcalc.uncertainty.assumptions import with_assumptions

        found = with_assumptions(found, progress=progress)
    return with_way(found, progress=progress) if whole else found


def _write(
    assessment: Assessment, target: Target, full: bool, as_json: bool, settings: Settings
) -> None:
    """Write the result as JSON or as text."""
    if as_json or target.path.endswith(".json"):
        from jacketcalc.show.to_json import make_json

        target.write(make_json(assessment))
        return
    from jacketcalc.show.text import make_text

    color = target.is_stdout and shows_color(sys.stdout, settings)
    ascii_only = target.is_stdout and shows_ascii_only(sys.stdout)
    full = full or not target.is_stdout
    target.write(make_text(assessment, full=full, color=color, ascii_only=ascii_only))
