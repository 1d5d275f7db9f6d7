"""A study as a sheet of rows and columns, for CSV and workbooks, in units a person reads."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from typing import NamedTuple

from jacketcalc.core.output_record import UNITS
from jacketcalc.show.gas_text import gas_words
from jacketcalc.studies.columns import Numbers
from jacketcalc.studies.study_table import StudyTable
from jacketcalc.unit_display import System, find_display

SheetCell = str | float | None
_SAME = ("number", "ratio")


class StudySheet(NamedTuple):
    """Rows of cells under names and units."""

    names: list[str]
    """Names of the columns."""
    units: list[str]
    """Their units."""
    rows: list[list[SheetCell]]
    """Cells; None where there is no number."""


def make_sheet(table: StudyTable) -> StudySheet:
    """Return a study as a sheet; the ends of the band stand behind each change.

    Above the points stand the case as it stands and, where all share it, the one without jackets.
    """
    system = table.case.document.units
    columns = [each for column in table.columns for each in (column, *column.band)]
    names = [axis.path for axis in table.axes] + ["state", "reason"]
    names += [path for path, _ in table.held]
    units = [unit_of(axis.dimension, system) for axis in table.axes] + ["", ""]
    units += [""] * len(table.held)
    held = [text for _, text in table.held]

    def line(
        values: Sequence[SheetCell], state: str, reason: str, numbers: Numbers
    ) -> list[SheetCell]:
        shown = [shown_cell(numbers.get(c.name), c.dimension, system) for c in columns]
        own = [None if state == "bare" else text for text in held]
        return [*values, state, reason, *own, *shown]

    blank: list[SheetCell] = [None] * len(table.axes)
    above = [("as it stands", table.stands, gas_words(table.gas, system)), ("bare", table.bare, "")]
    rows = [line(blank, state, words, found[0]) for state, found, words in above
            if found and found[0]]  # fmt: skip
    for row in table.rows:
        pairs = zip(row.values, table.axes, strict=True)
        values = [shown_cell(value, axis.dimension, system) for value, axis in pairs]
        words = "; ".join(filter(None, (row.reason, gas_words(row.gas, system))))
        rows.append(line(values, row.state, words, {**row.numbers, **row.band(columns)}))
    return StudySheet(
        names=names + [c.name for c in columns],
        units=units + [unit_of(c.dimension, system) for c in columns],
        rows=rows,
    )


def unit_of(dimension: str, system: System) -> str:
    """Return the unit of a column."""
    return find_display(dimension, system).symbol if dimension in UNITS else ""


def shown_cell(value: float | None, dimension: str, system: System) -> SheetCell:
    """Return a number in the unit of its column."""
    if value is None:
        return None
    unit = find_display(dimension, system)
    return float(f"{(value - unit.zero) / unit.size:.10g}")


def make_csv(sheet: StudySheet) -> str:
    """Return a sheet as CSV: a row of names, a row of units, then its rows."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(sheet.names)
    writer.writerow(sheet.units)
    for row in sheet.rows:
        writer.writerow(["" if c is None else repr(c) if isinstance(c, float) else c for c in row])
    return stream.getvalue()
