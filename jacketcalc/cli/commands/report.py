"""`jacketcalc report`: the thermal report for a design file."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from jacketcalc.cli.file_set import check_goals, read_words, write_all
from jacketcalc.cli.output import CommandError, check_packages, say
from jacketcalc.cli.progress_line import ProgressLine
from jacketcalc.cli.settings import CONTEXT, Settings, common_options, force_option
from jacketcalc.progress import WRITING, Tally
from jacketcalc.report.write import FORMATS, write_report

if TYPE_CHECKING:
    from jacketcalc.inputs import Case
    from jacketcalc.report.pdf import Paper

PARTS = ("pitch", "rivals", "uncertainty", "water", "fill")
NEEDED = ("jinja2", "matplotlib", "typst", "xlsxwriter")
"""Packages that set pages and figures."""


@click.command("report", short_help="Write the thermal report.", context_settings=CONTEXT)
@click.argument("case", type=click.Path(allow_dash=True))
@click.option(
    "-o",
    "--output",
    "folder",
    metavar="FOLDER",
    default=".",
    show_default=True,
    help="Folder the files go to; it is made where it is missing.",
)
@click.option(
    "--with",
    "parts",
    metavar="PARTS",
    default="",
    help="Parts beyond the assessment, with commas between: pitch, rivals, uncertainty, water, "
    "fill.",
)
@click.option(
    "--format",
    "formats",
    metavar="FORMATS",
    default="html,pdf,xlsx",
    show_default=True,
    help="Formats, with commas between.",
)
@click.option(
    "--paper",
    type=click.Choice(("a4", "letter")),
    default=None,
    help="Paper of the PDF; without it letter for a case in inch-pound units, else a4.",
)
@click.option(
    "--previous",
    metavar="OLD.toml",
    default="",
    help="Case of the report before: what has changed since is listed.",
)
@force_option
@common_options
@click.pass_obj
def command(
    settings: Settings,
    case: str,
    folder: str,
    parts: str,
    formats: str,
    paper: str | None,
    previous: str,
    force: bool,
) -> None:
    """Solve the machine of CASE and write its report, named after the case, into FOLDER.

    One page of HTML that needs nothing else, a PDF with the same content, and a workbook of
    its tables. With - the case is read from standard input and the report is called report.
    """
    wanted = read_words(FORMATS, "--format", formats)
    if not wanted:
        raise CommandError(f"--format names no format; it takes {', '.join(FORMATS)}")
    asked = read_words(PARTS, "--with", parts)
    check_packages(NEEDED, "the report")
    stem = "report" if case == "-" else Path(case).stem
    goals = {form: Path(folder) / f"{stem}.{form}" for form in wanted}
    check_goals(folder, list(goals.values()), force, case)
    from jacketcalc.casefile.reading import read_case

    read = read_case(case)
    before = read_case(previous) if previous else None
    sheet: Paper = "us-letter" if _is_letter(paper, read) else "a4"
    from jacketcalc.fill.compare import compare_fills, require_receiver
    from jacketcalc.report.gather import gather
    from jacketcalc.studies.solve_dossier import solve_dossier
    from jacketcalc.uncertainty.sampled import solve_sampled
    from jacketcalc.verification import run_verification

    if "fill" in asked:
        require_receiver(read)
    if "pdf" in goals:
        _say_lacking(read.text)
    wrong: dict[str, Exception] = {}
    with ProgressLine(sys.stderr) as progress:
        dossier = solve_dossier(
            read, pitches="pitch" in asked, rivals="rivals" in asked, progress=progress
        )
        sampled = None
        if "uncertainty" in asked and dossier.found.delivers:
            sampled = solve_sampled(read, progress=progress)
        filled = compare_fills(read, progress=progress) if "fill" in asked else None
        checked = run_verification(progress=progress)
        report = gather(dossier, checked, previous=before, sampled=sampled,
                        water="water" in asked, fill=filled)  # fmt: skip
        tally, made = Tally(progress, len(goals), WRITING), {}
        for form, goal in goals.items():
            tally.part(1)
            try:
                made[goal] = write_report(report, form, sheet)
            except Exception as fault:
                wrong[str(goal)] = fault
    write_all(Path(folder), made, force)
    if wrong:
        raise ExceptionGroup(f"not made: {', '.join(wrong)}", list(wrong.values()))


def _is_letter(paper: str | None, case: Case) -> bool:
    """Return whether the PDF is set on letter paper, which goes with inches."""
    return paper == "letter" or (paper is None and case.document.units == "inch-pound")


def _say_lacking(text: str) -> None:
    """Say before anything is solved which letters the PDF cannot show."""
    from jacketcalc.report.typesetting import describe_lacking, find_lacking

    lacking = find_lacking(text)
    if lacking:
        say(describe_lacking(lacking))
