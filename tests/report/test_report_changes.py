"""The revision table is made of two cases: every entry that differs, and no other."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from report_sample import CASES, found

from jacketcalc.casefile.reading import read_case_text
from jacketcalc.cli.main import main
from jacketcalc.report.gather import gather
from jacketcalc.report.html import make_html
from jacketcalc.report.model import Report, plain
from jacketcalc.report.pdf import make_pdf
from jacketcalc.studies.solve_dossier import make_dossier
from jacketcalc.verification.published import Verification

SINGLE = (CASES / "single.toml").read_text("utf-8")


def _report(old: str) -> Report:
    previous = read_case_text(old)
    dossier = make_dossier(found("single"))
    return gather(dossier, Verification(findings=()), previous=previous)


def _rows(report: Report) -> list[tuple[str, ...]]:
    assert report.cover.changes is not None
    return [tuple(plain(cell.text) for cell in row.cells) for row in report.cover.changes.rows]


def test_what_differs_is_listed_with_its_units() -> None:
    old = SINGLE.replace('bore = "80 mm"', 'bore = "76 mm"', 1)
    old = old.replace('seal_material = "PTFE"', 'seal_material = "POM"')
    assert old != SINGLE
    rows = _rows(_report(old))
    assert ("drive.bore", "76\u00a0mm", "80\u00a0mm") in rows
    sealed = next(row for row in rows if row[0].endswith("seal_material"))
    assert sealed[1:] == ("POM", "PTFE")
    # Sizes that are filled in from the bore follow it; nothing of other parts does.
    assert all(row[0].startswith(("drive.", "stage.")) for row in rows)


def test_the_same_case_has_no_changes_and_says_so() -> None:
    report = _report(SINGLE)
    assert _rows(report) == []
    assert report.cover.changes is not None and "No entry" in plain(report.cover.changes.note)
    assert "same case" in plain(report.cover.revisions.rows[0].cells[2].text)


def test_an_assumption_that_was_confirmed_is_a_change() -> None:
    """The value is the same; its source is not."""
    old = SINGLE.replace("\n[receiver]", '\n[receiver]\nsource = "assumed"', 1)
    start = old.index("[receiver]")
    old = old[:start] + old[start:].replace('source = "invented"\n', "", 1)
    rows = _rows(_report(old))
    told = next(row for row in rows if row[0] == "receiver.pressure")
    assert "(assumed)" in told[1] and "(invented)" in told[2]


def test_changes_stand_in_page_and_pdf() -> None:
    report = _report(SINGLE.replace('bore = "80 mm"', 'bore = "76 mm"', 1))
    assert "drive.bore" in make_html(report) and "76\u00a0mm" in make_html(report)
    assert make_pdf(replace(report, sections=())).startswith(b"%PDF")


def test_a_previous_case_that_is_not_there_is_refused_before_solving(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    case = str(CASES / "single.toml")
    asked = ["report", case, "-o", str(tmp_path / "r"), "--previous", str(tmp_path / "no.toml")]
    assert main(asked) == 2
    assert "no.toml" in capsys.readouterr().err
    assert not (tmp_path / "r").exists()
