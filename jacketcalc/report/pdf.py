"""The report as a PDF, set by Typst from the same records."""

from __future__ import annotations

import re
from collections.abc import Iterable
from importlib import resources
from typing import Literal

from jacketcalc.report.model import (
    Block,
    Bullets,
    Cover,
    Equation,
    Figure,
    Heading,
    Paragraph,
    Piece,
    Report,
    Section,
    Table,
    Text,
    Verbatim,
)
from jacketcalc.report.typesetting import quote, set_pdf
from jacketcalc.show.layout import shorten

Paper = Literal["a4", "us-letter"]
_SHARES: dict[Paper, float] = {"a4": 0.78, "us-letter": 0.54}
"""Size of the first page's picture, as a share of its own [-]."""
_WIDTH = re.compile(r'<svg[^>]*?\bwidth="([0-9.]+)pt"')
Note = tuple[str, tuple[str, ...]]
_LINE = 66
"""Letters of a line of the first page's notes [-]."""
_FOOT = 60
"""Letters of number and revision at the foot of a page [-]."""
_NARROW, _MANY = 9.0, 7
"""Letter height of a table, and columns from which it is set smaller [pt, -]."""


def make_pdf(report: Report, paper: Paper = "a4") -> bytes:
    """Return the report as PDF."""
    return set_pdf(make_source(report, paper))


def make_source(report: Report, paper: Paper) -> str:
    """Return the Typst source; every text of the case stands in it as a quoted string."""
    page = (resources.files("jacketcalc.report") / "pages" / "page.typ").read_text("utf-8")
    head = [
        f"#let paper = {quote(paper)}",
        f"#let foot = {quote(shorten(f'{report.number}, revision {report.revision}', _FOOT))}",
        f"#let program = {quote(report.program)}",
        f"#set document(title: {quote(report.cover.title)}, author: {quote(report.program)}, "
        "date: none)",
    ]
    parts = ["\n".join(head), page, _cover(report.cover, paper)]
    parts += [_section(section) for section in report.sections]
    return "\n".join(parts)


def _text(text: Text) -> str:
    """Return a text as a Typst expression."""
    pieces: Iterable[Piece] = (text,) if isinstance(text, str) else text
    return " + ".join(_piece(piece) for piece in pieces) or '""'


def _piece(piece: Piece) -> str:
    if isinstance(piece, str):
        return quote(piece)
    return f"sym({quote(piece.letter)}, {quote(piece.index)})"


def _content(text: Text) -> str:
    """Return a text as Typst content."""
    return f"[#({_text(text)})]"


def _list(items: Iterable[str]) -> str:
    return "(" + "".join(f"{item}, " for item in items) + ")"


def _cover(cover: Cover, paper: Paper) -> str:
    fields = [f"({quote(name)}, {quote(content)})" for name, content in cover.fields]
    fields.insert(4, '("Sheet", none)')
    pairs = ", ".join(
        f"strong({quote(name)}), {_content(content)}" for name, content in cover.abstract
    )
    notes = ", ".join(_notes(side) for side in _halves(cover.notes))
    return "\n".join(
        [
            f"#heading(level: 1, {quote(cover.title)})",
            f"#titleblock({_list(fields)})",
            f"#verdict({quote(cover.tone)}, {quote(cover.verdict)}, {quote(cover.sentence)})",
            f"#abstract({pairs})",
            _figure(cover.picture, share=_SHARES[paper]),
            _table(cover.limits, size=8.0),
            f"#block(text(8.4pt, {quote(cover.energy)}))",
            f"#notes({notes})",
            "#pagebreak(weak: true)",
            _table(cover.revisions),
            "#outline(title: [Contents], depth: 2, target: heading.where(level: 2))",
        ]
    )


def _halves(notes: tuple[Note, ...]) -> tuple[tuple[Note, ...], tuple[Note, ...]]:
    """Part the notes into two columns of about the same length."""
    lengths = [2 + sum(1 + len(line) // _LINE for line in lines) for _, lines in notes]
    cuts = range(1, len(notes))
    cut = min(cuts, key=lambda k: max(sum(lengths[:k]), sum(lengths[k:])))
    return notes[:cut], notes[cut:]


def _notes(notes: tuple[Note, ...]) -> str:
    return _list(
        f"({quote(head)}, {_list(_content(line) for line in lines)})" for head, lines in notes
    )


def _section(section: Section) -> str:
    head = f"#head2({quote(section.number)}, {quote(section.title)})"
    if section.number == "A":
        head = "#pagebreak(weak: true)\n" + head
    return "\n".join([head, *(_block(block) for block in section.blocks)])


def _block(block: Block) -> str:
    if isinstance(block, Paragraph):
        return f"#para({quote(block.lead)}, {_text(block.text)})"
    if isinstance(block, Bullets):
        return "#bullets(" + ", ".join(_content(item) for item in block.items) + ")"
    if isinstance(block, Heading):
        return f"#heading(level: 3, {quote(block.text)})"
    if isinstance(block, Table):
        return _table(block)
    if isinstance(block, Figure):
        return _figure(block)
    if isinstance(block, Equation):
        return f"#eqn({block.number}, $ {block.typst} $.body, {quote(block.spoken)})"
    assert isinstance(block, Verbatim)
    return _verbatim(block)


def _verbatim(block: Verbatim) -> str:
    lines = [quote(line) for line in block.text.splitlines()]
    return "#code(" + _list(lines) + ".join(linebreak()))"


def _figure(figure: Figure, share: float = 0.0) -> str:
    found = _WIDTH.search(figure.svg)
    width = (share or figure.share) * float(found[1]) if found else 480.0
    return (
        f"#fig({figure.number}, {_text(figure.caption)}, {quote(figure.alt)}, "
        f"{quote(figure.svg)}, {width:.1f}pt)"
    )


def _table(table: Table, size: float = 0.0) -> str:
    widths = _list("auto" if c.width == 0 else f"{c.width}fr" for c in table.columns)
    aligns = _list("right" if c.right else "left" for c in table.columns)
    heads = _list(_content(c.head) for c in table.columns)
    size = size or (_NARROW if len(table.columns) < _MANY else 8.2)
    cells: list[str] = []
    for row in table.rows:
        if row.group:
            inside = f"strong({_text(row.cells[0].text)})"
            cells.append(f"table.cell(colspan: {len(table.columns)}, inset: (top: 1.8mm, x: 1.2mm, "
                         f"bottom: 0.6mm), {inside})")  # fmt: skip
            continue
        if row.total:
            cells.append("table.hline(stroke: 0.18mm + ink)")
        for cell in row.cells:
            cells.append(f"[#strong({_text(cell.text)})]" if cell.strong else _content(cell.text))
    note = _text(table.note) if table.note else "none"
    return (
        f"#tab({table.number}, {_text(table.caption)}, {widths}, {aligns}, {heads}, "
        f"{_list(cells)}, {note}, {size}pt, 1)"
    )
