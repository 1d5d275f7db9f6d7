"""Panels of the trade-off figure: temperature at start of compression, change of delivery."""

from __future__ import annotations

import numpy as np
from matplotlib.axes import Axes
from scipy.interpolate import PchipInterpolator

from jacketcalc.arrays import Array
from jacketcalc.report.figures.curves import few_ticks
from jacketcalc.report.figures.labels import Name
from jacketcalc.report.figures.number_labels import number, signed
from jacketcalc.report.figures.style import (
    BLUE,
    BLUE_EDGE,
    BLUE_PALE,
    BLUE_WORDS,
    BODY,
    GREEN,
    GREEN_WORDS,
    GREY,
    GREY_WORDS,
    INK,
    SMALL,
    VERMILION,
    VERMILION_WORDS,
    head,
    shorten,
)
from jacketcalc.report.figures.tradeoff_axis import ACROSS, set_pitches, write_turns
from jacketcalc.report.figures.tradeoff_data import Tradeoff

Curves = list[tuple[Array, Array]]
_WHITE = {"facecolor": "white", "edgecolor": "none", "pad": 0.8}
"""Ground of words that stand across a line."""
FINE = 16
"""Points drawn between two pitches compared [-]."""
WEIGHT, EXPLAINING = 2.4, 1.2
"""Line widths of the answer and of what explains it, to tell them apart in grey [pt]."""


def smooth(x: Array, y: Array) -> tuple[Array, Array]:
    """Return a curve through points that overshoots none of them; it breaks where one is NaN."""
    xs: list[Array] = []
    ys: list[Array] = []
    known = np.isfinite(y)
    edges = np.flatnonzero(np.diff(np.concatenate([[0], known.astype(int), [0]])))
    for first, last in zip(edges[::2], edges[1::2], strict=True):
        own, values = x[first:last], y[first:last]
        if len(own) > 2:
            places = np.linspace(0.0, len(own) - 1.0, FINE * (len(own) - 1) + 1)
            fine = np.interp(places, np.arange(len(own)), own)
            own, values = fine, np.asarray(PchipInterpolator(own, values)(fine))
        xs += [own, np.array([np.nan])]
        ys += [values, np.array([np.nan])]
    return np.concatenate(xs or [x]), np.concatenate(ys or [y])


def _band(ax: Axes, x: Array, low: Array, high: Array) -> Curves:
    edges = [smooth(x, low), smooth(x, high)]
    ax.fill_between(edges[0][0], edges[0][1], edges[1][1], color=BLUE_PALE, lw=0.0, zorder=1.5)
    for edge in edges:
        ax.plot(*edge, color=BLUE_EDGE, lw=0.5, zorder=1.6)
    return edges


def _rings(ax: Axes, data: Tradeoff, y: Array) -> None:
    """Ring every pitch compared; the best is filled."""
    x = data.x
    ax.plot(x, y, "o", ms=3.6, mfc="white", mec=BLUE, mew=1.0, zorder=4.0)
    ax.plot(x[data.best], y[data.best], "o", ms=5.0, color=BLUE, mec=INK, mew=0.6, zorder=4.1)


def _drawn_line(ax: Axes, data: Tradeoff) -> Curves:
    """Return the line at the drawn pitch, which no name may cross."""
    if data.drawn is None:
        return []
    at = data.shown.value(data.drawn, "length")
    return [(np.array([at, at]), np.array(ax.get_ylim()))]


def charge_panel(ax: Axes, data: Tradeoff) -> tuple[list[Name], Curves]:
    """Draw the temperature; return what to name, and what no name may cross."""
    shown, x = data.shown, data.x
    y, low, high = (
        shown.values(v, "temperature") for v in (data.charge, data.charge_low, data.charge_high)
    )
    bare = shown.value(data.charge_bare, "temperature")
    edges = _band(ax, x, low, high)
    ax.plot(*smooth(x, y), color=BLUE, lw=1.6, zorder=3.0)
    _rings(ax, data, y)
    levels = [float(np.nanmin(low)), float(np.nanmax(high))]
    if np.isfinite(bare):
        ax.axhline(bare, color=GREY, lw=0.9, zorder=1.2)
        levels.append(bare)
    spread = max(max(levels) - min(levels), 1.0)
    ax.set_ylim(min(levels) - 0.12 * spread, max(levels) + 0.22 * spread)
    few_ticks(ax, x=20, y=5)
    ax.set_xticks(ax.get_xticks())
    set_pitches(ax, data)
    ax.tick_params(labelbottom=False)
    title = f"Temperature of {shorten(data.stage, 18)} at start of compression,"
    head(ax, f"{title}  $T_\\mathrm{{c}}$ / {shown.unit('temperature')}", "a")
    ends = np.array(ax.get_xlim())
    names = [Name(text=f"with jackets, {data.band_words}", x=x, y=high, colour=BLUE_WORDS)]
    if np.isfinite(bare):
        names.insert(0, Name(text="no jackets", x=ends, y=np.array([bare, bare]), colour=GREY_WORDS,
                             along=(0.93, 0.85, 0.1, 0.5)))  # fmt: skip
    line = _drawn_line(ax, data)
    if data.drawn is not None:
        size = f"{shown.length(data.drawn)} {shown.unit('length')}"
        words = f"drawn, {size}"
        names.append(Name(text=words, x=line[0][0], y=line[0][1], colour=GREY_WORDS))
    return names, [*edges, (x, y)]


