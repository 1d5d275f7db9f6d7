"""`jacketcalc rank`: which input matters."""

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
    from jacketcalc.uncertainty.indices import VarianceShares
    from jacketcalc.uncertainty.rank import Ranking


@click.command("rank", short_help="Rank the inputs by what they do.", context_settings=CONTEXT)
@click.argument("case", type=click.Path(allow_dash=True))
@click.option("--all", "every", is_flag=True, help="List every input, not the largest effects.")
@click.option(
    "--indices",
    is_flag=True,
    help="Sample the inputs too, and tell first-order and total indices of benefit and delivery.",
)
@click.option(
    "--samples",
    type=POWER_OF_TWO,
    default=512,
    show_default=True,
    help="Pairs of machines for --indices, a power of two from 128.",
)
@click.option(
    "--totals",
    metavar="N",
    type=click.IntRange(1, 200),
    default=10,
    show_default=True,
    help="Inputs that get a total index of their own; the others get one together.",
)
@click.option(
    "--seed",
    type=click.IntRange(0),
    default=1,
    show_default=True,
    help="The same seed gives the same bytes.",
)
@result_options
@common_options
@click.pass_obj
def command(
    settings: Settings, case: str, every: bool, indices: bool, samples: int, totals: int,
    seed: int, threads: int | None, as_json: bool, output: str | None, force: bool,
) -> None:  # fmt: skip
    """Move each uncertain input of CASE from end to end, and solve both machines.

    Two effects are told: on the delivery, and on the benefit of the jackets. With --indices all
    inputs are sampled together, and what share of the variance each causes is told as well: first
    order of all, total of those that matter, and the total of all others as one group.
    """
    place = check_place(output, force=force, keep=case)
    from jacketcalc.casefile.reading import read_case

    read = read_case(case)
    from jacketcalc.progress import Tally
    from jacketcalc.uncertainty.indices import MACHINES, machines_of, share_variance
    from jacketcalc.uncertainty.rank import rank_inputs
    from jacketcalc.uncertainty.uncertain import list_uncertain

    asked = repr((every, (samples, totals, seed) if indices else None))
    with place.open("rank", read, asked) as folder:
        with ProgressLine(sys.stderr) as progress:
            count = len(list_uncertain(read))
            ends = MACHINES * (1 + 2 * count)
            more = machines_of(count, samples, totals) if indices else 0
            tally = Tally(progress, ends + more)
            ranking = rank_inputs(read, progress=tally.part(ends), threads=threads)
            shares = share_variance(
                ranking, samples=samples, seed=seed, totals=totals, tally=tally, threads=threads
            ) if indices else None  # fmt: skip
        place.write(folder, _forms(ranking, shares, every), settings, as_json=as_json)


def _forms(ranking: Ranking, shares: VarianceShares | None, every: bool) -> Forms:
    from jacketcalc.show.rank_text import make_rank_text
    from jacketcalc.show.uncertainty_json import make_rank_json

    def pictures() -> dict[str, MakeFile]:
        from jacketcalc.report.uncertainty_figures import rank_figures

        return dict(rank_figures(ranking, shares))

    return Forms(
        text=lambda color: make_rank_text(ranking, shares, every=every, color=color),
        json=lambda: make_rank_json(ranking, shares),
        pictures=pictures,
    )
