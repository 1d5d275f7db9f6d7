"""`jacketcalc assess`: does the jacket pay?"""

from __future__ import annotations

import sys

import click

from jacketcalc.cli.output import check_target
from jacketcalc.cli.progress_line import ProgressLine
from jacketcalc.cli.settings import CONTEXT, Settings, common_options
from jacketcalc.cli.terminal import shows_ascii_only, shows_color


@click.command("assess", short_help="Find out whether the jackets pay.", context_settings=CONTEXT)
@click.argument("case", type=click.Path(allow_dash=True))
@click.option("--full", is_flag=True, help="Everything that was found, not one screen.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object in SI units.")
@click.option(
    "-o",
    "--output",
    metavar="FILE",
    type=click.Path(allow_dash=True),
    help="Write to FILE; JSON where its name ends in .json.",
)
@click.option("--force", is_flag=True, help="Replace FILE where it exists.")
@common_options
@click.pass_obj
def command(
    settings: Settings, case: str, full: bool, as_json: bool, output: str | None, force: bool
) -> None:
    """Solve the machine of CASE with and without its jackets, and say whether they pay.

    With - the case is read from standard input.
    """
    target = check_target(output, force=force, keep=case)
    from jacketcalc.casefile.reading import read_case

    read = read_case(case)
    from jacketcalc.assessment.assess import assess

    with ProgressLine(sys.stderr) as progress:
        assessment = assess(read, progress=progress)
    if as_json or target.path.endswith(".json"):
        from jacketcalc.show.to_json import make_json

        target.write(make_json(assessment))
        return
    from jacketcalc.show.text import make_text

    color = target.is_stdout and shows_color(sys.stdout, settings)
    ascii_only = target.is_stdout and shows_ascii_only(sys.stdout)
    full = full or not target.is_stdout
    target.write(make_text(assessment, full=full, color=color, ascii_only=ascii_only))
