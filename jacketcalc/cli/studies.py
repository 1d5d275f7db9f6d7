"""What the commands that solve many machines share: options, progress."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from jacketcalc.cli.progress_line import ProgressLine
from jacketcalc.cli.settings import Command, json_option, threads_option

if TYPE_CHECKING:
    from jacketcalc.cli.folder import Folder, MakeFile
    from jacketcalc.inputs import Case
    from jacketcalc.studies.axes import Axis
    from jacketcalc.studies.limits import Limits
    from jacketcalc.studies.study_table import StudyTable


def study_options(function: Command) -> Command:
    """Add the options of every study."""
    for option in (
        threads_option,
        click.option("--force", is_flag=True, help="Replace files that are in FOLDER."),
        click.option("-o", "--output", metavar="FOLDER", type=click.Path(file_okay=False),
                     help="Write tables and figures into FOLDER; an interrupted study goes on "
                     "from what it has left there."),
        json_option,
    ):  # fmt: skip
        function = option(function)
    return function


def quick_option(function: Command) -> Command:
    """Add the option that makes a table an answer of a few seconds."""
    return click.option(
        "--quick", is_flag=True,
        help="Coarse steps of a stroke, nominal models alone: changes within 0.3 % as a rule.",
    )(function)  # fmt: skip


TABLE_ENDINGS = [".txt", ".csv", ".json", ".xlsx", ".nc"]
"""Endings of the files of a table."""


def table_forms(table: StudyTable, *, as_drawn: bool = True) -> dict[str, MakeFile]:
    """Return the files of a table by their endings, each made when it is written."""
    from jacketcalc.report.study_figures import study_figures
    from jacketcalc.report.study_workbook import make_workbook
    from jacketcalc.show.study_json import make_study_json
    from jacketcalc.show.study_sheet import make_csv, make_sheet
    from jacketcalc.show.study_text import make_study_text
    from jacketcalc.studies.netcdf import make_netcdf

    return {
        ".txt": lambda: make_study_text(table).encode(),
        ".csv": lambda: make_csv(make_sheet(table)).encode(),
        ".json": lambda: make_study_json(table).encode(),
        ".xlsx": lambda: make_workbook(table),
        ".nc": lambda: make_netcdf(table),
        **study_figures(table, as_drawn=as_drawn),
    }


def solve_table(
    case: Case,
    axes: Sequence[Axis],
    band: bool,
    limits: Limits,
    folder: Folder,
    threads: int | None,
    *,
    quick: bool = False,
) -> StudyTable:
    """Solve a study with progress on the terminal; `quick` in coarse steps of a stroke."""
    from jacketcalc.core.resolution import COARSE
    from jacketcalc.studies.grid import make_plan
    from jacketcalc.studies.study import solve_plan

    plan = make_plan(case, axes, band=band, limits=limits)
    with ProgressLine(sys.stderr) as progress:
        return solve_plan(
            plan, folder=folder.checkpoint, progress=progress, threads=threads,
            resolution=COARSE if quick else None,
        )  # fmt: skip
