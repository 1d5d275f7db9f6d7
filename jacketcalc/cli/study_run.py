"""A study from the command line to the page and the folder."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping, Sequence

from jacketcalc.assessment.variants import require_jacket
from jacketcalc.casefile.reading import read_case
from jacketcalc.cli.folder import open_folder
from jacketcalc.cli.output import write_out
from jacketcalc.cli.settings import Settings
from jacketcalc.cli.studies import TABLE_ENDINGS, solve_table, table_forms
from jacketcalc.cli.study_limits import read_limits
from jacketcalc.cli.terminal import shows_ascii_only, shows_color
from jacketcalc.inputs import Case
from jacketcalc.studies.axes import Axis
from jacketcalc.studies.study_table import StudyTable


def run_table(
    settings: Settings,
    case: str,
    read_axes: Callable[[Case], Sequence[Axis]],
    *,
    stem: str,
    band: bool,
    asked: Mapping[str, str | None],
    as_json: bool,
    output: str | None,
    force: bool,
    threads: int | None,
    quick: bool = False,
) -> None:
    """Solve a study, write its files, and print it; `quick` without the model range."""
    band = band and not quick
    read = read_case(case)
    require_jacket(read)
    limits, axes = read_limits(read, asked), read_axes(read)
    search = repr((axes, band, "quick") if quick else (axes, band))
    with open_folder(output, stem, TABLE_ENDINGS, force=force, case=read, asked=search) as folder:
        table = solve_table(read, axes, band, limits, folder, threads, quick=quick)
        try:
            if folder.path:
                folder.write(table_forms(table))
        finally:
            _print(table, as_json, settings)


def _print(table: StudyTable, as_json: bool, settings: Settings) -> None:
    if as_json:
        from jacketcalc.show.study_json import make_study_json

        write_out(make_study_json(table))
        return
    from jacketcalc.show.study_text import make_study_text

    color = shows_color(sys.stdout, settings)
    write_out(make_study_text(table, color=color, ascii_only=shows_ascii_only(sys.stdout)))
