"""Reading past lines that are not TOML, so that one slip does not hide the others.

The standard reader stops at the first fault. Each line it refuses is replaced by a harmless
stand-in and the text is read again, as long as the fault stays within one line.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from typing import Any

from jacketcalc.casefile.positions import Path, Spots
from jacketcalc.errors import Problem

MOST_FAULTS = 40
"""Faulty lines that are stepped over before reading is given up."""

_PLACE = r"\(at line (\d+), column (\d+)\)"
_PAIR = r"\s*([A-Za-z0-9_-]+)\s*=\s*(.*?)\s*(?:#.*)?$"
_HEADER = r"\s*(\[\[?)([^\]#]*)"
_QUANTITY = r"[+-]?[\d.,]+ *[^\s\"'{\[][^\"'{\[#]*|[A-Za-z][^\"'{\[\]}#]*"
_INLINE_PAIR = (
    r"([A-Za-z0-9_-]+)\s*=\s*([+-]?[\d.]+ *[^\s\d\"'{}\[\],#][^\"'{}\[\],#]*?)\s*(?=[,}])"
)
_STAND_IN = "_unread_"


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

    def drop_stand_ins(self, tree: dict[str, Any], spots: Spots) -> frozenset[Path]:
        """Take the stand-ins out of tree and spots; return the keys they replaced.

        A table in which a key could not be read at all is marked by its path and `*`.
        """
        unread: set[Path] = set()
        for path in [path for path in spots.keys if str(path[-1]).startswith(_STAND_IN)]:
            node: Any = tree
            for step in path[:-1]:
                node = node[step]
            node.pop(path[-1], None)
            del spots.keys[path]
            spots.values.pop(path, None)
            key = self.keys.get(str(path[-1]))
            unread.add((*path[:-1], key if key is not None else "*"))
        return frozenset(unread)


def mend_text(text: str, file: str) -> Mended:
    """Replace every line that is not TOML."""
    lines = text.split("\n")
    problems: list[Problem] = []
    keys: dict[str, str | None] = {}
    seen: set[int] = set()
    tables_sound = True
    while True:
        fault = _read("\n".join(lines))
        if fault is None:
            return Mended(
                text="\n".join(lines), problems=tuple(problems), usable=tables_sound, keys=keys
            )
        message, line, column = fault
        if not 1 <= line <= len(lines) or line in seen or len(seen) >= MOST_FAULTS:
            if not (problems and line in seen):
                problems.append(_describe(message, line, column, lines, file))
            return Mended(text=text, problems=tuple(problems), usable=False, keys=keys)
        problems.append(_describe(message, line, column, lines, file))
        seen.add(line)
        name = f"{_STAND_IN}{len(seen)}"
        if header := re.match(_HEADER, lines[line - 1]):
            tables_sound = False
            lines[line - 1] = f"[{name}]" if header.group(1) == "[" else f"[[{name}]]"
        else:
            pair = re.match(_PAIR, lines[line - 1])
            keys[name] = pair.group(1) if pair else None
            lines[line - 1] = f"{name} = 0"


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


def _describe(message: str, line: int, column: int, lines: list[str], file: str) -> Problem:
    """Put the standard reader's refusal into words of our own."""
    typed = lines[line - 1] if 1 <= line <= len(lines) else ""
    if re.search(r"overwrite a value|twice|[Dd]uplicate|immutable", message):
        return _duplicate(line, typed, lines, file)
    if unquoted := _find_unquoted(typed, column):
        key, value = unquoted.group(1), unquoted.group(2)
        above = _table_above(lines, line)
        return Problem(
            name="quotes-missing",
            message=f'the value of "{key}" is not in quotes',
            path=f"{above}.{key}" if above else key,
            file=file,
            line=line,
            column=unquoted.start(2) + 1,
            text=typed,
            width=len(value),
            label="no quotes",
            why="quantities and words are text, and text stands in quotes",
            fix=f'{key} = "{value}"',
        )
    known = next((words for mark, words in _WORDS if mark in message), "this line cannot be read")
    return Problem(
        name="toml-syntax",
        message=known,
        file=file,
        line=max(line, 0),
        column=max(1, min(column, len(typed) + 1)) if line else 0,
        text=typed,
        width=1,
        label="reading stops here",
        why='a case file is TOML: tables as [name], entries as key = "value"',
        fix=next(
            (fix for mark, fix in _FIXES if mark in message), "mend the line, or put # before it"
        ),
    )


