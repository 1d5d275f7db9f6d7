"""The list of terms as it is kept in the package, and its table."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from .effect import Verdict
from .record import Mutation

STORE = Path(__file__).parents[2] / "jacketcalc" / "verification" / "terms.toml"
HEAD = """\
# Each physical term broken on purpose: what it does to the verdict of the main case, and the
# test that notices. Made by `python -m tests.mutation.run`; do not edit.
#
# gain: change of the jackets' gain in delivered flow [points]; discharge: of the hottest mean
# discharge temperature of the machine with jackets [K]; flow: of its delivered flow [%]; tight: of
# the gain with the jackets wound at a pitch of 10 mm in place of 30 [points].
"""

NUMBERS = ("gain", "discharge", "flow", "tight")

Row = dict[str, Any]


def kept() -> dict[str, list[Row]]:
    """Return settings and terms as kept; none where there is no list yet."""
    if not STORE.exists():
        return {"setting": [], "term": []}
    return tomllib.loads(STORE.read_text("utf-8"))


def setting_row(name: str, v: Verdict) -> Row:
    """Return a machine as it is, unbroken."""
    return {
        "name": name,
        "gain": round(100.0 * v.gain, 3),
        "discharge": round(v.discharge, 2),
        "flow": float(f"{v.flow:.5g}"),
        "tight": round(100.0 * v.tight, 3),
    }


def term_row(m: Mutation, broken: Verdict, whole: Verdict) -> Row:
    """Return what breaking a term does."""
    row = words(m)
    changes = {
        "gain": 100.0 * (broken.gain - whole.gain),
        "discharge": broken.discharge - whole.discharge,
        "flow": 100.0 * (broken.flow / whole.flow - 1.0),
        "tight": 100.0 * (broken.tight - whole.tight),
    }
    # Adding zero takes the sign off a zero.
    row |= {name: round(value, 3) + 0.0 for name, value in changes.items()}
    if broken.failure:
        row["failure"] = broken.failure
    return row


def words(m: Mutation) -> Row:
    """Return what the list says of a mutation besides its numbers."""
    return {
        "name": m.name,
        "part": m.part,
        "term": m.term,
        "broken": m.broken,
        "test": m.test,
        "setting": m.setting,
    }


def write(settings: list[Row], terms: list[Row]) -> None:
    """Keep a list."""
    parts = [HEAD]
    for kind, rows in (("setting", settings), ("term", terms)):
        for row in rows:
            lines = [f"{key} = {_value(value)}" for key, value in row.items()]
            parts.append("\n".join([f"[[{kind}]]", *lines, ""]))
    STORE.write_text("\n".join(parts), "utf-8")


def _value(value: object) -> str:
    if isinstance(value, str):
        return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'
    return repr(value)


def table(terms: list[Row]) -> str:
    """Return the list for a terminal, largest change of the gain first."""
    head = ("gain, pt", "hottest, K", "flow, %", "tight, pt")
    lines = [f"{'term broken':20}" + "".join(f"{word:>11}" for word in head) + "  test"]
    for row in sorted(terms, key=lambda row: -abs(row["gain"])):
        numbers = "".join(f"{row[key]:+11.3f}" for key in NUMBERS)
        lines.append(f"{row['name']:20}{numbers}  {row['test']}")
        if "failure" in row:
            lines.append(f"{'':20} {row['failure']}")
    return "\n".join(lines)
