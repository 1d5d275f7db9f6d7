"""The longer text behind the name of a problem."""

from __future__ import annotations

import os
import textwrap
import tomllib
from functools import cache

from jacketcalc.casefile.rendering import WIDTH

FILE = os.path.join(os.path.dirname(__file__), "explanations.toml")
"""Where the texts are kept in the package."""


@cache
def load_explanations() -> dict[str, dict[str, str]]:
    """Return every explanation: `text`, and where there is an example `wrong` and `right`."""
    with open(FILE, "rb") as stream:
        return tomllib.load(stream)


def list_names() -> tuple[str, ...]:
    """Return the names of all kinds of problem."""
    return tuple(sorted(load_explanations()))


def explain_problem(name: str) -> str | None:
    """Return the explanation of a kind of problem, or None where there is none."""
    entry = load_explanations().get(name)
    if entry is None:
        return None
    lines = [name, "", *textwrap.wrap(entry["text"], WIDTH)]
    for head, key in (("refused:", "wrong"), ("mended:", "right")):
        if key in entry:
            lines += ["", head, "", textwrap.indent(entry[key].strip(), "    ")]
    return "\n".join(lines) + "\n"
