"""What has changed between two cases: the revision table of a report."""

from __future__ import annotations

from jacketcalc.casefile.describe import field_at
from jacketcalc.inputs import Case, Given
from jacketcalc.report.model import Row, Table
from jacketcalc.report.traced import Pen, left, row

_NONE = "–"
"""Stands where a case has no such entry."""
_TITLE_BLOCK = "document."
"""Entries that the title block shows."""


def changes_table(pen: Pen, previous: Case) -> Table:
    """Return the entries that differ from those of the previous case.

    Parameters
    ----------
    pen : writes the case of this report
    previous : the case of the report before
    """
    was, now = _entries(previous), _entries(pen.case)
    rows: list[Row] = []
    if previous.title != pen.case.title:
        rows.append(row("title", previous.title, pen.case.title))
    for path in dict.fromkeys((*now, *was)):
        old, new = was.get(path), now.get(path)
        if _same(old, new):
            continue
        sourced = old is not None and new is not None and _source(old) != _source(new)
        rows.append(row(path, _say(pen, old, sourced), _say(pen, new, sourced)))
    columns = (left("Key", 1.4), left("Was", 1.2), left("Is", 1.2))
    caption = (
        f"Changes since the previous case, revision {previous.document.revision or 'not stated'}, "
        f"SHA-256 {previous.sha256[:16]}…"
    )
    note = "" if rows else "No entry of the case has changed."
    return Table(number=0, name="changes", caption=caption, columns=columns, rows=tuple(rows),
                 note=note)  # fmt: skip


def _entries(case: Case) -> dict[str, Given]:
    return {g.path: g for g in case.given if not g.path.startswith(_TITLE_BLOCK)}


def _same(old: Given | None, new: Given | None) -> bool:
    if old is None or new is None:
        return old is new
    return (old.value, old.tolerance, _source(old)) == (new.value, new.tolerance, _source(new))


def _source(given: Given) -> str:
    return "filled in" if given.assumed else given.source


def _say(pen: Pen, given: Given | None, sourced: bool) -> str:
    """Return an entry with its unit, and with its source where that is what differs."""
    if given is None:
        return _NONE
    words = given.value if isinstance(given.value, str) else _quantity(pen, given, given.value)
    return f"{words} ({_source(given)})" if sourced and _source(given) else words


def _quantity(pen: Pen, given: Given, value: float) -> str:
    dimension = field_at(given.path).dimension or "number"
    if dimension == "ratio" and "%" in given.text:
        dimension = "percent"
    text = pen.quantity(value, dimension)
    if given.tolerance:
        half = {"temperature": "temperature difference", "pressure": "pressure difference"}
        text += f" ±\u00a0{pen.quantity(given.tolerance, half.get(dimension, dimension), 3)}"
    return text
