"""A fill over time: pressure, gas in the receiver, hottest discharge and seal, both machines."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from jacketcalc.arrays import Array
from jacketcalc.fill.result import Course, Fill, FillComparison
from jacketcalc.report.figures.curves import BARE, JACKETED, WORDS, few_ticks, nice_limits
from jacketcalc.report.figures.labels import Name, place_names
from jacketcalc.report.figures.number_labels import Shown, number
from jacketcalc.report.figures.style import FULL, foot, head, new_figure, panel, styled

HIGH, STEP = 42.0, 58.0
"""Height of a panel, and from one to the next [mm]."""
_MINUTE, _HOUR = 60.0, 3600.0
"""A minute and an hour [s]."""
LONG = 3.0 * _HOUR
"""Fills that take longer are shown in hours [s]."""

Curve = Callable[[Course], Array]
PANELS: tuple[tuple[str, str, Curve], ...] = (
    ("Receiver, absolute", "pressure", lambda c: c.pressure),
    ("Gas in the receiver", "temperature", lambda c: c.temperature),
    ("Hottest mean discharge", "temperature", lambda c: c.discharge.max(axis=1)),
    ("Hottest seal", "temperature", lambda c: c.seal.max(axis=1)),
)
"""Head, dimension and values of each panel."""


def named_fills(found: FillComparison) -> list[tuple[str, Fill]]:
    """Return each machine's fill with its name."""
    pairs = (("no jackets", found.no_jackets), ("with jackets", found.with_jackets))
    return [(name, fill) for name, fill in pairs if fill is not None]


def draw_fill(found: FillComparison) -> Figure:
    """Draw a fill over time."""
    with styled():
        shown = Shown(found.case.document.units)
        fig = new_figure(FULL, 2.0 * STEP + 4.0)
        longest = max(fill.time for fill in found.fills)
        unit, size = ("h", _HOUR) if longest > LONG else ("min", _MINUTE)
        each = (FULL - 38.0) / 2.0
        for k, (title, dimension, curve) in enumerate(PANELS):
            left, bottom = 15.0 + (k % 2) * (each + 17.0), 12.0 + STEP * (1 - k // 2)
            ax = panel(fig, left, bottom, each, HIGH)
            head(ax, f"{title} / {shown.unit(dimension)}", "abcd"[k])
            _put(ax, found, curve, dimension, size, shown)
            foot(ax, f"Time from the start / {unit}")
        return fig


def _put(
    ax: Axes, found: FillComparison, curve: Curve, dimension: str, size: float, shown: Shown
) -> None:
    names = []
    for label, fill in named_fills(found):
        x = fill.course.time / size
        y = shown.values(curve(fill.course), dimension)
        ax.plot(x, y, **(BARE if label == "no jackets" else JACKETED))
        names.append(Name(text=label, x=x, y=y, colour=WORDS[label]))
    every = np.concatenate([name.y for name in names])
    ax.set_xlim(0.0, 1.03 * max(float(name.x[-1]) for name in names))
    ax.set_ylim(*nice_limits(float(every.min()), float(every.max()), zero=dimension == "pressure"))
    few_ticks(ax)
    place_names(ax, names)


def describe_fill(found: FillComparison) -> str:
    """Say in words what the figure shows."""
    shown, words = Shown(found.case.document.units), []
    for label, fill in named_fills(found):
        course, unit = fill.course, shown.unit("pressure")
        end = number(shown.value(fill.pressure, "pressure"), 1)
        hot = shown.temperature(fill.hottest_discharge.temperature)
        seal = shown.temperature(fill.hottest_seal.temperature)
        air = shown.temperature(float(course.temperature[-1]))
        words.append(
            f"{label.capitalize()}: after {number(fill.time / _MINUTE, 1)} min the receiver stands "
            f"at {end} {unit} with its gas at {air}; discharge up to {hot}, seal up to {seal}."
        )
    return " ".join(words)
