"""What the curve figures share: pairs of lines, bare against jacketed, and their names."""

from __future__ import annotations

from typing import Any

import numpy as np
from matplotlib.axes import Axes

from jacketcalc.arrays import Array
from jacketcalc.assessment.pair import Solved, is_alone
from jacketcalc.core.profiles import Detail
from jacketcalc.report.figures.style import BLUE, BLUE_WORDS, GREY, GREY_WORDS

BARE: dict[str, Any] = {"color": GREY, "lw": 0.9}
"""Line of the machine without jackets."""
JACKETED: dict[str, Any] = {"color": BLUE, "lw": 1.5}
"""The machine with jackets's line: thicker, so that grey print tells them apart."""
ISOBAR: dict[str, Any] = {"color": GREY, "lw": 0.5, "ls": (0, (2, 2)), "zorder": 1.0}
"""Lines of one pressure behind a cycle."""
WORDS = {"no jackets": GREY_WORDS, "with jackets": BLUE_WORDS, "as it is": BLUE_WORDS}


def machines(found: Solved) -> list[tuple[str, Detail, dict[str, Any]]]:
    """Return the machines that are drawn, each with its label and line; one where it is alone."""
    if is_alone(found):
        return [("as it is", found.jacketed_detail, JACKETED)]
    return [
        ("no jackets", found.bare_detail, BARE),
        ("with jackets", found.jacketed_detail, JACKETED),
    ]


def close(values: Array) -> Array:
    """Return a cycle with its first instant repeated at the end."""
    return np.append(values, values[0])


def nice_limits(low: float, high: float, *, zero: bool = False) -> tuple[float, float]:
    """Return limits with space above and below; from zero where asked."""
    spread = max(high - low, 1e-9 * max(abs(high), 1.0), 1e-12)
    bottom = 0.0 if zero else low - 0.08 * spread
    return bottom, high + 0.1 * spread


def few_ticks(ax: Axes, *, x: int = 6, y: int = 5) -> None:
    """Keep the ticks few."""
    ax.locator_params(axis="x", nbins=x)
    ax.locator_params(axis="y", nbins=y)


def reference(ax: Axes, y: float) -> None:
    """Draw a named level as a narrow line behind the curves."""
    ax.axhline(y, color=GREY, lw=0.6, zorder=1.0)
