"""Rivals of the jackets as a sheet, for CSV, in units a person reads."""

from __future__ import annotations

from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.output_record import Place
from jacketcalc.show.rival_json import TOLD
from jacketcalc.show.rival_text import NOMINAL
from jacketcalc.show.study_sheet import (
    SheetCell,
    StudySheet,
    about_case,
    make_csv,
    shown_cell,
    unit_of,
)
from jacketcalc.studies.rival_table import RivalRow, RivalTable

_CHANGES = (
    ("delivery", "percent"), ("air", "percent"), ("discharge", "temperature difference"),
    ("gas", "temperature difference"), ("seal", "temperature difference"),
)  # fmt: skip
"""Changes from the machine as it stands, each with its dimension."""


def make_rival_csv(table: RivalTable) -> str:
    """Return the table as CSV."""
    return make_csv(make_rival_sheet(table))


def make_rival_sheet(table: RivalTable) -> StudySheet:
    """Return the table as a sheet: results, changes from the machine as it stands, limits."""
    system = table.case.document.units
    outputs = [output for output in OUTPUTS if output.key in TOLD]
    changes = [f"change.{name}" for name, _ in _CHANGES]
    return StudySheet(
        names=["row", *(o.key for o in outputs), *changes, "limits_broken", "limits", "assumed",
               "failure"],
        units=["", *(unit_of(o.dimension, system) for o in outputs),
               *(unit_of(dimension, system) for _, dimension in _CHANGES), "", "", "", ""],
        rows=[_row(table, row) for row in table.rows],
        about=[*about_case(table.case), f"As it stands: no jackets, {table.reference}.", NOMINAL],
    )  # fmt: skip


def _row(table: RivalTable, row: RivalRow) -> list[SheetCell]:
    system = table.case.document.units
    runs = row.outcome is not None and not row.outcome.stalled
    results: list[SheetCell] = []
    for output in (output for output in OUTPUTS if output.key in TOLD):
        value = output.read(row.outcome, Place()) if runs and row.outcome is not None else None
        results.append(shown_cell(value, output.dimension, system))
    change = table.changes(row)
    changes: list[SheetCell] = [
        shown_cell(None if change is None else getattr(change, name), dimension, system)
        for name, dimension in _CHANGES
    ]
    broken = float(len(row.broken)) if runs else None
    limits = float(row.limits) if runs else None
    return [row.name, *results, *changes, broken, limits, row.assumed, row.failure]
