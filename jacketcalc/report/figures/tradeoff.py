"""Temperature at start of compression and delivery against helix pitch."""

from __future__ import annotations

import numpy as np
from matplotlib.figure import Figure

from jacketcalc.report.figures.labels import place_names
from jacketcalc.report.figures.number_labels import signed
from jacketcalc.report.figures.style import MIDDLE, new_figure, panel, styled
from jacketcalc.report.figures.tradeoff_axis import ACROSS, LEFT, set_pitches
from jacketcalc.report.figures.tradeoff_data import Closed, Tradeoff
from jacketcalc.report.figures.tradeoff_panels import (
    bracket_plateau,
    change_panel,
    charge_panel,
    write_numbers,
)

__all__ = ["Closed", "Tradeoff", "describe_tradeoff", "draw_tradeoff"]


def draw_tradeoff(data: Tradeoff) -> Figure:
    """Draw both panels on one pitch axis."""
    with styled():
        fig = new_figure(MIDDLE, 138.0)
        upper = panel(fig, LEFT, 95.0, ACROSS, 35.0)
        lower = panel(fig, LEFT, 17.0, ACROSS, 66.0)
        for ax in (upper, lower):
            set_pitches(ax, data)
        place_names(upper, *charge_panel(upper, data))
        found = change_panel(lower, data)
        write_numbers(lower, data)
        bracket_plateau(lower, data)
        place_names(lower, *found)
        return fig


def describe_tradeoff(data: Tradeoff) -> str:
    """Say in words what the comparison finds."""
    shown, unit = data.shown, data.shown.unit("length")
    ends = (shown.length(float(data.pitch[0])), shown.length(float(data.pitch[-1])))
    T = data.charge[np.isfinite(data.charge)]
    bare = (
        f"{shown.temperature(data.charge_bare)} with no jackets; "
        if np.isfinite(data.charge_bare)
        else ""
    )
    words = [
        f"{len(data.pitch)} pitches from {ends[0]} to {ends[1]} {unit}. "
        "Temperature at start of compression in "
        f"{data.stage}: {bare}with the jacket {shown.temperature(float(T[0]))} at the smallest "
        f"pitch and {shown.temperature(float(T[-1]))} at the largest. Change of delivery in "
        "percent: " + "; ".join(line.replace(":  ", ": ") for line in data.lines()) + "."
    ]
    parts = (("Cooling", data.cooling), ("resistance", data.resistance))
    known = [(name, v) for name, v in parts if v is not None and np.isfinite(v[data.best])]
    if known:
        each = [f"{name} alone {signed(100.0 * float(v[data.best]))}" for name, v in known]
        words.append(f"At the best: {', '.join(each).lower()}.")
    if data.plateau is not None:
        one, two = (shown.length(v) for v in data.plateau)
        words.append(f"{one} to {two} {unit}: {data.plateau_words}.")
    if data.still_rising:
        words.append("The best stands at the end of the range: delivery still rises.")
    for closed in data.closed:
        one, two = (shown.length(v) for v in (closed.low, closed.high))
        words.append(f"{one} to {two} {unit}: {closed.words}.")
    return " ".join(words)
