"""What readings say of each unknown: its distribution before and after them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from jacketcalc.arrays import Array
from jacketcalc.report.figures.curves import few_ticks
from jacketcalc.report.figures.number_labels import number
from jacketcalc.report.figures.style import (
    BLUE,
    BLUE_PALE,
    BLUE_WORDS,
    FULL,
    GREY,
    GREY_WORDS,
    INK,
    SMALL,
    head,
    new_figure,
    panel,
    plain,
    styled,
)

COLUMNS, LEFT, STEP, ACROSS = 4, 6.0, 44.0, 36.0
"""Panels side by side, the first one's left edge, their distance and width [-], [mm]."""
HIGH, PITCH, BELOW = 22.0, 43.0, 20.0
"""Height of a panel, distance of rows of them, and space below the last [mm]."""
KEYS = 14.0
"""Distance from a panel down to the keys [mm]."""
_PEAK = 1.15
"""Height of a panel over that of its highest curve [-]."""
_BARS = (-0.13, -0.30)
"""Height of the two intervals below the curves, as shares of the panel's [-]."""


@dataclass(frozen=True, kw_only=True)
class Known:
    """One unknown before and after the readings."""

    name: str
    factor: bool
    """Whether it multiplies what the case states; else it is the value itself."""
    nominal: float
    """What the case states: 1 for a factor [-]."""
    value: Array
    """Values at which the densities are told, ascending [-]."""
    prior: Array
    """Density before the readings [-]."""
    posterior: Array
    """Density after them [-]."""
    before: tuple[float, float, float]
    """Lower end, median and upper end of the 95 % interval before the readings [-]."""
    after: tuple[float, float, float]
    """Lower end, estimate and upper end after them [-]."""


def draw_unknowns(unknowns: tuple[Known, ...]) -> Figure:
    """Draw a panel for each unknown: both densities, and both intervals below them."""
    with styled():
        rows = -(-len(unknowns) // COLUMNS)
        high = BELOW + PITCH * rows - 12.0
        fig = new_figure(FULL, high)
        for place, one in enumerate(unknowns):
            line, column = divmod(place, COLUMNS)
            up = BELOW + PITCH * (rows - 1 - line)
            _draw(panel(fig, LEFT + STEP * column, up, ACROSS, HIGH), one)
        keys = [
            Line2D([], [], color=GREY, lw=0.9, marker="s", ms=4.0, mfc="white", label="before"),
            Line2D([], [], color=BLUE, lw=1.6, marker="o", ms=4.5, mfc="white", label="after"),
            Line2D([], [], color=INK, lw=0.8, ls=(0, (2, 2)), label="nominal"),
        ]
        fig.axes[COLUMNS * (rows - 1)].legend(
            handles=keys, loc="upper left", ncols=3, frameon=False, fontsize=SMALL,
            bbox_to_anchor=(0.0, -KEYS / HIGH), borderaxespad=0.0, columnspacing=1.5,
        )  # fmt: skip
        return fig


def _draw(ax: Axes, one: Known) -> None:
    kind = "factor" if one.factor else "value"
    head(ax, plain(f"{one.name[:1].upper()}{one.name[1:]}, {kind}"))
    ax.fill_between(one.value, 0.0, one.posterior, color=BLUE_PALE, lw=0.0, zorder=1.0)
    ax.plot(one.value, one.prior, color=GREY, lw=0.9, zorder=2.0)
    ax.plot(one.value, one.posterior, color=BLUE, lw=1.6, zorder=3.0)
    top = _PEAK * float(max(one.prior.max(), one.posterior.max()))
    ax.set_ylim(-0.4 * top, top)
    ax.axhline(0.0, color=INK, lw=0.4, zorder=1.5)
    ax.plot([one.nominal] * 2, [0.0, top], color=INK, lw=0.8, ls=(0, (2, 2)), zorder=1.6)
    for ends, at, colour, mark, width in (
        (one.before, _BARS[0] * top, GREY, "s", 0.9),
        (one.after, _BARS[1] * top, BLUE, "o", 1.6),
    ):
        ax.plot([ends[0], ends[2]], [at, at], color=colour, lw=width, marker="|", ms=5.0, mew=1.0,
                zorder=3.0)  # fmt: skip
        ax.plot([ends[1]], [at], mark, ms=4.0, mfc="white", mec=colour, mew=1.1, zorder=4.0)
    ax.spines["left"].set_visible(False)
    ax.set_yticks([])
    ax.set_xlim(float(one.value[0]), float(one.value[-1]))
    few_ticks(ax, x=4)
    for up, words, ink in ((-0.32, _ends(one.before), GREY_WORDS),
                           (-0.49, _ends(one.after), BLUE_WORDS)):  # fmt: skip
        ax.text(0.0, up, words, transform=ax.transAxes, ha="left", va="center", size=SMALL,
                color=ink)  # fmt: skip


def _ends(ends: tuple[float, float, float]) -> str:
    low, middle, high = (number(v, 2) for v in ends)
    return f"{middle}  ({low} to {high})"


def describe_unknowns(unknowns: tuple[Known, ...]) -> str:
    """Say in words what the readings change."""
    words = ["Each unknown with its 95 % interval before and after the readings."]
    for one in unknowns:
        kind = "factor on what is stated" if one.factor else "value"
        width = 1.0 - np.divide(one.after[2] - one.after[0], one.before[2] - one.before[0])
        words.append(
            f"{one.name}, {kind}: before {_ends(one.before)}, after {_ends(one.after)}, "
            f"interval {'narrower' if width >= 0 else 'wider'} by {100 * abs(width):.0f} %."
        )
    return " ".join(words)
