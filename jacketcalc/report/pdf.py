"""The report as a PDF, set by Typst from the same records."""

from __future__ import annotations

import re
from collections.abc import Iterable
from importlib import resources
from typing import Literal

from jacketcalc.cautions import FOOT
from jacketcalc.report.model import (
    Attachment,
    Block,
    Bullets,
    Cover,
    Equation,
    Figure,
    Heading,
    Paragraph,
    Piece,
    Raised,
    Report,
    Section,
    Table,
    Text,
    Verbatim,
    field_label,
)
from jacketcalc.report.typesetting import (
    describe_lacking,
    find_lacking,
    quote,
    quote_kept,
    replace_lacking,
    set_pdf,
)

Paper = Literal["a4", "us-letter"]
_WIDTH = re.compile(r'<svg[^>]*?\bwidth="([0-9.]+)pt"')
_TITLE = 16
"""Letter height of the title [pt]."""
_WHOLE = 10
"""Rows up to which a table is not parted at the foot of a page [-]."""
_NARROW, _MANY = 9.0, 7
"""Letter height of a table, and columns from which it is set smaller [pt, -]."""


def make_pdf(report: Report, paper: Paper = "a4") -> bytes:
    """Return the report as PDF."""
    lacking = find_lacking(make_source(report, paper))
    note = describe_lacking(lacking) if lacking else ""
    return set_pdf(replace_lacking(make_source(report, paper, note), lacking))


def make_source(report: Report, paper: Paper, note: str = "") -> str:
    """Return the Typst source; every text of the case stands in it as a quoted string.

    A note, where there is one, follows the summary.
    """
    page = (resources.files("jacketcalc.report") / "pages" / "page.typ").read_text("utf-8")
    head = [
        f"#let paper = {quote(paper)}",
        f"#let foot = {quote(report.foot)}",
        f"#let program = {quote(report.program)}",
        f"#let caution = {quote(FOOT)}",
        f"#set document(title: {quote_kept(report.cover.title)}, author: {_author(report)}, "
        f"description: {quote_kept(report.cover.about)}, keywords: {_list([quote(report.program)])}"
        ", date: auto)",
    ]
    parts = ["\n".join(head), page, _cover(report.cover, note)]
    parts += [_section(section) for section in report.sections]
    return "\n".join(parts)


def _author(report: Report) -> str:
    """Return who made the calculation; nobody where the case does not say."""
    return _list([quote_kept(report.cover.author)] if report.cover.author else [])


def _text(text: Text) -> str:
    """Return a text as a Typst expression."""
    pieces: Iterable[Piece] = (text,) if isinstance(text, str) else text
    return " + ".join(_piece(piece) for piece in pieces) or '""'


def _piece(piece: Piece) -> str:
    if isinstance(piece, str):
        return quote(piece)
    if isinstance(piece, Raised):
        return f"power({quote(piece.text)})"
    return f"sym({quote(piece.letter)}, {quote(piece.index)})"


def _content(text: Text) -> str:
    """Return a text as Typst content."""
    return f"[#({_text(text)})]"


def _list(items: Iterable[str]) -> str:
    return "(" + "".join(f"{item}, " for item in items) + ")"


def _cover(cover: Cover, note: str) -> str:
    fields = [
        f"({quote(field_label(name, content))}, {quote(content)})" for name, content in cover.fields
    ]
    fields.insert(4, '("Sheet", none)')
    statements = _list(
        f"({quote(part.tone)}, {quote(part.head)}, {_list(map(quote, part.lines))})"
        for part in cover.statements
    )
    parts = [
        f"heading(level: 1, text(calc.max({_TITLE}pt * k, 9pt), soft({quote(cover.title)})))",
        f"titleblock({_list(fields)}, k)",
        *([f"block(sized(8.4pt * k, {quote(note)}))"] if note else []),
        f"about({quote(cover.about)}, {quote(cover.caution)}, k)",
        f"statements({statements}, k)",
        _table(cover.numbers, size=8.4, more=", k: k"),
        f"why({quote(cover.why)}, k)",
        _figure(cover.picture, size="share * ", more=", k: k"),
        f"notes({_notes(cover.notes)}, k)",
    ]
    after = [_table(cover.revisions)]
    after += [_table(cover.changes)] if cover.changes is not None else []
    return "\n".join(
        [
            "#one-page((share, k) => {",
            *(part.removeprefix("#") for part in parts),
            "})",
            "#pagebreak(weak: true)",
            "#context [#metadata(here().page()) <after-summary>]",
            *after,
            "#contents",
        ]
    )


def _notes(notes: tuple[tuple[str, tuple[str, ...]], ...]) -> str:
    return _list(
        f"({quote(head)}, {_list(_content(line) for line in lines)})" for head, lines in notes
    )


def _section(section: Section) -> str:
    head = f"#head2({quote(section.number)}, {quote(section.title)})"
    if section.number == "A":
        head = "#place.flush()\n" + head
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
        return f"#eqn({block.number}, $ {block.typst} $.body, {quote_kept(block.spoken)})"
    if isinstance(block, Attachment):
        return (
            f"#pdf.attach({quote(block.name)}, bytes({quote_kept(block.data)}), relationship: "
            f'"source", mime-type: "application/toml", description: {quote(block.about)})'
        )
    assert isinstance(block, Verbatim)
    return _verbatim(block)


def _verbatim(block: Verbatim) -> str:
    lines = [quote(line.expandtabs(4)) for line in block.text.splitlines()]
    return "#code(" + _list(lines) + ".join(linebreak()))"


def _figure(figure: Figure, size: str = "", more: str = "") -> str:
    found = _WIDTH.search(figure.svg)
    width = float(found[1]) if found else 480.0
    put = "drawing" if figure.to_scale else "fig"
    return (
        f"#{put}({figure.number}, {_text(figure.caption)}, {quote_kept(figure.alt)}, "
        f"{quote_kept(figure.svg)}, {size}{width:.3f}pt{more})"
    )


def _table(table: Table, size: float = 0.0, more: str = "") -> str:
    widths = _list("auto" if c.width == 0 else f"{c.width}fr" for c in table.columns)
    aligns = _list("right" if c.right else "left" for c in table.columns)
    heads = _list(_content(c.head) for c in table.columns)
    size = size or (_NARROW if len(table.columns) < _MANY else 8.2)
    cells: list[str] = []
    for row in table.rows:
        if row.group:
            inside = f"strong({_text(row.cells[0].text)})"
            cells.append(f"table.header(level: 2, table.cell(colspan: {len(table.columns)}, inset: "
                         f"(top: 1.8mm, x: 1.2mm, bottom: 0.6mm), {inside}))")  # fmt: skip
            continue
        if row.total:
            cells.append("table.hline(stroke: 0.18mm + ink)")
        for cell in row.cells:
            cells.append(f"[#strong({_text(cell.text)})]" if cell.strong else _content(cell.text))
    whole = ", whole: true" if len(table.rows) <= _WHOLE else ""
    note = _text(table.note) if table.note else "none"
    return (
        f"#tab({table.number}, {_text(table.caption)}, {widths}, {aligns}, {heads}, "
        f"{_list(cells)}, {note}, {size}pt{whole}{more})"
    )
