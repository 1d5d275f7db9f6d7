"""What causes the spread: first-order and total index of each input, of benefit and delivery."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Patch

from jacketcalc.report.figures.curves import few_ticks
from jacketcalc.report.figures.number_labels import number
from jacketcalc.report.figures.style import (
    BLUE,
    BLUE_PALE,
    FULL,
    INK,
    SMALL,
    foot,
    head,
    new_figure,
    panel,
    shorten,
    styled,
)

PITCH, BELOW, ABOVE = 5.0, 18.0, 8.0
"""Height of an input's row, and the space below and above the panels [mm]."""
LEFT, ACROSS, SECOND = 52.0, 56.0, 116.0
"""Left edge of the first panel, width of both, and left edge of the second [mm]."""
NAME = 36
"""Letters of an input's name [-]."""
KEYS = 12.0
"""Distance from the panels down to the keys [mm]."""
_BAR = 0.38
"""Height of a bar; that of first order stands above that of the total [row]."""
_FIRST: dict[str, Any] = {"fc": BLUE, "ec": BLUE, "lw": 0.6}
_TOTAL: dict[str, Any] = {"fc": BLUE_PALE, "ec": BLUE, "hatch": "////", "lw": 0.6}


@dataclass(frozen=True, kw_only=True)
class Bar:
    """One index with its sampling error; both NaN where there is none."""

    share: float
    """Index [%]."""
    error: float
    """Its sampling error [%]."""


@dataclass(frozen=True, kw_only=True)
class IndexRow:
    """Both indices of one input, or of the others together."""

    name: str
    benefit: tuple[Bar, Bar]
    """First order and total."""
    delivery: tuple[Bar, Bar]
    """First order and total."""


def draw_indices(rows: tuple[IndexRow, ...]) -> Figure:
    """Draw both outputs side by side, a row for each input."""
    with styled():
        high = PITCH * max(len(rows), 1)
        fig = new_figure(FULL, BELOW + high + ABOVE)
        flow = panel(fig, LEFT, BELOW, ACROSS, high)
        gain = panel(fig, SECOND, BELOW, ACROSS, high)
        head(flow, "Delivery", "a")
        head(gain, "Benefit", "b")
        _bars(flow, [one.delivery for one in rows])
        _bars(gain, [one.benefit for one in rows])
        for place, one in enumerate(rows):
            flow.text(-0.03, place, shorten(one.name, NAME), ha="right", va="center", size=SMALL,
                      transform=flow.get_yaxis_transform())  # fmt: skip
        foot(flow, "share of the variance / %")
        foot(gain, "share of the variance / %")
        keys = [Patch(label="first order", **_FIRST), Patch(label="total", **_TOTAL)]
        flow.legend(handles=keys, loc="upper left", ncols=2, frameon=False, fontsize=SMALL,
                    bbox_to_anchor=(0.0, -KEYS / high), borderaxespad=0.0, handlelength=2.2,
                    columnspacing=1.5)  # fmt: skip
        return fig


def _bars(ax: Axes, rows: list[tuple[Bar, Bar]]) -> None:
    """Draw two bars a row, each with its sampling error."""
    for place, (first, total) in enumerate(rows):
        for bar, up, look in ((first, -_BAR / 2, _FIRST), (total, _BAR / 2, _TOTAL)):
            if math.isfinite(bar.share):
                ax.barh(place + up, bar.share, _BAR, zorder=2.0, **look)
                ends = [bar.share - bar.error, bar.share + bar.error]
                ax.plot(ends, [place + up] * 2, color=INK, lw=0.8, marker="|", ms=3.0, zorder=3.0)
    ax.axvline(0.0, color=INK, lw=0.8, zorder=3.0)
    ax.set_ylim(max(len(rows), 1) - 0.5, -0.5)
    ax.spines["left"].set_visible(False)
    ax.set_yticks([])
    few_ticks(ax, x=5)


def describe_indices(rows: tuple[IndexRow, ...]) -> str:
    """Say in words what causes the spread."""
    words = ["Shares of the variance of delivery and benefit, first order and total, in per cent."]
    words += [
        f"{one.name}: delivery {_two(one.delivery)}, benefit {_two(one.benefit)}." for one in rows
    ]
    return " ".join(words)


def _two(bars: tuple[Bar, Bar]) -> str:
    return " and ".join(number(b.share, 1) if math.isfinite(b.share) else "not told" for b in bars)
