"""Figures of studies, as PNG and SVG by the endings of their file names."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

import numpy as np
from matplotlib.figure import Figure

from jacketcalc.report.figures.front import Front, describe_front, draw_front
from jacketcalc.report.figures.number_labels import Shown
from jacketcalc.report.figures.pitchmap import describe_pitchmap, draw_pitchmap
from jacketcalc.report.figures.study_entry import draw_entry
from jacketcalc.report.figures.study_grid import pair_figure
from jacketcalc.report.figures.study_map import pitch_map
from jacketcalc.report.figures.study_pair import draw_pair
from jacketcalc.report.figures.study_points import entry_figure
from jacketcalc.report.figures.study_tradeoff import CHANGE, FLOW, tradeoff
from jacketcalc.report.figures.tradeoff import describe_tradeoff, draw_tradeoff
from jacketcalc.report.pictures import MakePicture, Picture, picture_files
from jacketcalc.studies.columns import Numbers, fed
from jacketcalc.studies.limits import list_bounds
from jacketcalc.studies.optimum import Optimum
from jacketcalc.studies.study_table import StudyTable
from jacketcalc.unit_display import format_quantity

HOTTEST = "hottest_discharge"


def study_figures(table: StudyTable, *, as_drawn: bool = True) -> dict[str, MakePicture]:
    """Return the figures of a study: curves over one entry, or a map of two; the drawn one marked.

    Over pitch there are trade-offs of each stage too.

    Parameters
    ----------
    table : the study
    as_drawn : whether what is not varied is as the case has it
    """
    kinds = [axis.path.rpartition("jacket.")[2] for axis in table.axes]
    if not any(row.state == "solved" and CHANGE in row.numbers for row in table.rows):
        return {}
    if kinds == ["pitch"] and table.bare and HOTTEST in table.bare[0]:
        stages = [s.name for s in table.case.machine.stages if fed(table.case.machine, s)]
        found = {name: tradeoff(table, name, as_drawn=as_drawn) for name in stages}
        pictures = {"-change": _entry(table)}
        for name, data in found.items():
            words = describe_tradeoff(data)
            pictures[f"-{_file(name)}"] = Picture(_drawn(draw_tradeoff, data), words)
    elif sorted(kinds) == ["gap", "pitch"] and min(table.shape) > 1:
        both = pitch_map(table)
        pictures = {"-map": Picture(_drawn(draw_pitchmap, both), describe_pitchmap(both))}
    elif len(table.axes) == 1:
        pictures = {"-change": _entry(table)}
    elif len(table.axes) == 2:
        words = (
            f"Maps over {' and '.join(axis.path for axis in table.axes)}, the drawn machine marked"
        )
        pictures = {"-map": Picture(_drawn(draw_pair, pair_figure(table)), words)}
    else:
        return {}
    return picture_files(pictures, table.case, _ranges(table))


def _entry(table: StudyTable) -> Picture:
    """Return the curves over one entry, the drawn machine marked."""
    words = f"Curves over {table.axes[0].path}, the drawn machine marked"
    return Picture(_drawn(draw_entry, entry_figure(table)), words)


def _ranges(table: StudyTable) -> str:
    """Say what was varied, and how many models the model range holds."""
    system = table.case.document.units
    ends = []
    for place, axis in enumerate(table.axes):
        values = [row.values[place] for row in table.rows]
        if axis.words:
            ends.append(f"{axis.path} {', '.join(axis.texts)}")
            continue
        low, high = (format_quantity(v, axis.dimension, system, 4) for v in _span(values))
        ends.append(f"{axis.path} {low} to {high}")
    models = len(table.members)
    return f"{'; '.join(ends)}; " + (
        f"model range of {models} models" if models > 1 else "no model range solved"
    )


def _span(values: Sequence[float]) -> tuple[float, float]:
    return min(values), max(values)


def _file(name: str) -> str:
    """Return a stage's name as it can stand in the name of a file."""
    return re.sub(r"[^\w.+-]+", "-", name)


def optimum_figures(optimum: Optimum) -> dict[str, MakePicture]:
    """Return the front of a search."""
    if not optimum.front:
        return {}
    data, system = front(optimum), optimum.case.document.units
    ends = []
    for place, axis in enumerate(optimum.axes):
        values = [trial.values[place] for trial in optimum.tried]
        low, high = (format_quantity(v, axis.dimension, system, 4) for v in _span(values))
        ends.append(f"{axis.path} {low} to {high}")
    words = f"{'; '.join(ends)}; {len(optimum.tried)} designs, nominal model"
    return picture_files(
        {"-front": Picture(_drawn(draw_front, data), describe_front(data))}, optimum.case, words
    )


def _drawn(draw: Callable[..., Figure], data: object) -> Callable[[], Figure]:
    return lambda: draw(data)


def front(optimum: Optimum) -> Front:
    """Return the data of the front of compromises."""
    trials = sorted(optimum.front, key=lambda t: t.numbers[FLOW])
    others = [t.numbers for t in optimum.tried]
    return Front(
        flow=np.array([t.numbers[FLOW] for t in trials]),
        discharge=np.array([t.numbers[HOTTEST] for t in trials]),
        labels=tuple(" × ".join(t.texts) for t in trials),
        label_words=" × ".join(axis.path.rpartition(".")[2] for axis in optimum.axes),
        bare=_spot(optimum.bare),
        drawn=_spot(optimum.drawn.numbers),
        other_flow=np.array([numbers[FLOW] for numbers in others]),
        other_discharge=np.array([numbers[HOTTEST] for numbers in others]),
        limit=_discharge_limit(optimum),
        shown=Shown(system=optimum.case.document.units),
    )


def _discharge_limit(optimum: Optimum) -> float | None:
    """Return the highest discharge temperature asked for, None where it is not heeded."""
    bounds = list_bounds(optimum.case, optimum.limits)
    return next((bound.terms[0][1] for bound in bounds if bound.name == "discharge"), None)


def _spot(numbers: Numbers) -> tuple[float, float] | None:
    """Return flow and discharge temperature of a machine that runs."""
    return (numbers[FLOW], numbers[HOTTEST]) if HOTTEST in numbers else None
