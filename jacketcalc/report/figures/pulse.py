"""The exhaust pulse of each port over time: pressure, flow and temperature."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from jacketcalc.arrays import Array
from jacketcalc.assessment.pair import Solved
from jacketcalc.core.profiles import PassageDetail
from jacketcalc.report.figures.curves import (
    WORDS,
    few_ticks,
    machines,
    nice_limits,
    reference,
)
from jacketcalc.report.figures.labels import Name, place_names
from jacketcalc.report.figures.number_labels import Shown, number
from jacketcalc.report.figures.style import FULL, MIDDLE, foot, head, new_figure, panel, styled

PANEL, STEP = 30.0, 41.0
"""Height of a panel, and from one to the next [mm]."""
_ROWS = (
    ("port_pressure", "pressure", "Pressure at the valve, absolute,  $p$"),
    ("flow", "mass flow", "Exhaust flow,  $q_m$"),
    ("port_temperature", "temperature", "Temperature at the valve,  $T$"),
)


def draw_pulse(found: Solved) -> Figure:
    """Draw pressure, flow and temperature at each exhaust port, panels stacked by port."""
    with styled():
        shown = Shown(found.case.document.units)
        count = len(found.jacketed_detail.passages)
        width = MIDDLE if count == 1 else FULL
        fig = new_figure(width, 3 * STEP + 8.0)
        each = (width - 16.0 * count - 5.0) / count
        for column in range(count):
            lines = [(name, d.passages[column], style) for name, d, style in machines(found)]
            end = 1.04 * max(_end(passage) for _, passage, _ in lines)
            for row, (field, dimension, title) in enumerate(_ROWS):
                left = 14.0 + column * (each + 16.0)
                ax = panel(fig, left, 11.0 + (2 - row) * STEP, each, PANEL)
                letter = "abcdef"[row * count + column]
                if row == 0:
                    title = f"{_port(found, column)}: {title[0].lower()}{title[1:]}"
                head(ax, f"{title} / {shown.per(dimension)}", letter)
                names = _curves(ax, lines, field, dimension, shown, end)
                ax.set_xlim(0.0, 1000.0 * end)
                few_ticks(ax, y=4)
                if row == 0:
                    reference(ax, shown.value(found.case.machine.ambient.pressure, "pressure"))
                if row < 2:
                    ax.tick_params(labelbottom=False)
                else:
                    foot(ax, "Time from the valve's reversal  $t$ / ms")
                place_names(ax, names)
        return fig


def _port(found: Solved, column: int) -> str:
    if len(found.jacketed_detail.passages) == 1:
        return "Both ports"
    return f"Port {column + 1}"


def _end(passage: PassageDetail) -> float:
    """Return when the flow has fallen to a hundredth of its peak [s]."""
    flow = passage.flow
    start = int(np.argmax(flow))
    low = np.flatnonzero(flow[start:] < 0.01 * flow.max())
    last = start + int(low[0]) if len(low) else len(flow) - 1
    return float(passage.time[last])


def _curves(
    ax: Axes,
    lines: Sequence[tuple[str, PassageDetail, dict[str, Any]]],
    field: str,
    dimension: str,
    shown: Shown,
    end: float,
) -> list[Name]:
    names, lows, highs = [], [], []
    for label, passage, style in lines:
        seen = passage.time <= 1.05 * end
        t: Array = 1000.0 * passage.time[seen]
        y = shown.values(getattr(passage, field)[seen], dimension)
        ax.plot(t, y, **style)
        names.append(Name(text=label, x=t, y=y, colour=WORDS[label]))
        lows.append(float(y.min()))
        highs.append(float(y.max()))
    ax.set_ylim(*nice_limits(min(lows), max(highs), zero=field == "flow"))
    return names


def describe_pulse(found: Solved) -> str:
    """Say in words what the pulses look like."""
    shown = Shown(found.case.document.units)
    words = []
    for i, passage in enumerate(found.jacketed_detail.passages):
        peaks = [
            f"{number(shown.value(float(p.flow.max()), 'mass flow'), 1)} {shown.unit('mass flow')}"
            for p in (found.bare_detail.passages[i], passage)
        ]
        words.append(
            f"{_port(found, i)}: the exhaust flow peaks at {peaks[0]} with no jackets and "
            f"{peaks[1]} with jackets; with the jacket the pressure at the valve rises to "
            f"{shown.pressure(float(passage.port_pressure.max()))} and the exhaust falls to "
            f"{shown.temperature(found_coldest(passage))} at its coldest."
        )
    return " ".join(words)


def found_coldest(passage: PassageDetail) -> float:
    """Return the coldest air at the port while it flows [K]."""
    flowing = passage.flow > 0.01 * passage.flow.max()
    return float(passage.port_temperature[flowing].min())
