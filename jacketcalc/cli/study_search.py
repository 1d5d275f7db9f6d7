"""A search from the command line: its progress, its files."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from jacketcalc.cli.folder import Folder, MakeFile
from jacketcalc.cli.progress_line import ProgressLine
from jacketcalc.cli.studies import TABLE_ENDINGS, table_forms
from jacketcalc.inputs import Case
from jacketcalc.show.optimum_sheet import make_optimum_sheet
from jacketcalc.show.optimum_text import make_optimum_text
from jacketcalc.show.study_json import make_optimum_json
from jacketcalc.show.study_sheet import make_csv
from jacketcalc.studies.choice import Aim
from jacketcalc.studies.limits import Limits
from jacketcalc.studies.optimise import optimise
from jacketcalc.studies.optimum import Optimum
from jacketcalc.studies.variables import Variable

BEST = "-best.toml"
"""Ending of the case of the best design."""
ENDINGS = [BEST, ".txt", ".csv", ".json", ".xlsx", *(f"-scan{end}" for end in TABLE_ENDINGS)]
"""Endings of the files of what a search found."""


def find_optimum(
    case: Case,
    variables: Sequence[Variable],
    aim: Aim,
    limits: Limits,
    *,
    population: int | None,
    generations: int | None,
    quick: bool,
    folder: Folder,
    threads: int | None,
) -> tuple[Optimum, dict[str, MakeFile]]:
    """Search, and return what was found with the files it makes."""
    with ProgressLine(sys.stderr) as progress:
        optimum = optimise(
            case, variables, aim, limits, population=population, generations=generations,
            quick=quick, folder=folder.checkpoint, progress=progress, threads=threads,
        )  # fmt: skip
    if not folder.path:
        return optimum, {}
    from jacketcalc.report.study_figures import optimum_figures
    from jacketcalc.report.study_workbook import make_optimum_workbook

    forms: dict[str, MakeFile] = {
        BEST: lambda: optimum.best_case.text.encode(),
        ".txt": lambda: make_optimum_text(optimum, file=f"{folder.stem}{BEST}").encode(),
        ".csv": lambda: make_csv(make_optimum_sheet(optimum)).encode(),
        ".json": lambda: make_optimum_json(optimum).encode(),
        ".xlsx": lambda: make_optimum_workbook(optimum),
    }
    scan = table_forms(optimum.scan, as_drawn=False)
    forms.update({f"-scan{end}": make for end, make in scan.items()})
    forms.update(optimum_figures(optimum))
    return optimum, forms
