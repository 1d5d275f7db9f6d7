"""A quantity over pitch and gap, with limits hatched and impossible designs grey."""

from __future__ import annotations

import textwrap

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from jacketcalc.report.figures.curves import few_ticks
from jacketcalc.report.figures.number_labels import number
from jacketcalc.report.figures.pitchmap_data import PitchMap
from jacketcalc.report.figures.pitchmap_field import draw_field, draw_key, scale_of
from jacketcalc.report.figures.pitchmap_limits import SIGN, hatch_limits, write_signs
from jacketcalc.report.figures.pitchmap_words import Places, label_contours, mark_spots
from jacketcalc.report.figures.style import (
    MIDDLE,
    SMALL,
    foot,
    head,
    new_figure,
    panel,
    plain,
    shorten,
    styled,
)

LEFT, ACROSS, UP = 10.0, MIDDLE - 30.0, 72.0
"""Left edge, width and height of the map [mm]."""
LINE, LETTERS = 4.0, 84
"""Height of a line of remarks [mm], and letters it holds [-]."""


def draw_pitchmap(data: PitchMap) -> Figure:
    """Draw the map."""
    with styled():
        lines = [line for remark in data.remarks for line in textwrap.wrap(remark, LETTERS)]
        signs = len(data.limits) + len(data.gaps) + (data.level is not None)
        words = SIGN * signs + LINE * len(lines)
        foot_room = 12.0 + (words + 2.0 if words else 0.0)
        fig = new_figure(MIDDLE, foot_room + 86.0)
        ax = panel(fig, LEFT, foot_room, ACROSS, UP)
        _frame(ax, data)
        scale = scale_of(data)
        drawn = draw_field(ax, data, scale)
        places = Places(ax)
        mark_spots(places, data)
        hatch_limits(places, data)
        label_contours(places, data, drawn)
        draw_key(fig, data, scale, foot_room, UP)
        write_signs(fig, data, foot_room - 11.0)
        _remarks(fig, lines, foot_room - 11.5 - SIGN * signs)
        return fig


def _frame(ax: Axes, data: PitchMap) -> None:
    ax.set_xlim(data.x[0], data.x[-1])
    ax.set_ylim(data.y[0], data.y[-1])
    few_ticks(ax, x=7, y=6)
    unit = data.shown.unit("length")
    whose = [f" of {shorten(words, 24)}" if words else "" for words in (data.gap_of, data.pitch_of)]
    head(ax, f"Channel gap{whose[0]},  $s$ / {unit}")
    foot(ax, f"Helix pitch{whose[1]},  $p$ / {unit}")


def _remarks(fig: Figure, lines: list[str], top: float) -> None:
    height = float(fig.get_size_inches()[1]) * 25.4
    for i, line in enumerate(lines):
        y = (top - LINE * (i + 0.5)) / height
        fig.text(LEFT / MIDDLE, y, plain(line), va="center", size=SMALL)


def describe_pitchmap(data: PitchMap) -> str:
    """Say in words what the map shows."""
    shown, unit = data.shown, data.shown.unit("length")
    ends = [shown.length(float(v)) for v in (*data.pitch[[0, -1]], *data.gap[[0, -1]])]
    seen = data.seen
    words = [
        f"{data.plain_title}, for pitches of {ends[0]} to {ends[1]} {unit} and gaps of {ends[2]} "
        f"to {ends[3]} {unit}: {number(float(np.nanmin(seen)), 1)} to "
        f"{number(float(np.nanmax(seen)), 1)}."
    ]
    for spot, name in ((data.drawn, "drawn"), (data.best, "best")):
        if spot is not None:
            i = int(np.argmin(np.abs(data.gap - spot[1])))
            j = int(np.argmin(np.abs(data.pitch - spot[0])))
            words.append(
                f"The {name}, pitch {shown.length(spot[0])} and gap {shown.length(spot[1])} {unit}"
                + (f": {number(float(seen[i, j]), 1)}." if np.isfinite(seen[i, j]) else ".")
            )
    for limit in data.limits:
        broken = int((np.nan_to_num(limit.excess, nan=-1.0) > 0.0).sum())
        words.append(f"Limit '{limit.name}' is broken by {broken} designs.")
    words += [f"{int(gap.mask.sum())} designs: {gap.name}." for gap in data.gaps]
    return " ".join([*words, *data.remarks])
