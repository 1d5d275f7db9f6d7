"""The case that `jacketcalc new` writes."""

from __future__ import annotations

import os

FILE = os.path.join(os.path.dirname(__file__), "template.toml")
"""Where it is kept in the package."""


def make_template() -> str:
    """Return a complete commented case."""
    with open(FILE, encoding="utf-8") as stream:
        return stream.read()
