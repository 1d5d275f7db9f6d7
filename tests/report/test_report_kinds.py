"""Every kind of case has its report: one stage, stalled, all assumed, inch-pound."""

from __future__ import annotations

import re
from dataclasses import replace

from report_reader import ReadPage, without_case
from report_sample import CASES, COARSE, found, report_of, stalled

from jacketcalc.assessment.assess import assess
from jacketcalc.casefile.reading import read_case
from jacketcalc.report.html import make_html
from jacketcalc.report.model import plain
from jacketcalc.report.pdf import make_pdf


def test_every_input_assumed() -> None:
    """A hundred assumptions: each bears its mark in the table, the first page counts them."""
    assessment = found("hot")
    given = tuple(replace(entry, assumed=True) for entry in assessment.case.given)
    report = report_of(replace(assessment, case=replace(assessment.case, given=given)))
    inputs = next(t for t in report.tables() if t.name == "inputs")
    marks = [plain(row.cells[0].text) for row in inputs.rows if not row.group]
    marked = [mark for mark in marks if mark]
    assert len(marked) == len(set(marked)) > 40
    inputs_told = report.cover.statements[3]
    assert f"A1 to A{len(marked)}" in inputs_told.lines[0]
    assert inputs_told.head.startswith(f"INPUTS: {len(marked)} of ")
    assert dict(report.cover.fields)["Status"] == "contains assumptions to be confirmed"


def test_single_stage() -> None:
    report = report_of(found("single"))
    assert ReadPage(make_html(report)).headings
    assert make_pdf(report).startswith(b"%PDF")


def test_stalled_machine() -> None:
    assessment = stalled()
    assert assessment.jacketed.stalled
    page = ReadPage(make_html(report_of(assessment)))
    assert "stalls" in page.text
    assert "nan" not in page.text.lower().split()
    assert make_pdf(report_of(assessment)).startswith(b"%PDF")


def test_inch_pound_is_never_mixed() -> None:
    case = read_case(str(CASES / "hot.toml"))
    case = replace(case, document=replace(case.document, units="inch-pound"))
    report = report_of(assess(case, resolution=COARSE))
    text = without_case(ReadPage(make_html(report)).text)
    text = text.partition("5\u2002Method")[0] + text.rpartition("6\u2002Results")[2]
    for words in (case.title, "1.2 bores, 20 mm"):
        text = text.replace(words, "")
    assert "°F" in text and "psi" in text
    assert not re.findall(r"\d\s?(?:°C|bar|mm|K|W|kg/h)\b", text)
