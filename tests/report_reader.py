"""The main case's report, and a page of one read back."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from html.parser import HTMLParser

from report_sample import MAIN, found, report_of

from jacketcalc.report.html import make_html
from jacketcalc.report.model import Cell, Report, Table


@cache
def main_report() -> Report:
    return report_of(found("hot"))


@cache
def main_page() -> str:
    return make_html(main_report())


class ReadPage(HTMLParser):
    """What of a page matters here."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.ids: list[str] = []
        self.text = ""
        self.headings: list[int] = []
        self._quiet = 0
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        self.tags.append((tag, found))
        if found.get("id"):
            self.ids.append(str(found["id"]))
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(int(tag[1]))
        self._quiet += tag in ("style", "svg")

    def handle_endtag(self, tag: str) -> None:
        self._quiet -= tag in ("style", "svg")

    def handle_data(self, data: str) -> None:
        if not self._quiet:
            self.text += data

    def named(self, tag: str) -> list[dict[str, str | None]]:
        return [attrs for name, attrs in self.tags if name == tag]


def cells_of(report: Report) -> Iterator[tuple[Table, Cell]]:
    for table in report.tables():
        for row in table.rows:
            for cell in row.cells:
                yield table, cell


def without_case(text: str) -> str:
    """Return a page's words up to the case file, which is kept as it was written."""
    return text[: text.rindex(MAIN.splitlines()[0])]
