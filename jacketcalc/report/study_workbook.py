"""Studies and searches as workbooks, the same bytes for the same study."""

from __future__ import annotations

import datetime
import io
from collections.abc import Sequence
from typing import Any

import xlsxwriter

from jacketcalc import __version__
from jacketcalc.assessment.standing_words import describe_standings
from jacketcalc.cautions import FOOT
from jacketcalc.number_text import decimals_for
from jacketcalc.show.choice_text import describe_choice
from jacketcalc.show.optimum_sheet import make_optimum_sheet
from jacketcalc.show.page import Page
from jacketcalc.show.study_sheet import StudySheet, make_sheet
from jacketcalc.studies.choice import choose_all
from jacketcalc.studies.optimum import Optimum
from jacketcalc.studies.study_table import StudyTable
from jacketcalc.unit_display import System

FIXED = datetime.datetime(2000, 1, 1)
"""Date that stands in every workbook, so that it says nothing of when it was made."""
HEADS = 4
"""Row of the names of columns, from 0, in a sheet of points; units follow, then numbers [-]."""
_WIDEST, _WORDS = 30, 110
"""Widest column of a sheet of points, and that of sentences, in letters [-]."""
_DIGITS = 5
"""Significant digits that the largest number of a column shows; its cells hold them all [-]."""
_A4, _LETTER = 9, 1
"""Numbers of paper sizes in workbooks."""
_MARGINS = {"left": 0.4, "right": 0.4, "top": 0.6, "bottom": 0.6}
"""Margins of a printed page [in]."""
Lines = Sequence[tuple[str, str]]


def make_workbook(table: StudyTable) -> bytes:
    """Return a study as XLSX: what is best, then every point with names and units above."""
    page = Page(system=table.case.document.units)
    sheet = make_sheet(table)
    words = describe_standings(table.case, table.standings, table.missing, table.design)
    lines = [*_head(sheet), (table.design, page.prose(words))]
    lines += [(c.aim.name, page.prose(describe_choice(table, c, page))) for c in choose_all(table)]
    lines += [(("Models", "Columns")[i], text) for i, text in enumerate(sheet.about[3:])]
    return _make(lines, "points", sheet, table.case.title, page.system)


def make_optimum_workbook(optimum: Optimum) -> bytes:
    """Return every design that a search solved as XLSX."""
    sheet = make_optimum_sheet(optimum)
    found = (("Case searched", optimum.case), ("Case of the best design", optimum.best_case))
    lines = [*_head(sheet), *((f"{words}, SHA-256", case.sha256) for words, case in found)]
    system = optimum.case.document.units
    return _make(lines, "designs", sheet, optimum.case.title, system)


def _head(sheet: StudySheet) -> list[tuple[str, str]]:
    return list(zip(("Title", "Program and case", "Caution"), sheet.about, strict=False))


def _make(lines: Lines, name: str, sheet: StudySheet, title: str, system: System) -> bytes:
    """Make a book of a page of sentences and a page of numbers."""
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream, {"in_memory": True})
    book.set_properties({"title": title, "comments": f"jacketcalc {__version__}. {FOOT}",
                         "created": FIXED})  # fmt: skip
    bold = book.add_format({"bold": True, "valign": "top"})
    wrapped = book.add_format({"text_wrap": True, "valign": "top"})
    summary = book.add_worksheet("summary")
    summary.set_column(0, 0, _WIDEST)
    summary.set_column(1, 1, _WORDS)
    for row, (head, text) in enumerate(lines):
        summary.write_string(row, 0, head, bold)
        summary.write_string(row, 1, text, wrapped)
    _set_print(summary, title, system)
    summary.fit_to_pages(1, 0)
    points = book.add_worksheet(name)
    _write_points(book, points, sheet, bold)
    _set_print(points, title, system)
    points.repeat_rows(0, HEADS + 1)
    points.repeat_columns(0)
    points.print_area(0, 0, HEADS + 1 + len(sheet.rows), len(sheet.names) - 1)
    book.close()
    return stream.getvalue()


def _set_print(page: Any, title: str, system: System) -> None:
    """Set paper, margins, and what stands on every printed page."""
    page.set_landscape()
    page.set_paper(_LETTER if system == "inch-pound" else _A4)
    page.set_margins(**_MARGINS)
    words = title[:60].replace("&", "&&")
    page.set_footer(f"&L&8{words}&C&8{FOOT}&R&8jacketcalc {__version__}, page &P of &N")


def _write_points(book: Any, page: Any, sheet: StudySheet, bold: Any) -> None:
    """Write the caution, names and units, then the rows; a filter stands on the units."""
    for row, text in enumerate(sheet.about[: HEADS - 1]):
        page.write_string(row, 0, text, bold if row == 0 else None)
    unit = book.add_format({"italic": True, "bottom": 1})
    formats: dict[int, Any] = {}
    for column, (name, symbol) in enumerate(zip(sheet.names, sheet.units, strict=True)):
        page.write_string(HEADS, column, name, bold)
        page.write_string(HEADS + 1, column, symbol, unit)
        page.set_column(column, column, min(_WIDEST, max(12, len(name) + 2)))
        cells = [row[column] for row in sheet.rows]
        decimals = _decimals([cell for cell in cells if isinstance(cell, float)])
        if decimals not in formats:
            shown = "0" + ("." + "0" * decimals if decimals else "")
            formats[decimals] = book.add_format({"num_format": shown})
        for row, cell in enumerate(cells, HEADS + 2):
            if isinstance(cell, str):
                page.write_string(row, column, cell)
            elif cell is not None:
                page.write_number(row, column, cell, formats[decimals])
    page.autofilter(HEADS + 1, 0, HEADS + 1 + len(sheet.rows), len(sheet.names) - 1)
    page.freeze_panes(HEADS + 2, 1)


def _decimals(values: Sequence[float]) -> int:
    """Return the decimals that a column shows: none where all of it is whole."""
    if all(value == int(value) for value in values):
        return 0
    return decimals_for(values, _DIGITS)
