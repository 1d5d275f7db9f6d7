"""A panel for each stage: side by side, in rows of two."""

from __future__ import annotations

import math
from collections.abc import Iterator

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from jacketcalc.report.figures.style import FULL, MIDDLE, new_figure, panel

LETTERS = "abcdefgh"
"""Letters of panels, where there are several."""
_ABREAST = 2
"""Panels of a row [-]."""
_LEFT, _GAP, _FOOT = 15.0, 16.0, 12.0
"""Space left of the first panel, between two, and below a row for its words [mm]."""


def stage_panels(count: int, high: float, above: float) -> tuple[Figure, Iterator[Axes]]:
    """Return a figure, and its panels in order, each made when it is asked for.

    Parameters
    ----------
    count : stages
    high : height of a panel [mm]
    above : height between the rows for words [mm]
    """
    columns, rows = min(count, _ABREAST), math.ceil(count / _ABREAST)
    width, step = MIDDLE if count == 1 else FULL, high + _FOOT + above
    fig = new_figure(width, rows * step)
    each = (width - _GAP * columns - 6.0) / columns

    def panels() -> Iterator[Axes]:
        for place in range(count):
            row, column = divmod(place, columns)
            bottom = (rows - 1 - row) * step + _FOOT
            yield panel(fig, _LEFT + column * (each + _GAP), bottom, each, high)

    return fig, panels()
