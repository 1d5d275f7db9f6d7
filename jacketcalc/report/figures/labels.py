"""Placing the names of curves beside them, clear of every other word and curve."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.figure import Figure
from matplotlib.text import Text
from matplotlib.transforms import Bbox

from jacketcalc.arrays import Array
from jacketcalc.report.figures.style import BODY

_ALONG = (0.5, 0.6, 0.4, 0.7, 0.3, 0.8, 0.2, 0.9, 0.1, 0.95, 0.05)
_SIDES = ((0, 1), (0, -1), (1, 1), (-1, 1), (1, -1), (-1, -1), (1, 0), (-1, 0))
_GAP = 3.0
"""Clear distance between a curve and its name [pt]."""
_DOUBT = 0.6
"""Cost of a place as near to another curve as to its own [-]."""
_MOST = 4
"""Names up to which every order of placing is tried [-]."""


@dataclass(frozen=True, kw_only=True)
class Name:
    """A curve's name."""

    text: str
    x: Array
    """Curve in data units [-]."""
    y: Array
    """Curve in data units [-]."""
    colour: str
    size: float = BODY
    """Letter height [pt]."""
    along: tuple[float, ...] = _ALONG
    """Places along the curve, in order of preference, as shares of its points [-]."""


def renderer_of(fig: Figure) -> RendererAgg:
    """Return what measures words of a figure."""
    width, height = fig.get_size_inches() * fig.dpi
    make: Any = RendererAgg
    renderer: RendererAgg = make(int(width), int(height), fig.dpi)
    return renderer


def text_boxes(ax: Axes, but: Sequence[Text] = ()) -> list[Bbox]:
    """Return the boxes of every visible word of a panel [pixel]."""
    fig = ax.get_figure(root=True)
    assert fig is not None
    renderer = renderer_of(fig)
    ax.draw(renderer)
    return [t.get_window_extent(renderer) for t in _seen(ax) if t not in but]


def seen_texts(fig: Figure) -> list[Text]:
    """Return the words that a figure shows: not those of ticks outside the limits."""
    fig.draw(renderer_of(fig))
    own = [t for t in fig.texts if t.get_visible() and t.get_text().strip()]
    return own + [t for ax in fig.axes for t in _seen(ax)]


def _seen(ax: Axes) -> list[Text]:
    """Return the words a drawn panel shows."""
    hidden = set()
    for axis in (ax.xaxis, ax.yaxis):
        low, high = sorted(axis.get_view_interval())
        slack = 1e-9 * (high - low)
        for tick in axis.get_major_ticks():
            if not ax.axison or not low - slack <= tick.get_loc() <= high + slack:
                hidden |= {id(tick.label1), id(tick.label2)}
    texts = [t for t in ax.findobj(Text) if isinstance(t, Text) and id(t) not in hidden]
    return [t for t in texts if t.get_visible() and t.get_text().strip()]


def place_names(ax: Axes, names: Sequence[Name], avoid: Sequence[tuple[Array, Array]] = ()) -> int:
    """Write names beside their curves and return how many found no clear place.

    Parameters
    ----------
    ax : panel with its final limits
    names : what to write
    avoid : further curves, in data units, that no name may cross
    """
    if not names:
        return 0
    taken = text_boxes(ax)
    curves = [_pixels(ax, n.x, n.y) for n in names] + [_pixels(ax, x, y) for x, y in avoid]
    sizes = [_measure(ax, n) for n in names]
    orders = (
        itertools.permutations(range(len(names)))
        if len(names) <= _MOST
        else [tuple(range(len(names)))]
    )
    best: tuple[float, dict[int, Bbox]] | None = None
    for order in orders:
        found = _place(ax, names, order, sizes, curves, taken)
        if best is None or found[0] < best[0]:
            best = found
        if best[0] < 0.5 * _DOUBT:
            break
    assert best is not None
    inverse = ax.transData.inverted()
    for index, box in best[1].items():
        x, y = inverse.transform(((box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2))
        name = names[index]
        ax.text(x, y, name.text, color=name.colour, size=name.size, ha="center", va="center")
    return int(best[0])


def _measure(ax: Axes, name: Name) -> tuple[float, float]:
    fig = ax.get_figure(root=True)
    assert fig is not None
    probe = ax.text(0.5, 0.5, name.text, size=name.size, transform=ax.transAxes)
    box = probe.get_window_extent(renderer_of(fig))
    probe.remove()
    return box.width, box.height


def _pixels(ax: Axes, x: Array, y: Array) -> Array:
    """Return a curve as closely set points inside the panel [pixel]."""
    xy = ax.transData.transform(np.column_stack([x, y]))
    xy = xy[np.isfinite(xy).all(axis=1)]
    if len(xy) < 2:
        return np.asarray(xy, dtype=float)
    step = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(xy, axis=0).T))])
    marks = np.linspace(0.0, step[-1], max(2, min(2000, int(step[-1] / 1.5))))
    return np.column_stack([np.interp(marks, step, xy[:, 0]), np.interp(marks, step, xy[:, 1])])


