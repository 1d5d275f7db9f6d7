"""`jacketcalc optimise`: the best jacket inside bounds and limits."""

from __future__ import annotations

import sys
from dataclasses import replace
from typing import TYPE_CHECKING

import click

from jacketcalc.cli.output import CommandError, write_out
from jacketcalc.cli.settings import CONTEXT, Settings, common_options
from jacketcalc.cli.studies import study_options
from jacketcalc.cli.study_limits import limit_options
from jacketcalc.cli.terminal import shows_ascii_only, shows_color

if TYPE_CHECKING:
    from jacketcalc.cli.folder import Folder
    from jacketcalc.studies.optimum import Optimum

AIMS = {"delivery": "flow", "specific air consumption": "air", "discharge temperature": "discharge"}
"""Aim that belongs to what the case is judged by."""
RANGE = "LOW:HIGH[:STEP]"


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
@click.option("--pitch", metavar=RANGE, default="8mm:48mm", show_default=True)
@click.option("--gap", metavar=RANGE, default="2mm:12mm", show_default=True)
@click.option("--starts", metavar="LOW:HIGH", default="1:4", show_default=True)
@click.option(
    "--rib",
    metavar=RANGE,
    help="Rib thickness; when not given, from make.smallest_rib to twice the one drawn, or as "
    "drawn where that is not stated.",
)
@click.option(
    "--tube",
    metavar="BORES",
    help="Bores of the tubes, both alike, such as 12mm,16mm,19mm; when not given, those of "
    "make.tube_bores, or as drawn.",
)
@click.option(
    "--least-turns",
    metavar="NUMBER",
    type=click.FloatRange(0.0, 100.0),
    help="Fewest turns of each start round its cylinder; make.least_turns or 2 when not given.",
)
@limit_options
@click.option(
    "--ignore-limit",
    "ignored",
    metavar="NAME",
    multiple=True,
    help="Ignore a limit: rib, turns, discharge, seal, barrel, passage, frost, "
    "condensation, or all. Can be given again.",
)
@click.option(
    "--population",
    type=click.IntRange(5, 500),
    help="Designs of a generation; 48 when not given.",
)
@click.option("--generations", type=click.IntRange(1, 200), help="12 when not given.")
@click.option(
    "--quick",
    is_flag=True,
    help="Look at fewer designs in coarse steps, then solve the best in full.",
)
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
    rib: str | None,
    tube: str | None,
    least_turns: float | None,
    ignored: tuple[str, ...],
    population: int | None,
    generations: int | None,
    quick: bool,
    as_json: bool,
    output: str | None,
    force: bool,
    threads: int | None,
    **asked: str | None,
) -> None:  # fmt: skip
    """Search the best pitch, gap and starts of the jackets of CASE.

    Differential evolution on whole generations of machines, with a fixed seed, among sizes that
    can be made: in the steps of make.step or of STEP, else of 0.5 mm or 1/64 in, and of what
    else [make] states. A single value in place of LOW:HIGH holds it fixed, values with commas
    between them are the only ones. Every limit of the case, of its materials
    and of the options counts; one that no design keeps is named and left out.

    The result says first what the best design does against no jackets and against the drawn
    design, then how much its sizes matter, and the best compromises between delivered air and
    discharge temperature. With -o the best design is written as a case too. It is an estimate,
    not an approval.
    """
    from jacketcalc.assessment.variants import require_jacket
    from jacketcalc.casefile.reading import read_case
    from jacketcalc.cli.folder import open_folder
    from jacketcalc.cli.study_limits import read_limits
    from jacketcalc.cli.study_search import ENDINGS, find_optimum
    from jacketcalc.studies.limits import NAMES
    from jacketcalc.studies.optimise import TURNS, find_aim
    from jacketcalc.studies.variables import make_variables, usual_ribs, usual_tubes

    strange = [name for name in ignored if name not in (*NAMES, "all")]
    if strange:
        known = ", ".join((*NAMES, "all"))
        raise CommandError(f'--ignore-limit does not know "{strange[0]}"; it takes {known}')
    read = read_case(case)
    require_jacket(read)
    root = f"stage.{stage}.jacket" if stage else "jacket"
    wanted = {"pitch": pitch, "gap": gap, "starts": starts,
              "rib": rib or usual_ribs(read), "tube": tube or usual_tubes(read)}  # fmt: skip
    variables = make_variables(read, root, wanted)
    turns = read.make.least_turns or TURNS if least_turns is None else least_turns
    limits = replace(
        read_limits(read, asked),
        turns=turns or None,
        ignored=frozenset(NAMES if "all" in ignored else ignored),
    )
    goal = find_aim(read, aim or AIMS[read.judgement.by])
    kept = replace(limits, ignored=frozenset())
    search = repr((variables, goal, kept, sorted(limits.ignored), population, generations, quick))
    with open_folder(output, "optimise", ENDINGS, force=force, case=read, asked=search) as folder:
        optimum, forms = find_optimum(
            read, variables, goal, limits, population=population, generations=generations,
            quick=quick, folder=folder, threads=threads,
        )  # fmt: skip
        try:
            folder.write(forms)
        finally:
            _print(optimum, folder, as_json, settings)


def _print(optimum: Optimum, folder: Folder, as_json: bool, settings: Settings) -> None:
    if as_json:
        from jacketcalc.show.study_json import make_optimum_json

        write_out(make_optimum_json(optimum))
        return
    from jacketcalc.cli.study_search import BEST
    from jacketcalc.show.optimum_text import make_optimum_text

    file = f"{folder.stem}{BEST}" if folder.path else ""
    color, ascii_only = shows_color(sys.stdout, settings), shows_ascii_only(sys.stdout)
    write_out(make_optimum_text(optimum, color=color, ascii_only=ascii_only, file=file))
