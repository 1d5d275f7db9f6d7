"""`jacketcalc optimise`: the best jacket inside bounds and limits."""

from __future__ import annotations

import sys

import click

from jacketcalc.cli.output import write_out
from jacketcalc.cli.settings import CONTEXT, Settings, common_options
from jacketcalc.cli.studies import study_options
from jacketcalc.cli.study_limits import limit_options
from jacketcalc.cli.terminal import shows_ascii_only, shows_color

AIMS = {"delivered flow": "flow", "drive air": "air", "temperature": "discharge"}
"""Aim that belongs to what the case is judged by."""


@click.command("optimise", short_help="Search the best jacket.", context_settings=CONTEXT)
@click.argument("case", type=click.Path(allow_dash=True))
@click.option(
    "--for",
    "aim",
    type=click.Choice(("flow", "air", "discharge", "charge")),
    help="What to look for: most delivered flow, least drive air per kg, coolest "
    "discharge, coldest charge of the first stage; what the case is judged by when "
    "not given.",
)
@click.option("--stage", metavar="NAME", help="Change this stage's jacket alone.")
@click.option("--pitch", metavar="LOW:HIGH", default="8mm:48mm", show_default=True)
@click.option("--gap", metavar="LOW:HIGH", default="2mm:12mm", show_default=True)
@click.option("--starts", metavar="LOW:HIGH", default="1:4", show_default=True)
@click.option("--land", metavar="LOW:HIGH", help="Land thickness; as in the case when not given.")
@limit_options
@click.option(
    "--population",
    type=click.IntRange(5, 500),
    default=48,
    show_default=True,
    help="Designs of a generation.",
)
@click.option("--generations", type=click.IntRange(1, 200), default=12, show_default=True)
@study_options
@common_options
@click.pass_obj
def command(
    settings: Settings,
    /,
    case: str,
    aim: str | None,
    stage: str | None,
    pitch: str,
    gap: str,
    starts: str,
    land: str | None,
    population: int,
    generations: int,
    as_json: bool,
    output: str | None,
    force: bool,
    processes: int | None,
    **asked: str | None,
) -> None:  # fmt: skip
    """Search the best pitch, gap and starts of the jackets of CASE.

    Differential evolution on whole generations of machines, with a fixed seed. Says how flat
    the optimum is, and prints the best compromises between delivered air and discharge
    temperature. A single value in place of LOW:HIGH holds it fixed.
    """
    from jacketcalc.casefile.reading import read_case
    from jacketcalc.cli.study_limits import read_limits
    from jacketcalc.cli.study_search import find_optimum
    from jacketcalc.studies.optimise import find_aim, make_bound

    read = read_case(case)
    root = f"stage.{stage}.jacket" if stage else "jacket"
    wanted = {"pitch": pitch, "gap": gap, "starts": starts, "land": land}
    axes = [
        make_bound(read, f"{root}.{key}", text, f"--{key}")
        for key, text in wanted.items()
        if text is not None
    ]
    limits = read_limits(read, asked)
    optimum, folder, forms = find_optimum(
        read, axes, find_aim(read, aim or AIMS[read.judgement.by]), limits,
        population=population, generations=generations, output=output, force=force,
        processes=processes,
    )  # fmt: skip
    folder.write(forms)
    if as_json:
        from jacketcalc.show.study_json import make_optimum_json

        write_out(make_optimum_json(optimum))
        return
    from jacketcalc.show.optimum_text import make_optimum_text

    color = shows_color(sys.stdout, settings)
    write_out(make_optimum_text(optimum, color=color, ascii_only=shows_ascii_only(sys.stdout)))
