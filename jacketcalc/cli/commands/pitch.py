"""`jacketcalc pitch`: which helix pitch?"""

from __future__ import annotations

import click

from jacketcalc.cli.settings import CONTEXT, Settings, common_options
from jacketcalc.cli.studies import study_options
from jacketcalc.cli.study_limits import limit_options


@click.command("pitch", short_help="Compare helix pitches.", context_settings=CONTEXT)
@click.argument("case", type=click.Path(allow_dash=True))
@click.option("--stage", metavar="NAME", help="Vary this stage's jacket alone.")
@click.option(
    "--from", "low", metavar="LENGTH", default="8mm", show_default=True, help="First pitch."
)
@click.option(
    "--to", "high", metavar="LENGTH", default="48mm", show_default=True, help="Last pitch."
)
@click.option(
    "--count", type=click.IntRange(2, 200), default=16, show_default=True, help="Number of pitches."
)
@limit_options
@study_options
@common_options
@click.pass_obj
def command(
    settings: Settings,
    /,
    case: str,
    stage: str | None,
    low: str,
    high: str,
    count: int,
    as_json: bool,
    output: str | None,
    force: bool,
    threads: int | None,
    **asked: str | None,
) -> None:  # fmt: skip
    """Solve the machine of CASE at every pitch, against the machine without jackets.

    All jackets are varied together. Prints the best pitch for each aim, what cannot be told
    from it, and tables: numbers of the machine, what cooling and resistance alone would change,
    stages, jackets, limits. With - the case is read from standard input.
    """
    from jacketcalc.cli.study_run import run_table
    from jacketcalc.studies.study import pitch_axis

    spoken = f"--from {low} --to {high}"
    run_table(
        settings, case, lambda read: [pitch_axis(read, low, high, count, stage, spoken)],
        stem="pitch", band=True, asked=asked, as_json=as_json, output=output, force=force,
        threads=threads,
    )  # fmt: skip
