"""Every design that a search solved, as a sheet of rows and columns."""

from __future__ import annotations

from jacketcalc.show.study_sheet import SheetCell, StudySheet, shown_cell, unit_of
from jacketcalc.studies.optimum import Optimum
from jacketcalc.studies.trials import Trial

_MARKS = ("keeps_limits", "on_front", "best", "gas_in_property_table")
"""Columns of yes and no."""


def make_optimum_sheet(optimum: Optimum) -> StudySheet:
    """Return the designs solved, most delivered air first, in units a person reads."""
    system = optimum.case.document.units
    columns = [c for c in optimum.scan.columns if c.own]
    names = [axis.path for axis in optimum.axes] + [
        "keeps_limits",
        "on_front",
        "best",
        "gas_in_property_table",
    ]
    units = [unit_of(axis.dimension, system) for axis in optimum.axes] + [""] * 4

    def cells(trial: Trial) -> list[SheetCell]:
        pairs = zip(trial.values, optimum.axes, strict=True)
        row = [shown_cell(value, axis.dimension, system) for value, axis in pairs]
        marks = (not trial.broken, trial in optimum.front, trial == optimum.best, trial.gas is None)
        row += ["yes" if mark else "no" for mark in marks]
        return row + [shown_cell(trial.numbers.get(c.name), c.dimension, system) for c in columns]

    tried = sorted(optimum.tried, key=lambda trial: -trial.numbers["delivered_mass_flow"])
    return StudySheet(
        names=names + [c.name for c in columns],
        units=units + [unit_of(c.dimension, system) for c in columns],
        rows=[cells(trial) for trial in tried],
    )
