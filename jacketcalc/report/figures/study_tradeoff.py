"""From a comparison of pitches to its trade-off figure."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.report.figures.number_labels import Shown
from jacketcalc.report.figures.tradeoff_data import Closed, Tradeoff
from jacketcalc.studies.axes import Axis
from jacketcalc.studies.choice import choose_all, span
from jacketcalc.studies.columns import COOLING_ALONE, RESISTANCE_ALONE
from jacketcalc.studies.study_table import StudyRow, StudyTable

FLOW, CHANGE = "delivered_mass_flow", "change.delivered_mass_flow"
STATES = {"impossible": "cannot be built", "stalled": "the machine stalls",
          "idle": "delivers nothing", "failed": "not solved"}  # fmt: skip
"""States without numbers, in words."""


def varied_stage(path: str) -> str:
    """Return the stage whose jacket alone is varied, empty for all of them."""
    parts = path.split(".")
    return parts[1] if parts[0] == "stage" else ""


def drawn_value(table: StudyTable, axis: int) -> float | None:
    """Return what the case itself has, where it is one value."""
    path = table.axes[axis].path
    machine, only = table.case.machine, varied_stage(path)
    names = [only] if only else [s.name for s in machine.stages]
    key = path.rpartition(".")[2]
    found = {getattr(s.jacket, key) for s in machine.stages if s.jacket and s.name in names}
    return float(found.pop()) if len(found) == 1 else None


def inside(value: float | None, axis: Axis) -> bool:
    """Return whether a value lies within an axis."""
    return value is not None and min(axis.values) <= value <= max(axis.values)


def tradeoff(table: StudyTable, stage: str, *, as_drawn: bool = True) -> Tradeoff:
    """Return the data of the trade-off over pitch for one stage's charge.

    Parameters
    ----------
    table : the comparison
    stage : stage whose charge is shown
    as_drawn : whether what is not varied is as the case has it, so that its pitch is the drawn one
    """
    axis = table.axes[0]
    rows = sorted(table.rows, key=lambda row: row.values[0])
    shown = [row for row in rows if row.state != "impossible"]
    charge, only = f"compression_start_temperature.{stage}", varied_stage(axis.path)
    choice = next(c for c in choose_all(table) if c.aim.column == FLOW)
    ends = sorted(axis.values[i] for i in span(choice, table.shape, 0))
    drawn = drawn_value(table, 0)
    split = any(column.name == COOLING_ALONE for column in table.columns)
    return Tradeoff(
        stage=stage,
        pitch=np.array([row.values[0] for row in shown]),
        turns=series(shown, f"turns.{only or stage}"),
        charge=series(shown, charge),
        charge_low=series(shown, charge, 0),
        charge_high=series(shown, charge, 1),
        charge_bare=float(table.bare[0].get(charge, np.nan)) if table.bare else np.nan,
        change=series(shown, CHANGE),
        change_low=series(shown, CHANGE, 0),
        change_high=series(shown, CHANGE, 1),
        cooling=series(shown, COOLING_ALONE) if split else None,
        resistance=series(shown, RESISTANCE_ALONE) if split else None,
        varied=f"stage {only}" if only else "",
        drawn=drawn if as_drawn and inside(drawn, axis) else None,
        plateau=(ends[0], ends[1]) if len(choice.plateau) > 1 else None,
        plateau_words="as good as the best",
        still_rising=choice.verdict == "still rising",
        closed=_closed(rows),
        band_words="model range" if len(table.members) > 1 else "no model range solved",
        shown=Shown(system=table.case.document.units),
    )


def series(rows: Sequence[StudyRow], column: str, end: int | None = None) -> Array:
    """Return a column of rows, or an end of its band; NaN shows as a gap in a figure.

    Where no band was solved, its ends fall on the column itself.
    """
    found = []
    for row in rows:
        value, ends = row.numbers.get(column), row.spread(column)
        if end is not None and ends is not None:
            value = ends[end]
        found.append(np.nan if value is None or row.state != "solved" else value)
    return np.array(found)


def _closed(rows: Sequence[StudyRow]) -> tuple[Closed, ...]:
    """Return runs of pitches without numbers, each half way to its neighbours."""
    values = [row.values[0] for row in rows]
    found, place = [], 0
    for state, run in groupby(rows, key=lambda row: row.state):
        first, place = place, place + len(list(run))
        if state not in STATES:
            continue
        low = (values[first - 1] + values[first]) / 2 if first else 0.0
        last = values[place - 1]
        high = (last + values[place]) / 2 if place < len(values) else 2.0 * last
        found.append(Closed(low=low, high=high, words=STATES[state]))
    return tuple(found)
