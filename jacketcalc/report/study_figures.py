"""Figures of studies, as PNG and SVG by the endings of their file names."""

from __future__ import annotations

import re
from collections.abc import Callable

import numpy as np
from matplotlib.figure import Figure

from jacketcalc.report.figures.front import Front, draw_front
from jacketcalc.report.figures.number_labels import Shown
from jacketcalc.report.figures.pitchmap import draw_pitchmap
from jacketcalc.report.figures.study_entry import draw_entry
from jacketcalc.report.figures.study_grid import pair_figure
from jacketcalc.report.figures.study_map import pitch_map
from jacketcalc.report.figures.study_pair import draw_pair
from jacketcalc.report.figures.study_points import entry_figure
from jacketcalc.report.figures.study_tradeoff import CHANGE, FLOW, tradeoff
from jacketcalc.report.figures.style import png_bytes, svg_bytes
from jacketcalc.report.figures.tradeoff import draw_tradeoff
from jacketcalc.studies.columns import Numbers, fed
from jacketcalc.studies.limits import list_bounds
from jacketcalc.studies.optimum import Optimum
from jacketcalc.studies.study_table import StudyTable

MakePicture = Callable[[], bytes]
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
        figures = {f"-{_file(n)}": _drawn(draw_tradeoff, data) for n, data in found.items()}
        return _forms({"-change": _drawn(draw_entry, entry_figure(table)), **figures})
    if sorted(kinds) == ["gap", "pitch"] and min(table.shape) > 1:
        return _forms({"-map": _drawn(draw_pitchmap, pitch_map(table))})
    if len(table.axes) == 1:
        return _forms({"-change": _drawn(draw_entry, entry_figure(table))})
    if len(table.axes) == 2:
        return _forms({"-map": _drawn(draw_pair, pair_figure(table))})
    return {}


def _file(name: str) -> str:
    """Return a stage's name as it can stand in the name of a file."""
    return re.sub(r"[^\w.+-]+", "-", name)


def optimum_figures(optimum: Optimum) -> dict[str, MakePicture]:
    """Return the front of a search."""
    return _forms({"-front": _drawn(draw_front, front(optimum))}) if optimum.front else {}


def _drawn(draw: Callable[..., Figure], data: object) -> Callable[[], Figure]:
    return lambda: draw(data)


def _forms(figures: dict[str, Callable[[], Figure]]) -> dict[str, MakePicture]:
    forms: dict[str, MakePicture] = {}
    for name, draw in figures.items():
        forms[f"{name}.png"] = lambda draw=draw: png_bytes(draw())  # type: ignore[misc]
        forms[f"{name}.svg"] = lambda draw=draw: svg_bytes(draw())  # type: ignore[misc]
    return forms


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
