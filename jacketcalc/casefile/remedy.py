"""The longer text behind the name of a problem, and how it is mended."""

from __future__ import annotations

import os
import textwrap
import tomllib
from functools import cache

from jacketcalc.casefile.rendering import WIDTH

FILE = os.path.join(os.path.dirname(__file__), "remedies.toml")
"""Where the texts are kept in the package."""
_EXAMPLES = (("Refused when typed so:", "refused"), ("Accepted when typed so:", "accepted"))
"""Head of an example, and its key in the file."""


@cache
def load_remedies() -> dict[str, dict[str, str]]:
    """Return every text: `about`, and where there is an example `refused` and `accepted`."""
    with open(FILE, "rb") as stream:
        return tomllib.load(stream)


def list_names() -> tuple[str, ...]:
    """Return the names of all kinds of problem."""
    return tuple(sorted(load_remedies()))


def tell_remedy(name: str) -> str | None:
    """Return what a kind of problem is about and how it is mended, None where there is none."""
    entry = load_remedies().get(name)
    if entry is None:
        return None
    lines = [f"{name}: what it is about", "", *textwrap.wrap(entry["about"], WIDTH)]
    for head, key in _EXAMPLES:
        if key in entry:
            lines += ["", head, "", textwrap.indent(entry[key].strip(), "    ")]
    return "\n".join(lines) + "\n"
