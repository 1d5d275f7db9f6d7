"""From a study of any two entries to its maps of cells."""

from __future__ import annotations

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.number_text import fixed
from jacketcalc.report.figures.number_labels import Shown
from jacketcalc.report.figures.study_pair import Cells, PairFigure
from jacketcalc.report.figures.study_points import HOTTEST, say_states
from jacketcalc.report.figures.study_tradeoff import CHANGE, FLOW, series
from jacketcalc.studies.axes import Axis
from jacketcalc.studies.choice import choose_all
from jacketcalc.studies.drawn import drawn_spots, say_drawn
from jacketcalc.studies.study_table import StudyTable

_MARKS = "Frame: most delivered air. Circle: the drawn machine."


def pair_figure(table: StudyTable) -> PairFigure:
    """Return the data of the maps of two entries: the first across, the second up."""
    first, second = table.axes
    shown = Shown(system=table.case.document.units)
    orders = [_order(axis) for axis in table.axes]
    texts = [tuple(axis.texts[i] for i in order)
             for axis, order in zip(table.axes, orders, strict=True)]  # fmt: skip

    def arranged(values: Array) -> Array:
        return np.asarray(np.reshape(values, table.shape)[np.ix_(*orders)].T)

    change = arranged(100.0 * series(table.rows, CHANGE))
    hot = arranged(shown.values(series(table.rows, HOTTEST), "temperature"))
    choice = next(c for c in choose_all(table) if c.aim.column == FLOW)
    best = None
    if choice.best is not None:
        i, j = divmod(choice.best, len(second.values))
        best = (orders[0].index(i), orders[1].index(j))
    drawn, said = _drawn(table, shown)
    if choice.rising:
        ends = " and ".join(table.axes[axis].path for axis in choice.rising)
        said.append(f"Still rising: the best is at the end of the range of {ends}.")
    return PairFigure(
        across=texts[0],
        up=texts[1],
        labels=(first.path, second.path),
        maps=(
            Cells(title="Delivered air, change from no jackets / %", value=change, decimals=1,
                  change=True),
            Cells(title=f"Hottest discharge / {shown.unit('temperature')}", value=hot, decimals=0),
        ),
        drawn=drawn,
        best=best,
        remarks=(_MARKS, *said, *say_states(table)),
    )  # fmt: skip


def _order(axis: Axis) -> list[int]:
    """Return places in the order drawn: numbers rise, words stay as typed."""
    every = range(len(axis.values))
    return list(every) if axis.words else sorted(every, key=lambda i: axis.values[i])


def _drawn(
    table: StudyTable, shown: Shown
) -> tuple[tuple[tuple[str, float, float], ...], list[str]]:
    """Return the places of the drawn machine on the map, and what it has in words."""
    found, outside = [], False
    for spot in drawn_spots(table.drawn_case, table.axes):
        at = [_place(axis, v) for axis, v in zip(table.axes, spot.values, strict=True)]
        if at[0] is None or at[1] is None:
            outside = True
            continue
        found.append((f"drawn, {spot.part}" if spot.part else "drawn", at[0], at[1]))
    where = "; ".join(f"{axis.path} {say_drawn(table.drawn_case, axis)}" for axis in table.axes)
    words = f"As drawn, {where}: {_numbers(table, shown)}."
    whose = "A part of it" if found else "It"
    said = [words + (f" {whose} lies outside this map." if outside else "")]
    return tuple(found), said


def _numbers(table: StudyTable, shown: Shown) -> str:
    numbers = {} if table.drawn is None else table.drawn.numbers
    if CHANGE not in numbers or HOTTEST not in numbers:
        return "it delivers nothing"
    hot = shown.temperature(numbers[HOTTEST])
    return f"{fixed(100 * numbers[CHANGE], 1, sign=True)} %, {hot}"


def _place(axis: Axis, value: float | None) -> float | None:
    """Return where a value stands among the cells of an axis, None where it is outside."""
    if value is None or axis.words:
        return value
    ordered = sorted(axis.values)
    if not ordered[0] <= value <= ordered[-1]:
        return None
    return float(np.interp(value, ordered, np.arange(len(ordered))))
