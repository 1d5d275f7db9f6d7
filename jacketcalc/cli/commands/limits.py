"""`jacketcalc limits`: every limit with its source, and what stands beside it."""

from __future__ import annotations

import sys

import click

from jacketcalc.cli.output import check_target
from jacketcalc.cli.progress_line import ProgressLine
from jacketcalc.cli.settings import CONTEXT, Settings, common_options, file_options, json_option
from jacketcalc.cli.terminal import shows_color


@click.command(
    "limits", short_help="Hold temperatures against every limit.", context_settings=CONTEXT
)
@click.argument("case", type=click.Path(allow_dash=True))
@json_option
@file_options
@common_options
@click.pass_obj
def command(settings: Settings, case: str, as_json: bool, output: str | None, force: bool) -> None:
    """Solve the machine of CASE with and without its jackets, and print its limits in one place.

    Limits that are judged, with the model range: discharge, walls at seals, barrels, shells, tubes.
    Beside them, not judged: gas at seals and in tubes, oil, and the hoop stress of each wall as a
    plain figure. Each says where its limit comes from. With - the case is read from standard input.
    """
    target = check_target(output, force=force, keep=case)
    from jacketcalc.casefile.reading import read_case

    read = read_case(case)
    from jacketcalc.assessment.assess import assess

    with ProgressLine(sys.stderr) as progress:
        found = assess(read, progress=progress)
    if as_json or target.path.endswith(".json"):
        from jacketcalc.show.limit_json import make_limits_json

        target.write(make_limits_json(found))
        return
    from jacketcalc.show.limit_context_text import make_limits_text

    color = target.is_stdout and shows_color(sys.stdout, settings)
    target.write(make_limits_text(found, color=color))
