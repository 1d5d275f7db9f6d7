"""Charge temperature and delivered flow against helix pitch, with bare as reference."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patheffects import withStroke

from jacketcalc.components.designs import Array
from jacketcalc.report.figures.curves import few_ticks
from jacketcalc.report.figures.labels import Name, place_names
from jacketcalc.report.figures.shown import SI, Shown, number, signed, trimmed
from jacketcalc.report.figures.style import (
    BLUE,
    BLUE_EDGE,
    BLUE_PALE,
    BLUE_WORDS,
    BODY,
    GREEN,
    GREEN_WORDS,
    GREY,
    GREY_PALE,
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
    shorten,
    styled,
)

LEFT, ACROSS = 11.0, MIDDLE - 15.0
"""Left edge and width of the panels [mm]."""
CLOSE = 8.5
"""Least distance between written pitches [mm]."""


@dataclass(frozen=True, kw_only=True)
class Tradeoff:
    """A comparison of pitches; arrays run over the pitches compared, ascending.

    Where a pitch could not be solved its numbers are NaN and it shows as a gap.
    """

    stage: str
    """Stage whose charge is shown."""
    pitch: Array
    """Pitches compared [m]."""
    turns: Array
    """Turns of the helix [-]."""
    charge: Array
    """Charge temperature [K]."""
    charge_low: Array
    """Lower end of its band [K]."""
    charge_high: Array
    """Upper end of its band [K]."""
    charge_bare: float
    """Charge temperature of the bare machine [K]."""
    change: Array
    """Relative change of delivered flow against bare [-]."""
    change_low: Array
    """Lower end of its band, paired [-]."""
    change_high: Array
    """Upper end of its band, paired [-]."""
    cooling: Array | None = None
    """Part of the change that cooling alone would give [-]."""
    resistance: Array | None = None
    """Part of the change that resistance alone would give [-]."""
    drawn: float | None = None
    """Pitch of the case [m]."""
    plateau: tuple[float, float] | None = None
    """Pitches as good as the best [m]."""
    plateau_words: str = ""
    """What "as good" means, such as `within 0.25 of the best`."""
    still_rising: bool = False
    """The best stands at the end of the range."""
    forbidden: tuple[float, float] | None = None
    """Pitches that cannot be made [m]."""
    forbidden_words: str = ""
    """Why."""
    band_words: str = "model band"
    """What the bands are, such as `low to high closure`."""
    shown: Shown = SI

    @property
    def best(self) -> int:
        """Index of the pitch with the most delivered flow."""
        return int(np.nanargmax(self.change))


def draw_tradeoff(data: Tradeoff) -> Figure:
    """Draw both panels on one pitch axis."""
    with styled():
        fig = new_figure(MIDDLE, 138.0)
        upper = panel(fig, LEFT, 95.0, ACROSS, 35.0)
        lower = panel(fig, LEFT, 17.0, ACROSS, 66.0)
        for ax in (upper, lower):
            _pitches(ax, data)
        names, curves = _charge(upper, data)
        place_names(upper, names, curves)
        names, curves = _change(lower, data)
        _block(lower, data)
        _plateau(lower, data)
        place_names(lower, names, curves)
        return fig


def _x(data: Tradeoff) -> Array:
    return data.shown.values(data.pitch, "length")


def _pitches(ax: Axes, data: Tradeoff) -> None:
    """Set up the pitch axis: ticks at pitches compared, grey where none can be made."""
    x = _x(data)
    low, high = float(x[0]), float(x[-1])
    if data.forbidden is not None:
        ends = [data.shown.value(v, "length") for v in data.forbidden]
        low = min(low, max(ends[0], low - 0.12 * (high - low)))
        ax.axvspan(max(ends[0], low - 1e9), ends[1], color=GREY_PALE, zorder=0.0, lw=0.0)
    margin = 0.03 * (high - low)
    ax.set_xlim(low - margin, high + margin)
    if data.drawn is not None:
        ax.axvline(data.shown.value(data.drawn, "length"), color=GREY, lw=0.8, zorder=1.0)
    ax.set_xticks([float(v) for v in x[_written(data)]])


def _written(data: Tradeoff) -> list[int]:
    """Choose the pitches written at the axis: the drawn, the best, and what has room."""
    x = _x(data)
    scale = ACROSS / max(1.06 * float(x[-1] - x[0]), 1e-12)
    first = [data.best]
    if data.drawn is not None:
        first.append(int(np.argmin(np.abs(data.pitch - data.drawn))))
    chosen: list[int] = []
    for i in [*first, 0, len(x) - 1, *range(len(x))]:
        if all(abs(x[i] - x[j]) * scale >= CLOSE for j in chosen):
            chosen.append(i)
    return sorted(chosen)


def _band(ax: Axes, x: Array, low: Array, high: Array) -> None:
    ax.fill_between(x, low, high, color=BLUE_PALE, lw=0.0, zorder=1.5)
    for edge in (low, high):
        ax.plot(x, edge, color=BLUE_EDGE, lw=0.5, zorder=1.6)


def _rings(ax: Axes, data: Tradeoff, y: Array) -> None:
    """Ring every pitch compared; the best is filled."""
    x = _x(data)
    ax.plot(x, y, "o", ms=3.6, mfc="white", mec=BLUE, mew=1.0, zorder=4.0)
    ax.plot(x[data.best], y[data.best], "o", ms=4.6, color=BLUE, zorder=4.1)


def _charge(ax: Axes, data: Tradeoff) -> tuple[list[Name], list[tuple[Array, Array]]]:
    shown, x = data.shown, _x(data)
    y, low, high = (
        shown.values(v, "temperature") for v in (data.charge, data.charge_low, data.charge_high)
    )
    bare = shown.value(data.charge_bare, "temperature")
    _band(ax, x, low, high)
    ax.plot(x, y, color=BLUE, lw=1.6, zorder=3.0)
    _rings(ax, data, y)
    ax.axhline(bare, color=GREY, lw=0.9, zorder=1.2)
    bottom, top = min(float(np.nanmin(low)), bare), max(float(np.nanmax(high)), bare)
    spread = max(top - bottom, 1.0)
    ax.set_ylim(bottom - 0.12 * spread, top + 0.22 * spread)
    few_ticks(ax, x=20, y=5)
    ax.set_xticks(ax.get_xticks())
    _pitches(ax, data)
    ax.tick_params(labelbottom=False)
    title = f"Charge temperature of {shorten(data.stage, 18)} at the start of compression,"
    head(ax, f"{title}  $T_\\mathrm{{c}}$ / {shown.unit('temperature')}", "a")
    ends = np.array(ax.get_xlim())
    level = np.array([bare, bare])
    names = [
        Name(text="bare", x=ends, y=level, colour=GREY_WORDS, along=(0.93, 0.85, 0.1, 0.5)),
        Name(text=f"jacketed, {data.band_words}", x=x, y=y, colour=BLUE_WORDS),
    ]
    line = _drawn_line(ax, data)
    if data.drawn is not None:
        size = f"{shown.length(data.drawn)} {shown.unit('length')}"
        words = f"drawn, {size}"
        names.append(Name(text=words, x=line[0][0], y=line[0][1], colour=GREY_WORDS))
    return names, [(x, low), (x, high)]


def _drawn_line(ax: Axes, data: Tradeoff) -> list[tuple[Array, Array]]:
    """Return the line at the drawn pitch, which no name may cross."""
    if data.drawn is None:
        return []
    at = data.shown.value(data.drawn, "length")
    return [(np.array([at, at]), np.array(ax.get_ylim()))]


def _change(ax: Axes, data: Tradeoff) -> tuple[list[Name], list[tuple[Array, Array]]]:
    x = _x(data)
    net, low, high = (100.0 * v for v in (data.change, data.change_low, data.change_high))
    ax.axhline(0.0, color=GREY, lw=0.9, zorder=1.2)
    _band(ax, x, low, high)
    ax.plot(x, net, color=BLUE, lw=2.0, zorder=3.0)
    _rings(ax, data, net)
    ends = np.array(ax.get_xlim())
    names = [
        Name(text="net", x=x, y=net, colour=BLUE_WORDS),
        Name(text="bare", x=ends, y=np.zeros(2), colour=GREY_WORDS, along=(0.95, 0.88, 0.5, 0.1)),
    ]
    if data.cooling is not None:
        y = 100.0 * data.cooling
        ax.plot(x, y, color=GREEN, lw=1.1, zorder=2.5)
        names.append(Name(text="cooler, denser charge", x=x, y=y, colour=GREEN_WORDS))
    if data.resistance is not None:
        y = 100.0 * data.resistance
        ax.plot(x, y, color=VERMILION, lw=1.1, ls=(0, (6, 1.5)), zorder=2.5)
        names.append(Name(text="back-pressure on the drive", x=x, y=y, colour=VERMILION_WORDS))
    bottom, top = _frame(data)
    ax.set_ylim(bottom, top)
    few_ticks(ax, x=20, y=8)
    _pitches(ax, data)
    inside = [t for t in ax.get_yticks() if bottom <= t <= top]
    ax.set_yticks(inside, [signed(t, 0 if float(t).is_integer() else 1) for t in inside])
    head(ax, r"Change of delivered flow against bare,  $\Delta q_m/q_{m,0}$ / %", "b")
    _turns(ax, data)
    _leaving(ax, data, bottom)
    return names, [(x, low), (x, high), *_drawn_line(ax, data)]


def _frame(data: Tradeoff) -> tuple[float, float]:
    """Return limits that follow the decision: gains, zero and the best, not the deepest loss."""
    highs = [100.0 * float(np.nanmax(data.change_high)), 0.0]
    if data.cooling is not None:
        highs.append(100.0 * float(np.nanmax(data.cooling)))
    best = 100.0 * float(np.nanmax(data.change))
    top = max(highs)
    reach = max(top, abs(best), 1.0)
    lows = [float(np.nanmin(data.change_low)), 0.0]
    if data.resistance is not None:
        lows.append(float(np.nanmin(data.resistance)))
    floor = best - 1.6 * reach if best < 0 else -1.2 * reach
    bottom = max(100.0 * min(lows), floor)
    spread = top - bottom
    return bottom - 0.13 * spread, top + 0.22 * spread


def _leaving(ax: Axes, data: Tradeoff, bottom: float) -> None:
    """Mark pitches whose net lies below the frame with an arrow and the value."""
    x, net = _x(data), 100.0 * data.change
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
                size=SMALL, ha="center", va="bottom")  # fmt: skip


def _turns(ax: Axes, data: Tradeoff) -> None:
    x = _x(data)
    for i in _written(data):
        ax.annotate(
            trimmed(float(data.turns[i]), 3), (float(x[i]), 0.0), (0.0, -14.5),
            xycoords=("data", "axes fraction"), textcoords="offset points",
            ha="center", va="top", size=SMALL, color=GREY_WORDS,
        )  # fmt: skip
    ax.set_xticks([float(x[i]) for i in _written(data)],
                  [trimmed(float(x[i]), 3) for i in _written(data)])  # fmt: skip
    foot(ax, f"Helix pitch  $p$ / {data.shown.unit('length')},  and turns below it")
    ax.xaxis.labelpad = 12.0
    if data.forbidden is not None and data.forbidden_words:
        ends = [data.shown.value(v, "length") for v in data.forbidden]
        left, right = ax.get_xlim()
        seen = (max(ends[0], left), min(ends[1], right))
        if (seen[1] - seen[0]) / (right - left) * ACROSS > 3.2:
            ax.text((seen[0] + seen[1]) / 2, 0.3, data.forbidden_words, rotation=90, ha="center",
                    va="bottom", size=SMALL, color=GREY_WORDS,
                    transform=ax.get_xaxis_transform())  # fmt: skip


def _lines(data: Tradeoff) -> list[str]:
    """Return the numbers that matter, drawn and best, with their bands."""
    picks = [(data.best, "best compared" + (", still rising" if data.still_rising else ""))]
    if data.drawn is not None:
        i = int(np.argmin(np.abs(data.pitch - data.drawn)))
        if abs(float(data.pitch[i]) - data.drawn) < 1e-6 and np.isfinite(data.change[i]):
            picks.insert(0, (i, "as drawn"))
    lines = []
    for i, words in picks:
        net, low, high = (
            signed(100.0 * float(v[i])) for v in (data.change, data.change_low, data.change_high)
        )
        size = f"{data.shown.length(float(data.pitch[i]))} {data.shown.unit('length')}"
        lines.append(f"{words}, {size}:  {net} ({low} to {high})")
    return lines


def _block(ax: Axes, data: Tradeoff) -> None:
    for i, words in enumerate(_lines(data)):
        ax.text(0.995, 0.985 - 0.062 * i, words, transform=ax.transAxes, ha="right", va="top",
                color=BLUE_WORDS, size=BODY, zorder=6.0,
                path_effects=[withStroke(linewidth=3.0, foreground="white")])  # fmt: skip


def _plateau(ax: Axes, data: Tradeoff) -> None:
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


def describe_tradeoff(data: Tradeoff) -> str:
    """Say in words what the comparison finds."""
    shown, unit = data.shown, data.shown.unit("length")
    ends = (shown.length(float(data.pitch[0])), shown.length(float(data.pitch[-1])))
    T = (data.charge[0], data.charge[-1])
    words = [
        f"{len(data.pitch)} pitches from {ends[0]} to {ends[1]} {unit}. Charge temperature of "
        f"{data.stage}: {shown.temperature(data.charge_bare)} bare; with the jacket "
        f"{shown.temperature(float(T[0]))} at the smallest pitch and "
        f"{shown.temperature(float(T[1]))} at the largest. Change of delivered flow in percent: "
        + "; ".join(line.replace(":  ", ": ") for line in _lines(data))
        + "."
    ]
    if data.plateau is not None:
        one, two = (shown.length(v) for v in data.plateau)
        words.append(f"{one} to {two} {unit}: {data.plateau_words}.")
    if data.still_rising:
        words.append("The best stands at the end of the range: delivered flow is still rising.")
    return " ".join(words)
