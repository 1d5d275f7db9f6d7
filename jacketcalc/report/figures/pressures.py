"""Pressures in drive chambers and stages over a cycle, the piston's place above them."""

from __future__ import annotations

from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from jacketcalc.arrays import Array
from jacketcalc.assessment.pair import Solved
from jacketcalc.core.profiles import Detail
from jacketcalc.report.figures.curves import (
    WORDS,
    few_ticks,
    machines,
    nice_limits,
    reference,
)
from jacketcalc.report.figures.labels import Name, place_names
from jacketcalc.report.figures.number_labels import Shown, number
from jacketcalc.report.figures.stage_panels import LETTERS
from jacketcalc.report.figures.style import FULL, foot, head, new_figure, panel, shorten, styled

PANEL, STEP = 30.0, 41.0
"""Height of a panel, and from one to the next [mm]."""
_SECOND: dict[str, Any] = {"ls": (0, (4, 1.5))}
"""Line of drive chamber 2."""


def draw_pressures(found: Solved) -> Figure:
    """Draw the piston's place, both drive chambers and each stage over time, panels stacked."""
    with styled():
        shown, stages = Shown(found.case.document.units), found.case.machine.stages
        rows = 2 + len(stages)
        fig = new_figure(FULL, rows * STEP + 8.0)
        end = 1000.0 * max(float(d.time[-1]) for d in _pair(found))
        unit = shown.unit("pressure")
        heads = [
            f"Piston's place from chamber 1's end,  $x$ / {shown.unit('length')}",
            f"Drive chambers 1 (full) and 2 (dashed), absolute,  $p$ / {unit}",
            *(f"Stage {shorten(s.name, 20)}, absolute,  $p$ / {unit}" for s in stages),
        ]
        for row, words in enumerate(heads):
            ax = panel(fig, 14.0, 11.0 + (rows - 1 - row) * STEP, FULL - 20.0, PANEL)
            head(ax, words, LETTERS[row])
            ax.set_xlim(0.0, end)
            _curves(ax, found, row, shown)
            few_ticks(ax, x=8, y=4)
            if row < rows - 1:
                ax.tick_params(labelbottom=False)
            else:
                foot(ax, "Time from the valve's reversal to stroke 1  $t$ / ms")
        return fig


def _pair(found: Solved) -> tuple[Detail, Detail]:
    return found.bare_detail, found.jacketed_detail


def _curves(ax: Axes, found: Solved, row: int, shown: Shown) -> None:
    """Draw both machines into a panel; the first panel and those of stages name them."""
    names, every = [], []
    for label, detail, style in machines(found):
        t: Array = 1000.0 * detail.time
        lines = _lines(detail, row, shown)
        for y, more in zip(lines, ({}, _SECOND), strict=False):
            ax.plot(t, y, **style, **more)
        every += lines
        if row != 1:
            names.append(Name(text=label, x=t, y=lines[0], colour=WORDS[label]))
    ends = np.concatenate(every)
    ax.set_ylim(*nice_limits(0.0, float(ends.max()), zero=True))
    if row == 1:
        reference(ax, shown.value(found.case.machine.ambient.pressure, "pressure"))
    place_names(ax, names)


def _lines(detail: Detail, row: int, shown: Shown) -> list[Array]:
    if row == 0:
        return [shown.values(detail.position, "length")]
    if row == 1:
        return [shown.values(p, "pressure") for p in detail.drive_pressure]
    return [shown.values(detail.stages[row - 2].pressure, "pressure")]


def describe_pressures(found: Solved) -> str:
    """Say in words how long a cycle is and which pressures it reaches."""
    shown = Shown(found.case.document.units)
    times = [f"{number(1000.0 * float(d.time[-1]))} ms" for d in _pair(found)]
    words = [f"Over a cycle of {times[0]} with no jackets and {times[1]} with jackets:"]
    for i in (0, 1):
        low, high = (
            shown.pressure(float(getattr(found.jacketed_detail.drive_pressure[i], end)()))
            for end in ("min", "max")
        )
        words.append(f"drive chamber {i + 1} goes from {low} to {high} with jackets;")
    for detail in found.jacketed_detail.stages:
        low, high = (shown.pressure(float(getattr(detail.pressure, e)())) for e in ("min", "max"))
        words.append(f"stage {detail.name} goes from {low} to {high};")
    return " ".join(words).rstrip(";") + "."
