"""Studies and searches as workbooks, the same bytes for the same study."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Any

import xlsxwriter

from jacketcalc.assessment.standing_words import describe_standings
from jacketcalc.inputs import Case
from jacketcalc.number_text import decimals_for
from jacketcalc.report.caution import FOOT
from jacketcalc.report.workbook import Formats, Paper, filter_rows, set_page, set_properties
from jacketcalc.show.choice_text import describe_choice
from jacketcalc.show.optimum_sheet import make_optimum_sheet
from jacketcalc.show.page import Page
from jacketcalc.show.study_sheet import StudySheet, make_sheet
from jacketcalc.studies.choice import choose_all
from jacketcalc.studies.optimum import Optimum
from jacketcalc.studies.study_table import StudyTable

_NARROW, _WIDEST = 12, 30
_HEADS = 2
"""Rows of names and units above the points [-]."""
_SHOWN = 5
"""Significant digits that a cell shows; it holds all [-]."""


def make_workbook(table: StudyTable) -> bytes:
    """Return a study as XLSX: every point with names and units above, then what is best."""
    stream, book, formats = _begin(table.case)
    _write_points(book.add_worksheet("points"), make_sheet(table), formats, table.case)
    best = book.add_worksheet("best")
    page = Page(system=table.case.document.units)
    words = describe_standings(table.case, table.standings, table.missing)
    lines = [("machine", table.case.title), ("case, SHA-256", table.case.sha256),
             ("caution", FOOT), ("as drawn", page.prose(words))]  # fmt: skip
    lines += [(c.aim.name, page.prose(describe_choice(table, c, page))) for c in choose_all(table)]
    _write_lines(best, lines, formats, table.case)
    book.close()
    return stream.getvalue()


def make_optimum_workbook(optimum: Optimum) -> bytes:
    """Return every design that a search solved as XLSX."""
    stream, book, formats = _begin(optimum.case)
    sheet = make_optimum_sheet(optimum)
    _write_points(book.add_worksheet("designs"), sheet, formats, optimum.case)
    lines = [("machine", optimum.case.title), ("caution", FOOT),
             ("case searched, SHA-256", optimum.case.sha256),
             ("case of the best design, SHA-256", optimum.best_case.sha256)]  # fmt: skip
    _write_lines(book.add_worksheet("cases"), lines, formats, optimum.case)
    book.close()
    return stream.getvalue()


def _begin(case: Case) -> tuple[io.BytesIO, Any, Formats]:
    """Open a workbook; return where its bytes go, the book, and its formats."""
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream, {"in_memory": True})
    set_properties(book, case.title, case.document.author)
    return stream, book, Formats(book)


def _paper(case: Case) -> Paper:
    return "us-letter" if case.document.units == "inch-pound" else "a4"


def _write_lines(page: Any, lines: Sequence[tuple[str, str]], formats: Formats, case: Case) -> None:
    page.set_column(0, 0, _WIDEST)
    page.set_column(1, 1, 100)
    for row, (head, words) in enumerate(lines):
        page.write_string(row, 0, head, formats.strong)
        page.write_string(row, 1, words, formats.words)
    set_page(page, 2, 0, _paper(case), case.title)


def _write_points(page: Any, sheet: StudySheet, formats: Formats, case: Case) -> None:
    for column, (name, unit) in enumerate(zip(sheet.names, sheet.units, strict=True)):
        page.write_string(0, column, name, formats.strong)
        page.write_string(1, column, unit, formats.head)
        page.set_column(column, column, min(_WIDEST, max(_NARROW, len(name) + 2)))
        cells = [row[column] for row in sheet.rows]
        form = formats.number(number_form([c for c in cells if isinstance(c, float)]))
        for row, cell in enumerate(cells, _HEADS):
            if isinstance(cell, str):
                page.write_string(row, column, cell)
            elif cell is not None:
                page.write_number(row, column, cell, form)
    page.freeze_panes(_HEADS, 1)
    filter_rows(page, _HEADS - 1, _HEADS - 1 + len(sheet.rows), len(sheet.names))
    set_page(page, len(sheet.names), _HEADS, _paper(case), case.title)


def number_form(values: Sequence[float]) -> str:
    """Return a format that shows the largest of a column's numbers in a few digits."""
    decimals = decimals_for(values, _SHOWN)
    size = max(map(abs, values), default=0.0)
    if 0.0 < size < 1e-4 or size >= 1e7:
        return "0.0000E+00"
    return "0" + ("." + "0" * decimals if decimals else "")
