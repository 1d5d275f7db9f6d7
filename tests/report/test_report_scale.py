"""A drawing's stated scale holds on paper: its bar and its size, measured in the PDF.

Read back by pdfplumber, which applies every transformation on the way to the page. ISO 5455
(from memory): a scale is the ratio of a length drawn on the sheet to the same length of the part.
"""

from __future__ import annotations

import io
import itertools
import re
from typing import Any

import pdfplumber
import pytest
from report_sample import found
from report_whole import whole_pdf, whole_report
from table_cells import find_nodes

from jacketcalc.report.figures.style import FULL
from jacketcalc.report.model import Figure
from jacketcalc.report.pdf import Paper

MM = 72.0 / 25.4
"""Points in a millimetre: an inch is 25.4 mm and 72 points [-]."""
TICK = (1.3, 1.9)
"""Height of a tick of the bar, however the picture is set [mm]."""
PAPERS: tuple[Paper, ...] = ("a4", "us-letter")


def _drawings() -> list[Figure]:
    return [b for b in whole_report().blocks() if isinstance(b, Figure) and b.to_scale]


def _stated(figure: Figure) -> tuple[float, float]:
    """Return length of the bar [mm] and scale, as they are written in a drawing."""
    words = [text.get_text() for ax in figure.draw().axes for text in ax.texts]
    bar = next(found for w in words if (found := re.fullmatch(r"([\d.]+) mm", w)))
    scale = next(found for w in words if (found := re.fullmatch(r"scale ([\d.]+):([\d.]+)", w)))
    return float(bar[1]), float(scale[1]) / float(scale[2])


def _bars(page: Any) -> list[float]:
    """Return the lengths of the bars on a page: three equal ticks at equal distances [mm]."""
    ticks = sorted(
        (round(line["top"] / MM, 2), round((line["bottom"] - line["top"]) / MM, 2),
         line["x0"] / MM)
        for line in page.lines
        if abs(line["x1"] - line["x0"]) < 1e-3
        and TICK[0] < (line["bottom"] - line["top"]) / MM < TICK[1]
    )  # fmt: skip
    rows = [[x for *_, x in row] for _, row in itertools.groupby(ticks, key=lambda t: t[:2])]
    return [
        row[2] - row[0]
        for row in rows
        if len(row) == 3 and row[2] - row[1] == pytest.approx(row[1] - row[0], abs=0.01)
    ]


@pytest.mark.parametrize("paper", PAPERS)
def test_the_bar_on_paper_is_what_the_scale_says(paper: Paper) -> None:
    """To 0.02 mm, a fifth of a thin line's width; 1:2.05 for 1:2 makes 0.25 mm of 10."""
    wanted = [length * scale for length, scale in map(_stated, _drawings())]
    assert len(wanted) == len(found("hot").case.machine.stages)
    with pdfplumber.open(io.BytesIO(whole_pdf(paper))) as pdf:
        measured = [length for page in pdf.pages for length in _bars(page)]
    assert measured == pytest.approx(wanted, abs=0.02)


@pytest.mark.parametrize("paper", PAPERS)
def test_drawings_keep_their_width_and_stay_on_the_paper(paper: Paper) -> None:
    """The boxes that the PDF gives its figures (ISO 32000-1, 14.8.5.4, from memory)."""
    alts = {figure.alt for figure in _drawings()}
    with pdfplumber.open(io.BytesIO(whole_pdf(paper))) as pdf:
        page = pdf.pages[0]
        boxes = [
            [float(v) for v in node["A"][0]["BBox"]]
            for node in find_nodes(pdf, "Figure")
            if _alt(node) in alts
        ]
    assert len(boxes) == len(alts)
    for left, bottom, right, top in boxes:
        assert (right - left) / MM == pytest.approx(FULL, abs=0.02)
        assert left > 10.0 * MM and right < page.width - 10.0 * MM
        assert bottom > 15.0 * MM and top < page.height - 10.0 * MM


def _alt(node: dict[str, Any]) -> str:
    data = node.get("Alt", b"")
    return data.decode("utf-16" if data[:2] == b"\xfe\xff" else "latin-1")


def test_what_has_a_scale_bar_is_kept_to_scale() -> None:
    """Every drawing with the words scale a:b is marked as one; no other figure is."""
    for block in whole_report().blocks():
        if isinstance(block, Figure):
            words = [text.get_text() for ax in block.draw().axes for text in ax.texts]
            assert block.to_scale == any(re.match(r"scale [\d.]+:[\d.]+$", w) for w in words)
