"""A study as a sheet of rows and columns, for CSV and workbooks, in units a person reads."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from jacketcalc import __version__
from jacketcalc.assessment.notes import CAUTION
from jacketcalc.core.output_record import UNITS
from jacketcalc.inputs import Case
from jacketcalc.show.gas_text import gas_words
from jacketcalc.studies.axes import Axis
from jacketcalc.studies.columns import ABOUT_COLUMNS
from jacketcalc.studies.drawn import drawn_entries, say_drawn
from jacketcalc.studies.study_table import StudyRow, StudyTable
from jacketcalc.unit_display import System, find_display
from jacketcalc.units import tidy

SheetCell = str | float | None
DRAWN, NO_JACKETS = "as drawn", "no jackets"
"""States of the rows above the points: the drawn design, and the machine without jackets."""
_SPECIAL = frozenset('",\n\r#')
"""Letters for which a cell of a CSV file is set in quotes."""


class StudySheet(NamedTuple):
    """Rows of cells under names and units."""

    names: list[str]
    """Names of the columns."""
    units: list[str]
    """Their units."""
    rows: list[list[SheetCell]]
    """Cells; None where there is no number."""
    about: list[str]
    """Lines above: whose it is, by which program, and the caution."""


def make_sheet(table: StudyTable) -> StudySheet:
    """Return a study as a sheet; the ends of the model range stand behind each change.

    Above the points stand the drawn design and, where all share it, the machine without jackets.
    """
    system = table.case.document.units
    columns = [each for column in table.columns for each in (column, *column.band)]
    names = [axis.path for axis in table.axes] + ["state", "reason"]
    names += [path for path, _ in table.held]
    units = [unit_of(axis.dimension, system) for axis in table.axes] + ["", ""]
    units += [""] * len(table.held)

    def line(values: Sequence[SheetCell], state: str, row: StudyRow, *held: str) -> list[SheetCell]:
        words = (row.reason, gas_words(row.gas, system))
        numbers = {**row.numbers, **row.band(columns)}
        shown = [shown_cell(numbers.get(c.name), c.dimension, system) for c in columns]
        own: list[SheetCell] = [*held] if held else [None] * len(table.held)
        return [*values, state, "; ".join(filter(None, words)), *own, *shown]

    rows = []
    if table.drawn is not None:
        rows.append(line([_drawn_cell(table, a, system) for a in table.axes], DRAWN, table.drawn))
    if table.bare and table.bare[0]:
        alone = StudyRow(values=(), texts=(), state="solved", members=table.bare)
        rows.append(line([None] * len(table.axes), NO_JACKETS, alone))
    for row in table.rows:
        triples = zip(row.values, row.texts, table.axes, strict=True)
        values = [
            text if axis.words else shown_cell(value, axis.dimension, system)
            for value, text, axis in triples
        ]
        rows.append(line(values, row.state, row, *(text for _, text in table.held)))
    return StudySheet(
        names=names + [c.name for c in columns],
        units=units + [unit_of(c.dimension, system) for c in columns],
        rows=rows,
        about=[*about_case(table.case), *_about_study(table)],
    )


def _drawn_cell(table: StudyTable, axis: Axis, system: System) -> SheetCell:
    """Return what the drawn design has for an axis, words where that differs between stages."""
    found = drawn_entries(table.drawn_case, axis)
    if len(found) != 1:
        return say_drawn(table.drawn_case, axis)
    return found[0].text if axis.words else shown_cell(found[0].value, axis.dimension, system)


def about_case(case: Case) -> list[str]:
    """Return the lines above a sheet: title, program, case, caution."""
    return [case.title, f"jacketcalc {__version__}, case SHA-256 {case.sha256}", CAUTION]


def _about_study(table: StudyTable) -> list[str]:
    members = f"Model range: {', '.join(table.members)}." if len(table.members) > 1 else (
        "Nominal models alone: the model range was not solved.")  # fmt: skip
    return [members, ABOUT_COLUMNS]


def unit_of(dimension: str, system: System) -> str:
    """Return the unit of a column."""
    return find_display(dimension, system).symbol if dimension in UNITS else ""


def shown_cell(value: float | None, dimension: str, system: System) -> float | None:
    """Return a number in the unit of its column, in full but for the noise of the conversion."""
    if value is None:
        return None
    unit = find_display(dimension, system)
    return tidy((value - unit.zero) / unit.size)


def make_csv(sheet: StudySheet) -> str:
    """Return a sheet as CSV: lines that begin with #, a row of names, a row of units, its rows.

    `pandas.read_csv(file, comment="#", header=[0, 1])` reads it: # stands in quotes elsewhere.
    """
    lines = [f"# {line}" for line in sheet.about]
    every: list[Sequence[SheetCell]] = [sheet.names, sheet.units, *sheet.rows]
    for row in every:
        lines.append(",".join(_csv_cell(cell) for cell in row))
    return "\n".join(lines) + "\n"


def _csv_cell(cell: SheetCell) -> str:
    if cell is None:
        return ""
    if not isinstance(cell, str):
        return repr(cell)
    return '"' + cell.replace('"', '""') + '"' if _SPECIAL & set(cell) else cell
