"""`jacketcalc water`: where water or frost appears, and how dry the supply must be."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from jacketcalc.cli.results import Forms, check_place, result_options
from jacketcalc.cli.settings import CONTEXT, Settings, common_options

if TYPE_CHECKING:
    from jacketcalc.assessment.water_finding import WaterFinding
    from jacketcalc.cli.folder import MakeFile


@click.command("water", short_help="Find where water and frost appear.", context_settings=CONTEXT)
@click.argument("case", type=click.Path(allow_dash=True))
@click.option(
    "--blocked",
    metavar="SHARE",
    default="25 %",
    show_default=True,
    help="Share of a cross-section to whose blocking by ice the hours are counted.",
)
@result_options
@common_options
@click.pass_obj
def command(
    settings: Settings, case: str, blocked: str, threads: int | None, as_json: bool,
    output: str | None, force: bool,
) -> None:  # fmt: skip
    """Follow the water of the supply along the whole path of CASE, with and without jackets.

    Drive chambers, valve, tubes, jackets, outlets, stages, line and receiver: where and when water
    or frost appears, its margin, and how much at most; then the water that enters, and the dew
    point for which passage and stages stay dry. With - the case is read from standard input.
    """
    place = check_place(output, force=force, keep=case)
    from jacketcalc.casefile.reading import read_case

    share = read_share(blocked)
    read = read_case(case)
    from jacketcalc.studies.solve_water import solve_water

    with place.open("water", read, f"{share:g}") as folder:
        found = solve_water(read, threads=threads)
        place.write(folder, _forms(found, share), settings, as_json=as_json)


def read_share(text: str) -> float:
    """Read the share of a cross-section.

    Raises
    ------
    CaseError
        When it is no share between 1 % and 100 %.
    """
    from jacketcalc.errors import CaseError, Problem
    from jacketcalc.quantities import read_quantity
    from jacketcalc.quantity_problems import QuantityError

    spoken = f"--blocked {text}"
    try:
        share = read_quantity(text, "ratio").value
    except QuantityError as error:
        raise CaseError(
            [Problem(name=error.name, message=error.message, file=spoken, why=error.why,
                     fix=error.fix)]
        ) from None  # fmt: skip
    if not 0.01 <= share <= 1.0:
        raise CaseError(
            [Problem(name="value-range", message="the blocked share is not between 1 % and 100 %",
                     file=spoken, why="it is a share of the free cross-section",
                     fix='--blocked "25 %"')]
        )  # fmt: skip
    return share


def _forms(found: WaterFinding, share: float) -> Forms:
    from jacketcalc.show.water_json import make_water_json
    from jacketcalc.show.water_text import make_water_text

    def pictures() -> dict[str, MakeFile]:
        from jacketcalc.report.water_figures import water_figures

        return dict(water_figures(found))

    return Forms(
        text=lambda color: make_water_text(found, share=share, color=color),
        json=lambda: make_water_json(found, share),
        pictures=pictures,
    )
