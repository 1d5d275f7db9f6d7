"""Laws as tables for the core: cubics of ln value over ln Re, in three powers of ln Pr."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache
from typing import Any

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.core.layout import constants
from jacketcalc.correlations.laws import Law, Part
from jacketcalc.gas.cells import HERMITE, spline_slopes

PRANDTL_MIDDLE = 0.72
"""Prandtl number the tables are made about, as in laws.c [-]."""
PRANDTL_REACH = 1.1
"""Ratio between the Prandtl numbers tabled [-]."""
INTERVALS = 64
"""Intervals of a table: within 2e-5 of the law, but for laminar friction about Dean number 11.6,
where White's factor sets in like a power of 2.2: 4e-4 there, below any flow of a pulse [-]."""
FINE_INTERVALS = 96
"""Intervals of a law that bends within one decade: within 2e-5 as well [-]."""
JOINS = {
    "none": "JOIN_NONE",
    "larger": "JOIN_LARGER",
    "linear": "JOIN_LINEAR",
    "smooth": "JOIN_SMOOTH",
    "smooth log": "JOIN_SMOOTH_LOG",
}


@cache
def _slopes(nodes: int) -> Array:
    return spline_slopes(nodes)


def fill_table(
    record: Any,
    values: Callable[[Array], Sequence[Array]],
    lowest: float,
    highest: float,
    intervals: int = INTERVALS,
) -> None:
    """Table ln of a function over ln of its argument.

    Parameters
    ----------
    record : a `Table` to be filled
    values : gives values above 0 at an array of arguments, for 1 or 3 Prandtl numbers [-]
    lowest, highest : range of the argument [-]
    intervals : intervals [-]
    """
    start, end = np.log(lowest), np.log(highest)
    places = np.linspace(start, end, intervals + 1)
    found = np.log(np.stack(values(np.clip(np.exp(places), lowest, highest))))
    rows = _by_prandtl(found) if len(found) == 3 else found
    slopes = rows @ _slopes(intervals + 1).T
    ends = np.stack([rows[:, :-1], rows[:, 1:], slopes[:, :-1], slopes[:, 1:]])
    cubics = np.tensordot(HERMITE, ends, axes=1)  # (power, quantity, interval)
    record["start"], record["step"] = start, (end - start) / intervals
    record["intervals"], record["by_prandtl"] = intervals, len(rows) == 3
    flat = cubics.transpose(2, 1, 0).reshape(intervals, -1)
    record["cubic"][:intervals, : flat.shape[1]] = flat


def _by_prandtl(found: Array) -> Array:
    """Value, slope and bend in ln Pr from values at three Prandtl numbers."""
    low, middle, high = found
    step = np.log(PRANDTL_REACH)
    return np.stack([middle, (high - low) / (2 * step), (high - 2 * middle + low) / (2 * step**2)])


def fill_part(record: Any, part: Part) -> None:
    """Table one base of a law."""
    pr = PRANDTL_MIDDLE
    each = (pr / PRANDTL_REACH, pr, pr * PRANDTL_REACH) if part.by_prandtl else (pr,)

    def values(Re: Array) -> list[Array]:
        return [part.base(Re, Pr) for Pr in each]

    intervals = FINE_INTERVALS if part.steep else INTERVALS
    fill_table(record, values, part.lowest, part.highest, intervals)


def fill_law(record: Any, law: Law) -> None:
    """Table a law's bases, and note how they are joined."""
    fill_part(record["slow"], law.slow)
    if law.fast is not None:
        fill_part(record["fast"], law.fast)
    record["join"] = constants()[JOINS[law.join]]
    ends = (law.start, law.end)
    if law.join == "smooth log":
        ends = (float(np.log(law.start)), float(np.log(law.end)))
    record["from"], record["span"], record["least"] = ends[0], ends[1] - ends[0], law.least
