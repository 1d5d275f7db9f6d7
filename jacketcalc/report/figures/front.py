"""The best compromises between delivered flow and discharge temperature."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patheffects import withStroke

from jacketcalc.arrays import Array
from jacketcalc.report.figures.curves import few_ticks
from jacketcalc.report.figures.labels import Name, place_names
from jacketcalc.report.figures.number_labels import SI, Shown, number, signed
from jacketcalc.report.figures.style import (
    BLUE,
    BLUE_WORDS,
    BODY,
    GREY,
    GREY_WORDS,
    INK,
    MIDDLE,
    SMALL,
    VERMILION,
    VERMILION_WORDS,
    foot,
    head,
    new_figure,
    panel,
    styled,
)

LEFT, LINE = 13.0, 4.0
"""Left edge of the panel, and height of a line below it [mm]."""
CLOSE = 45.0
"""Distance between named designs below which one name is enough [pixel]."""


@dataclass(frozen=True, kw_only=True)
class Front:
    """Designs of which none is beaten in both aims, ordered by delivered flow."""

    flow: Array
    """Delivered flow [kg/s]."""
    discharge: Array
    """Discharge temperature of the hottest stage [K]."""
    labels: tuple[str, ...]
    """What each design is, such as `26 mm × 6 mm`; written where there is space."""
    label_words: str = ""
    """What the labels list, such as `pitch × gap`."""
    bare: tuple[float, float] | None = None
    """Flow [kg/s] and discharge temperature [K] of the machine without jackets."""
    drawn: tuple[float, float] | None = None
    """The same of the machine as drawn [kg/s], [K]."""
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
        lines = _explanation(data)
        bottom = 12.0 + (LINE * len(lines) + 1.0 if lines else 0.0)
        fig = new_figure(MIDDLE, bottom + 76.0)
        ax = panel(fig, LEFT, bottom, MIDDLE - 18.0, 67.0)
        x = shown.values(data.flow, "hourly mass flow")
        y = shown.values(data.discharge, "temperature")
        avoid = []
        if _has_cloud(data):
            assert data.other_flow is not None and data.other_discharge is not None
            cloud = (shown.values(data.other_flow, "hourly mass flow"),
                     shown.values(data.other_discharge, "temperature"))  # fmt: skip
            ax.plot(*cloud, ".", ms=2.4, color="#AFAFAF", zorder=1.0)
        ax.plot(x, y, "-", color=BLUE, lw=1.4, zorder=3.0)
        ax.plot(x, y, "o", ms=3.6, mfc="white", mec=BLUE, mew=1.0, zorder=4.0)
        for spot, fill, sign in ((data.bare, GREY, "s"), (data.drawn, "white", "o")):
            if spot is not None:
                at = (shown.value(spot[0], "hourly mass flow"), shown.value(spot[1], "temperature"))
                ax.plot(*at, sign, ms=5.0, mfc=fill, mec=INK, mew=1.2, zorder=5.0)
                avoid.append((np.array([at[0]] * 2), np.array([at[1]] * 2)))
        _frame(ax, data, x, y)
        few_ticks(ax)
        unit = shown.unit("temperature")
        head(ax, f"Discharge temperature of the hottest stage,  $T_2$ / {unit}")
        foot(ax, f"Delivered flow  $q_m$ / {shown.per('hourly mass flow')}")
        limit = _limit(ax, data)
        height = bottom + 76.0
        for i, words in enumerate(lines):
            up = (bottom - 11.5 - LINE * (i + 0.5)) / height
            fig.text(LEFT / MIDDLE, up, words, va="center", size=SMALL, color=GREY_WORDS)
        names = [*limit, *_spots(data), *_picks(ax, data, x, y)]
        place_names(ax, names, [(x, y), *avoid])
        for text in ax.texts:
            text.set_path_effects([withStroke(linewidth=2.2, foreground="white")])
            text.set_zorder(6.0)
        return fig


def _has_cloud(data: Front) -> bool:
    return data.other_flow is not None and data.other_discharge is not None


def _frame(ax: Axes, data: Front, x: Array, y: Array) -> None:
    """Set limits that hold the front, the bare and the drawn machine."""
    spots = [spot for spot in (data.bare, data.drawn) if spot is not None]
    across = [*x, *(data.shown.value(s[0], "hourly mass flow") for s in spots)]
    up = [*y, *(data.shown.value(s[1], "temperature") for s in spots)]
    for values, space, least, set_limits in (
        (across, 0.09, 1e-3, ax.set_xlim),
        (up, 0.14, 1.0, ax.set_ylim),
    ):
        pad = space * max(max(values) - min(values), least)
        set_limits(min(values) - pad, max(values) + pad)


def _limit(ax: Axes, data: Front) -> list[Name]:
    """Draw the limit and return its name, or say that it lies outside the frame."""
    if data.limit is None:
        return []
    level = data.shown.value(data.limit, "temperature")
    low, high = ax.get_ylim()
    words = f"at most {data.shown.temperature(data.limit)}"
    if low < level < high:
        ax.axhline(level, color=VERMILION, lw=1.0, ls=(0, (6, 2)), zorder=1.5)
        ends, at = np.array(ax.get_xlim()), np.array([level, level])
        return [Name(text=words, x=ends, y=at, colour=VERMILION_WORDS,
                     along=(0.08, 0.2, 0.35, 0.5, 0.65, 0.8, 0.93))]  # fmt: skip
    above = level >= high
    side = "above" if above else "below"
    ax.text(0.995, 0.985 if above else 0.015, f"{words}: {side} this frame",
            transform=ax.transAxes, ha="right", va="top" if above else "bottom", size=BODY,
            color=VERMILION_WORDS)  # fmt: skip
    return []


def _explanation(data: Front) -> list[str]:
    """Say what labels and dots are."""
    lines = [f"Labels: {data.label_words}."] if data.label_words else []
    return lines + (
        ["Grey dots: designs tried that lie in this frame."] if _has_cloud(data) else []
    )


def _spots(data: Front) -> list[Name]:
    found = []
    for spot, words in ((data.bare, "no jackets"), (data.drawn, "as drawn")):
        if spot is not None:
            at = (
                data.shown.value(spot[0], "hourly mass flow"),
                data.shown.value(spot[1], "temperature"),
            )
            colour = GREY_WORDS if words == "no jackets" else INK
            found.append(_spot(words, at, colour))
    return found


def _spot(words: str, at: tuple[float, float], colour: str) -> Name:
    return Name(text=words, x=np.array([at[0]] * 2), y=np.array([at[1]] * 2), colour=colour)


def _picks(ax: Axes, data: Front, x: Array, y: Array) -> list[Name]:
    """Name the end with most flow, then the other end and the middle where they stand apart."""
    if not len(x):
        return []
    places = ax.transData.transform(np.column_stack([x, y]))
    picks = [int(np.argmax(data.flow))]
    for i in (0, len(x) - 1, len(x) // 2):
        if min(float(np.hypot(*(places[i] - places[j]))) for j in picks) > CLOSE:
            picks.append(i)
    return [_spot(data.labels[i], (float(x[i]), float(y[i])), BLUE_WORDS) for i in picks]


def describe_front(data: Front) -> str:
    """Say in words where the front lies."""
    shown = data.shown
    ends = [
        f"{data.labels[i]}: {shown.with_unit(float(data.flow[i]), 'hourly mass flow', 2)} at "
        f"{shown.temperature(float(data.discharge[i]))}"
        for i in (0, -1)
    ]
    words = f"{len(data.flow)} best compromises, from {ends[0]} to {ends[1]}."
    for spot, name in ((data.bare, "No jackets"), (data.drawn, "As drawn")):
        if spot is not None:
            words += (
                f" {name}: {shown.with_unit(spot[0], 'hourly mass flow', 2)} at "
                f"{shown.temperature(spot[1])}."
            )
    if data.bare is not None and len(data.flow):
        gain = 100.0 * (float(data.flow.max()) / data.bare[0] - 1.0)
        words += f" The most flow is {signed(gain)} % from no jackets."
    return words + (
        f" Asked: {number(shown.value(data.limit, 'temperature'))} "
        f"{shown.unit('temperature')} at most."
        if data.limit is not None
        else ""
    )
