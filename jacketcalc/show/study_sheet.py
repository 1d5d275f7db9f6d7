"""A study as a sheet of rows and columns, for CSV and workbooks, in units a person reads."""

from __future__ import annotations

import csv
import io
from typing import NamedTuple

from jacketcalc.studies.columns import CHANGES, UNITS
from jacketcalc.studies.table import Row, Table
from jacketcalc.unit_display import System, find_display

Cell = str | float | None
_SAME = ("number", "ratio")


class Sheet(NamedTuple):
    """Rows of cells under names and units."""

    names: list[str]
    """Names of the columns."""
    units: list[str]
    """Their units."""
    rows: list[list[Cell]]
    """Cells; None where there is no number."""


def make_sheet(table: Table) -> Sheet:
    """Return a study as a sheet; the ends of the band stand behind each change."""
    system = table.case.document.units
    names = [axis.path for axis in table.axes] + ["state", "reason"]
    units = [unit_of(axis.dimension, system) for axis in table.axes] + ["", ""]
    for column in table.columns:
        ends = ("", ".low", ".high") if column.name in CHANGES else ("",)
        names += [column.name + end for end in ends]
        units += [unit_of(column.dimension, system)] * len(ends)
    rows = [_cells(table, row, system) for row in table.rows]
    if table.bare and table.bare[0]:
        rows.insert(0, _bare(table, system))
    return Sheet(names=names, units=units, rows=rows)


def unit_of(dimension: str, system: System) -> str:
    """Return the unit of a column."""
    return find_display(dimension, system).symbol if dimension in UNITS else ""


def shown_cell(value: float | None, dimension: str, system: System) -> Cell:
    """Return a number in the unit of its column."""
    if value is None:
        return None
    unit = find_display(dimension, system)
    return float(f"{(value - unit.zero) / unit.size:.10g}")


def _cells(table: Table, row: Row, system: System) -> list[Cell]:
    pairs = zip(row.values, table.axes, strict=True)
    cells: list[Cell] = [shown_cell(value, axis.dimension, system) for value, axis in pairs]
    cells += [row.state, row.reason]
    for column in table.columns:
        cells.append(shown_cell(row.numbers.get(column.name), column.dimension, system))
        if column.name in CHANGES:
            ends = row.spread(column.name) or (None, None)
            cells += [shown_cell(end, column.dimension, system) for end in ends]
    return cells


def _bare(table: Table, system: System) -> list[Cell]:
    cells: list[Cell] = [None] * len(table.axes)
    cells += ["bare", ""]
    for column in table.columns:
        cells.append(shown_cell(table.bare[0].get(column.name), column.dimension, system))
        cells += [None, None] if column.name in CHANGES else []
    return cells


def make_csv(sheet: Sheet) -> str:
    """Return a sheet as CSV: a row of names, a row of units, then its rows."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(sheet.names)
    writer.writerow(sheet.units)
    for row in sheet.rows:
        writer.writerow(["" if c is None else repr(c) if isinstance(c, float) else c for c in row])
    return stream.getvalue()
