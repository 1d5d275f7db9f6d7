"""A case file as it was read: bytes to text, tree and positions, with syntax problems."""

from __future__ import annotations

import hashlib
import os
import re
import shlex
import sys
import tomllib
from bisect import bisect_right
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from jacketcalc.casefile.positions import Path, Spot, Spots, find_spots
from jacketcalc.casefile.syntax import mend_text
from jacketcalc.errors import CaseError, Problem

LARGEST = 100_000
"""Largest case file that is read, in bytes; a real one has a few thousand."""

_CONTROL = re.compile(rb"[\x00-\x08\x0b\x0c\x0e-\x1f]")
_SIMPLE_STRING = re.compile(r"([\"'])(?!\1\1)[^\\\n]*\1")


@dataclass(frozen=True, kw_only=True)
class CaseText:
    """A case file's text, what it holds, and where each part stands."""

    file: str
    """File name as the user gave it."""
    text: str
    """The text, with plain line ends."""
    sha256: str
    """SHA-256 of the bytes, hexadecimal."""
    tree: dict[str, Any]
    """Values as TOML gives them."""
    spots: Spots
    """Positions of keys and values."""
    problems: tuple[Problem, ...] = ()
    """Problems of syntax that could be stepped over."""
    unread: frozenset[Path] = frozenset()
    """Keys whose lines could not be read; they are not missing."""
    scanned: str = field(default="", repr=False)
    """The text whose offsets `spots` counts: lines that could not be read are replaced."""
    starts: tuple[int, ...] = field(default=(0,), repr=False)
    """Offset of each line in `scanned`."""

    def locate(self, offset: int) -> tuple[int, int]:
        """Return line and column, both from 1."""
        line = bisect_right(self.starts, offset)
        return line, offset - self.starts[line - 1] + 1

    @cached_property
    def lines(self) -> list[str]:
        """The lines as typed."""
        return self.text.split("\n")

    def line_of(self, path: Path) -> int:
        """Return the line on which a key stands, 0 when it stands nowhere."""
        spot = self.spots.keys.get(path)
        return self.locate(spot.start)[0] if spot else 0

    def describe_path(self, path: Path) -> str:
        """Return the dotted path, with a stage's name in place of its number."""
        parts: list[str] = []
        node: Any = self.tree
        for step in path:
            node = _step_into(node, step)
            parts.append(_stage_name(node, step) if isinstance(step, int) else step)
        return ".".join(parts)

    def problem(
        self,
        name: str,
        message: str,
        path: Path,
        *,
        on_key: bool = False,
        start: int = 0,
        width: int = 0,
        label: str = "",
        why: str = "",
        fix: str = "",
    ) -> Problem:
        """Build a problem placed at a key or a value.

        `start` and `width` narrow it to a part of a string's content; a path that stands
        nowhere is placed at the nearest table above it.
        """
        spot = self._find_spot(path, on_key, start, width)
        line, column = self.locate(spot.start) if spot else (0, 0)
        text = self.lines[line - 1] if line else ""
        span = min(spot.end - spot.start, len(text) - column + 1) if spot else 0
        return Problem(
            name=name,
            message=message,
            path=self.describe_path(path),
            file=self.file,
            line=line,
            column=column,
            text=text,
            width=max(span, 1) if line else 0,
            label=label,
            why=why,
            fix=fix,
        )

    def _find_spot(self, path: Path, on_key: bool, start: int, width: int) -> Spot | None:
        spots = self.spots.keys if on_key else self.spots.values
        if path in spots:
            spot = spots[path]
            typed = self.scanned[spot.start : spot.end]
            if width and not on_key and _SIMPLE_STRING.fullmatch(typed):
                return Spot(spot.start + 1 + start, spot.start + 1 + start + width)
            return spot
        for depth in range(len(path) - 1, 0, -1):
            if path[:depth] in self.spots.values:
                return self.spots.values[path[:depth]]
        return None


def _step_into(node: Any, step: str | int) -> Any:
    if isinstance(node, dict) and step in node:
        return node[step]
    if isinstance(node, list) and isinstance(step, int) and step < len(node):
        return node[step]
    return None


