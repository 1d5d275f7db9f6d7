"""The report's tables as a workbook, one sheet a table."""

from __future__ import annotations

import datetime
import io
import re
from typing import Any

import xlsxwriter

from jacketcalc.report.model import Cell, Report, Table, plain

FIXED = datetime.datetime(2000, 1, 1)
"""Date that stands in every workbook, so that it says nothing of when it was made."""
_NARROW, _WIDE = 9, 46
_DECIMALS = re.compile(r"\.(\d+)")
_POWER = re.compile(r"\de[+−-]?\d|×\u202f10")
_SHEET = re.compile(r"[\[\]:*?/\\']")


class Formats:
    """Formats of a workbook; those of numbers are made as they are asked for."""

    def __init__(self, book: Any) -> None:
        head = {"bold": True, "text_wrap": True, "bottom": 1, "valign": "bottom"}
        self._book = book
        self._numbers: dict[str, Any] = {}
        self.head = book.add_format(head)
        self.strong = book.add_format({"bold": True})
        self.words = book.add_format({"text_wrap": True, "valign": "top"})

    def number(self, form: str) -> Any:
        """Return the format of numbers that are shown so."""
        if form not in self._numbers:
            own = self._book.add_format({"num_format": form, "valign": "top"})
            self._numbers[form] = own
        return self._numbers[form]


def make_xlsx(report: Report) -> bytes:
    """Return every table of the report as XLSX; numbers are numbers, shown as printed."""
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream, {"in_memory": True})
    book.set_properties({"title": report.cover.title[:255], "comments": report.program,
                         "created": FIXED})  # fmt: skip
    formats = Formats(book)
    _write_cover(book.add_worksheet("summary"), report, formats)
    for table in report.tables():
        _write_table(book.add_worksheet(_name(table)), table, formats)
    book.close()
    return stream.getvalue()


def _name(table: Table) -> str:
    number = f"{table.number} " if table.number else ""
    return _SHEET.sub(" ", f"{number}{table.name}")[:31]


def _write_cover(page: Any, report: Report, formats: Formats) -> None:
    cover = report.cover
    page.set_column(0, 0, 28)
    page.set_column(1, 1, 100, formats.words)
    lines = [("Title", cover.title), *cover.fields, ("Verdict", cover.verdict),
             ("", cover.sentence), *cover.abstract, ("Energy", cover.energy),
             *((head if i == 0 else "", line) for head, body in cover.notes
               for i, line in enumerate(body)),
             ("Case SHA-256", report.sha256)]  # fmt: skip
    for row, (head, text) in enumerate(lines):
        page.write_string(row, 0, head, formats.strong)
        page.write_string(row, 1, text)


def _write_table(page: Any, table: Table, formats: Formats) -> None:
    page.write_string(0, 0, plain(table.caption), formats.strong)
    for column, head in enumerate(table.columns):
        page.write_string(2, column, plain(head.head), formats.head)
        longest = max((len(plain(r.cells[column].text)) for r in table.rows if not r.group),
                      default=0)  # fmt: skip
        page.set_column(column, column, min(_WIDE, max(_NARROW, longest + 2)))
    for number, row in enumerate(table.rows, 3):
        for column, cell in enumerate(row.cells):
            _write_cell(page, number, column, cell, formats)
    page.freeze_panes(3, 1)
    if table.note:
        page.write_string(len(table.rows) + 4, 0, plain(table.note))


def _write_cell(page: Any, row: int, column: int, cell: Cell, formats: Formats) -> None:
    text = plain(cell.text)
    if cell.number is None:
        page.write_string(row, column, text, formats.strong if cell.strong else formats.words)
        return
    page.write_number(row, column, cell.number, formats.number(number_format(text)))


def number_format(text: str) -> str:
    """Return the format in which a workbook shows a number as the report prints it."""
    number, _, unit = text.partition("\u00a0")
    form = "0" + ("." + "0" * len(found[1]) if (found := _DECIMALS.search(number)) else "")
    form += "E+00" if _POWER.search(number) else ""
    form += f'" {unit}"' if unit else ""
    return f"+{form};-{form};{form}" if number.startswith("+") else form
