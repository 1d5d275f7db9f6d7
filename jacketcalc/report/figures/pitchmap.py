"""A quantity over pitch and gap, with limits hatched and impossible designs grey."""

from __future__ import annotations

from dataclasses import dataclass

import matplotlib as mpl
import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import Colormap, LinearSegmentedColormap, Normalize
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle
from matplotlib.patheffects import withStroke
from numpy.typing import NDArray

from jacketcalc.components.designs import Array
from jacketcalc.report.figures.curves import few_ticks
from jacketcalc.report.figures.labels import renderer_of, text_boxes
from jacketcalc.report.figures.shown import SI, Shown, number, signed
from jacketcalc.report.figures.style import (
    BODY,
    INK,
    MIDDLE,
    SMALL,
    foot,
    head,
    new_figure,
    panel,
    plain,
    styled,
)

Mask = NDArray[np.bool_]
_DIVERGING = ("#A84A00", "#E3A06A", "#F7F7F7", "#8DBBD8", "#005A8E")
"""Loss to gain through white at zero."""
IMPOSSIBLE = "#D9D9D9"
"""Fill where no design can be."""
HATCHES = ("////", "\\\\\\\\", "....")


@dataclass(frozen=True, kw_only=True)
class MapLimit:
    """A limit and where it is broken."""

    name: str
    broken: Mask
    """Whether each design breaks it, shape (gap, pitch)."""


@dataclass(frozen=True, kw_only=True)
class PitchMap:
    """A study over two sizes."""

    pitch: Array
    """Pitches, ascending [m]."""
    gap: Array
    """Gaps, ascending [m]."""
    value: Array
    """Shown quantity, NaN where there is none, shape (gap, pitch); in display units [-]."""
    title: str = r"Change of delivered flow against bare,  $\Delta q_m/q_{m,0}$ / %"
    plain_title: str = "Change of delivered flow against bare, in percent"
    change: bool = True
    """Colours diverge from zero."""
    limits: tuple[MapLimit, ...] = ()
    impossible: Mask | None = None
    """Designs that cannot be made, shape (gap, pitch)."""
    drawn: tuple[float, float] | None = None
    """Pitch and gap of the case [m]."""
    best: tuple[float, float] | None = None
    """Pitch and gap of the best [m]."""
    shown: Shown = SI

    @property
    def seen(self) -> Array:
        """The quantity, NaN where no design can be, shape (gap, pitch) [-]."""
        if self.impossible is None:
            return self.value
        return np.where(self.impossible, np.nan, self.value)


def draw_pitchmap(data: PitchMap) -> Figure:
    """Draw the map."""
    with styled():
        rows = len(data.limits) + (data.impossible is not None)
        foot_room = 12.0 + (4.5 * rows + 1.0 if rows else 0.0)
        fig = new_figure(MIDDLE, foot_room + 86.0)
        ax = panel(fig, 10.0, foot_room, MIDDLE - 30.0, 72.0)
        x = data.shown.values(data.pitch, "length")
        y = data.shown.values(data.gap, "length")
        ax.set_facecolor(IMPOSSIBLE)
        ax.patch.set_visible(True)
        norm, colours = _scale(data)
        ax.pcolormesh(x, y, np.ma.masked_invalid(data.seen), cmap=colours, norm=norm,
                      shading="nearest", zorder=1.0)  # fmt: skip
        _levels(ax, data, x, y, norm)
        _limits(ax, data, x, y)
        _marks(ax, data)
        few_ticks(ax, x=7, y=6)
        unit = data.shown.unit("length")
        head(ax, f"Channel gap,  $s$ / {unit}")
        foot(ax, f"Helix pitch,  $p$ / {unit}")
        _key(fig, data, norm, colours, foot_room)
        if rows:
            _signs(fig, data, foot_room - 11.0)
        return fig


