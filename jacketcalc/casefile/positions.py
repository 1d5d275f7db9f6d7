"""Where each key and value stands in a TOML text that is already known to be sound.

The standard reader gives values without positions. This scanner gives positions without
values; it may be lenient, because the standard reader has accepted the text before it runs.
"""

from __future__ import annotations

import re
from typing import NamedTuple

Path = tuple[str | int, ...]
"""Keys from the top of the document; a number counts the tables of one array."""

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_SPACE = re.compile(r"[ \t]*")
_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_SCALAR = re.compile(r"[^,\]}#\n]*")
_QUOTES = ('"""', "'''", '"', "'")
_ESCAPE = re.compile(r'\\(u[0-9a-fA-F]{4}|U[0-9a-fA-F]{8}|["\\bfnrt])')
_ESCAPES = {"b": "\b", "f": "\f", "n": "\n", "r": "\r", "t": "\t"}


class Spot(NamedTuple):
    """A stretch of text."""

    start: int
    """Offset of its first character."""
    end: int
    """Offset after its last character."""


class Spots(NamedTuple):
    """Positions of everything in a document."""

    keys: dict[Path, Spot]
    """Path to where its key stands (a table: its name in the header)."""
    values: dict[Path, Spot]
    """Path to where its value stands (a table: its whole header)."""


class _Scanner:
    """Walks the text once."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.keys: dict[Path, Spot] = {}
        self.values: dict[Path, Spot] = {}
        self.arrays: dict[Path, int] = {}

    def scan(self) -> Spots:
        """Scan the whole document."""
        table: Path = ()
        self._skip(_BLANK)
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                table = self._header()
            else:
                self._pair(table)
            self._skip(_BLANK)
        return Spots(self.keys, self.values)

    def _skip(self, pattern: re.Pattern[str]) -> None:
        match = pattern.match(self.text, self.at)
        if match is not None:
            self.at = match.end()

    def _header(self) -> Path:
        start = self.at
        array = self.text.startswith("[[", start)
        self.at += 2 if array else 1
        names, spots = self._key()
        self._skip(_SPACE)
        self.at += 2 if array else 1
        spot = spots[-1]
        path: Path = ()
        for name, part in zip(names[:-1], spots, strict=False):
            self.keys.setdefault((*path, name), part)
            self.values.setdefault((*path, name), Spot(start, self.at))
            path = self._enter((*path, name))
        path = (*path, names[-1])
        if array:
            index = self.arrays.get(path, -1) + 1
            self.arrays[path] = index
            self.keys.setdefault(path, spot)
            self.values.setdefault(path, Spot(start, self.at))
            path = (*path, index)
        self.keys.setdefault(path, spot)
        self.values.setdefault(path, Spot(start, self.at))
        return path

    def _enter(self, path: Path) -> Path:
        """Return the path of the latest table of an array, or the path itself."""
        return (*path, self.arrays[path]) if path in self.arrays else path

    def _pair(self, table: Path) -> None:
        names, spots = self._key()
        self._skip(_SPACE)
        self.at += 1
        self._skip(_SPACE)
        for depth in range(1, len(names)):
            self.keys.setdefault((*table, *names[:depth]), spots[depth - 1])
            self.values.setdefault((*table, *names[:depth]), spots[depth - 1])
        path = (*table, *names)
        self.keys[path] = spots[-1]
        self._value(path)

    def _key(self) -> tuple[list[str], list[Spot]]:
        """Read a possibly dotted key: its parts and where each stands."""
        names: list[str] = []
        spots: list[Spot] = []
        while True:
            self._skip(_SPACE)
            start = self.at
            if self.text[self.at : self.at + 1] in ('"', "'"):
                names.append(self._string())
            else:
                self._skip(_BARE)
                self.at = max(self.at, start + 1)
                names.append(self.text[start : self.at])
            spots.append(Spot(start, self.at))
            self._skip(_SPACE)
            if not self.text.startswith(".", self.at):
                return names, spots
            self.at += 1

    def _string(self) -> str:
        quote = next(quote for quote in _QUOTES if self.text.startswith(quote, self.at))
        self.at += len(quote)
        start = self.at
        while self.at < len(self.text) and not self.text.startswith(quote, self.at):
            self.at += 2 if self.text[self.at] == "\\" and quote[0] == '"' else 1
        end = self.at
        self.at += len(quote)
        while len(quote) == 3 and self.text.startswith(quote[0], self.at):
            self.at += 1
        body = self.text[start:end]
        return _ESCAPE.sub(_unescape, body) if quote == '"' else body

    def _value(self, path: Path) -> None:
        start = self.at
        mark = self.text[self.at : self.at + 1]
        if mark in ('"', "'"):
            self._string()
        elif mark == "[":
            self._items(path, "]")
        elif mark == "{":
            self._items(path, "}")
        else:
            self._skip(_SCALAR)
            typed = self.text[start : self.at]
            self.at -= len(typed) - len(typed.rstrip())
        self.values[path] = Spot(start, self.at)

    def _items(self, path: Path, close: str) -> None:
        self.at += 1
        index = 0
        self._skip(_BLANK)
        while self.at < len(self.text) and self.text[self.at] != close:
            if close == "]":
                self._value((*path, index))
                index += 1
            else:
                self._pair(path)
            self._skip(_BLANK)
            if self.text.startswith(",", self.at):
                self.at += 1
                self._skip(_BLANK)
        self.at += 1


def _unescape(match: re.Match[str]) -> str:
    body = match.group(1)
    if body[0] in "uU":
        return chr(int(body[1:], 16))
    return _ESCAPES.get(body, body)


def find_spots(text: str) -> Spots:
    """Return the positions of every key and value of a sound TOML text."""
    return _Scanner(text).scan()
