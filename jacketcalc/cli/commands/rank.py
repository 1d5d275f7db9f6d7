"""`jacketcalc rank`: which input matters."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from jacketcalc.cli.progress_line import ProgressLine
from jacketcalc.cli.results import Forms, check_place, result_options
from jacketcalc.cli.settings import CONTEXT, Settings, common_options

if TYPE_CHECKING:
    from jacketcalc.cli.folder import MakeFile
    from jacketcalc.uncertainty.rank import Ranking


@click.command("rank", short_help="Rank the inputs by what they do.", context_settings=CONTEXT)
@click.argument("case", type=click.Path(allow_dash=True))
@click.option("--all", "every", is_flag=True, help="List every input, not the largest effects.")
@result_options
@common_options
@click.pass_obj
def command(
    settings: Settings, case: str, every: bool, threads: int | None, as_json: bool,
    output: str | None, force: bool,
) -> None:  # fmt: skip
    """Move each uncertain input of CASE from end to end, and solve both machines.

    Two effects are told: on the delivery, and on the benefit of the jackets.
    """
    place = check_place(output, force=force, keep=case)
    from jacketcalc.casefile.reading import read_case

    read = read_case(case)
    from jacketcalc.uncertainty.rank import rank_inputs

    with place.open("rank", read, "every" if every else "largest") as folder:
        with ProgressLine(sys.stderr) as progress:
            ranking = rank_inputs(read, progress=progress, threads=threads)
        place.write(folder, _forms(ranking, every), settings, as_json=as_json)


def _forms(ranking: Ranking, every: bool) -> Forms:
    from jacketcalc.show.rank_text import make_rank_text
    from jacketcalc.show.uncertainty_json import make_rank_json

    def pictures() -> dict[str, MakeFile]:
        from jacketcalc.report.uncertainty_figures import rank_figures

        return dict(rank_figures(ranking))

    return Forms(
        text=lambda color: make_rank_text(ranking, every=every, color=color),
        json=lambda: make_rank_json(ranking),
        pictures=pictures,
    )
