"""The main case's report with every table it can have, made once for the tests of a process.

Its study is invented and its finer grid is the machine itself: tables are tested, not numbers.
"""

from __future__ import annotations

from functools import cache

from report_sample import found
from study_sample import invented

from jacketcalc.report.gather import gather
from jacketcalc.report.html import make_html
from jacketcalc.report.model import Report
from jacketcalc.report.pdf import Paper, make_pdf
from jacketcalc.report.xlsx import make_xlsx
from jacketcalc.studies.dossier import GridCheck
from jacketcalc.studies.solve_dossier import make_dossier
from jacketcalc.verification import run_verification
from jacketcalc.verification.read_sources import published_checks


@cache
def whole_report() -> Report:
    """Return the report with study, grid check and published cases."""
    assessment = found("hot")
    grid = GridCheck(
        bare=assessment.bare, jacketed=assessment.jacketed, change=assessment.change
    )  # fmt: skip
    study = invented(
        "jacket.pitch=2mm:42mm:5",
        number=lambda pitch, member: 0.01 + 1e-5 * (pitch - 22.0) ** 2 + 1e-3 * member,
    )
    wanted = ("ashrae-ice-20", "ice-point-cv", "cengel-8-6", "cimbala-tyre")
    checks = [check for check in published_checks() if check.id in wanted]
    return gather(make_dossier(assessment, study, grid), run_verification(checks))


@cache
def whole_page() -> str:
    """Return the report as a page."""
    return make_html(whole_report())


@cache
def whole_pdf(paper: Paper = "a4") -> bytes:
    """Return the report as a PDF."""
    return make_pdf(whole_report(), paper)


@cache
def whole_book() -> bytes:
    """Return the report as a workbook."""
    return make_xlsx(whole_report())
