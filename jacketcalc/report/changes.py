"""What has changed between two cases: the revision table of a report."""

from __future__ import annotations

from jacketcalc.casefile.changed_entries import dimension_of, list_changed, source_of
from jacketcalc.inputs import Case, Given
from jacketcalc.report.model import Row, Table
from jacketcalc.report.traced import Pen, left, row

_NONE = "–"
"""Stands where a case has no such entry."""


def changes_table(pen: Pen, previous: Case) -> Table:
    """Return the entries that differ from those of the previous case.

    Parameters
    ----------
    pen : writes the case of this report
    previous : the case of the report before
    """
    rows: list[Row] = []
    if previous.title != pen.case.title:
        rows.append(row("title", previous.title, pen.case.title))
    for entry in list_changed(previous, pen.case):
        was, now = (_say(pen, given, entry.sourced) for given in (entry.was, entry.now))
        rows.append(row(entry.path, was, now))
    columns = (left("Key", 1.4), left("Was", 1.2), left("Is", 1.2))
    caption = (
        f"Changes since the previous case, revision {previous.document.revision or 'not stated'}, "
        f"SHA-256 {previous.sha256[:16]}…"
    )
    note = "" if rows else "No entry of the case has changed."
    return Table(number=0, name="changes", caption=caption, columns=columns, rows=tuple(rows),
                 note=note)  # fmt: skip


def _say(pen: Pen, given: Given | None, sourced: bool) -> str:
    """Return an entry with its unit, and with its source where that is what differs."""
    if given is None:
        return _NONE
    words = given.value if isinstance(given.value, str) else _quantity(pen, given, given.value)
    return f"{words} ({source_of(given)})" if sourced and source_of(given) else words


def _quantity(pen: Pen, given: Given, value: float) -> str:
    dimension = dimension_of(given)
    text = pen.quantity(value, dimension)
    if given.tolerance:
        half = {"temperature": "temperature difference", "pressure": "pressure difference"}
        text += f" ±\u00a0{pen.quantity(given.tolerance, half.get(dimension, dimension), 3)}"
    return text
