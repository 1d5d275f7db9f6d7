"""Studies and searches as workbooks, the same bytes for the same study."""

from __future__ import annotations

import datetime
import io

import xlsxwriter

from jacketcalc import __version__
from jacketcalc.assessment.standing_words import describe_standings
from jacketcalc.show.choice_text import describe_choice
from jacketcalc.show.optimum_sheet import make_optimum_sheet
from jacketcalc.show.page import Page
from jacketcalc.show.study_sheet import StudySheet, make_sheet
from jacketcalc.studies.choice import choose_all
from jacketcalc.studies.optimum import Optimum
from jacketcalc.studies.study_table import StudyTable

FIXED = datetime.datetime(2000, 1, 1)
"""Date that stands in every workbook, so that it says nothing of when it was made."""
_WIDEST = 30


def make_workbook(table: StudyTable) -> bytes:
    """Return a study as XLSX: what is best, then every point with names and units above."""
    stream, book, bold = _begin(table.case.title)
    _write_points(book.add_worksheet("points"), make_sheet(table), bold)
    best = book.add_worksheet("best")
    page = Page(system=table.case.document.units)
    best.write_string(0, 0, table.case.title, bold)
    best.set_column(0, 0, _WIDEST)
    best.write_string(1, 0, "case, SHA-256")
    best.write_string(1, 1, table.case.sha256)
    words = describe_standings(table.case, table.standings, table.missing)
    best.write_string(2, 0, "as drawn")
    best.write_string(2, 1, page.prose(words))
    for row, choice in enumerate(choose_all(table), 3):
        best.write_string(row, 0, choice.aim.name)
        best.write_string(row, 1, page.prose(describe_choice(table, choice, page)))
    book.close()
    return stream.getvalue()


def make_optimum_workbook(optimum: Optimum) -> bytes:
    """Return every design that a search solved as XLSX."""
    stream, book, bold = _begin(optimum.case.title)
    _write_points(book.add_worksheet("designs"), make_optimum_sheet(optimum), bold)
    cases = book.add_worksheet("cases")
    found = (("case searched", optimum.case), ("case of the best design", optimum.best_case))
    for row, (words, case) in enumerate(found):
        cases.write_string(row, 0, f"{words}, SHA-256")
        cases.write_string(row, 1, case.sha256)
    cases.set_column(0, 0, _WIDEST)
    book.close()
    return stream.getvalue()


def _begin(title: str) -> tuple[io.BytesIO, xlsxwriter.Workbook, object]:
    """Open a workbook; return where its bytes go, the book, and bold letters."""
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream, {"in_memory": True})
    book.set_properties({"title": title, "comments": f"jacketcalc {__version__}",
                         "created": FIXED})  # fmt: skip
    return stream, book, book.add_format({"bold": True})


def _write_points(page: xlsxwriter.worksheet.Worksheet, sheet: StudySheet, bold: object) -> None:
    for column, (name, unit) in enumerate(zip(sheet.names, sheet.units, strict=True)):
        page.write_string(0, column, name, bold)
        page.write_string(1, column, unit)
        page.set_column(column, column, min(_WIDEST, max(12, len(name) + 2)))
    for row, cells in enumerate(sheet.rows, 2):
        for column, cell in enumerate(cells):
            if isinstance(cell, str):
                page.write_string(row, column, cell)
            elif cell is not None:
                page.write_number(row, column, cell)
    page.freeze_panes(2, 1)
