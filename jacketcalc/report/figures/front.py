"""The best compromises between delivered flow and discharge temperature."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from jacketcalc.components.designs import Array
from jacketcalc.report.figures.curves import few_ticks
from jacketcalc.report.figures.labels import Name, place_names
from jacketcalc.report.figures.shown import SI, Shown, number, signed
from jacketcalc.report.figures.style import (
    BLUE,
    BLUE_WORDS,
    BODY,
    GREY,
    GREY_WORDS,
    INK,
    MIDDLE,
    VERMILION,
    VERMILION_WORDS,
    foot,
    head,
    new_figure,
    panel,
    styled,
)


@dataclass(frozen=True, kw_only=True)
class Front:
    """Designs of which none is beaten in both aims, ordered by delivered flow."""

    flow: Array
    """Delivered flow [kg/s]."""
    discharge: Array
    """Discharge temperature of the hottest stage [K]."""
    labels: tuple[str, ...]
    """What each design is, such as `26 mm x 6 mm`; written where there is room."""
    bare: tuple[float, float] | None = None
    """Flow [kg/s] and discharge temperature [K] of the bare machine."""
    drawn: tuple[float, float] | None = None
    """The same of the machine as drawn."""
    other_flow: Array | None = None
    """Delivered flow of all designs tried [kg/s]."""
    other_discharge: Array | None = None
    """Their discharge temperature [K]."""
    limit: float | None = None
    """Discharge temperature asked for [K]."""
    shown: Shown = SI


def draw_front(data: Front) -> Figure:
    """Draw the front, the designs behind it, and bare and drawn machine."""
    with styled():
        shown = data.shown
        fig = new_figure(MIDDLE, 88.0)
        ax = panel(fig, 13.0, 12.0, MIDDLE - 18.0, 67.0)
        x = shown.values(data.flow, "mass flow")
        y = shown.values(data.discharge, "temperature")
        avoid = []
        if data.other_flow is not None and data.other_discharge is not None:
            cloud = (shown.values(data.other_flow, "mass flow"),
                     shown.values(data.other_discharge, "temperature"))  # fmt: skip
            ax.plot(*cloud, ".", ms=2.0, color="#BBBBBB", zorder=1.0)
        ax.plot(x, y, "-", color=BLUE, lw=1.4, zorder=3.0)
        ax.plot(x, y, "o", ms=3.6, mfc="white", mec=BLUE, mew=1.0, zorder=4.0)
        for spot, fill in ((data.bare, GREY), (data.drawn, INK)):
            if spot is not None:
                at = (shown.value(spot[0], "mass flow"), shown.value(spot[1], "temperature"))
                ax.plot(*at, "D", ms=4.2, mfc=fill, mec=INK, mew=0.7, zorder=5.0)
                avoid.append((np.array([at[0]] * 2), np.array([at[1]] * 2)))
        ax.margins(0.09, 0.12)
        few_ticks(ax)
        unit = shown.unit("temperature")
        head(ax, f"Discharge temperature of the hottest stage,  $T_2$ / {unit}")
        foot(ax, f"Delivered flow  $q_m$ / {shown.unit('mass flow')}")
        _limit(ax, data)
        names = _spots(data) + _picks(data, x, y)
        place_names(ax, names, [(x, y), *avoid])
        return fig


def _limit(ax: Axes, data: Front) -> None:
    """Draw the limit, or say that it lies outside the frame."""
    if data.limit is None:
        return
    level = data.shown.value(data.limit, "temperature")
    low, high = ax.get_ylim()
    words = f"at most {data.shown.temperature(data.limit)}"
    if low < level < high:
        ax.axhline(level, color=VERMILION, lw=1.0, ls=(0, (6, 2)), zorder=1.5)
        ax.text(0.995, level, words, transform=ax.get_yaxis_transform(), ha="right", va="bottom",
                size=BODY, color=VERMILION_WORDS)  # fmt: skip
        return
    above = level >= high
    side = "above" if above else "below"
    ax.text(0.995, 0.985 if above else 0.015, f"{words}: {side} this frame",
            transform=ax.transAxes, ha="right", va="top" if above else "bottom", size=BODY,
            color=VERMILION_WORDS)  # fmt: skip


def _spots(data: Front) -> list[Name]:
    found = []
    for spot, words in ((data.bare, "bare"), (data.drawn, "as drawn")):
        if spot is not None:
            at = (data.shown.value(spot[0], "mass flow"), data.shown.value(spot[1], "temperature"))
            colour = GREY_WORDS if words == "bare" else INK
            found.append(_spot(words, at, colour))
    return found


def _spot(words: str, at: tuple[float, float], colour: str) -> Name:
    return Name(text=words, x=np.array([at[0]] * 2), y=np.array([at[1]] * 2), colour=colour)


def _picks(data: Front, x: Array, y: Array) -> list[Name]:
    """Name the ends of the front and its middle."""
    picks = sorted({0, len(x) // 2, len(x) - 1}) if len(x) else []
    return [_spot(data.labels[i], (float(x[i]), float(y[i])), BLUE_WORDS) for i in picks]


def describe_front(data: Front) -> str:
    """Say in words where the front lies."""
    shown = data.shown
    ends = [
        f"{data.labels[i]}: {shown.with_unit(float(data.flow[i]), 'mass flow', 3)} at "
        f"{shown.temperature(float(data.discharge[i]))}"
        for i in (0, -1)
    ]
    words = f"{len(data.flow)} best compromises, from {ends[0]} to {ends[1]}."
    for spot, name in ((data.bare, "Bare"), (data.drawn, "As drawn")):
        if spot is not None:
            words += (
                f" {name}: {shown.with_unit(spot[0], 'mass flow', 3)} at "
                f"{shown.temperature(spot[1])}."
            )
    if data.bare is not None and len(data.flow):
        gain = 100.0 * (float(data.flow.max()) / data.bare[0] - 1.0)
        words += f" The most flow is {signed(gain)} % against bare."
    return words + (
        f" Asked: {number(shown.value(data.limit, 'temperature'))} "
        f"{shown.unit('temperature')} at most."
        if data.limit is not None
        else ""
    )
