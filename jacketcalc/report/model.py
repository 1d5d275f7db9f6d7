"""What a report consists of: sections of blocks, the same for every way of writing it out.

The writers know these records and nothing of machines; whoever fills them knows nothing of
pages. Text of a case stands in them as plain strings, and every writer escapes all it writes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from matplotlib.figure import Figure as Drawing

from jacketcalc.report.figures.style import svg_bytes
from jacketcalc.show.page import shorten

_FOOT = 48
"""Letters of number and revision at the foot of a page [-]."""


@dataclass(frozen=True)
class Symbol:
    """A quantity's symbol: an italic letter with an upright index."""

    letter: str
    index: str = ""


@dataclass(frozen=True)
class Raised:
    """Words set as a power."""

    text: str


Piece = str | Symbol | Raised
Text = str | tuple[Piece, ...]
"""Words, with symbols and powers between them where they have any."""


@dataclass(frozen=True, kw_only=True)
class Cell:
    """One cell of a table."""

    text: Text
    """As printed."""
    number: float | None = None
    """The number printed, in the unit of its column or row [-]; None for words."""
    path: str = ""
    """Where the number stands in the JSON result; empty for words and for what is printed of
    numbers in the same row."""
    value: float | None = None
    """The number there, in SI [-]."""
    full: float | None = None
    """The number with all its digits, in the unit of its column or row [-]; None where what is
    printed is all there is."""
    strong: bool = False


@dataclass(frozen=True, kw_only=True)
class Column:
    """Head of a table's column."""

    head: Text
    right: bool = False
    """Set to the right, as numbers are."""
    width: float = 1.0
    """Share of the space that is left [-]; 0 for no more than it needs."""


@dataclass(frozen=True, kw_only=True)
class Row:
    """One row of a table."""

    cells: tuple[Cell, ...]
    group: bool = False
    """A head over the rows that follow; its first cell runs across."""
    total: bool = False
    """A sum of the rows before."""


@dataclass(frozen=True, kw_only=True)
class Table:
    """A table."""

    number: int
    """Number in the report [-]; 0 where it bears none."""
    caption: Text
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    note: Text = ""
    name: str = ""
    """Name of its sheet in the workbook."""


@dataclass(frozen=True, kw_only=True)
class Figure:
    """A figure."""

    number: int
    """Number in the report [-]."""
    caption: Text
    alt: str
    """What it shows, in words."""
    draw: Callable[[], Drawing]
    to_scale: bool = False
    """Drawn to a stated scale: a printed page never sets it smaller."""

    @cached_property
    def svg(self) -> str:
        """The picture."""
        text = svg_bytes(self.draw()).decode("utf-8")
        return text[text.index("<svg") :]


@dataclass(frozen=True, kw_only=True)
class Equation:
    """A displayed equation."""

    number: int
    """Number in the report [-]."""
    typst: str
    """The equation in Typst's notation."""
    spoken: str
    """The same on one line of plain characters."""


@dataclass(frozen=True)
class Paragraph:
    """A paragraph."""

    text: Text
    lead: str = ""
    """Bold words at its beginning."""


@dataclass(frozen=True)
class Bullets:
    """A list."""

    items: tuple[Text, ...]


@dataclass(frozen=True)
class Heading:
    """A heading below the section's own."""

    text: str


@dataclass(frozen=True)
class Verbatim:
    """Text that is kept letter by letter."""

    text: str


@dataclass(frozen=True, kw_only=True)
class Attachment:
    """A text that a PDF carries as a file; a page shows nothing of it."""

    name: str
    data: str
    about: str


Block = Attachment | Table | Figure | Equation | Paragraph | Bullets | Heading | Verbatim


@dataclass(frozen=True, kw_only=True)
class Section:
    """A numbered section."""

    number: str
    title: str
    blocks: tuple[Block, ...]

    @property
    def anchor(self) -> str:
        """Its name in links."""
        return f"section-{self.number.lower()}"


Tone = Literal["good", "bad", "open"]
"""Colour of a statement: for the better, for the worse, neither."""


@dataclass(frozen=True, kw_only=True)
class Statement:
    """A statement of the first page: a head in bold and its lines."""

    head: str
    lines: tuple[str, ...]
    tone: Tone = "open"


@dataclass(frozen=True, kw_only=True)
class Cover:
    """The first page, in the order in which it is read."""

    title: str
    fields: tuple[tuple[str, str], ...]
    """Title-block fields and their content, empty where there is none: space to write by hand."""
    author: str
    """Who made the calculation, empty where the case does not say."""
    revisions: Table
    changes: Table | None
    """What has changed since the previous case; None where none was given."""
    about: str
    """What the report is about."""
    caution: str
    statements: tuple[Statement, ...]
    """The answer, then limits, water and the state of the inputs, each by itself."""
    numbers: Table
    """The few numbers that carry the answer."""
    picture: Figure
    why: str
    notes: tuple[tuple[str, tuple[str, ...]], ...]
    """Next steps, warnings and the like: a head and its lines."""


@dataclass(frozen=True, kw_only=True)
class Report:
    """A whole report."""

    cover: Cover
    sections: tuple[Section, ...]
    number: str
    """Document number as it stands on every page."""
    revision: str
    """Revision as it stands on every page."""
    program: str
    """Program and version."""
    sha256: str
    """SHA-256 of the case."""
    language: str = "en"

    @property
    def foot(self) -> str:
        """What stands at the foot of every page, cut to its space."""
        return shorten(f"{self.number}, revision {self.revision}", _FOOT)

    def tables(self) -> Iterator[Table]:
        """Yield every table, the cover's first."""
        yield self.cover.numbers
        yield self.cover.revisions
        if self.cover.changes is not None:
            yield self.cover.changes
        for block in self.blocks():
            if isinstance(block, Table):
                yield block

    def blocks(self) -> Iterator[Block]:
        """Yield every block of the sections."""
        for section in self.sections:
            yield from section.blocks


def field_label(name: str, content: str) -> str:
    """Return the name of a title-block field; an empty one says so and does not vanish."""
    return name if content else f"{name}, not stated"


def plain(text: Text) -> str:
    """Return a text in plain characters: an index behind an underscore, a power behind a ^."""
    if isinstance(text, str):
        return text
    return "".join(_plain(piece) for piece in text)


def _plain(piece: Piece) -> str:
    if isinstance(piece, str):
        return piece
    if isinstance(piece, Raised):
        plain_power = piece.text.replace(".", "").isalnum()
        return f"^{piece.text}" if plain_power else f"^({piece.text})"
    return f"{piece.letter}_{piece.index}" if piece.index else piece.letter
