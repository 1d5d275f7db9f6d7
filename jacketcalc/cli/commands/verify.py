"""`jacketcalc verify`: published cases against what the program finds."""

from __future__ import annotations

import sys

import click

from jacketcalc.cli.output import CommandError, check_target
from jacketcalc.cli.progress_line import ProgressLine
from jacketcalc.cli.settings import CONTEXT, common_options

EPILOG = """\b
Exit status:
  0  every case agrees, the doubtful ones and the known disagreements aside
  2  the command is wrong
  3  a case disagrees that did not before; the results were printed
"""


@click.command(
    "verify",
    short_help="Run published cases through the program.",
    context_settings=CONTEXT,
    epilog=EPILOG,
)
@click.option("--html", "as_html", is_flag=True, help="Write the dossier as a page.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object, each row with its unit.")
@click.option(
    "-o",
    "--output",
    metavar="FILE",
    type=click.Path(allow_dash=True),
    help="Write to FILE; a page where its name ends in .html, JSON where in .json.",
)
@click.option("--force", is_flag=True, help="Replace FILE where it exists.")
@common_options
@click.pass_context
def command(
    context: click.Context, as_html: bool, as_json: bool, output: str | None, force: bool
) -> None:
    """Run published cases through the program and print found against expected.

    Each case states its source, how its numbers were obtained, and the tolerance. Doubtful
    cases are shown and explained; they count neither for nor against. Nothing measured on a
    jacket or a booster is among them.
    """
    if as_html and as_json:
        raise CommandError("--html and --json exclude one another: leave one of them out")
    target = check_target(output, force=force)
    from jacketcalc.verification import (
        run_verification,
        verification_html,
        verification_json,
        verification_text,
    )

    with ProgressLine(sys.stderr) as progress:
        report = run_verification(progress=progress)
    # An option counts more than the ending of a name.
    ending = "" if as_html or as_json else target.shown.lower()
    if as_json or ending.endswith(".json"):
        target.write(verification_json(report))
    elif as_html or ending.endswith((".html", ".htm")):
        target.write(verification_html(report))
    else:
        target.write(verification_text(report))
    context.exit(0 if report.passed else 3)
