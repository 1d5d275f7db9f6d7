"""`jacketcalc rank`: which input matters."""

from __future__ import annotations

import sys

import click

from jacketcalc.cli.output import check_target
from jacketcalc.cli.progress_line import ProgressLine
from jacketcalc.cli.settings import CONTEXT, Settings, common_options
from jacketcalc.cli.terminal import shows_color


@click.command("rank", short_help="Rank the inputs by what they do.", context_settings=CONTEXT)
@click.argument("case", type=click.Path(allow_dash=True))
@click.option("--all", "every", is_flag=True, help="List every input, not the largest effects.")
@click.option(
    "--threads",
    metavar="N",
    type=click.IntRange(1, 512),
    help="Machines solved at once; one for each core when not given.",
)
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
    settings: Settings, case: str, every: bool, threads: int | None, as_json: bool,
    output: str | None, force: bool,
) -> None:  # fmt: skip
    """Move each uncertain input of CASE from end to end, and solve both machines.

    Two effects are told: on the delivery, and on the benefit of the jackets.
    """
    target = check_target(output, force=force, keep=case)
    from jacketcalc.casefile.reading import read_case

    read = read_case(case)
    from jacketcalc.uncertainty.rank import rank_inputs

    with ProgressLine(sys.stderr) as progress:
        ranking = rank_inputs(read, progress=progress, threads=threads)
    if as_json or target.path.endswith(".json"):
        from jacketcalc.show.uncertainty_json import make_rank_json

        target.write(make_rank_json(ranking))
        return
    from jacketcalc.show.rank_text import make_rank_text

    color = target.is_stdout and shows_color(sys.stdout, settings)
    target.write(make_rank_text(ranking, every=every, color=color))
