"""What the standard reader of TOML refuses, in words of our own."""

from __future__ import annotations

import re
from typing import NamedTuple

from jacketcalc.errors import Problem

HEADER = r"\s*(\[\[?)([^\]#]*)"
"""Head of a table, its brackets and its name."""
LONGEST_LINE = 1000
"""Characters of the longest line that is read, comments aside; a real one has some 150."""
_KEY = re.compile(r"\s*([A-Za-z0-9_-]+)\s*=\s*")
_QUANTITY = r"[+-]?[\d.,]+ *[^\s\"'{\[][^\"'{\[#]*|[A-Za-z][^\"'{\[\]}#]*"
_INLINE_PAIR = (
    r"([A-Za-z0-9_-]+)\s*=\s*([+-]?[\d.]+ *[^\s\d\"'{}\[\],#][^\"'{}\[\],#]*?)\s*(?=[,}])"
)


class Pair(NamedTuple):
    """A key and what was typed as its value."""

    key: str
    """The key."""
    value: str
    """All between the sign of equality and a comment, without blanks round it."""
    start: int
    """Column of the value, from 0."""


def split_pair(line: str) -> Pair | None:
    """Split a line into key and value, None where it has no key."""
    match = _KEY.match(line)
    if match is None:
        return None
    value = line[match.end() :].partition("#")[0].rstrip()
    return Pair(match.group(1), value, match.end())


def describe_refusal(message: str, line: int, column: int, lines: list[str], file: str) -> Problem:
    """Put the standard reader's refusal into words of our own."""
    typed = lines[line - 1] if 1 <= line <= len(lines) else ""
    if re.search(r"overwrite a value|twice|[Dd]uplicate|immutable", message):
        return _duplicate(line, typed, lines, file)
    if len(typed) <= LONGEST_LINE and (unquoted := _find_unquoted(typed, column)):
        key, value = unquoted.key, unquoted.value
        above = _table_above(lines, line)
        return Problem(
            name="quotes-missing",
            message=f'the value of "{key}" is not in quotes',
            path=f"{above}.{key}" if above else key,
            file=file,
            line=line,
            column=unquoted.start + 1,
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


def _find_unquoted(typed: str, column: int) -> Pair | None:
    """Find a key whose value is a quantity or a word without quotes, at the refused place."""
    pair = split_pair(typed)
    if pair and re.fullmatch(_QUANTITY, pair.value):
        return pair
    for match in re.finditer(_INLINE_PAIR, typed):
        if match.start() < column <= match.end() + 1:
            return Pair(match.group(1), match.group(2), match.start(2))
    return None


def _table_above(lines: list[str], line: int) -> str:
    """Return the name in the nearest header above a line."""
    headers = (re.match(HEADER, lines[number]) for number in range(line - 1, -1, -1))
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
    ("too long", f"the line is longer than {LONGEST_LINE} characters"),
    ("too many parts", "lists or names are nested too deeply"),
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
    ("too long", "an entry is one short line; put # before what is a comment"),
    ("Invalid value", 'write a value after the =, text in quotes: "12.5 mm"'),
)
"""How what the standard reader refuses is mended."""


def _duplicate(line: int, typed: str, lines: list[str], file: str) -> Problem:
    """Describe a key or table that stands twice."""
    header = re.match(HEADER, typed)
    pair = split_pair(typed)
    key = header.group(2).strip() if header else pair.key if pair else typed.strip()
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
        header = re.match(HEADER, earlier)
        if table and header and header.group(2).strip() == key:
            return number
        if not table and header:
            return 0
        pair = split_pair(earlier)
        if not table and pair and pair.key == key:
            return number
    return 0
