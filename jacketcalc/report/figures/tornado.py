"""What each uncertain input does alone: to the delivery, and to the benefit of the jackets."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from jacketcalc.report.figures.curves import few_ticks
from jacketcalc.report.figures.number_labels import signed
from jacketcalc.report.figures.style import (
    BLUE,
    BLUE_PALE,
    FULL,
    GREY_WORDS,
    INK,
    SMALL,
    VERMILION,
    foot,
    head,
    new_figure,
    panel,
    shorten,
    styled,
)

PITCH, BELOW, ABOVE = 5.0, 18.0, 8.0
"""Height of an input's row, and the space below and above the panels [mm]."""
LEFT, ACROSS, SECOND = 46.0, 42.0, 94.0
"""Left edge of the first panel, width of both, and left edge of the second [mm]."""
NAME, ENDS = 34, 34
"""Letters of an input's name, and of its ends [-]."""
KEYS = 12.0
"""Distance from the panels down to the keys [mm]."""
_BAR = 0.38
"""Height of a bar; that of the low end stands above that of the high end [row]."""
_LOW: dict[str, Any] = {"fc": BLUE_PALE, "ec": BLUE, "hatch": "////", "lw": 0.6}
_HIGH: dict[str, Any] = {"fc": BLUE, "ec": BLUE, "lw": 0.6}
_FAR = 2.5
"""How many times farther than the bars reach the line of the flip may lie to be drawn [-]."""


@dataclass(frozen=True, kw_only=True)
class Moved:
    """What one input does, from its low to its high end, in the units shown."""

    name: str
    low: str
    """Low end of the input, with its unit."""
    high: str
    """High end, with its unit."""
    delivery: tuple[float, float]
    """Change of delivery at both ends; NaN where a machine stands still [%]."""
    benefit: tuple[float, float]
    """Change of the benefit at both ends; NaN where a machine stands still [its unit]."""
    flips: bool
    """Whether the answer at an end is another one than the nominal."""


@dataclass(frozen=True, kw_only=True)
class Tornado:
    """The inputs that do most, the largest effect on the benefit first."""

    by: str
    """What is judged."""
    unit: str
    """Unit of the benefit."""
    nominal: float
    """Benefit of the nominal case, for the better positive [its unit]."""
    moved: tuple[Moved, ...]
    left_out: int
    """Inputs that are not shown [-]."""


def draw_tornado(data: Tornado) -> Figure:
    """Draw both effects side by side, a row for each input."""
    with styled():
        high = PITCH * max(len(data.moved), 1)
        fig = new_figure(FULL, BELOW + high + ABOVE)
        flow = panel(fig, LEFT, BELOW, ACROSS, high)
        gain = panel(fig, SECOND, BELOW, ACROSS, high)
        points = "percentage points" if data.unit == "%" else data.unit
        head(flow, "Delivery / %", "a")
        head(gain, f"Benefit / {points}", "b")
        _bars(flow, [one.delivery for one in data.moved])
        _bars(gain, [one.benefit for one in data.moved])
        flip = _flip(gain, data)
        for place, one in enumerate(data.moved):
            _name(flow, gain, place, one)
        gain.annotate("95 % interval", (1.04, 1.0), (0.0, 5.0), xycoords="axes fraction",
                      textcoords="offset points", ha="left", va="baseline", size=SMALL,
                      color=GREY_WORDS)  # fmt: skip
        foot(flow, "effect on the nominal, with jackets")
        foot(gain, f"effect on {signed(data.nominal)} {data.unit}; positive: better")
        keys: list[Artist] = [Patch(label="low end of the input", **_LOW),
                              Patch(label="high end of the input", **_HIGH), flip]  # fmt: skip
        flow.legend(handles=keys, loc="upper left", ncols=3, frameon=False, fontsize=SMALL,
                    bbox_to_anchor=(0.0, -KEYS / high), borderaxespad=0.0, handlelength=2.2,
                    columnspacing=1.5)  # fmt: skip
        return fig


def _bars(ax: Axes, ends: list[tuple[float, float]]) -> None:
    """Draw two bars a row, and the line of no effect."""
    for place, (low, high) in enumerate(ends):
        for value, up, look in ((low, -_BAR / 2, _LOW), (high, _BAR / 2, _HIGH)):
            if math.isfinite(value):
                ax.barh(place + up, value, _BAR, zorder=2.0, **look)
    ax.axvline(0.0, color=INK, lw=0.8, zorder=3.0)
    ax.set_ylim(max(len(ends), 1) - 0.5, -0.5)
    ax.spines["left"].set_visible(False)
    ax.set_yticks([])
    known = [abs(v) for pair in ends for v in pair if math.isfinite(v)]
    reach = 1.08 * max(known, default=0.0) or 1.0
    ax.set_xlim(-reach, reach)
    few_ticks(ax, x=5)


def _flip(ax: Axes, data: Tornado) -> Line2D:
    """Draw the line beyond which the answer is another one; return its key."""
    at = -data.nominal
    low, high = ax.get_xlim()
    look: dict[str, Any] = {"color": VERMILION, "lw": 1.2, "ls": (0, (5, 2))}
    words = f"the answer changes, {signed(at)} {data.unit}"
    if abs(at) > _FAR * high:
        return Line2D([], [], label=f"{words}: outside", **look)
    ax.set_xlim(min(low, 1.08 * at), max(high, 1.08 * at))
    ax.axvline(at, zorder=4.0, **look)
    return Line2D([], [], label=words, **look)


def _name(flow: Axes, gain: Axes, place: int, one: Moved) -> None:
    weight = "bold" if one.flips else "normal"
    flow.text(-0.03, place, shorten(one.name, NAME), transform=flow.get_yaxis_transform(),
              ha="right", va="center", size=SMALL, weight=weight)  # fmt: skip
    still = [not math.isfinite(v) for v in one.delivery]
    ends = [f"{words} (stalls)" if stops else words
            for words, stops in zip((one.low, one.high), still, strict=True)]  # fmt: skip
    gain.text(1.04, place, shorten(" to ".join(ends), ENDS), transform=gain.get_yaxis_transform(),
              ha="left", va="center", size=SMALL, color=GREY_WORDS)  # fmt: skip


def describe_tornado(data: Tornado) -> str:
    """Say in words what each input does."""
    words = [
        f"Effects of {len(data.moved)} uncertain inputs, each alone from its low to its high end; "
        f"nominal benefit of the jackets, judged by {data.by}: {signed(data.nominal)} {data.unit}; "
        f"the answer changes at an effect of {signed(-data.nominal)}."
    ]
    for one in data.moved:
        flips = ", which alone changes the answer" if one.flips else ""
        words.append(
            f"{one.name}, {one.low} to {one.high}: delivery {_two(one.delivery)} %, benefit "
            f"{_two(one.benefit)} {data.unit}{flips}."
        )
    if data.left_out:
        words.append(f"{data.left_out} smaller effects are not shown.")
    return " ".join(words)


def _two(ends: tuple[float, float]) -> str:
    return " and ".join(signed(v, 2) if math.isfinite(v) else "a machine stalls" for v in ends)
