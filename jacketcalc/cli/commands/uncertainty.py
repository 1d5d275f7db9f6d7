"""`jacketcalc uncertainty`: how sure the verdict is, by samples of the inputs."""

from __future__ import annotations

import sys

import click

from jacketcalc.cli.output import check_target
from jacketcalc.cli.progress_line import ProgressLine
from jacketcalc.cli.settings import CONTEXT, Settings, common_options
from jacketcalc.cli.terminal import shows_color


@click.command("uncertainty", short_help="Say how sure the verdict is.", context_settings=CONTEXT)
@click.argument("case", type=click.Path(allow_dash=True))
@click.option(
    "--samples", type=int, default=512, show_default=True, help="Pairs of machines, a power of two."
)
@click.option(
    "--seed",
    type=click.IntRange(0),
    default=1,
    show_default=True,
    help="The same seed gives the same bytes.",
)
@click.option(
    "--precision",
    metavar="POINTS",
    type=click.FloatRange(0.0, min_open=True),
    help="Sampling margin of the judged change, in points of per cent or in kelvin; "
    "more samples are drawn until it is kept.",
)
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
    settings: Settings, case: str, samples: int, seed: int, precision: float | None,
    threads: int | None, as_json: bool, output: str | None, force: bool,
) -> None:  # fmt: skip
    """Sample the uncertain inputs of CASE, and solve both machines of each sample.

    Every number has the tolerance or the standard uncertainty that the case states, or that of
    its kind of source. Both machines of a pair have the same inputs.
    """
    target = check_target(output, force=force, keep=case)
    from jacketcalc.casefile.reading import read_case

    read = read_case(case)
    from jacketcalc.uncertainty.study import estimate_uncertainty

    share = 1.0 if read.judgement.by == "discharge temperature" else 1e-2
    margin = None if precision is None else precision * share
    with ProgressLine(sys.stderr) as progress:
        study = estimate_uncertainty(
            read, samples=samples, seed=seed, precision=margin, progress=progress, threads=threads
        )
    if as_json or target.path.endswith(".json"):
        from jacketcalc.show.uncertainty_json import make_uncertainty_json

        target.write(make_uncertainty_json(study))
        return
    from jacketcalc.show.uncertainty_text import make_uncertainty_text

    color = target.is_stdout and shows_color(sys.stdout, settings)
    target.write(make_uncertainty_text(study, color=color))
