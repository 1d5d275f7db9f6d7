"""Darcy friction factors of the helical channel and of the round tube."""

from __future__ import annotations

import numpy as np
from numpy.polynomial.polynomial import polyval

from jacketcalc.correlations.passage import (
    LOWEST_RE,
    Number,
    Values,
    critical_reynolds,
    smooth_step,
    tube_turbulence,
)

TRANSITION_SPAN = 2.0
"""Re over critical Re at which a coil is fully turbulent [-]. Judgement: a straight tube goes
from 2300 to 4000, and Ito's law holds at once above transition."""
LOWEST_TURBULENT = 1000.0
"""Reynolds number below which turbulent laws are held, far inside the laminar range [-]."""

_RECTANGLE = np.array([96.0, -130.1088, 186.8832, -163.3152, 91.8144, -24.3552])
_WHITE_POWER = 1.0 / 0.45
_LOG_SCALE = 1.8 / np.log(10.0)


def rectangle_constant(aspect: Number) -> Values:
    """Return f x Re of laminar flow in a straight rectangular channel (Shah and London) [-]."""
    side = np.minimum(aspect, 1.0 / np.asarray(aspect, dtype=float))
    constant: Values = polyval(side, _RECTANGLE)
    return constant


def coil_factor(De: Number) -> Values:
    """Return White's ratio of laminar friction in a coil to that in a straight tube [-]."""
    share = np.power(11.6 / np.maximum(De, 11.6), 0.45)
    factor: Values = 1.0 / (1.0 - np.power(1.0 - share, _WHITE_POWER))
    return factor


def coil_turbulent(Re: Number, d: Number) -> Values:
    """Return the turbulent friction factor of a smooth coil (Ito 1959 in the VDI form) [-]."""
    factor: Values = 0.3164 / np.sqrt(np.sqrt(Re)) + 0.03 * np.sqrt(d)
    return factor


def haaland(Re: Number, relative_roughness: Number) -> Values:
    """Return the turbulent friction factor of a straight tube (Haaland 1983) [-]."""
    rough = np.power(np.asarray(relative_roughness, dtype=float) / 3.7, 1.11)
    root = _LOG_SCALE * np.log(6.9 / np.asarray(Re, dtype=float) + rough)
    factor: Values = 1.0 / (root * root)
    return factor


def roughness_ratio(Re: Number, relative_roughness: Number) -> Values:
    """Return rough over smooth friction factor of a straight tube (Haaland 1983) [-]."""
    smooth = 6.9 / np.asarray(Re, dtype=float)
    rough = np.power(np.asarray(relative_roughness, dtype=float) / 3.7, 1.11)
    ratio: Values = (np.log(smooth) / np.log(smooth + rough)) ** 2
    return ratio


def friction_factor(
    Re: Number, Dh: Number, Dc: Number, aspect: Number, relative_roughness: Number
) -> Values:
    """Return the friction factor of the helical channel.

    Parameters
    ----------
    Re : Reynolds number on the hydraulic diameter [-]
    Dh : hydraulic diameter [m]
    Dc : diameter of curvature [m]
    aspect : gap / clear width [-]
    relative_roughness : sand-grain roughness / hydraulic diameter [-]

    Returns
    -------
    Darcy friction factor [-].

    Notes
    -----
    Laminar: rectangle (Shah and London 1978) times White's coil ratio. Turbulent: Ito 1959 in
    the VDI form, times the straight tube's ratio of rough to smooth. In between, from the
    critical Reynolds number to `TRANSITION_SPAN` times it, one passes smoothly into the other.
    """
    flow = np.maximum(Re, LOWEST_RE)
    d = np.asarray(Dh, dtype=float) / Dc
    laminar = rectangle_constant(aspect) / flow * coil_factor(flow * np.sqrt(d))
    fast = np.maximum(flow, LOWEST_TURBULENT)
    turbulent = coil_turbulent(fast, d)
    if np.any(relative_roughness):
        turbulent = turbulent * roughness_ratio(fast, relative_roughness)
    share = smooth_step(np.log(flow / critical_reynolds(d)) * (1.0 / np.log(TRANSITION_SPAN)))
    factor: Values = laminar + share * (turbulent - laminar)
    return factor


def tube_friction_factor(Re: Number, relative_roughness: Number) -> Values:
    """Return the friction factor of a round tube.

    Parameters
    ----------
    Re : Reynolds number on the bore [-]
    relative_roughness : sand-grain roughness / bore [-]

    Returns
    -------
    Darcy friction factor: 64/Re, Haaland 1983, and a smooth passage between [-].
    """
    flow = np.maximum(Re, LOWEST_RE)
    laminar = 64.0 / flow
    turbulent = haaland(np.maximum(flow, LOWEST_TURBULENT), relative_roughness)
    factor: Values = laminar + tube_turbulence(flow) * (turbulent - laminar)
    return factor
