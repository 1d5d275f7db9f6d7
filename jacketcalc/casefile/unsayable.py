"""What a case cannot say, and the nearest equivalent: one table for people."""

from __future__ import annotations

import os
import textwrap
import tomllib
from functools import cache
from typing import NamedTuple

from jacketcalc.casefile.rendering import WIDTH

NAME = "cannot-say"
"""What the table is asked for by."""
FILE = os.path.join(os.path.dirname(__file__), "unsayable.toml")
"""Where it is kept in the package."""
_COLUMN = 24
"""Letters of the first column, the space behind it included [-]."""


class Wish(NamedTuple):
    """Something a machine has that a case has no word for."""

    what: str
    say: str
    """What to write in its place."""


@cache
def load_wishes() -> tuple[Wish, ...]:
    """Return every row of the table."""
    with open(FILE, "rb") as stream:
        return tuple(Wish(**row) for row in tomllib.load(stream)["wish"])


def tell_wishes() -> str:
    """Return the table: what cannot be said, and beside it the nearest that can."""
    lines = ["What a case cannot say, and what says it nearest:"]
    for wish in load_wishes():
        left = textwrap.wrap(wish.what, _COLUMN - 2)
        right = textwrap.wrap(wish.say, WIDTH - _COLUMN, break_on_hyphens=False)
        count = max(len(left), len(right))
        left, right = (part + [""] * (count - len(part)) for part in (left, right))
        lines.append("")
        lines += [f"{a:<{_COLUMN}}{b}".rstrip() for a, b in zip(left, right, strict=True)]
    return "\n".join(lines) + "\n"
