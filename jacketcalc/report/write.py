"""A report in each of its formats."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jacketcalc.report.model import Report
    from jacketcalc.report.pdf import Paper

FORMATS = ("html", "pdf", "xlsx")


def write_report(report: Report, form: str, paper: Paper = "a4") -> bytes:
    """Return a report in one of `FORMATS`."""
    if form == "html":
        from jacketcalc.report.html import make_html

        return make_html(report).encode("utf-8")
    if form == "pdf":
        from jacketcalc.report.pdf import make_pdf

        return make_pdf(report, paper)
    from jacketcalc.report.xlsx import make_xlsx

    return make_xlsx(report, paper)
