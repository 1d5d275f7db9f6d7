"""Text by the columns it takes on a terminal: letters of East Asia take two, accents none."""

from __future__ import annotations

import unicodedata


def count_columns(text: str) -> int:
    """Return the columns that a text without tabs takes [-]."""
    return len(text) if text.isascii() else sum(map(_letter_columns, text))


def _letter_columns(letter: str) -> int:
    if unicodedata.combining(letter):
        return 0
    return 2 if unicodedata.east_asian_width(letter) in "WF" else 1


def cut_columns(text: str, width: int) -> str:
    """Return as much of the beginning of a text as fits into so many columns."""
    if text.isascii():
        return text[: max(width, 0)]
    taken = 0
    for place, letter in enumerate(text):
        taken += _letter_columns(letter)
        if taken > width:
            return text[:place]
    return text


def pad_columns(text: str, width: int) -> str:
    """Return a text with blanks behind it up to so many columns."""
    return text + " " * (width - count_columns(text))


def wrap_columns(text: str, width: int, first: str = "", later: str = "") -> list[str]:
    """Return a paragraph as lines of at most so many columns; a word too long is broken.

    Parameters
    ----------
    text : the paragraph
    width : columns of a line [-]
    first, later : what the first line and those after it begin with
    """
    lines: list[str] = []
    line, begun = first, False
    for word in text.split(" "):
        if begun and count_columns(f"{line} {word}") <= width:
            line += f" {word}"
            continue
        if begun:
            lines.append(line.rstrip())
            line, begun = later, False
        while count_columns(line + word) > width:
            # At least one letter a line, however narrow it is.
            piece = cut_columns(word, width - count_columns(line)) or word[:1]
            lines.append(line + piece)
            line, word = later, word[len(piece) :]
        line, begun = line + word, bool(word)
    return [*lines, line.rstrip()] if begun or not lines else lines
