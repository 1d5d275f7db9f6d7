"""`jacketcalc uncertainty`: how sure the verdict is, by samples of the inputs."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from jacketcalc.cli.progress_line import ProgressLine
from jacketcalc.cli.results import Forms, check_place, result_options
from jacketcalc.cli.sample_count import POWER_OF_TWO
from jacketcalc.cli.settings import CONTEXT, Settings, common_options

if TYPE_CHECKING:
    from jacketcalc.cli.folder import MakeFile
    from jacketcalc.uncertainty.result import UncertaintyStudy


@click.command("uncertainty", short_help="Say how sure the verdict is.", context_settings=CONTEXT)
@click.argument("case", type=click.Path(allow_dash=True))
@click.option(
    "--samples",
    type=POWER_OF_TWO,
    default=512,
    show_default=True,
    help="Pairs of machines, a power of two from 128.",
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
@result_options
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
    place = check_place(output, force=force, keep=case)
    from jacketcalc.casefile.reading import read_case

    read = read_case(case)
    from jacketcalc.uncertainty.study import estimate_uncertainty

    share = 1.0 if read.judgement.by == "discharge temperature" else 1e-2
    margin = None if precision is None else precision * share
    with place.open("uncertainty", read, repr((samples, seed, margin))) as folder:
        with ProgressLine(sys.stderr) as progress:
            study = estimate_uncertainty(
                read, samples=samples, seed=seed, precision=margin, progress=progress,
                threads=threads,
            )  # fmt: skip
        place.write(folder, _forms(study), settings, as_json=as_json)


def _forms(study: UncertaintyStudy) -> Forms:
    from jacketcalc.show.uncertainty_json import make_uncertainty_json
    from jacketcalc.show.uncertainty_text import make_uncertainty_text

    def pictures() -> dict[str, MakeFile]:
        from jacketcalc.assessment.assess import assess
        from jacketcalc.report.uncertainty_figures import uncertainty_figures

        return dict(uncertainty_figures(study, assess(study.case)))

    return Forms(
        text=lambda color: make_uncertainty_text(study, color=color),
        json=lambda: make_uncertainty_json(study),
        pictures=pictures,
    )
