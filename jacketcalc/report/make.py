"""From a case to the files of its report."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from jacketcalc.assessment.assess import assess
from jacketcalc.inputs import Case
from jacketcalc.report.gather import gather
from jacketcalc.report.grid_check import check_grid
from jacketcalc.report.model import Report
from jacketcalc.report.pdf import Paper
from jacketcalc.report.sections.pitch import pitch_axis
from jacketcalc.studies.study import run_study
from jacketcalc.verification import run_verification

FORMATS = ("html", "pdf", "xlsx")
PARTS = ("pitch",)
"""Parts that can be asked for."""


def make_report(
    case: Case,
    parts: Sequence[str] = (),
    progress: Callable[[float], None] | None = None,
) -> Report:
    """Solve a case and return its report.

    Parameters
    ----------
    case : the case
    parts : parts beyond the assessment, of `PARTS`
    progress : called with the share done, 0 to 1
    """
    report = progress or (lambda share: None)
    first, last = (0.25, 0.8) if "pitch" in parts else (0.5, 0.5)
    found = assess(case, progress=lambda share: report(first * share))
    study = None
    if "pitch" in parts:
        study = run_study(
            case, [pitch_axis(case)], progress=lambda share: report(first + (last - first) * share)
        )
    rest = 0.95 - last
    grid = None
    if found.delivers:
        grid = check_grid(case, progress=lambda share: report(last + rest * share))
    return gather(found, run_verification(), study, grid)


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
