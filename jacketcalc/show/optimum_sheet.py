"""Every design that a search solved, as a sheet of rows and columns."""

from __future__ import annotations

from jacketcalc.show.study_sheet import (
    DRAWN,
    NO_JACKETS,
    SheetCell,
    StudySheet,
    about_case,
    shown_cell,
    unit_of,
)
from jacketcalc.studies.axes import Axis
from jacketcalc.studies.columns import Numbers
from jacketcalc.studies.drawn import drawn_entries, say_drawn
from jacketcalc.studies.optimum import Optimum
from jacketcalc.studies.trials import Trial

_MARKS = ("keeps_limits", "best_compromise", "best", "gas_in_property_table")
"""Columns of yes and no."""


def make_optimum_sheet(optimum: Optimum) -> StudySheet:
    """Return the designs solved, most delivered air first, in units a person reads.

    Above them stand the drawn design and the machine without jackets.
    """
    system = optimum.case.document.units
    columns = [c for c in optimum.scan.columns if c.own]

    def numbers(found: Numbers) -> list[SheetCell]:
        return [shown_cell(found.get(c.name), c.dimension, system) for c in columns]

    def cells(trial: Trial) -> list[SheetCell]:
        pairs = zip(trial.values, optimum.axes, strict=True)
        sizes = [shown_cell(value, axis.dimension, system) for value, axis in pairs]
        marks = (not trial.broken, trial in optimum.front, trial == optimum.best, trial.gas is None)
        yes = ["yes" if mark else "no" for mark in marks]
        return [*sizes, "solved", *yes, *numbers(trial.numbers)]

    def drawn(axis: Axis) -> SheetCell:
        found = drawn_entries(optimum.case, axis)
        if len(found) != 1:
            return say_drawn(optimum.case, axis)
        return shown_cell(found[0].value, axis.dimension, system)

    gas = ("no" if gas else "yes" for gas in (optimum.drawn.gas, optimum.bare_gas))
    kept = "yes" if optimum.drawn.numbers and not optimum.drawn.broken else "no"
    tried = sorted(optimum.tried, key=lambda trial: -trial.numbers["delivered_mass_flow"])
    rows: list[list[SheetCell]] = [
        [
            *map(drawn, optimum.axes),
            DRAWN,
            kept,
            "",
            "",
            next(gas),
            *numbers(optimum.drawn.numbers),
        ],
        [*[None] * len(optimum.axes), NO_JACKETS, "", "", "", next(gas), *numbers(optimum.bare)],
    ]
    return StudySheet(
        names=[*(axis.path for axis in optimum.axes), "state", *_MARKS, *(c.name for c in columns)],
        units=[
            *(unit_of(axis.dimension, system) for axis in optimum.axes),
            *[""] * (1 + len(_MARKS)),
            *(unit_of(c.dimension, system) for c in columns),
        ],
        rows=rows + [cells(trial) for trial in tried],
        about=about_case(optimum.case),
    )
