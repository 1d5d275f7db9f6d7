"""Transition in the helical annulus, and the blends its correlations share.

Symbols follow the sources: `Re` Reynolds number on the hydraulic diameter, `Dh` hydraulic
diameter, `Dc` diameter of curvature of the helix, `d` = Dh/Dc, `aspect` = gap / clear width,
`Pr` Prandtl number. Every argument may be a float or an array; arrays broadcast.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]
Number = float | Values

LOWEST_RE = 1.0
"""Reynolds number below which formulas are held, so that standing air gives no infinity [-]."""
TUBE_LAMINAR = 2300.0
"""Reynolds number at which a straight tube begins to leave laminar flow [-]."""
TUBE_TURBULENT = 4000.0
"""Reynolds number from which a straight tube is taken as turbulent [-]."""


def critical_reynolds(d: Number) -> Values:
    """Return the Reynolds number at which flow in a coil turns turbulent (Schmidt 1967) [-].

    `d` is hydraulic diameter over diameter of curvature [-].
    """
    critical: Values = 2300.0 * (1.0 + 8.6 * np.power(d, 0.45))
    return critical


def smooth_step(x: Number) -> Values:
    """Rise from 0 at x <= 0 to 1 at x >= 1 with no kink [-]."""
    clipped = np.minimum(np.maximum(x, 0.0), 1.0)
    rise: Values = clipped * clipped * (3.0 - 2.0 * clipped)
    return rise


def tube_turbulence(Re: Number) -> Values:
    """Return the share of turbulent flow in a straight tube, 0 to 1 [-]."""
    return smooth_step((Re - TUBE_LAMINAR) / (TUBE_TURBULENT - TUBE_LAMINAR))
