"""Figures outside the report: machine, case, range, words and caution stand on the figure."""

from __future__ import annotations

import html
import re
from dataclasses import dataclass

from matplotlib.figure import Figure

from jacketcalc import __version__
from jacketcalc.cautions import FOOT
from jacketcalc.inputs import Case
from jacketcalc.report.figures.style import (
    GREY_WORDS,
    VERMILION_WORDS,
    pdf_bytes,
    png_bytes,
    shorten,
    styled,
    svg_bytes,
)

_STRIP = 14.0
"""Height of the footer [mm]."""
_LINE = 3.4
"""Distance of its lines [mm]."""
_EDGE = 3.0
"""Distance of its words from the paper's edge [mm]."""
_LETTERS = 6.5
"""Letter height [pt]; nothing is smaller than 6 pt."""
_MOST = 100
"""Letters of a line that fit the narrowest figure [-]."""
_OPENING = re.compile(r"<svg\b[^>]*>")


@dataclass(frozen=True, kw_only=True)
class Label:
    """What a figure carries beside its drawing."""

    machine: str
    case: str
    """Document, revision and fingerprint of the case."""
    range: str
    """What was varied, and whether the model range is in it."""
    alt: str
    """What it shows, in words."""

    @property
    def lines(self) -> tuple[str, str, str, str]:
        """The lines of its footer."""
        return self.machine, self.case, self.range, FOOT

    @property
    def words(self) -> str:
        """All that it says, for those who do not see it."""
        return " ".join((f"{self.alt} {self.range}.", f"{self.case}.", FOOT))


def label_of(case: Case, range_words: str, alt: str) -> Label:
    """Return the label of a figure of a case."""
    document = case.document
    number = f"{document.number or 'number not stated'}, revision {document.revision or '–'}"
    return Label(
        machine=case.title,
        case=f"{number}, case SHA-256 {case.sha256[:12]}…, jacketcalc {__version__}",
        range=range_words,
        alt=alt,
    )


def add_footer(fig: Figure, label: Label) -> Figure:
    """Make a figure taller and write its label below the drawing."""
    width, height = (25.4 * v for v in fig.get_size_inches())
    places = [ax.get_position(original=True) for ax in fig.axes]
    tall = height + _STRIP
    fig.set_size_inches(width / 25.4, tall / 25.4)
    for words in fig.texts:
        words.set_y((words.get_position()[1] * height + _STRIP) / tall)
    for ax, box in zip(fig.axes, places, strict=True):
        ax.set_position(
            (box.x0, (box.y0 * height + _STRIP) / tall, box.width, box.height * height / tall)
        )
    with styled():
        for place, line in enumerate(reversed(label.lines)):
            y = (_EDGE - 1.0 + place * _LINE) / tall
            colour = VERMILION_WORDS if line == FOOT else GREY_WORDS
            told = line if line == FOOT else shorten(line, _MOST)
            fig.text(_EDGE / width, y, told, size=_LETTERS, color=colour,
                     ha="left", va="baseline")  # fmt: skip
    return fig


def standalone_png(fig: Figure, label: Label) -> bytes:
    """Return a figure with its footer as PNG, its words in the file's text fields."""
    fields = {"Title": label.machine, "Description": label.words}
    return png_bytes(add_footer(fig, label), fields=fields)


def standalone_pdf(fig: Figure, label: Label) -> bytes:
    """Return a figure with its footer as PDF."""
    return pdf_bytes(add_footer(fig, label))


def standalone_svg(fig: Figure, label: Label) -> bytes:
    """Return a figure with its footer as SVG, with a title and a description to be read out."""
    text = svg_bytes(add_footer(fig, label)).decode("utf-8")
    words = (
        f'<title id="title">{html.escape(label.machine)}</title>'
        f'<desc id="about">{html.escape(label.words)}</desc>'
    )
    head = 'role="img" aria-labelledby="title about">'

    def opened(found: re.Match[str]) -> str:
        return f"{found[0][:-1]} {head}{words}"

    return _OPENING.sub(opened, text, count=1).encode("utf-8")