def _stage_name(node: Any, index: int) -> str:
    name = node.get("name") if isinstance(node, dict) else None
    return name if isinstance(name, str) and name else str(index + 1)


def read_bytes(file: str) -> bytes:
    """Read a case file, or standard input where the name is `-`."""
    if file == "-":
        return sys.stdin.buffer.read(LARGEST + 1)
    if os.path.isdir(file):
        raise _whole_file(
            file,
            "file-directory",
            f'"{file}" is a directory, not a case file',
            "a case is one file",
            "name the case file inside it",
        )
    try:
        with open(file, "rb") as stream:
            return stream.read(LARGEST + 1)
    except FileNotFoundError:
        raise _whole_file(
            file,
            "file-missing",
            f'there is no file "{file}"',
            "names count from the folder in which the command runs",
            f"name a file that is there; `jacketcalc new {shlex.quote(file)}` writes a case"
            if file.isprintable() and len(file) < 60
            else "name a file that is there",
        ) from None
    except (OSError, ValueError) as fault:
        reason = getattr(fault, "strerror", None) or str(fault)
        raise _whole_file(
            file,
            "file-unreadable",
            f'"{file}" cannot be read: {reason.lower()}',
            "the system does not give it out",
            "see to its permissions, or name another file",
        ) from None


def _whole_file(file: str, name: str, message: str, why: str = "", fix: str = "") -> CaseError:
    return CaseError([Problem(name=name, message=message, file=file, why=why, fix=fix)])


def decode_bytes(data: bytes, file: str) -> str:
    """Return the text of a case file, or raise what keeps it from being text."""
    if len(data) > LARGEST:
        raise _whole_file(
            file,
            "file-large",
            f"the file is larger than {LARGEST // 1000} kB",
            "a case file is a few kilobytes of text",
            "name the case file",
        )
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise _whole_file(
            file,
            "file-encoding",
            "the text is UTF-16, not UTF-8",
            "a case file is text in UTF-8",
            "save it as UTF-8",
        )
    if _CONTROL.search(data):
        raise _whole_file(
            file,
            "file-binary",
            "this is not a text file",
            "a case file is text in UTF-8",
            "name the case file; `jacketcalc new FILE` writes one to start from",
        )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        raise _bad_encoding(data, file, fault) from None
    text = text.replace("\r\n", "\n")
    if not text.strip():
        raise _whole_file(
            file,
            "file-empty",
            "the file is empty",
            "a case states a whole machine",
            "`jacketcalc new FILE` writes a complete one",
        )
    return text


def _bad_encoding(data: bytes, file: str, fault: UnicodeDecodeError) -> CaseError:
    before = data[: fault.start]
    line = before.count(b"\n") + 1
    begin = before.rfind(b"\n") + 1
    end = data.find(b"\n", fault.start)
    typed = data[begin : end if end >= 0 else len(data)].decode("latin-1").rstrip("\r")
    return CaseError(
        [
            Problem(
                name="file-encoding",
                message="the text is not UTF-8",
                file=file,
                line=line,
                column=len(before[begin:].decode("utf-8", "replace")) + 1,
                text=typed,
                width=1,
                label=f"byte {data[fault.start]:#04x}",
                why="a case file is text in UTF-8",
                fix="save it as UTF-8",
            )
        ]
    )


def read_source(data: bytes, file: str) -> CaseText:
    """Read bytes into a source.

    Raises
    ------
    CaseError
        When the text is such that nothing further can be checked.
    """
    text = decode_bytes(data, file)
    mended = mend_text(text, file)
    if not mended.usable:
        raise CaseError(list(mended.problems))
    tree = tomllib.loads(mended.text)
    spots = find_spots(mended.text)
    unread = mended.drop_stand_ins(tree, spots)
    return CaseText(
        file=file,
        text=text,
        sha256=hashlib.sha256(data).hexdigest(),
        tree=tree,
        spots=spots,
        problems=mended.problems,
        unread=unread,
        scanned=mended.text,
        starts=(0, *(match.end() for match in re.finditer("\n", mended.text))),
    )
