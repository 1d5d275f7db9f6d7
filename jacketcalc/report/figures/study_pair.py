"""Delivered air and the hottest discharge over two varied entries, as maps of cells."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass

import matplotlib as mpl
import numpy as np
from matplotlib.axes import Axes
from matplotlib.colors import Colormap, LinearSegmentedColormap, Normalize, TwoSlopeNorm
from matplotlib.figure import Figure
from matplotlib.patheffects import withStroke

from jacketcalc.arrays import Array
from jacketcalc.report.figures.number_labels import number, signed
from jacketcalc.report.figures.pitchmap_field import DIVERGING
from jacketcalc.report.figures.style import (
    BODY,
    FULL,
    GREY_PALE,
    INK,
    SMALL,
    foot,
    head,
    new_figure,
    panel,
    plain,
    shorten,
    styled,
)

SPAN, UP, LEFT, GAP = 64.0, 64.0, 30.0, 12.0
"""Width and height of a map, the space before the first, and between both [mm]."""
LINE, LETTERS = 4.0, 140
"""Height of a line of remarks [mm], and letters it holds [-]."""
MOST_NAMED, LONGEST, MOST_NUMBERS = 12, 14, 10
"""Values named at an axis, letters of one, and columns up to which cells hold numbers [-]."""
LETTER = 1.4
"""Width of a letter at an axis [mm]."""
_HALO = [withStroke(linewidth=2.2, foreground="white")]


@dataclass(frozen=True, kw_only=True)
class Cells:
    """One quantity at every pair, in display units."""

    title: str
    value: Array
    """Numbers, NaN where there are none, shape (up, across) [-]."""
    decimals: int
    """Decimals that are shown [-]."""
    change: bool = False
    """Whether it is a change: colours then diverge from zero."""


@dataclass(frozen=True, kw_only=True)
class PairFigure:
    """A study of two entries."""

    across: tuple[str, ...]
    """Values of the entry across, as typed."""
    up: tuple[str, ...]
    """Values of the other entry, as typed."""
    labels: tuple[str, str]
    """Names of both entries: across, and up."""
    maps: tuple[Cells, ...]
    """Two quantities."""
    drawn: tuple[tuple[str, float, float], ...]
    """Name and place of the drawn machine among the cells, from 0: one, or one a part [-]."""
    best: tuple[int, int] | None
    """Place of the most delivered air; None where nothing runs [-]."""
    remarks: tuple[str, ...] = ()
    """Sentences below."""


def draw_pair(data: PairFigure) -> Figure:
    """Draw the maps side by side."""
    with styled():
        lines = [line for remark in data.remarks for line in textwrap.wrap(remark, LETTERS)]
        upright = max(map(len, data.across)) > 5 and len(data.across) > 4
        longest = min(LONGEST, max(map(len, data.across)))
        room = 13.0 + (LETTER * longest if upright else 0.0) + LINE * len(lines)
        fig = new_figure(FULL, room + UP + 10.0)
        for place, cells in enumerate(data.maps):
            ax = panel(fig, LEFT + (SPAN + GAP) * place, room, SPAN, UP)
            _frame(ax, data, upright, first=place == 0)
            head(ax, cells.title, "ab"[place])
            _cells(ax, cells, data)
            _marks(ax, data)
        height = float(fig.get_size_inches()[1]) * 25.4
        for i, line in enumerate(lines):
            fig.text(8.0 / FULL, LINE * (len(lines) - i - 0.4) / height, plain(line), va="center",
                     size=SMALL)  # fmt: skip
        return fig


def _frame(ax: Axes, data: PairFigure, upright: bool, *, first: bool) -> None:
    """Set the values at both axes, all of a few."""
    for names, put in ((data.across, ax.set_xticks), (data.up, ax.set_yticks)):
        step = -(-len(names) // MOST_NAMED)
        put(range(0, len(names), step), [shorten(name, LONGEST) for name in names[::step]])
    if upright:
        ax.tick_params(axis="x", labelrotation=90)
    ax.set_xlim(-0.5, len(data.across) - 0.5)
    ax.set_ylim(-0.5, len(data.up) - 0.5)
    ax.tick_params(length=0.0)
    foot(ax, plain(data.labels[0]))
    if first:
        ax.set_ylabel(plain(data.labels[1]), fontsize=BODY, labelpad=2.5)
    else:
        ax.tick_params(labelleft=False)


def _cells(ax: Axes, cells: Cells, data: PairFigure) -> None:
    """Fill the cells, grey where there is no number, and write the numbers where they fit."""
    ax.set_facecolor(GREY_PALE)
    ax.patch.set_visible(True)
    norm, colours = _colours(cells)
    shown = np.ma.masked_invalid(cells.value)
    ax.pcolormesh(np.arange(-0.5, shown.shape[1]), np.arange(-0.5, shown.shape[0]), shown,
                  cmap=colours, norm=norm, edgecolors="white", lw=0.5, zorder=1.0)  # fmt: skip
    if max(cells.value.shape) > MOST_NUMBERS:
        bar = ax.get_figure(root=True).colorbar(  # type: ignore[union-attr]
            mpl.cm.ScalarMappable(norm, colours), ax=ax, fraction=0.05, pad=0.02
        )
        bar.outline.set_visible(False)
        return
    say = signed if cells.change else number
    for (i, j), value in np.ndenumerate(cells.value):
        if np.isfinite(value):
            words = say(float(value), cells.decimals)
            ax.text(j, i + _aside(data, j, i), words, ha="center", va="center", size=SMALL,
                    zorder=3.0)  # fmt: skip


def _aside(data: PairFigure, column: int, row: int) -> float:
    """Return how far a number gives way to the mark of the drawn machine in its cell [-]."""
    if not any((round(x), round(y)) == (column, row) for _, x, y in data.drawn):
        return 0.0
    return -0.32 if _is_low(data, row) else 0.32


def _is_low(data: PairFigure, row: float) -> bool:
    """Return whether a mark stands in the lower half, so that its name goes above it."""
    return row < (len(data.up) - 1) / 2


def _colours(cells: Cells) -> tuple[Normalize, Colormap]:
    seen = cells.value[np.isfinite(cells.value)]
    low, high = (float(seen.min()), float(seen.max())) if seen.size else (0.0, 1.0)
    change = LinearSegmentedColormap.from_list("change", DIVERGING)
    if not cells.change:
        # Hot is the side of losses.
        middle = max(high - low, 1.0) / 2
        return Normalize(low - 0.2 * middle, max(high, low + 1.0) + 0.2 * middle), change.reversed()
    reach = max(-low, high, 0.5)
    return TwoSlopeNorm(0.0, -reach, reach), change


def _marks(ax: Axes, data: PairFigure) -> None:
    """Mark the best cell with a frame, and the drawn machine with a circle."""
    if data.best is not None:
        column, row = data.best
        ax.add_patch(mpl.patches.Rectangle((column - 0.5, row - 0.5), 1.0, 1.0, fill=False, ec=INK,
                                           lw=1.8, zorder=4.0, clip_on=False))  # fmt: skip
    across = ax.get_xlim()
    for words, x, y in data.drawn:
        ax.plot([x], [y], "o", ms=7.0, mfc="none", mec="white", mew=3.0, zorder=5.0, clip_on=False)
        ax.plot([x], [y], "o", ms=7.0, mfc="white", mec=INK, mew=1.4, zorder=5.5, clip_on=False)
        above = _is_low(data, y)
        side = "left" if x < (across[0] + across[1]) / 2 else "right"
        ax.annotate(plain(words), (x, y), xytext=(0.0, 5.5 if above else -5.5),
                    textcoords="offset points", ha=side, va="bottom" if above else "top", size=BODY,
                    zorder=6.0, path_effects=_HALO)  # fmt: skip