def _scale(data: PitchMap) -> tuple[Normalize, Colormap]:
    seen = data.seen[np.isfinite(data.seen)]
    low, high = (float(seen.min()), float(seen.max())) if seen.size else (0.0, 1.0)
    if not data.change:
        return Normalize(low, max(high, low + 1e-9)), mpl.colormaps["cividis"]
    # Deep losses would flatten what matters: the scale is as wide as the gains, or a little more.
    reach = max(high, min(abs(low), 1.5 * max(high, 0.0) or abs(low)), 0.5)
    return Normalize(-reach, reach), LinearSegmentedColormap.from_list("change", _DIVERGING)


def _levels(ax: Axes, data: PitchMap, x: Array, y: Array, norm: Normalize) -> None:
    """Draw and label contours: losses dashed, so that grey print keeps the sign."""
    if min(len(x), len(y)) < 2 or not np.isfinite(data.seen).any():
        return
    low, high = float(norm.vmin or 0.0), float(norm.vmax or 1.0)
    ticks = mpl.ticker.MaxNLocator(6).tick_values(low, high)
    top, bottom = np.nanmax(data.seen), np.nanmin(data.seen)
    levels = [float(t) for t in ticks if bottom < t < top]
    if not levels:
        return
    drawn = ax.contour(
        x, y, np.ma.masked_invalid(data.seen), levels=levels, colors=INK,
        linewidths=[1.1 if data.change and t == 0 else 0.6 for t in levels],
        linestyles=["--" if data.change and t < 0 else "-" for t in levels], zorder=2.0,
    )  # fmt: skip
    whole = all(float(t).is_integer() for t in levels)
    decimals = 0 if whole else 1
    words = {t: (signed if data.change else number)(t, decimals) for t in levels}
    for label in ax.clabel(drawn, levels=levels, fmt=words, fontsize=SMALL, inline=True):
        label.set_path_effects([withStroke(linewidth=1.5, foreground="white")])


def _limits(ax: Axes, data: PitchMap, x: Array, y: Array) -> None:
    for limit, hatch in zip(data.limits, HATCHES, strict=False):
        broken = limit.broken & np.isfinite(data.seen)
        if not broken.any() or min(len(x), len(y)) < 2:
            continue
        hatched = ax.contourf(x, y, broken.astype(float), levels=[0.5, 1.5], colors="none",
                              hatches=[hatch], zorder=2.5)  # fmt: skip
        hatched.set_hatch_linewidth(0.4)
        ax.contour(x, y, broken.astype(float), levels=[0.5], colors=INK, linewidths=0.9, zorder=2.6)


def _signs(fig: Figure, data: PitchMap, top: float) -> None:
    """Say below the map what hatching and grey mean."""
    height = float(fig.get_size_inches()[1]) * 25.4
    entries = [(limit.name, hatch) for limit, hatch in zip(data.limits, HATCHES, strict=False)]
    if data.impossible is not None:
        entries.append(("cannot be made", ""))
    for i, (words, hatch) in enumerate(entries):
        y = (top - 4.5 * (i + 1)) / height
        swatch = fig.add_axes((10.0 / MIDDLE, y, 7.0 / MIDDLE, 3.2 / height))
        swatch.set_xticks([])
        swatch.set_yticks([])
        swatch.add_patch(
            Rectangle((0.0, 0.0), 1.0, 1.0, facecolor="white" if hatch else IMPOSSIBLE,
                      hatch=hatch, edgecolor=INK, hatch_linewidth=0.4, lw=0.0)
        )  # fmt: skip
        fig.text(19.0 / MIDDLE, y + 1.6 / height, plain(words), va="center", size=SMALL)


def _marks(ax: Axes, data: PitchMap) -> None:
    spots = ((data.drawn, "drawn", "white"), (data.best, "best", INK))
    for spot, words, fill in spots:
        if spot is None:
            continue
        at = (data.shown.value(spot[0], "length"), data.shown.value(spot[1], "length"))
        ax.plot(*at, "o", ms=5.0, mfc=fill, mec=INK, mew=1.1, zorder=6.0, clip_on=False)
        _mark_words(ax, at, words)


