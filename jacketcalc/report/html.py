"""The report as one self-contained page: no script, no request, everything escaped."""

from __future__ import annotations

import re
from collections.abc import Iterable
from importlib import resources

from jinja2 import Environment, StrictUndefined
from markupsafe import Markup, escape

from jacketcalc.cautions import FOOT
from jacketcalc.report.model import (
    Block,
    Cover,
    Equation,
    Figure,
    Piece,
    Raised,
    Report,
    Row,
    Text,
    field_label,
    plain,
)
from jacketcalc.report.typesetting import set_equations

_TITLE, _FIELD = 75, 60
"""Letters of title and title-block fields that fit a printed first page as they are [-]."""
_IDS = re.compile(r'(\bid="|href="#|url\(#)')
_OPENING = re.compile(r"<svg\b")


def make_html(report: Report) -> str:
    """Return the report as HTML."""
    folder = resources.files("jacketcalc.report") / "pages"
    equations = [b for b in report.blocks() if isinstance(b, Equation)]
    formulas = dict(zip((e.number for e in equations), set_equations(equations), strict=True))
    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, keep_trailing_newline=True
    )
    environment.filters.update(
        rich=rich,
        label=lambda t: f"Table {t.number}: {plain(t.caption)}" if t.number else plain(t.caption),
        kinds=_kinds,
        crowded=_crowded,
        field_label=field_label,
        row_head=_row_head,
        picture=_picture,
        formula=lambda e: _svg(formulas[e.number], f"equation-{e.number}-", e.spoken),
    )
    template = environment.from_string((folder / "page.html.j2").read_text("utf-8"))
    return template.render(
        report=report,
        css=Markup((folder / "page.css").read_text("utf-8")),
        foot_left=Markup(_css_string(report.foot)),
        foot_caution=Markup(_css_string(FOOT)),
    )


def rich(text: Text) -> Markup:
    """Return words with symbols set, all else escaped."""
    pieces: Iterable[Piece] = (text,) if isinstance(text, str) else text
    return Markup("").join(_piece(piece) for piece in pieces)


def _piece(piece: Piece) -> Markup:
    if isinstance(piece, str):
        return escape(piece)
    if isinstance(piece, Raised):
        return Markup("<sup>{}</sup>").format(piece.text)
    letter = Markup("<i>{}</i>").format(piece.letter)
    return letter + (Markup("<sub>{}</sub>").format(piece.index) if piece.index else "")


def _css_string(text: str) -> str:
    """Return text as a CSS string, every letter that could end it written as a number."""
    return '"' + "".join(c if c.isalnum() or c in " ,.-" else f"\\{ord(c):06x}" for c in text) + '"'


def _kinds(blocks: Iterable[Block]) -> list[tuple[str, Block]]:
    return [(type(block).__name__, block) for block in blocks]


def _crowded(cover: Cover) -> str:
    """Return a class for a first page whose title block needs more space than usual."""
    longest = max(len(content) for _, content in cover.fields)
    if longest > _FIELD:
        return " packed"
    return " crowded" if len(cover.title) > _TITLE else ""


def _row_head(row: Row) -> int:
    """Return the first cell of a row with words in it: that names the row."""
    return next((i for i, c in enumerate(row.cells) if c.text and c.number is None), 0)


def _picture(figure: Figure) -> Markup:
    return _svg(figure.svg, f"figure-{figure.number}-", figure.alt)


def _svg(svg: str, prefix: str, words: str) -> Markup:
    """Return a picture with names of its own and its text alternative."""
    own = _IDS.sub(lambda found: found[1] + prefix, svg)
    head = f'<svg role="img" aria-label="{escape(words)}"'
    return Markup(_OPENING.sub(lambda _: head, own, count=1))
