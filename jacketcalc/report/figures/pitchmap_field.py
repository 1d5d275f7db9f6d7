"""The field of the map: colours, contours, and the key to them."""

from __future__ import annotations

from dataclasses import dataclass

import matplotlib as mpl
import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import Colormap, LinearSegmentedColormap, Normalize, TwoSlopeNorm
from matplotlib.contour import QuadContourSet
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator
from scipy.spatial import cKDTree

from jacketcalc.arrays import Array
from jacketcalc.report.figures.number_labels import number, signed
from jacketcalc.report.figures.pitchmap_data import PitchMap
from jacketcalc.report.figures.style import BODY, INK, MIDDLE, panel

DIVERGING = ("#C8702A", "#EDBE94", "#F7F7F7", "#A9CDE4", "#3F8FC4")
"""Loss to gain through white at zero, light enough for words and hatching upon them."""
GAPS = ("#D0D0D0", "#A8A8A8", "#E8E8E8")
"""Fills where there is no number, by reason."""
DEEP = 0.1
"""Share of the designs, with the deepest losses, that may lie below the scale [-]."""
SHADES = 40
"""Shades of the field [-]."""
FINE = 5
"""Points drawn between two solved ones [-]."""
APART = 9.0
"""Distance from other contours below which a contour only crowds the map [pixel]."""


@dataclass(frozen=True, kw_only=True)
class Scale:
    """How values become colours."""

    low: float
    """Lowest value told apart [-]."""
    high: float
    """Highest value [-]."""
    levels: tuple[float, ...]
    """Contours [-]."""
    norm: Normalize
    colours: Colormap
    below: bool
    """Some designs lie below the scale."""

    def words(self, value: float, *, change: bool) -> str:
        """Return a level as it is written."""
        decimals = 0 if all(float(t).is_integer() for t in self.levels) else 1
        return (signed if change else number)(value, decimals)


def scale_of(data: PitchMap) -> Scale:
    """Choose the scale: the deepest losses would flatten what matters."""
    seen = data.seen[np.isfinite(data.seen)]
    low, high = (float(seen.min()), float(seen.max())) if seen.size else (0.0, 1.0)
    bottom = float(np.quantile(seen, DEEP)) if data.change and seen.size else low
    if high > 0.0:
        bottom = min(bottom, max(low, -0.5 * high), 0.0)
    ticks = np.asarray(MaxNLocator(8, steps=[1, 2, 2.5, 5, 10]).tick_values(bottom, high))
    ticks = ticks[ticks <= high]
    if data.change:
        bottom = min([bottom, *(float(t) for t in ticks)])
        loss, gain = max(-bottom, 0.5), max(high, 0.5)
        norm: Normalize = TwoSlopeNorm(0.0, -max(loss, 0.5 * gain), max(gain, 0.5 * loss))
        colours: Colormap = LinearSegmentedColormap.from_list("change", DIVERGING)
    else:
        norm, colours = Normalize(low, max(high, low + 1e-9)), mpl.colormaps["cividis"]
    levels = tuple(float(t) for t in ticks if low < t < high)
    return Scale(
        low=bottom, high=max(high, bottom + 1e-9), levels=levels, norm=norm, colours=colours,
        below=low < bottom - 1e-9,
    )  # fmt: skip


def draw_field(ax: Axes, data: PitchMap, scale: Scale) -> QuadContourSet | None:
    """Draw colours, grey gaps and contours: losses dashed, so that grey print keeps the sign."""
    x, y = data.x, data.y
    floor = scale.low + 1e-6 * (scale.high - scale.low)
    values = np.ma.masked_invalid(np.maximum(data.seen, floor))
    ax.pcolormesh(x, y, values, cmap=scale.colours, norm=scale.norm, shading="nearest", zorder=1.0)
    for gap, fill in zip(data.gaps, GAPS, strict=False):
        one = np.ma.masked_where(~gap.mask, np.zeros(gap.mask.shape))
        ax.pcolormesh(x, y, one, cmap=LinearSegmentedColormap.from_list("gap", [fill, fill]),
                      shading="nearest", zorder=1.05)  # fmt: skip
    if np.ptp(values.compressed()) <= 0.0:
        return None
    x, y, field = refine(x, y, data.seen)
    fine = np.ma.masked_invalid(np.clip(field, floor, scale.high - floor + scale.low))
    shades = np.linspace(scale.low, scale.high, SHADES + 1)
    smooth = ax.contourf(x, y, fine, shades, cmap=scale.colours, norm=scale.norm, zorder=1.1)
    smooth.set_edgecolor("face")
    smooth.set_linewidth(0.2)
    across, up = np.meshgrid(data.x, data.y)
    solved = np.isfinite(data.seen)
    ax.plot(across[solved], up[solved], ".", ms=1.2, color=INK, alpha=0.45, zorder=1.5)
    kept = _level(ax, data.level, x, y, field)
    levels = _sparse(ax, scale.levels, x, y, field, kept)
    if not levels:
        return None
    return ax.contour(
        x, y, np.ma.masked_invalid(field), levels=levels, colors=INK,
        linewidths=[1.2 if data.change and t == 0 else 0.6 for t in levels],
        linestyles=["--" if data.change and t < 0 else "-" for t in levels], zorder=2.0,
    )  # fmt: skip


