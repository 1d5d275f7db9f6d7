"""A study from the command line to the page and the folder."""

from __future__ import annotations

import sys

from jacketcalc.casefile.reading import read_case
from jacketcalc.cli.output import write_out
from jacketcalc.cli.settings import Settings
from jacketcalc.cli.studies import TABLE_ENDINGS, check_folder, solve_table, table_forms
from jacketcalc.cli.terminal import shows_ascii_only, shows_color


def run_table(
    settings: Settings,
    case: str,
    axes: list[str],
    *,
    stem: str,
    argument: str,
    band: bool,
    as_json: bool,
    output: str | None,
    force: bool,
    processes: int | None,
) -> None:
    """Solve a study, write its files, and print it."""
    read = read_case(case)
    folder = check_folder(output, stem, TABLE_ENDINGS, force)
    table = solve_table(read, axes, band, folder, processes, argument)
    if folder.path:
        folder.write(table_forms(table))
    if as_json:
        from jacketcalc.show.study_json import make_study_json

        write_out(make_study_json(table))
        return
    from jacketcalc.show.study_text import make_study_text

    color = shows_color(sys.stdout, settings)
    write_out(make_study_text(table, color=color, ascii_only=shows_ascii_only(sys.stdout)))
