"""Delivered air and the hottest discharge over one varied entry, the drawn machine marked."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from jacketcalc.arrays import Array
from jacketcalc.report.figures.curves import few_ticks, nice_limits, reference
from jacketcalc.report.figures.style import (
    BLUE,
    BLUE_EDGE,
    BLUE_PALE,
    GREY,
    INK,
    MIDDLE,
    SMALL,
    foot,
    head,
    new_figure,
    panel,
    plain,
    shorten,
    styled,
)

LEFT, ACROSS, UP, BETWEEN = 12.0, MIDDLE - 18.0, 38.0, 12.0
"""Left edge, width and height of a panel, and the space between two [mm]."""
LINE, LETTERS = 4.0, 84
"""Height of a line of remarks [mm], and letters it holds [-]."""
MOST_NAMED, LONGEST, UPRIGHT = 14, 16, 6
"""Words that are all named under the axis, letters of one, and words from which they stand
upright [-]."""
LETTER = 1.5
"""Width of a letter of a name under the axis [mm]."""
_MARK: dict[str, Any] = {
    "marker": "o",
    "ms": 6.0,
    "mfc": "white",
    "mec": INK,
    "mew": 1.3,
    "ls": "",
    "zorder": 6.0,
}


@dataclass(frozen=True, kw_only=True)
class Curve:
    """One quantity over the entry, with its range, in display units."""

    value: Array
    """Numbers, NaN where there are none [-]."""
    low: Array
    """Low ends of the model range; the number itself where no range was solved [-]."""
    high: Array
    """High ends [-]."""
    drawn: float
    """What the drawn machine has, NaN where it does not run [-]."""
    bare: Array | None = None
    """The same of the machines without jackets [-]."""


@dataclass(frozen=True, kw_only=True)
class EntryFigure:
    """A study of one entry."""

    x: Array
    """Places of the points, in the unit of the entry; of words from 0 [-]."""
    words: tuple[str, ...]
    """Words of the points; none where the entry is a number."""
    label: str
    """The entry with its unit."""
    change: Curve
    """Change of delivered air from no jackets [%]."""
    discharge: Curve
    """Hottest mean discharge."""
    temperature: str
    """Unit of the discharge."""
    drawn: tuple[float, ...]
    """Places of the drawn machine: one, or one a part where those differ [-]."""
    ranged: bool
    """Whether the model range was solved."""
    remarks: tuple[str, ...] = ()
    """Sentences below."""


def draw_entry(data: EntryFigure) -> Figure:
    """Draw the two panels over one another."""
    with styled():
        lines = [line for remark in data.remarks for line in textwrap.wrap(remark, LETTERS)]
        names = _tick_names(data)
        upright = len(names) > UPRIGHT
        below = LETTER * max(map(len, names)) if upright else 3.0 * _most_lines(names)
        room = 10.0 + below + LINE * len(lines)
        fig = new_figure(MIDDLE, room + 2 * UP + BETWEEN + 8.0)
        lower = panel(fig, LEFT, room, ACROSS, UP)
        upper = panel(fig, LEFT, room + UP + BETWEEN, ACROSS, UP)
        head(upper, r"Change of delivered air from no jackets,  $\Delta q_m/q_{m,0}$ / %", "a")
        head(lower, f"Hottest discharge,  $\\theta$ / {data.temperature}", "b")
        for ax, curve in ((upper, data.change), (lower, data.discharge)):
            _curve(ax, data, curve)
            _set_places(ax, data, names, upright)
        upper.tick_params(labelbottom=False)
        reference(upper, 0.0)
        foot(lower, plain(data.label))
        _explain(lower, data)
        height = float(fig.get_size_inches()[1]) * 25.4
        for i, line in enumerate(lines):
            fig.text(LEFT / MIDDLE, (LINE * (len(lines) - i - 0.4)) / height, plain(line),
                     va="center", size=SMALL)  # fmt: skip
        return fig


def _curve(ax: Axes, data: EntryFigure, curve: Curve) -> None:
    """Draw points with their ranges; between numbers a line and a band."""
    style: dict[str, Any] = {"color": BLUE, "ms": 3.5, "zorder": 4.0}
    if data.words:
        ax.vlines(data.x, curve.low, curve.high, color=BLUE_EDGE, lw=4.0, alpha=0.6, zorder=3.0)
        ax.plot(data.x, curve.value, "o", **style)
        if curve.bare is not None:
            ax.plot(data.x, curve.bare, "s", color=GREY, ms=3.5, zorder=3.5)
    else:
        ax.fill_between(data.x, curve.low, curve.high, color=BLUE_PALE, lw=0.0, zorder=2.0)
        for end in (curve.low, curve.high):
            ax.plot(data.x, end, color=BLUE_EDGE, lw=0.5, zorder=2.5)
        ax.plot(data.x, curve.value, "-o", lw=1.5, **style)
        if curve.bare is not None:
            ax.plot(data.x, curve.bare, "-s", color=GREY, lw=0.9, ms=2.0, zorder=3.5)
    if np.isfinite(curve.drawn):
        ax.axhline(curve.drawn, color=INK, lw=0.6, ls=(0, (2, 2)), zorder=1.5)
        for at in data.drawn:
            ax.plot([at], [curve.drawn], **_MARK)
    every = [curve.low, curve.high, curve.value, np.array([curve.drawn])]
    every += [] if curve.bare is None else [curve.bare]
    seen = np.concatenate(every)
    seen = seen[np.isfinite(seen)]
    if seen.size:
        least = float(seen.min()) if curve.bare is not None else min(0.0, float(seen.min()))
        ax.set_ylim(*nice_limits(least, max(float(seen.max()), least)))


def _tick_names(data: EntryFigure) -> list[str]:
    """Return the names under the axis: in lines of their share of it, or upright in one."""
    names = [shorten(word, LONGEST) for word in data.words[:: _step(data)]]
    if len(names) > UPRIGHT or not names:
        return names
    share = max(6, int(ACROSS / len(names) / LETTER))
    return ["\n".join(textwrap.wrap(name, share)) for name in names]


def _step(data: EntryFigure) -> int:
    return max(1, -(-len(data.words) // MOST_NAMED))


def _most_lines(names: list[str]) -> int:
    return max((name.count("\n") + 1 for name in names), default=1)


def _set_places(ax: Axes, data: EntryFigure, names: list[str], upright: bool) -> None:
    """Set limits and ticks: the words, or few numbers."""
    places = [*data.x, *data.drawn]
    if data.words:
        ax.set_xlim(min(places) - 0.5, max(places) + 0.5)
        ax.set_xticks(list(data.x[:: _step(data)]), names)
        if upright:
            ax.tick_params(axis="x", labelrotation=90)
        ax.locator_params(axis="y", nbins=5)
        return
    low, high = min(places), max(places)
    slack = 0.04 * (high - low) or 0.5 * max(abs(high), 1.0)
    ax.set_xlim(low - slack, high + slack)
    few_ticks(ax, x=8, y=5)


def _explain(ax: Axes, data: EntryFigure) -> None:
    """Name the marks in the line above a panel, where no curve is."""
    marks = [
        Line2D([], [], color=BLUE, marker="o", ms=3.5, lw=1.5, label="with jackets"),
        Line2D([], [], color=GREY, marker="s", ms=2.5, lw=0.9, label="no jackets"),
    ]
    if np.isfinite(data.change.drawn):
        line = {**_MARK, "ls": (0, (2, 2)), "lw": 0.6, "color": INK}
        marks.append(Line2D([], [], label="drawn", **line))
    ax.legend(handles=marks, loc="lower right", bbox_to_anchor=(1.0, 1.0), ncols=3, frameon=False,
              fontsize=SMALL, handlelength=1.8, columnspacing=1.0, borderaxespad=0.0)  # fmt: skip
