"""From a study of any one entry to its figure."""

from __future__ import annotations

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.report.figures.number_labels import Shown
from jacketcalc.report.figures.study_entry import Curve, EntryFigure
from jacketcalc.report.figures.study_tradeoff import CHANGE, STATES, series
from jacketcalc.studies.axes import Axis
from jacketcalc.studies.columns import NO_JACKETS
from jacketcalc.studies.drawn import drawn_spots, say_drawn
from jacketcalc.studies.study_table import StudyRow, StudyTable

HOTTEST = "hottest_discharge"
_NAMED = 6
"""Points without numbers that a remark names [-]."""


def entry_figure(table: StudyTable) -> EntryFigure:
    """Return the data of the figure of one entry."""
    axis, shown = table.axes[0], Shown(system=table.case.document.units)
    rows = list(table.rows) if axis.words else sorted(table.rows, key=lambda row: row.values[0])
    x = places(axis, shown, np.array([row.values[0] for row in rows]))
    spots = drawn_spots(table.drawn_case, table.axes)
    words = tuple(row.texts[0] for row in rows) if axis.words else ()
    found = [at for spot in spots if (at := spot.values[0]) is not None]
    drawn = [float(place) for place in places(axis, shown, np.array(found))]
    if axis.words and table.drawn is not None and spots and not drawn:
        # A drawn word that is not compared stands as one more place, to the left.
        rows, x = [table.drawn, *rows], np.array([-1.0, *x])
        words, drawn = (spots[0].entries[0].text, *words), [-1.0]
    unit = "" if axis.words else shown.per(axis.dimension)
    return EntryFigure(
        x=x,
        words=words,
        label=f"{axis.path} / {unit}" if unit else axis.path,
        change=_curve(table, rows, CHANGE, shown),
        discharge=_curve(table, rows, HOTTEST, shown, bare=True),
        temperature=shown.unit("temperature"),
        drawn=tuple(drawn),
        ranged=len(table.members) > 1,
        remarks=tuple(_remarks(table)),
    )


def places(axis: Axis, shown: Shown, values: Array) -> Array:
    """Return values of an axis in the unit shown; words keep their places."""
    return values if axis.words else shown.values(values, axis.dimension)


def _curve(
    table: StudyTable, rows: list[StudyRow], column: str, shown: Shown, bare: bool = False
) -> Curve:
    dimension = table.column(column).dimension

    def read(name: str, end: int | None = None) -> Array:
        return shown.values(series(rows, name, end), dimension)

    drawn = [] if table.drawn is None else [table.drawn]
    level = shown.values(series(drawn, column), dimension)
    return Curve(
        value=read(column),
        low=read(column, 0),
        high=read(column, 1),
        drawn=float(level[0]) if len(level) else float("nan"),
        bare=read(f"{NO_JACKETS}.{column}") if bare else None,
    )


def _remarks(table: StudyTable) -> list[str]:
    """Say what the drawn machine has, what is shaded, and which points lack numbers."""
    axis = table.axes[0]
    said = [f"Drawn: {say_drawn(table.drawn_case, axis)}."]
    if len(table.members) > 1:
        said[0] += " Shaded: the model range, paired: same model member for both machines."
    return said + say_states(table)


def say_states(table: StudyTable) -> list[str]:
    """Return a remark for each state without numbers: which points it has."""
    said = []
    for state, words in STATES.items():
        found = [" × ".join(row.texts) for row in table.rows if row.state == state]
        if found:
            more = f" and {len(found) - _NAMED} more" if len(found) > _NAMED else ""
            said.append(f"{words[0].upper()}{words[1:]}: {', '.join(found[:_NAMED])}{more}.")
    return said
