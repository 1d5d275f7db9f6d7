"""How laws pass into one another, and the Reynolds numbers at which they do."""

from __future__ import annotations

import numpy as np

from jacketcalc.arrays import Array, Number

LOWEST_RE = 1.0
"""Reynolds number below which formulas are held, so that standing air gives no infinity [-]."""
TUBE_LAMINAR = 2300.0
"""Reynolds number at which a straight tube begins to leave laminar flow [-]."""
TUBE_TURBULENT = 4000.0
"""Reynolds number from which a straight tube is taken as turbulent [-]."""


def smooth_step(x: Number) -> Array:
    """Rise from 0 at x <= 0 to 1 at x >= 1 with no kink [-]."""
    clipped = np.minimum(np.maximum(x, 0.0), 1.0)
    rise: Array = clipped * clipped * (3.0 - 2.0 * clipped)
    return rise