def _find_unquoted(typed: str, column: int) -> re.Match[str] | None:
    """Find a key whose value is a quantity or a word without quotes, at the refused place."""
    pair = re.match(_PAIR, typed)
    if pair and re.fullmatch(_QUANTITY, pair.group(2)):
        return pair
    inside = re.finditer(_INLINE_PAIR, typed)
    return next((match for match in inside if match.start() < column <= match.end() + 1), None)


def _table_above(lines: list[str], line: int) -> str:
    """Return the name in the nearest header above a line."""
    headers = (re.match(_HEADER, lines[number]) for number in range(line - 1, -1, -1))
    return next((header.group(2).strip() for header in headers if header), "")


_WORDS = (
    ("Unclosed array", "a list is opened and not closed"),
    ("Unclosed inline table", "a brace is opened and not closed"),
    ("Unterminated string", "a text is opened and not closed"),
    ("Expected '=' after", "there is no = after the key"),
    ("Expected ']", "a table name is opened and not closed"),
    ("Illegal character '\\n'", "a text is opened and not closed on its line"),
    ("Illegal character", "a character is not allowed here"),
    ("Unescaped '\\\\'", "a backslash in double quotes starts no known sequence"),
    ("Expected newline", "something follows the value"),
    ("Invalid initial character for a key", "no key can be read here"),
    ("Invalid statement", "this line is neither a table nor an entry"),
    ("Invalid value", "there is no value that can be read here"),
    ("nested too deeply", "lists are nested too deeply"),
    ("too many digits", "a number has too many digits"),
)


_FIXES = (
    ("Unclosed array", "close it with ]"),
    ("Unclosed inline table", "close it with }"),
    ("Unterminated string", 'close it with "'),
    ("Expected '=' after", 'write it as key = "value"'),
    ("Expected ']", "close it with ]"),
    ("Illegal character '\\n'", 'close it with "'),
    ("Unescaped", "write two backslashes, or single quotes round the text"),
    ("Expected newline", "put what follows on a line of its own, or # before it"),
    ("Invalid value", 'write a value after the =, text in quotes: "12.5 mm"'),
)
"""How what the standard reader refuses is mended."""


def _duplicate(line: int, typed: str, lines: list[str], file: str) -> Problem:
    """Describe a key or table that stands twice."""
    header = re.match(_HEADER, typed)
    pair = re.match(_PAIR, typed)
    key = header.group(2).strip() if header else pair.group(1) if pair else typed.strip()
    start = header.start(2) if header else typed.find(key)
    first = _find_first(line, key, bool(header), lines)
    return Problem(
        name="key-duplicate",
        message=f'"{key}" stands twice',
        path=key,
        file=file,
        line=line,
        column=start + 1,
        text=typed,
        width=max(1, len(key)),
        label=f"first on line {first}" if first else "second time",
        why="each table, and each key in its table, stands once",
        fix="keep one of the two",
    )


def _find_first(line: int, key: str, table: bool, lines: list[str]) -> int:
    """Return the line on which the key stood first, 0 when it is not found."""
    for number in range(line - 1, 0, -1):
        earlier = lines[number - 1]
        header = re.match(_HEADER, earlier)
        if table and header and header.group(2).strip() == key:
            return number
        if not table and header:
            return 0
        pair = re.match(_PAIR, earlier)
        if not table and pair and pair.group(1) == key:
            return number
    return 0
