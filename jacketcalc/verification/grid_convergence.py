"""Observed order and grid convergence index from three resolutions.

After the practice of ASME V&V 20 and of Roache (from memory): Richardson extrapolation with
the observed order, and a safety factor of 1.25 on three grids.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

SAFETY = 1.25
"""Safety factor on three grids (Roache, from memory) [-]."""
HIGHEST_ORDER, LOWEST_ORDER = 4.0, 0.5
"""Orders outside are not believed and taken as the limit [-]."""
ROUNDING = 1e-9
"""Relative change below which a value counts as settled [-]."""


@dataclass(frozen=True, kw_only=True)
class Convergence:
    """One quantity on three grids, each finer than the one before by the same ratio."""

    values: tuple[float, float, float]
    """Coarse, middle, fine [as the quantity]."""
    order: float
    """Observed order; 0 where the changes alternate in sign, grow or vanish [-]."""
    extrapolated: float
    """Value at no step, by Richardson [as the quantity]."""
    index: float
    """Grid convergence index of the middle grid, relative: a band that holds the error [-]."""
    note: str
    """Empty, `settled`, `oscillates` or `grows`: where it says so no order was observed, and the
    index is the larger change with the safety factor."""

    @property
    def error(self) -> float:
        """Estimated relative error of the middle grid [-]."""
        return abs(self.values[1] - self.extrapolated) / max(abs(self.extrapolated), 1e-300)


def grid_convergence(values: Sequence[float], ratio: float = 2.0) -> Convergence:
    """Extrapolate three values of rising resolution.

    Parameters
    ----------
    values : coarse, middle, fine [as the quantity]
    ratio : refinement from each to the next [-]
    """
    coarse, middle, fine = values
    first, second = middle - coarse, fine - middle
    scale = max(abs(fine), 1e-300)
    three = (coarse, middle, fine)
    if abs(first) <= ROUNDING * scale and abs(second) <= ROUNDING * scale:
        return Convergence(values=three, order=0.0, extrapolated=fine, index=0.0, note="settled")
    if first * second <= 0.0 or abs(second) >= abs(first):
        note = "oscillates" if first * second <= 0.0 else "grows"
        band = SAFETY * max(abs(first), abs(second)) / scale
        return Convergence(values=three, order=0.0, extrapolated=fine, index=band, note=note)
    order = math.log(first / second) / math.log(ratio)
    used = min(max(order, LOWEST_ORDER), HIGHEST_ORDER)
    extrapolated = fine + second / (ratio**used - 1.0)
    index = SAFETY * abs(first) / (ratio**used - 1.0) / scale
    return Convergence(values=three, order=order, extrapolated=extrapolated, index=index, note="")
