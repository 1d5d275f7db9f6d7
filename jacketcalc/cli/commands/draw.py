"""`jacketcalc draw`: pictures of a machine, each a file of its own."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from jacketcalc.cli.file_set import check_goals, read_words, write_all
from jacketcalc.cli.output import CommandError, check_packages
from jacketcalc.cli.progress_line import ProgressLine
from jacketcalc.cli.settings import CONTEXT, common_options, force_option
from jacketcalc.progress import WRITING, Tally
from jacketcalc.report.drawings import NAMES, OF_CASE, OF_RESULT

if TYPE_CHECKING:
    from jacketcalc.inputs import Case
    from jacketcalc.report.pictures import MakePicture


@click.command("draw", short_help="Draw a machine and what it does.", context_settings=CONTEXT)
@click.argument("case", type=click.Path(allow_dash=True))
@click.option(
    "--what",
    metavar="NAMES",
    default=",".join(OF_CASE),
    show_default=True,
    help=f"Pictures, with commas between: {', '.join(NAMES)}.",
)
@click.option(
    "--format",
    "formats",
    metavar="FORMATS",
    default="svg",
    show_default=True,
    help="Formats, with commas between: svg, png, pdf.",
)
@click.option(
    "-o",
    "--output",
    "folder",
    metavar="FOLDER",
    default=".",
    show_default=True,
    help="Folder the files go to; it is made where it is missing.",
)
@force_option
@common_options
def command(case: str, what: str, formats: str, folder: str, force: bool) -> None:
    """Draw the machine of CASE into files named after the case.

    layout shows which chamber, port, stage and stroke belong together, and
    section each stage to scale; both are drawn from CASE as it stands, before
    anything is solved. All others show the machine with jackets against the one
    without, solved, or a machine as it is where no jacket is fed. With - the
    case is read from standard input.
    """
    check_packages(("matplotlib",), "a picture")
    from jacketcalc.report.pictures import FORMATS

    names = read_words(NAMES, "--what", what)
    asked = read_words(FORMATS, "--format", formats)
    for option, given, known in (("--what", names, NAMES), ("--format", asked, FORMATS)):
        if not given:
            raise CommandError(f"{option} names nothing; it takes {', '.join(known)}")
    from jacketcalc.casefile.reading import read_case
    from jacketcalc.report.drawings import list_files

    read = read_case(case)
    stem = "case" if case == "-" else Path(case).stem
    goals = [Path(folder) / f"{stem}{ending}" for ending in list_files(names, read, asked)]
    check_goals(folder, goals, force, case)
    with ProgressLine(sys.stderr) as progress:
        pictures = _pictures(names, asked, read, progress)
        tally, made = Tally(progress, len(pictures), WRITING), {}
        for ending, make in pictures.items():
            tally.part(1)
            made[Path(folder) / f"{stem}{ending}"] = make()
    write_all(Path(folder), made, force)


def _pictures(
    names: tuple[str, ...], formats: tuple[str, ...], case: Case, progress: ProgressLine
) -> dict[str, MakePicture]:
    """Return the pictures asked for; the machine is solved where one of them needs it."""
    from jacketcalc.report.drawings import case_drawings, result_drawings

    pictures = case_drawings(names, case, formats)
    solved = [name for name in names if name in OF_RESULT]
    if not solved:
        return pictures
    from jacketcalc.assessment.pair import is_alone
    from jacketcalc.assessment.solve_pair import solve_pair

    found = solve_pair(case, progress=progress)
    for machine, words in ((found.bare, " without jackets"), (found.jacketed, " with jackets")):
        if machine.stalled:
            raise CommandError(
                f"the machine{'' if is_alone(found) else words} stalls and has no cycle to draw "
                f"as {', '.join(solved)}: `jacketcalc assess` says where it stops; "
                f"{' and '.join(OF_CASE)} can be drawn"
            )
    return {**pictures, **result_drawings(solved, found, formats)}
