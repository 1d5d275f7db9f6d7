"""Reading past lines that are not TOML, so that one slip does not hide the others.

The standard reader stops at the first fault. Where it refuses a text, each line is given to it
alone; one that it refuses is replaced by a harmless stand-in, or by the table head that was most
likely meant. Faults between lines, such as a key that stands twice, are then met one by one.
"""

from __future__ import annotations

import hashlib
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from jacketcalc.casefile.fields import CaseTable
from jacketcalc.casefile.positions import Path, Spots
from jacketcalc.casefile.schema import ROOT
from jacketcalc.casefile.similar import find_similar
from jacketcalc.casefile.syntax_words import LONGEST_LINE, describe_refusal, split_pair
from jacketcalc.errors import Problem

MOST_FAULTS = 40
"""Faulty lines that are stepped over before reading is given up."""
MOST_READ = 1_000_000
"""Characters that are read again after faults between lines; bounds the time of a large file."""
MOST_MARKS = 12
"""Brackets or points of one kind outside quotes on one line; a real line has some 3."""
LONGEST_VALUE = 20
"""Lines over which the end of an opened list is looked for."""

_PLACE = r"\(at line (\d+), column (\d+)\)"
_QUOTED = re.compile(r"\"[^\"]*\"|'[^']*'")


@dataclass(frozen=True, kw_only=True)
class Mended:
    """A text with its unreadable lines replaced."""

    text: str
    """Text that the standard reader accepts, where `usable`."""
    problems: tuple[Problem, ...]
    """One for each line replaced."""
    usable: bool
    """Whether what is left can be checked further."""
    keys: dict[str, str | None]
    """Stand-in to the key on its line, None where that was not readable."""
    tables: frozenset[str] = frozenset()
    """Stand-ins of tables that stand twice."""

    def drop_stand_ins(self, tree: dict[str, Any], spots: Spots) -> frozenset[Path]:
        """Take the stand-ins out of tree and spots; return the keys they replaced.

        A table in which a key could not be read at all is marked by its path and `*`.
        """
        unread: set[Path] = set()
        for name in self.tables:
            tree.pop(name, None)
        if not self.keys and not self.tables:
            return frozenset()
        for path in list(spots.keys):
            if path[0] in self.tables:
                del spots.keys[path]
                spots.values.pop(path, None)
            elif path[-1] in self.keys:
                node: Any = tree
                for step in path[:-1]:
                    node = node[step]
                node.pop(path[-1], None)
                del spots.keys[path]
                spots.values.pop(path, None)
                key = self.keys[str(path[-1])]
                unread.add((*path[:-1], key if key is not None else "*"))
        return frozenset(unread)


