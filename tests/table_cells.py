"""Reads the tables of a finished report back: page, PDF and workbook, by other libraries.

A table is a list of rows, a row the words of its cells; a number of the workbook comes with its
format, so that what a reader sees of it can be compared with what is printed.
"""

from __future__ import annotations

import io
import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterator
from html.parser import HTMLParser
from typing import Any, NamedTuple

import openpyxl
import pdfplumber
from pdfminer.pdftypes import resolve1

Rows = list[list[str]]
Node = dict[str, Any]
"""Structure element of a PDF."""
Mark = tuple[int, int | None]
"""Number of a page's object, and of a marked piece on it."""
_HEAD_ROWS = 2
"""Rows of a sheet above the heads of its table: caption and an empty one [-]."""


class Number(NamedTuple):
    """A number of a workbook."""

    value: float
    form: str
    """Its format."""

    @property
    def shown(self) -> str:
        """What a reader sees: Excel's rules for 0, decimals, E+00, %, quoted units and signs."""
        sections = self.form.split(";")
        form = sections[1] if self.value < 0.0 and len(sections) > 1 else sections[0]
        found = re.fullmatch(r'([+-]?)0(?:\.(0+))?(E\+00)?( %)?(?:"([^"]*)")?', form)
        assert found is not None, self.form
        sign, decimals, power, share, unit = found.groups()
        size = abs(self.value) if len(sections) > 1 else self.value
        size *= 100.0 if share else 1.0
        number = f"{size:.{len(decimals or '')}{'E' if power else 'f'}}"
        return f"{sign}{number}{share or ''}{unit or ''}"


def squeeze(text: str) -> str:
    """Return words in the one spelling that page, PDF and workbook share.

    Without spaces and the marks of index and power, minus signs and powers of ten as computers
    write them.
    """
    text = re.sub(r"\u202f×\u202f10([⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)", _as_power, text)
    text = re.sub(r"[\s\u200b_^()]", "", text).replace("−", "-")
    return re.sub(r"(?<=\d)[eE]([+-]?)0*(\d)", lambda f: f"E{f[1] or '+'}{f[2]}", text)


def _as_power(found: re.Match[str]) -> str:
    return "E" + found[1].translate(str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789"))


class _Tables(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tables: list[Rows] = []
        self._open = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "table":
            self.tables.append([])
        elif tag == "tr":
            self.tables[-1].append([])
        elif tag in ("td", "th"):
            self.tables[-1][-1].append("")
            self._open = True

    def handle_endtag(self, tag: str) -> None:
        if tag in ("td", "th"):
            self._open = False

    def handle_data(self, data: str) -> None:
        if self._open:
            self.tables[-1][-1][-1] += data


def page_tables(page: str) -> list[Rows]:
    """Return every table of a page."""
    parser = _Tables()
    parser.feed(page)
    return parser.tables


def pdf_tables(data: bytes) -> list[Rows]:
    """Return every table of a PDF, by its tags and the letters that stand on its pages.

    Structure elements and marked pieces are those of ISO 32000-1, 14.7 (from memory).
    """
    with pdfplumber.open(io.BytesIO(data)) as pdf:
        words = _pieces(pdf)

        def text(cell: Node) -> str:
            return "".join(words[mark] for mark in _marks(cell, 0))

        return [
            [[text(cell) for cell in _find(row, ("TH", "TD"))] for row in _find(table, ("TR",))]
            for table in find_nodes(pdf, "Table")
        ]


def find_nodes(pdf: pdfplumber.PDF, kind: str) -> list[Node]:
    """Return the outermost structure elements of a kind."""
    return list(_find(resolve1(pdf.doc.catalog["StructTreeRoot"]), (kind,)))


def _pieces(pdf: pdfplumber.PDF) -> dict[Mark, str]:
    """Return the letters of every marked piece."""
    words: dict[Mark, str] = defaultdict(str)
    for page in pdf.pages:
        before, mark = "", None
        for letter in page.chars:
            text = letter["text"]
            # A span inside a marked piece, for a word that may break anywhere, has no number.
            inner = letter["mcid"] is None and letter["tag"] == "Span"
            mark = mark if inner else letter["mcid"]
            # A letter and the dot above it are two glyphs that both stand for the pair.
            again = text == before and any(map(unicodedata.combining, text))
            before = "" if again else text
            words[page.page_obj.pageid, mark] += before
    return words


def _kids(node: Node) -> list[Any]:
    kids = resolve1(node.get("K", []))
    return [resolve1(kid) for kid in (kids if isinstance(kids, list) else [kids])]


def _find(node: Node, kinds: tuple[str, ...]) -> Iterator[Node]:
    """Yield the outermost elements of some kinds below a node."""
    for kid in _kids(node):
        if isinstance(kid, dict) and "S" in kid:
            if kid["S"].name in kinds:
                yield kid
            else:
                yield from _find(kid, kinds)


def _marks(node: Node, page: int) -> Iterator[Mark]:
    """Yield the marked pieces of a node in the order of reading."""
    page = node["Pg"].objid if "Pg" in node else page
    for kid in _kids(node):
        if isinstance(kid, int):
            yield page, kid
        elif "MCID" in kid:
            yield (kid["Pg"].objid if "Pg" in kid else page), kid["MCID"]
        elif "S" in kid:
            yield from _marks(kid, page)


def book_tables(data: bytes) -> list[list[list[str | Number]]]:
    """Return every table of a workbook, without the summary and what stands below a table."""
    book = openpyxl.load_workbook(io.BytesIO(data))
    tables = []
    for sheet in book.worksheets[1:]:
        rows: list[list[str | Number]] = []
        for cells in sheet.iter_rows(min_row=_HEAD_ROWS + 1):
            if all(cell.value is None for cell in cells):
                break
            rows.append([_read(cell) for cell in cells])
        tables.append(rows)
    return tables


def _read(cell: Any) -> str | Number:
    if isinstance(cell.value, (int, float)):
        return Number(float(cell.value), cell.number_format)
    return cell.value or ""
