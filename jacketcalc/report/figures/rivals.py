"""Rivals of the jackets side by side: delivery, and the hottest gas, a row each."""

from __future__ import annotations

import math
from dataclasses import dataclass

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from jacketcalc.report.figures.curves import few_ticks
from jacketcalc.report.figures.number_labels import signed
from jacketcalc.report.figures.style import (
    BLUE,
    FULL,
    GREY,
    GREY_WORDS,
    INK,
    SMALL,
    VERMILION,
    foot,
    head,
    new_figure,
    panel,
    shorten,
    styled,
)

PITCH, BELOW, ABOVE = 5.0, 12.0, 8.0
"""Height of a row, and the space below and above the panels [mm]."""
LEFT, ACROSS, SECOND = 58.0, 54.0, 122.0
"""Left edge of the first panel, width of both, and left edge of the second [mm]."""
NAME = 44
"""Letters of a row's name [-]."""
_BAR = 0.55
"""Height of a bar [row]."""


@dataclass(frozen=True, kw_only=True)
class RivalBar:
    """One row, in the units shown."""

    name: str
    delivery: float
    """Change of delivery from the machine as it stands; NaN where there is none [%]."""
    gas: float
    """Hottest gas; NaN where there is none [its unit]."""
    broken: int
    """Limits that it breaks [-]."""
    jackets: bool
    """Whether it has the jackets."""


@dataclass(frozen=True, kw_only=True)
class Rivals:
    """The rows in their order, the machine as it stands first."""

    unit: str
    """Unit of temperature."""
    reference: str
    """The machine as it stands, in words."""
    bars: tuple[RivalBar, ...]


def draw_rivals(data: Rivals) -> Figure:
    """Draw delivery and the hottest gas side by side, a row for each machine."""
    with styled():
        high = PITCH * max(len(data.bars), 1)
        fig = new_figure(FULL, BELOW + high + ABOVE)
        flow = panel(fig, LEFT, BELOW, ACROSS, high)
        gas = panel(fig, SECOND, BELOW, ACROSS, high)
        head(flow, "Delivery / %", "a")
        head(gas, f"Hottest gas / {data.unit}", "b")
        known = [bar for bar in data.bars if math.isfinite(bar.delivery)]
        for ax in (flow, gas):
            ax.set_ylim(max(len(data.bars), 1) - 0.5, -0.5)
            ax.spines["left"].set_visible(False)
            ax.set_yticks([])
        _delivery(flow, data, known)
        _gas(gas, data)
        foot(flow, "change from the machine as it stands")
        foot(gas, "blue: with jackets; cross: a limit is broken")
        return fig


def _delivery(ax: Axes, data: Rivals, known: list[RivalBar]) -> None:
    """Draw a bar for each change, its number behind it, and the names."""
    values = [bar.delivery for bar in known]
    low, high = min([0.0, *values]), max([0.0, *values])
    span = (high - low) or 1.0
    ax.set_xlim(low - 0.24 * span * (low < 0.0), high + 0.24 * span)
    ax.axvline(0.0, color=INK, lw=0.8, zorder=3.0)
    for place, bar in enumerate(data.bars):
        ax.text(-0.03, place, shorten(bar.name, NAME), transform=ax.get_yaxis_transform(),
                ha="right", va="center", size=SMALL)  # fmt: skip
        if not math.isfinite(bar.delivery):
            ax.text(0.0, place, "  delivers nothing", ha="left", va="center", size=SMALL)
            continue
        ax.barh(place, bar.delivery, _BAR, color=BLUE if bar.jackets else GREY, zorder=2.0)
        left = bar.delivery < 0.0
        if place:
            ax.annotate(signed(bar.delivery), (bar.delivery, place), (-2 if left else 2, 0),
                        textcoords="offset points", ha="right" if left else "left",
                        va="center", size=SMALL, color=GREY_WORDS)  # fmt: skip
    few_ticks(ax, x=5)


def _gas(ax: Axes, data: Rivals) -> None:
    """Draw a mark for each machine's hottest gas, a cross where it breaks a limit."""
    known = [bar.gas for bar in data.bars if math.isfinite(bar.gas)]
    low, high = min(known, default=0.0), max(known, default=1.0)
    room = 0.12 * (high - low) or 1.0
    ax.set_xlim(low - room, high + 2.0 * room)
    if data.bars and math.isfinite(data.bars[0].gas):
        ax.axvline(data.bars[0].gas, color=GREY, lw=0.6, ls=(0, (4, 3)), zorder=1.0)
    for place, bar in enumerate(data.bars):
        if not math.isfinite(bar.gas):
            continue
        color = BLUE if bar.jackets else INK
        ax.plot([bar.gas], [place], "o", ms=4.5, color=color, zorder=2.0)
        if bar.broken:
            ax.plot([bar.gas], [place], "x", ms=7.5, mew=1.2, color=VERMILION, zorder=3.0)
        ax.annotate(f"{bar.gas:.0f}", (bar.gas, place), (6, 0), textcoords="offset points",
                    ha="left", va="center", size=SMALL, color=GREY_WORDS, zorder=4.0,
                    bbox={"fc": "white", "ec": "none", "pad": 0.6})  # fmt: skip
    few_ticks(ax, x=5)


def describe_rivals(data: Rivals) -> str:
    """Say in words what each machine does."""
    words = [f"Each against the machine as it stands, without jackets, {data.reference}."]
    for bar in data.bars:
        if not math.isfinite(bar.delivery):
            words.append(f"{bar.name}: delivers nothing.")
            continue
        broken = f", {bar.broken} limits broken" if bar.broken else ""
        words.append(
            f"{bar.name}: delivery {signed(bar.delivery)} %, hottest gas {bar.gas:.0f} "
            f"{data.unit}{broken}."
        )
    return " ".join(words)
