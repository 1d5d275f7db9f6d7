"""How text is set: 80 columns, units, colour, wrapping, tables."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from jacketcalc.unit_display import System, display_unit, typeset_unit

WIDTH = 80
"""Columns of a page [-]."""
BOLD, RED, GREEN, YELLOW = "\x1b[1m", "\x1b[31;1m", "\x1b[32;1m", "\x1b[33;1m"
_END = "\x1b[0m"
_HARD_SPACE = "\N{NO-BREAK SPACE}"
_BEFORE_UNIT = re.compile(r"(?<=\d) (?=%|°|(?:deg[CF]|K|W|R|BTU/h|bar|psi|kg|lb|times)\b)")
_TONES = {
    "PAYS": GREEN,
    "PASS": GREEN,
    "DOES NOT PAY": RED,
    "FAIL": RED,
    "CANNOT TELL": YELLOW,
    "pass?": YELLOW,
    "fail?": YELLOW,
}


@dataclass(frozen=True, kw_only=True)
class Page:
    """Where text is going."""

    system: System = "SI"
    """Set of units shown."""
    color: bool = False
    """Whether terminal escapes are allowed."""
    ascii: bool = False
    """Whether only ASCII can be shown."""

    def unit(self, dimension: str) -> str:
        """Return the unit of a dimension as it stands in a table."""
        return self._typeset(display_unit(dimension, self.system))

    def _typeset(self, symbol: str) -> str:
        return symbol if self.ascii else typeset_unit(symbol)

    def prose(self, text: str) -> str:
        """Return a sentence with its temperatures spelt as the tables spell them."""
        return text if self.ascii else re.sub(r"(?<=\d )deg(?=[CF]\b)", "°", text)

    def paint(self, text: str, escape: str) -> str:
        """Return text with an escape round it where colour is allowed."""
        return f"{escape}{text}{_END}" if self.color and text else text

    def tone(self, word: str, width: int = 0) -> str:
        """Return a state's word, padded, in its colour."""
        return self.paint(word, _TONES.get(word, BOLD)) + " " * max(0, width - len(word))

    def head(self, text: str, columns: str = "") -> str:
        """Return the head of a block, bold, with column heads behind it."""
        return self.paint(text, BOLD) + columns


def printable(text: str) -> str:
    """Replace what could confuse a terminal."""
    return "".join(letter if letter.isprintable() else "?" for letter in text)


def wrap(
    text: str, first: str = "", later: str | None = None, most: int | None = None
) -> list[str]:
    """Wrap a paragraph to the page; a number keeps its unit, long words are broken.

    Parameters
    ----------
    text : the paragraph
    first, later : what stands before its first line and before the others
    most : lines from which it is cut, and shows that it is
    """
    lines = textwrap.wrap(
        _BEFORE_UNIT.sub(_HARD_SPACE, text),
        WIDTH,
        initial_indent=first,
        subsequent_indent=first if later is None else later,
        break_on_hyphens=False,
        max_lines=most,
        placeholder=" ...",
    )
    return [line.replace(_HARD_SPACE, " ") for line in lines]


def table_line(label: str, cells: Iterable[tuple[str, int]], width: int) -> list[str]:
    """Return a line of a table: the label to the left, cells to the right of their columns.

    A label that is too long takes lines of its own above.
    """
    indent = label[: len(label) - len(label.lstrip())]
    parts = textwrap.wrap(
        label.strip(),
        width,
        initial_indent=indent,
        subsequent_indent=f"{indent}  ",
        break_on_hyphens=False,
    ) or [""]
    row = "".join(f"{text:>{space}}" for text, space in cells)
    return [*parts[:-1], f"{parts[-1]:<{width}}{row}".rstrip()]


def shorten(text: str, width: int) -> str:
    """Cut a text that is too long, and show that it was cut."""
    return text if len(text) <= width else f"{text[: width - 3]}..."


def between(left: str, right: str, gap: int = 2) -> str:
    """Return a line with one text at the left and one at the right edge."""
    left = shorten(left, WIDTH - len(right) - gap)
    return f"{left}{right:>{WIDTH - len(left)}}"


def join_blocks(blocks: Sequence[list[str]]) -> str:
    """Return blocks of lines as one text, a blank line between them."""
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"
