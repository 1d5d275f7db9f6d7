"""The report's tables as a workbook, one sheet a table."""

from __future__ import annotations

import io
import re
from typing import Any

import xlsxwriter

from jacketcalc.report.model import Cell, Report, Table, plain
from jacketcalc.report.workbook import Formats, Paper, filter_rows, set_page, set_properties

_NARROW, _WIDE = 9, 46
_HEAD = 2
"""Row of the heads of a table, below caption and an empty row [-]."""
_DECIMALS = re.compile(r"\.(\d+)")
_NOUGHT = re.compile(r"0(\.0+)?")
_POWER = re.compile(r"\de[+−-]?\d|×\u202f10")
_SHEET = re.compile(r"[\[\]:*?/\\']")
_FILTERED = 3
"""Rows from which a table has filters [-]."""


def make_xlsx(report: Report, paper: Paper = "a4") -> bytes:
    """Return every table of the report as XLSX.

    Numbers are numbers with all their digits, shown as the report prints them.
    """
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream, {"in_memory": True})
    set_properties(book, report.cover.title, report.cover.author)
    formats = Formats(book)
    summary = book.add_worksheet("summary page")
    _write_cover(summary, report, formats)
    set_page(summary, 2, 0, paper, report.foot)
    for table in report.tables():
        page = book.add_worksheet(_name(table))
        _write_table(page, table, formats)
        set_page(page, len(table.columns), _HEAD + 1, paper, report.foot)
    book.close()
    return stream.getvalue()


def _name(table: Table) -> str:
    number = f"{table.number} " if table.number else ""
    return _SHEET.sub(" ", f"{number}{table.name}")[:31]


def _write_cover(page: Any, report: Report, formats: Formats) -> None:
    cover = report.cover
    page.set_column(0, 0, 28)
    page.set_column(1, 1, 100, formats.words)
    lines = [("Title", cover.title), *cover.fields, ("What", cover.about),
             ("Caution", cover.caution),
             *((part.head if i == 0 else "", line) for part in cover.statements
               for i, line in enumerate(part.lines)),
             ("Why", cover.why),
             *((head if i == 0 else "", line) for head, body in cover.notes
               for i, line in enumerate(body)),
             ("Case SHA-256", report.sha256),
             ("Numbers", "Cells hold all digits; they show those that are printed.")]  # fmt: skip
    for row, (head, text) in enumerate(lines):
        page.write_string(row, 0, head, formats.strong)
        page.write_string(row, 1, text)


def _write_table(page: Any, table: Table, formats: Formats) -> None:
    page.write_string(0, 0, plain(table.caption), formats.strong)
    for column, head in enumerate(table.columns):
        page.write_string(_HEAD, column, plain(head.head), formats.head)
        longest = max((len(plain(r.cells[column].text)) for r in table.rows if not r.group),
                      default=0)  # fmt: skip
        page.set_column(column, column, min(_WIDE, max(_NARROW, longest + 2)))
    for number, row in enumerate(table.rows, _HEAD + 1):
        for column, cell in enumerate(row.cells):
            _write_cell(page, number, column, cell, formats)
    last = _HEAD + len(table.rows)
    page.freeze_panes(_HEAD + 1, 1)
    if len(table.rows) >= _FILTERED:
        filter_rows(page, _HEAD, last, len(table.columns))
    if table.note:
        page.write_string(last + 2, 0, plain(table.note))


def _write_cell(page: Any, row: int, column: int, cell: Cell, formats: Formats) -> None:
    text = plain(cell.text)
    if cell.number is None:
        page.write_string(row, column, text, formats.strong if cell.strong else formats.words)
        return
    value = cell.number if cell.full is None else cell.full
    form = number_format(text)
    # A format in per cent shows a share a hundred times as large.
    page.write_number(row, column, value / 100 if "%" in form else value, formats.number(form))


def number_format(text: str) -> str:
    """Return the format in which a workbook shows a number as the report prints it."""
    number, _, unit = text.partition("\u00a0")
    form = "0" + ("." + "0" * len(found[1]) if (found := _DECIMALS.search(number)) else "")
    form += "E+00" if _POWER.search(number) else ""
    form += " %" if unit == "%" else f'" {unit}"' if unit else ""
    if _NOUGHT.fullmatch(number):
        return f"{form};{form}"  # what is printed as nought bears no minus sign
    return f"+{form};-{form};{form}" if number.startswith("+") else form
