"""The pitch axis of the trade-off figure: ticks, turns, pitches that are closed."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes

from jacketcalc.report.figures.number_labels import trimmed
from jacketcalc.report.figures.style import (
    GREY,
    GREY_PALE,
    GREY_WORDS,
    MIDDLE,
    SMALL,
    foot,
    shorten,
)
from jacketcalc.report.figures.tradeoff_data import Tradeoff

LEFT, ACROSS = 11.0, MIDDLE - 15.0
"""Left edge and width of the panels [mm]."""
CLOSE = 8.5
"""Least distance between written pitches [mm]."""
MARGIN, REACH = 0.03, 0.12
"""Room beside the outer pitches, and what is shown at most of closed ones beyond [-]."""
AMBIENT = 3.2
"""Width from which a closed range has space for its words [mm]."""


def set_pitches(ax: Axes, data: Tradeoff) -> None:
    """Set up the pitch axis: ticks at pitches compared, grey where there is nothing to show."""
    x = data.x
    low, high = float(x[0]), float(x[-1])
    spread = max(high - low, 0.01 * high)
    ends = [_ends(data, i) for i in range(len(data.closed))]
    left = min([low - MARGIN * spread, *(max(e[0], low - REACH * spread) for e in ends)])
    right = max([high + MARGIN * spread, *(min(e[1], high + REACH * spread) for e in ends)])
    for one, two in ends:
        ax.axvspan(max(one, left), min(two, right), color=GREY_PALE, zorder=0.0, lw=0.0)
    ax.set_xlim(left, right)
    if data.drawn is not None:
        ax.axvline(data.shown.value(data.drawn, "length"), color=GREY, lw=0.8, zorder=1.0)
    ax.set_xticks([float(v) for v in x[written(data)]])


def _ends(data: Tradeoff, index: int) -> tuple[float, float]:
    closed = data.closed[index]
    return data.shown.value(closed.low, "length"), data.shown.value(closed.high, "length")


def written(data: Tradeoff) -> list[int]:
    """Choose the pitches written at the axis: the best, the drawn, and what has space."""
    x = data.x
    scale = ACROSS / max(1.06 * float(x[-1] - x[0]), 1e-12)
    first = [data.best]
    if data.drawn is not None:
        first.append(int(np.argmin(np.abs(data.pitch - data.drawn))))
    chosen: list[int] = []
    for i in [*first, 0, len(x) - 1, *range(len(x))]:
        if all(abs(x[i] - x[j]) * scale >= CLOSE for j in chosen):
            chosen.append(i)
    return sorted(chosen)


def write_turns(ax: Axes, data: Tradeoff) -> None:
    """Write pitches and their turns below the lower panel, and why pitches are closed."""
    x, places = data.x, written(data)
    for i in places:
        if np.isfinite(data.turns[i]):
            ax.annotate(
                trimmed(float(data.turns[i]), 2 if data.turns[i] < 100 else 3),
                (float(x[i]), 0.0), (0.0, -14.5),
                xycoords=("data", "axes fraction"), textcoords="offset points",
                ha="center", va="top", size=SMALL, color=GREY_WORDS,
            )  # fmt: skip
    ax.set_xticks([float(x[i]) for i in places], [trimmed(float(x[i]), 3) for i in places])
    whose = f" of {shorten(data.varied, 24)}" if data.varied else ""
    foot(ax, f"Helix pitch{whose}  $p$ / {data.shown.unit('length')},  and turns below it")
    ax.xaxis.labelpad = 12.0
    left, right = ax.get_xlim()
    for i, closed in enumerate(data.closed):
        one, two = _ends(data, i)
        one, two = max(one, left), min(two, right)
        if (two - one) / (right - left) * ACROSS > AMBIENT:
            ax.text((one + two) / 2, 0.5, closed.words, rotation=90, ha="center", va="center",
                    size=SMALL, color=GREY_WORDS,
                    bbox={"facecolor": GREY_PALE, "edgecolor": "none", "pad": 0.6},
                    transform=ax.get_xaxis_transform())  # fmt: skip
