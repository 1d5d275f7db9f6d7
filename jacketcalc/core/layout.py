"""The records that cross the border to C, read from the core's own header.

`c/layout.h` is the one source: its names, sizes and order become numpy records here, so that
nothing is written twice. Every number is a double or a 64-bit integer, so no record has gaps.
"""

from __future__ import annotations

import hashlib
import re
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

HEADER = Path(__file__).with_name("c") / "layout.h"
"""The header that C includes."""

_CONSTANT = re.compile(r"#define (\w+) (\d+)$")
_RECORD = re.compile(r"typedef struct (\w+) \{(.*?)\n\} \1;", re.DOTALL)
_FIELD = re.compile(r"(?:const )?(\w+) (\*?)(\w+)((?:\[\w+\])*);")
_PLAIN: dict[str, Any] = {"double": np.float64, "int64_t": np.int64}


@cache
def header_text() -> str:
    """Return the header as written."""
    return HEADER.read_text(encoding="utf-8")


@cache
def header_hash() -> str:
    """Return the hash that a library built from this header carries."""
    return hashlib.sha256(header_text().encode()).hexdigest()[:16]


@cache
def constants() -> dict[str, int]:
    """Return the header's sizes and codes by name."""
    found = (_CONSTANT.match(line) for line in header_text().splitlines())
    return {match[1]: int(match[2]) for match in found if match}


@cache
def records() -> dict[str, np.dtype[Any]]:
    """Return every record of the header as a numpy type."""
    known: dict[str, Any] = dict(_PLAIN)
    made: dict[str, np.dtype[Any]] = {}
    for name, body in _RECORD.findall(header_text()):
        fields = []
        for line in body.strip().splitlines():
            match = _FIELD.match(line.strip())
            if match is None:
                raise ValueError(f"layout.h, record {name}: cannot read {line.strip()!r}")
            kind, pointer, field, sizes = match.groups()
            shape = tuple(_size(size) for size in re.findall(r"\[(\w+)\]", sizes))
            fields.append((field, np.uint64 if pointer else known[kind], shape))
        made[name] = known[name] = np.dtype(fields)
    return made


def blank(name: str) -> np.ndarray[Any, Any]:
    """Return one record of zeros, shape ()."""
    return np.zeros((), dtype=records()[name])


def _size(text: str) -> int:
    return int(text) if text.isdigit() else constants()[text]
