"""From a case to the files of its report."""

from __future__ import annotations

from collections.abc import Sequence

from jacketcalc.assessment.assess import ABOUT, assess
from jacketcalc.inputs import Case
from jacketcalc.progress import Progress, Tally
from jacketcalc.report.gather import gather
from jacketcalc.report.grid_check import GRID_MACHINES, check_grid
from jacketcalc.report.model import Report
from jacketcalc.report.pdf import Paper
from jacketcalc.report.sections.pitch import pitch_axis
from jacketcalc.studies.grid import make_plan
from jacketcalc.studies.study import solve_plan
from jacketcalc.verification import run_verification

FORMATS = ("html", "pdf", "xlsx")
PARTS = ("pitch",)
"""Parts that can be asked for."""


def make_report(
    case: Case,
    parts: Sequence[str] = (),
    progress: Progress | None = None,
) -> Report:
    """Solve a case and return its report.

    Parameters
    ----------
    case : the case
    parts : parts beyond the assessment, of `PARTS`
    progress : called with the share of each stage that is done, 0 to 1
    """
    plan = make_plan(case, [pitch_axis(case)], drawn=False) if "pitch" in parts else None
    studied = len(plan.designs) if plan else 0
    tally = Tally(progress, ABOUT + studied + GRID_MACHINES)
    found = assess(case, progress=tally.part(ABOUT))
    study = solve_plan(plan, progress=tally.part(studied)) if plan else None
    grid = check_grid(case, progress=tally.part(GRID_MACHINES)) if found.delivers else None
    return gather(found, run_verification(progress=progress), study, grid)


def write_report(report: Report, form: str, paper: Paper = "a4") -> bytes:
    """Return a report in one of `FORMATS`."""
    if form == "html":
        from jacketcalc.report.html import make_html

        return make_html(report).encode("utf-8")
    if form == "pdf":
        from jacketcalc.report.pdf import make_pdf

        return make_pdf(report, paper)
    from jacketcalc.report.xlsx import make_xlsx

    return make_xlsx(report)