def _mark_words(ax: Axes, at: tuple[float, float], words: str) -> None:
    """Name a mark at the first of its corners where no other word and no edge is in the way."""
    taken, frame = text_boxes(ax), ax.get_window_extent()
    figure = ax.get_figure(root=True)
    assert figure is not None
    renderer = renderer_of(figure)
    for right, up in ((1.0, -1.0), (1.0, 1.0), (-1.0, -1.0), (-1.0, 1.0), (1.0, -2.6)):
        text = ax.annotate(
            words, at, (5.0 * right, 5.0 * up), textcoords="offset points", size=BODY,
            va="center", ha="left" if right > 0 else "right", zorder=6.0,
            path_effects=[withStroke(linewidth=2.2, foreground="white")],
        )  # fmt: skip
        box = text.get_window_extent(renderer)
        inside = frame.x0 < box.x0 and box.x1 < frame.x1 and frame.y0 < box.y0 < frame.y1
        if inside and not any(box.overlaps(other) for other in taken):
            return
        text.remove()
    ax.annotate(words, at, (0.0, 9.0), textcoords="offset points", size=BODY, ha="center")


def _key(fig: Figure, data: PitchMap, norm: Normalize, colours: Colormap, bottom: float) -> None:
    """Draw the scale of colours and name the quantity above it."""
    bar = panel(fig, MIDDLE - 16.0, bottom, 4.0, 72.0)
    height = float(fig.get_size_inches()[1]) * 25.4
    right = (MIDDLE - 2.0) / MIDDLE
    fig.text(right, 1.0 - 4.0 / height, data.title, ha="right", va="center", size=BODY)
    low, high = float(norm.vmin or 0.0), float(norm.vmax or 1.0)
    steps = np.linspace(low, high, 65)
    middle = (steps[1:] + steps[:-1]) / 2
    bar.pcolormesh([0.0, 1.0], steps, middle[:, None], cmap=colours, norm=norm)
    bar.set_xticks([])
    bar.yaxis.tick_right()
    bar.set_ylim(low, high)
    bar.locator_params(axis="y", nbins=7)
    ticks = [t for t in bar.get_yticks() if low <= t <= high]
    decimals = 0 if all(float(t).is_integer() for t in ticks) else 1
    bar.set_yticks(ticks, [(signed if data.change else number)(t, decimals) for t in ticks])
    bar.spines[["left", "bottom"]].set_visible(False)


def describe_pitchmap(data: PitchMap) -> str:
    """Say in words what the map shows."""
    shown, unit = data.shown, data.shown.unit("length")
    ends = [shown.length(float(v)) for v in (*data.pitch[[0, -1]], *data.gap[[0, -1]])]
    seen = data.seen
    decimals = 1
    words = [
        f"{data.plain_title}, for pitches of {ends[0]} to {ends[1]} {unit} and gaps of {ends[2]} "
        f"to {ends[3]} {unit}: {number(float(np.nanmin(seen)), decimals)} to "
        f"{number(float(np.nanmax(seen)), decimals)}."
    ]
    for spot, name in ((data.drawn, "drawn"), (data.best, "best")):
        if spot is not None:
            i = int(np.argmin(np.abs(data.gap - spot[1])))
            j = int(np.argmin(np.abs(data.pitch - spot[0])))
            words.append(
                f"The {name}, pitch {shown.length(spot[0])} and gap {shown.length(spot[1])} {unit}"
                + (f": {number(float(seen[i, j]), decimals)}." if np.isfinite(seen[i, j]) else ".")
            )
    for limit in data.limits:
        words.append(f"Limit '{limit.name}' is broken by {int(limit.broken.sum())} designs.")
    if data.impossible is not None:
        words.append(f"{int(data.impossible.sum())} designs cannot be made.")
    return " ".join(words)