def change_panel(ax: Axes, data: Tradeoff) -> tuple[list[Name], Curves]:
    """Draw the change of delivered flow and its parts; return names, and what none may cross."""
    x = data.x
    net, low, high = (100.0 * v for v in (data.change, data.change_low, data.change_high))
    ax.axhline(0.0, color=GREY, lw=0.9, zorder=1.2)
    bottom, top = _frame(data)
    edges = _band(ax, x, low, high)
    ax.plot(*smooth(x, net), color=BLUE, lw=WEIGHT, zorder=3.0)
    _rings(ax, data, net)
    ends = np.array(ax.get_xlim())
    names = [
        Name(text="net", x=x, y=net, colour=BLUE_WORDS),
        Name(
            text="no jackets",
            x=ends,
            y=np.zeros(2),
            colour=GREY_WORDS,
            along=(0.95, 0.88, 0.5, 0.1),
        ),
    ]
    if data.cooling is not None:
        curve = smooth(x, 100.0 * data.cooling)
        ax.plot(*curve, color=GREEN, lw=EXPLAINING, zorder=2.5)
        names.append(Name(text="cooling alone", x=curve[0], y=curve[1], colour=GREEN_WORDS))
    if data.resistance is not None:
        curve = smooth(x, 100.0 * data.resistance)
        ax.plot(*curve, color=VERMILION, lw=EXPLAINING, ls=(0, (6, 1.5)), zorder=2.5)
        lowest = float(np.nanmin(curve[1]))
        words = "resistance alone" + (f", to {number(lowest)}" if lowest < bottom else "")
        names.append(Name(text=words, x=curve[0], y=curve[1], colour=VERMILION_WORDS))
    ax.set_ylim(bottom, top)
    few_ticks(ax, x=20, y=8)
    set_pitches(ax, data)
    inside = [t for t in ax.get_yticks() if bottom <= t <= top]
    ax.set_yticks(inside, [signed(t, 0 if float(t).is_integer() else 1) for t in inside])
    head(ax, r"Change of delivery from no jackets,  $\Delta q_m/q_{m,0}$ / %", "b")
    write_turns(ax, data)
    _leaving(ax, data, bottom)
    return names, [*edges, *_drawn_line(ax, data)]


def _frame(data: Tradeoff) -> tuple[float, float]:
    """Return limits that follow the decision: gains, zero and the best, not the deepest loss."""
    highs = [100.0 * float(np.nanmax(data.change_high)), 0.0]
    lows = [100.0 * float(np.nanmin(data.change_low)), 0.0]
    for part in (data.cooling, data.resistance):
        if part is not None and np.isfinite(part).any():
            highs.append(100.0 * float(np.nanmax(part)))
            lows.append(100.0 * float(np.nanmin(part)))
    best = 100.0 * float(np.nanmax(data.change))
    top = max(highs)
    reach = max(top, abs(best), 1.0)
    floor = best - 1.6 * reach if best < 0 else -1.2 * reach
    bottom = max(min(lows), floor)
    spread = top - bottom
    return bottom - 0.13 * spread, top + 0.22 * spread


def _leaving(ax: Axes, data: Tradeoff, bottom: float) -> None:
    """Mark pitches whose net lies below the frame with an arrow and the value."""
    x, net = data.x, 100.0 * data.change
    width = ax.get_xlim()[1] - ax.get_xlim()[0]
    spread = ax.get_ylim()[1] - bottom
    last = -1e9
    for i in np.flatnonzero(net < bottom):
        if (x[i] - last) / width * ACROSS < 7.0:
            continue
        last = float(x[i])
        ax.annotate(
            "", (last, bottom), (last, bottom + 0.09 * spread),
            arrowprops={"arrowstyle": "-|>", "color": BLUE, "lw": 1.0, "shrinkA": 0, "shrinkB": 0,
                        "mutation_scale": 7},
        )  # fmt: skip
        ax.text(last, bottom + 0.1 * spread, number(float(net[i])), color=BLUE_WORDS,
                size=SMALL, ha="center", va="bottom", bbox=_WHITE)  # fmt: skip


def write_numbers(ax: Axes, data: Tradeoff) -> None:
    """Write the numbers of the drawn and of the best pitch into the upper corner."""
    for i, words in enumerate(data.lines()):
        ax.text(0.995, 0.985 - 0.062 * i, words, transform=ax.transAxes, ha="right", va="top",
                color=BLUE_WORDS, size=BODY, zorder=6.0, bbox=_WHITE)  # fmt: skip


def bracket_plateau(ax: Axes, data: Tradeoff) -> None:
    """Bracket the pitches that are as good as the best."""
    if data.plateau is None or data.plateau[1] <= data.plateau[0]:
        return
    one, two = (data.shown.value(v, "length") for v in data.plateau)
    across = ax.get_xaxis_transform()
    ax.plot([one, two], [0.035, 0.035], color=INK, lw=1.2, transform=across)
    for x in (one, two):
        ax.plot([x, x], [0.018, 0.052], color=INK, lw=1.2, transform=across)
    left, right = ax.get_xlim()
    middle = (one + two) / 2
    share = (middle - left) / (right - left)
    ha = "right" if share > 0.8 else "left" if share < 0.2 else "center"
    at = {"right": two, "left": one, "center": middle}[ha]
    ax.text(at, 0.062, data.plateau_words, transform=across, ha=ha, va="bottom", size=SMALL)
