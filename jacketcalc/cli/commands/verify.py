"""`jacketcalc verify`: published cases against what the program finds."""

from __future__ import annotations

import sys

import click

from jacketcalc.cli.output import check_target
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
@click.option(
    "-o",
    "--output",
    metavar="FILE",
    type=click.Path(allow_dash=True),
    help="Write to FILE; a page where its name ends in .html.",
)
@click.option("--force", is_flag=True, help="Replace FILE where it exists.")
@common_options
@click.pass_context
def command(context: click.Context, as_html: bool, output: str | None, force: bool) -> None:
    """Run published cases through the program and print found against expected.

    Each case states its source, how its numbers were obtained, and the tolerance. Doubtful
    cases are shown and explained; they count neither for nor against. Nothing measured on a
    jacket or a booster is among them.
    """
    target = check_target(output, force=force)
    from jacketcalc.verification import (
        run_verification,
        verification_html,
        verification_text,
    )

    with ProgressLine(sys.stderr) as progress:
        report = run_verification(progress=progress)
    page = as_html or target.path.endswith((".html", ".htm"))
    target.write(verification_html(report) if page else verification_text(report))
    context.exit(0 if report.passed else 3)