def _place(
    ax: Axes,
    names: Sequence[Name],
    order: Sequence[int],
    sizes: Sequence[tuple[float, float]],
    curves: Sequence[Array],
    taken: Sequence[Bbox],
) -> tuple[float, dict[int, Bbox]]:
    """Place in one order; the score counts misses, and slightly the distance from favourites."""
    boxes: dict[int, Bbox] = {}
    score = 0.0
    for index in order:
        others = [*taken, *boxes.values()]
        own = curves[: len(names)]
        options = [
            (_cost(ax, box, others, curves) + _doubt(box, index, own) + 1e-4 * rank, rank, box)
            for rank, box in enumerate(_options(ax, curves[index], sizes[index], names[index]))
        ]
        cost, _, box = min(options, key=lambda option: option[:2])
        boxes[index] = box
        score += cost
    return score, boxes


def _options(ax: Axes, curve: Array, size: tuple[float, float], name: Name) -> list[Bbox]:
    inside = ax.get_window_extent()
    seen = (
        curve[
            (curve[:, 0] >= inside.x0)
            & (curve[:, 0] <= inside.x1)
            & (curve[:, 1] >= inside.y0)
            & (curve[:, 1] <= inside.y1)
        ]
        if len(curve)
        else curve
    )
    if not len(seen):
        seen = np.array([[(inside.x0 + inside.x1) / 2, (inside.y0 + inside.y1) / 2]])
    fig = ax.get_figure(root=True)
    gap = _GAP * (fig.dpi if fig is not None else 100.0) / 72.0
    w, h = size
    boxes = []
    for reach in (1.0, 2.5):
        for share in name.along:
            x, y = seen[int(share * (len(seen) - 1))]
            for right, up in _SIDES:
                cx = x + right * (w / 2 + gap * reach)
                cy = y + up * (h / 2 + gap * reach)
                boxes.append(Bbox.from_extents(cx - w / 2, cy - h / 2, cx + w / 2, cy + h / 2))
    return boxes


def _doubt(box: Bbox, own: int, curves: Sequence[Array]) -> float:
    """Return a cost where a reader might take the name for another curve's."""
    away = [_away(box, curve) for curve in curves]
    nearest = min((d for i, d in enumerate(away) if i != own), default=math.inf)
    return _DOUBT if nearest < 1.35 * away[own] else 0.0


def _away(box: Bbox, curve: Array) -> float:
    """Return the distance between a box and a curve [pixel]."""
    if not len(curve):
        return math.inf
    across = np.maximum(np.maximum(box.x0 - curve[:, 0], curve[:, 0] - box.x1), 0.0)
    up = np.maximum(np.maximum(box.y0 - curve[:, 1], curve[:, 1] - box.y1), 0.0)
    return float(np.hypot(across, up).min())


def _cost(ax: Axes, box: Bbox, others: Sequence[Bbox], curves: Sequence[Array]) -> float:
    inside = ax.get_window_extent()
    wide = Bbox.from_extents(box.x0 - 2, box.y0 - 1, box.x1 + 2, box.y1 + 1)
    if wide.x0 < inside.x0 or wide.x1 > inside.x1 + 2 or wide.y0 < inside.y0 or wide.y1 > inside.y1:
        return 3.0
    if any(wide.overlaps(other) for other in others):
        return 2.0
    for curve in curves:
        if len(curve) and bool(
            (
                (curve[:, 0] > wide.x0)
                & (curve[:, 0] < wide.x1)
                & (curve[:, 1] > wide.y0)
                & (curve[:, 1] < wide.y1)
            ).any()
        ):
            return 1.0
    return 0.0