def refine(x: Array, y: Array, values: Array) -> tuple[Array, Array, Array]:
    """Return a field between its points, without overshoot; as it is where some have no value."""
    if not np.isfinite(values).all():
        return x, y, values
    across, up = (_between(axis) for axis in (x, y))
    return across, up, _along(y, _along(x, values, across, 1), up, 0)


def _between(axis: Array) -> Array:
    """Return the places of an axis with more between them."""
    places = np.linspace(0.0, len(axis) - 1.0, FINE * (len(axis) - 1) + 1)
    return np.asarray(np.interp(places, np.arange(len(axis)), axis))


def _along(places: Array, values: Array, wanted: Array, axis: int) -> Array:
    if len(places) > 2:
        return np.asarray(PchipInterpolator(places, values, axis=axis)(wanted))
    share = (wanted - places[0]) / (places[-1] - places[0])
    first, last = (np.take(values, [end], axis=axis) for end in (0, -1))
    return np.asarray(first + (last - first) * (share[None, :] if axis else share[:, None]))


def _level(
    ax: Axes, level: float | None, x: Array, y: Array, field: Array
) -> list[NDArray[np.float64]]:
    """Draw the line round the designs nearly as good as the best; return its points."""
    if level is None:
        return []
    for colour, width, style in (("white", 3.4, "-"), (INK, 1.6, ":")):
        drawn = ax.contour(x, y, np.ma.masked_invalid(field), levels=[level], colors=colour,
                           linewidths=width, linestyles=style, zorder=2.7)  # fmt: skip
    return [points_of(ax, drawn.allsegs[0])]


def _sparse(
    ax: Axes,
    levels: tuple[float, ...],
    x: Array,
    y: Array,
    field: Array,
    lines: list[NDArray[np.float64]],
) -> list[float]:
    """Return the levels whose contours stand apart: zero first, then from gains to losses."""
    found, kept = [], list(lines)
    for level in sorted(levels, key=lambda t: (t != 0.0, -t)):
        probe = ax.contour(x, y, np.ma.masked_invalid(field), levels=[level])
        line = points_of(ax, probe.allsegs[0])
        probe.remove()
        if not len(line):
            continue
        away = [np.asarray(cKDTree(other).query(line)[0]) for other in kept if len(other)]
        if away and float(np.median(np.min(np.stack(away), axis=0))) < APART:
            continue
        kept.append(line)
        found.append(level)
    return sorted(found)


def points_of(ax: Axes, segments: list[Array]) -> NDArray[np.float64]:
    """Return points along the pieces of a contour, every few pixels."""
    found = [np.empty((0, 2))]
    for segment in segments:
        line = ax.transData.transform(np.asarray(segment))
        if len(line) < 2:
            continue
        step = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
        marks = np.linspace(0.0, step[-1], max(2, int(step[-1] / 3.0)))
        found.append(np.column_stack([np.interp(marks, step, line[:, k]) for k in (0, 1)]))
    return np.concatenate(found)


def draw_key(fig: Figure, data: PitchMap, scale: Scale, bottom: float, up: float) -> None:
    """Draw the scale of colours and name the quantity above it."""
    bar = panel(fig, MIDDLE - 16.0, bottom, 4.0, up)
    height = float(fig.get_size_inches()[1]) * 25.4
    fig.text((MIDDLE - 2.0) / MIDDLE, 1.0 - 4.0 / height, data.title, ha="right", va="center",
             size=BODY)  # fmt: skip
    steps = np.linspace(scale.low, scale.high, SHADES + 1)
    middle = (steps[1:] + steps[:-1]) / 2
    shades = bar.pcolormesh([0.0, 1.0], steps, middle[:, None], cmap=scale.colours, norm=scale.norm)
    shades.set_edgecolor("face")
    bar.set_xticks([])
    bar.yaxis.tick_right()
    bar.set_ylim(scale.low, scale.high)
    ticks = [t for t in scale.levels if scale.low < t <= scale.high]
    words = [scale.words(t, change=data.change) for t in ticks]
    spread = scale.high - scale.low
    if scale.below and all(t > scale.low + 0.03 * spread for t in ticks):
        ticks.insert(0, scale.low)
        words.insert(0, f"≤ {scale.words(scale.low, change=data.change)}")
    bar.set_yticks(ticks, words)
    bar.spines[["left", "bottom"]].set_visible(False)
