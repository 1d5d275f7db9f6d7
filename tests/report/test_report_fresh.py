"""The finished report in `reports/` is of this case and this version, with these numbers."""

from __future__ import annotations

import re
from zipfile import ZipFile

from places import ROOT

from jacketcalc import __version__
from jacketcalc.assessment.assess import assess
from jacketcalc.casefile.reading import read_case
from jacketcalc.report.gather import gather
from jacketcalc.report.model import Cell, plain
from jacketcalc.studies.solve_dossier import make_dossier
from jacketcalc.verification.published import Verification

REPORTS = ROOT / "reports"


def test_finished_report_is_fresh() -> None:
    """The report in `reports/` is of this case and this version, with these numbers.

    Remade by: jacketcalc report cases/impact_laboratory.toml -o reports --with pitch --force
    """
    case = read_case(str(ROOT / "cases" / "impact_laboratory.toml"))
    page = (REPORTS / "impact_laboratory.html").read_text("utf-8")
    assert f'<meta name="case-sha256" content="{case.sha256}">' in page
    assert f'<meta name="generator" content="jacketcalc {__version__}">' in page
    fresh = gather(make_dossier(assess(case)), Verification(findings=()))
    printed = _cells(page)
    for table in fresh.tables():
        if table.name not in ("results", "limits", "band", "energy_balance", "inputs"):
            continue
        for row in table.rows:
            label = next(plain(c.text) for c in row.cells if plain(c.text) and c.number is None)
            for cell in row.cells:
                if cell.number is not None:
                    assert _close(cell, printed), (table.name, label, plain(cell.text))
    assert (REPORTS / "impact_laboratory.pdf").read_bytes().startswith(b"%PDF")
    book = ZipFile(REPORTS / "impact_laboratory.xlsx")
    assert case.sha256 in book.read("xl/sharedStrings.xml").decode("utf-8")


def _cells(page: str) -> set[str]:
    return set(re.findall(r"<t[dh][^>]*>(?:<b>)?([^<]*)", page))


def _close(cell: Cell, printed: set[str]) -> bool:
    """Return whether a number stands in the page, the last digit up or down."""
    text = plain(cell.text)
    if text in printed:
        return True
    number, space, unit = text.partition("\u00a0")
    digits = number.replace("−", "-")
    decimals = len(digits.partition(".")[2])
    step = 10.0**-decimals
    for move in (-step, step):
        near = (
            f"{float(digits) + move:+.{decimals}f}"
            if digits[0] in "+-"
            else (f"{float(digits) + move:.{decimals}f}")
        )
        if near.replace("-", "−") + space + unit in printed:
            return True
    return False