class _Mender:
    """Replaces the faulty lines of one text."""

    def __init__(self, text: str, file: str) -> None:
        self.text, self.file = text, file
        self.lines = text.split("\n")
        self.problems: list[Problem] = []
        self.keys: dict[str, str | None] = {}
        self.tables: set[str] = set()
        self.seen: set[int] = set()
        self.usable = True
        digest = hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()
        # A name that follows from the whole text cannot stand in it.
        self.mark = f"unread-{digest[:24]}-"

    def mend(self) -> Mended:
        """Replace lines until the standard reader accepts the text, or give up."""
        for line, words in self._find_unwieldy():
            self._replace(line, words, 1)
        if _read("\n".join(self.lines)) is not None:
            for line, message, column in self._find_faulty_lines():
                self._replace(line, message, column)
        read = 0
        while self.usable and (fault := _read("\n".join(self.lines))) is not None:
            message, line, column = fault
            read += len(self.text)
            if not 1 <= line <= len(self.lines) or line in self.seen or read > MOST_READ:
                if not (self.problems and line in self.seen):
                    self._note(message, line, column)
                self.usable = False
            else:
                self._replace(line, message, column)
        return Mended(
            text="\n".join(self.lines) if self.usable else self.text,
            problems=tuple(self.problems),
            usable=self.usable,
            keys=self.keys,
            tables=frozenset(self.tables),
        )

    def _find_unwieldy(self) -> Iterator[tuple[int, str]]:
        """Find lines that would take long to read and that no case has."""
        for number, line in enumerate(self.lines, 1):
            if len(line) <= MOST_MARKS or line.lstrip().startswith("#"):
                continue
            if len(line) > LONGEST_LINE:
                yield number, "too long"
                continue
            bare = _QUOTED.sub("", line).partition("#")[0]
            if max(map(bare.count, "[{.")) > MOST_MARKS:
                yield number, "too many parts"

    def _find_faulty_lines(self) -> Iterator[tuple[int, str, int]]:
        """Find lines that the standard reader refuses when it is given them alone."""
        number = 0
        while number < len(self.lines):
            line = self.lines[number]
            number += 1
            if line.isspace() or not line or line.lstrip().startswith("#"):
                continue
            fault = _read(line + "\n")
            if fault is None:
                continue
            end = self._end_of_value(number)
            if end > number and _read("\n".join(self.lines[number - 1 : end])) is None:
                number = end
                continue
            yield number, fault[0], fault[2]

    def _end_of_value(self, number: int) -> int:
        """Return the last line of a text or list that opens on a line, or that line."""
        line = self.lines[number - 1]
        for quotes in ('"""', "'''"):
            if line.count(quotes) % 2:
                below = range(number, len(self.lines))
                return next((n + 1 for n in below if quotes in self.lines[n]), number)
        pair = split_pair(line)
        if pair is None or not pair.value.startswith("["):
            return number
        below = range(number, min(number + LONGEST_VALUE, len(self.lines)))
        closed = (n + 1 for n in below if self.lines[n].strip().endswith("]"))
        return next(closed, number)

    def _note(self, message: str, line: int, column: int) -> None:
        self.problems.append(describe_refusal(message, line, column, self.lines, self.file))

    def _replace(self, line: int, message: str, column: int) -> None:
        """Note a fault and put something harmless in its line's place."""
        if len(self.seen) >= MOST_FAULTS:
            self.usable = False
            return
        self._note(message, line, column)
        self.seen.add(line)
        name = f"{self.mark}{len(self.seen)}"
        typed = self.lines[line - 1]
        if not _is_header(typed):
            pair = split_pair(typed)
            self.keys[name] = pair.key if pair else None
            self.lines[line - 1] = f"{name} = 0"
        elif self.problems[-1].name == "key-duplicate":
            self.tables.add(name)
            self.lines[line - 1] = f"[{name}]"
        else:
            meant = _guess_header(typed)
            self.usable = self.usable and bool(meant)
            self.lines[line - 1] = meant


def _is_header(typed: str) -> bool:
    """Return whether a faulty line was most likely meant as the head of a table."""
    before, equals, _ = typed.partition("#")[0].partition("=")
    if equals:
        return before.lstrip().startswith("[") and "]" in before
    if before.lstrip().startswith("["):
        return True
    return before.rstrip().endswith("]") and bool(_guess_header(typed))


def _list_headers(table: CaseTable, above: str = "") -> Iterator[str]:
    for inner in table.tables:
        name = f"{above}{inner.key}"
        yield name
        yield from _list_headers(inner, f"{name}.")


def _guess_header(typed: str) -> str:
    """Return the head of the table that was most likely meant, empty where none is like it."""
    for text in (typed.partition("#")[0], typed.partition("]")[0]):
        name = re.sub(r"[^A-Za-z0-9_.-]", "", text)
        own, _, rest = name.partition(".")
        if own == "materials" and rest and "." not in rest:
            return f"[{name}]"
        if similar := find_similar(name, _list_headers(ROOT)):
            return "[[stage]]" if similar == "stage" else f"[{similar}]"
    return ""


def mend_text(text: str, file: str) -> Mended:
    """Replace every line that is not TOML."""
    return _Mender(text, file).mend()


def _read(text: str) -> tuple[str, int, int] | None:
    """Return what the standard reader refuses, with line and column, or None."""
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        message = str(fault)
        if place := re.search(_PLACE, message):
            return message, int(place.group(1)), int(place.group(2))
        last = text.rstrip("\n").count("\n") + 1
        return message, last, len(text.rstrip("\n").split("\n")[-1]) + 1
    except RecursionError:
        return "nested too deeply", 0, 0
    except ValueError:
        return "a number has too many digits", 0, 0
    return None
