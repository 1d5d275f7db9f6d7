"""The PDF as a document: bookmarks, author, standard, a footer on each page, nothing too small."""

from __future__ import annotations

import io
import re
from collections import Counter
from dataclasses import replace

import pdfplumber
import pytest
from figure_data import shown_texts
from pdfminer.pdftypes import resolve1
from report_sample import found, report_of
from report_whole import whole_pdf, whole_report

from jacketcalc.report.model import Figure
from jacketcalc.report.pdf import Paper, make_pdf

PAPERS: tuple[Paper, ...] = ("a4", "us-letter")
LEAST = 6.0
"""Smallest letters, exponents and indices included [pt]."""
EMPTY = 0.40
"""Share of a page's height that may stand empty in one piece [-]."""


def test_bookmarks_have_a_space_after_the_number() -> None:
    """Outline entries as pdfminer reads them (ISO 32000-1, 12.3.3, from memory)."""
    with pdfplumber.open(io.BytesIO(whole_pdf())) as pdf:
        titles = [title for _, title, *_ in pdf.doc.get_outlines()]
    for section in whole_report().sections:
        assert f"{section.number}\u2002{section.title}" in titles
    assert not [title for title in titles if re.match(r"\d+[A-Za-z]", title)]
    assert "AThe case file" not in titles


def test_the_author_is_the_person_and_not_the_program() -> None:
    case = found("single").case
    for author in ("", "Ada Müller"):
        own = replace(case, document=replace(case.document, author=author))
        report = replace(report_of(replace(found("single"), case=own)), sections=())
        with pdfplumber.open(io.BytesIO(make_pdf(report))) as pdf:
            assert pdf.metadata.get("Author", "") == author
            assert pdf.metadata["Keywords"] == report.program


def test_the_file_claims_pdf_a_3_and_pdf_ua() -> None:
    """XMP properties of ISO 19005-3 and ISO 14289-1 (from memory); the writer checks the rest."""
    with pdfplumber.open(io.BytesIO(whole_pdf())) as pdf:
        told = resolve1(pdf.doc.catalog["Metadata"]).get_data().decode("utf-8")
    assert re.search(r"pdfaid:part>3<", told) and re.search(r"pdfaid:conformance>A<", told)
    assert re.search(r"pdfuaid:part>1<", told)


@pytest.mark.parametrize("paper", PAPERS)
def test_every_page_bears_number_page_and_caution(paper: Paper) -> None:
    with pdfplumber.open(io.BytesIO(whole_pdf(paper))) as pdf:
        for page in pdf.pages:
            foot = page.crop((0, page.height - 56, page.width, page.height)).extract_text()
            assert "TC-0042, revision A" in foot
            assert f"page {page.page_number} of {len(pdf.pages)}" in foot
            assert "High-pressure air can kill" in foot and "oil can ignite" in foot
            assert "not a design approval" in foot


@pytest.mark.parametrize("paper", PAPERS)
def test_no_letter_is_smaller_than_six_points(paper: Paper) -> None:
    """Sizes as they stand on the page; the letters of figures are outlines, tried elsewhere."""
    small: Counter[tuple[int, float]] = Counter()
    with pdfplumber.open(io.BytesIO(whole_pdf(paper))) as pdf:
        for page in pdf.pages:
            for letter in page.chars:
                if letter["text"].strip() and letter["size"] < LEAST - 0.01:
                    small[page.page_number, round(letter["size"], 2)] += 1
    assert not small


@pytest.mark.parametrize("paper", PAPERS)
def test_no_page_is_half_empty(paper: Paper) -> None:
    """The highest gap between marks on a page, the last one apart."""
    with pdfplumber.open(io.BytesIO(whole_pdf(paper))) as pdf:
        for page in pdf.pages[:-1]:
            marks = [*page.chars, *page.lines, *page.rects, *page.curves]
            spans = sorted((m["top"], m["bottom"]) for m in marks)
            reached, gap = 0.0, 0.0
            for top, bottom in spans:
                gap = max(gap, top - reached)
                reached = max(reached, bottom)
            assert gap < EMPTY * page.height, page.page_number


def test_no_letter_of_a_figure_is_smaller_than_six_points() -> None:
    """Matplotlib sets an index at 0.7 of its letter; the first page's picture shrinks to 0.8."""
    for figure in [whole_report().cover.picture, *whole_report().blocks()]:
        if not isinstance(figure, Figure):
            continue
        share = 0.8 if figure.number == 0 else 1.0
        for text in shown_texts(figure.draw()):
            index = re.search(r"\$[^$]*[_^]", text.get_text()) is not None
            size = text.get_fontsize() * (0.7 if index else 1.0) * share
            assert size >= LEAST - 0.01, text.get_text()
