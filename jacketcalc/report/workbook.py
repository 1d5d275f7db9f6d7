"""What every workbook has: properties, formats, a page to print on, filters and the caution."""

from __future__ import annotations

import datetime
from typing import Any, Literal

from jacketcalc import __version__
from jacketcalc.cautions import FOOT

Paper = Literal["a4", "us-letter"]
FIXED = datetime.datetime(2000, 1, 1)
"""Date that stands in every workbook, so that it says nothing of when it was made."""
_PAPERS: dict[str, int] = {"a4": 9, "us-letter": 1}
"""Numbers of papers, ECMA-376 part 1, 18.3.1.63 (from memory)."""
_WIDE = 6
"""Columns from which a sheet is printed across the longer side [-]."""


class Formats:
    """Formats of a workbook; those of numbers are made as they are asked for."""

    def __init__(self, book: Any) -> None:
        self._book = book
        self._numbers: dict[str, Any] = {}
        head = {"bold": True, "text_wrap": True, "bottom": 1, "valign": "bottom"}
        self.head = book.add_format(head)
        self.strong = book.add_format({"bold": True, "valign": "top"})
        self.words = book.add_format({"text_wrap": True, "valign": "top"})
        self.soft = book.add_format({"font_color": "#555555"})

    def number(self, form: str) -> Any:
        """Return the format of numbers that are shown so."""
        if form not in self._numbers:
            own = self._book.add_format({"num_format": form, "valign": "top"})
            self._numbers[form] = own
        return self._numbers[form]


def set_properties(book: Any, title: str, author: str = "") -> None:
    """Say what a workbook is, and date it to no time."""
    book.set_properties({"title": title[:255], "author": author[:255], "created": FIXED,
                         "comments": f"jacketcalc {__version__}. {FOOT}"})  # fmt: skip


def set_page(page: Any, columns: int, heads: int, paper: Paper, foot: str) -> None:
    """Fit a sheet to the width of paper, with its heads and the caution on every page.

    Parameters
    ----------
    page : the sheet
    columns : how many it has
    heads : rows at the top that every printed page repeats
    paper : what it is printed on
    foot : document and revision, or the machine
    """
    page.set_paper(_PAPERS[paper])
    page.fit_to_pages(1, 0)
    page.set_margins(left=0.5, right=0.5, top=0.6, bottom=0.8)
    if columns >= _WIDE:
        page.set_landscape()
    if heads:
        page.repeat_rows(0, heads - 1)
    # An ampersand begins a code of a footer; it is doubled to stand for itself.
    words = foot.replace("&", "&&")[:60]
    page.set_footer(f"&L&8{words} &C&8{FOOT}&R&8&A, page &P of &N")


def filter_rows(page: Any, head: int, last: int, columns: int) -> None:
    """Put filters on the heads of a table that has rows."""
    if last > head and columns:
        page.autofilter(head, 0, last, columns - 1)
