"""Flow through valves and fittings after ISO 6358-1:2013, over arrays.

Every argument may be a float or an array; arrays broadcast. Flow is never negative:
a caller that needs both directions calls twice. The subsonic index of the 2013 edition
is kept at its default, 0.5.
"""

from __future__ import annotations

import numpy as np

from jacketcalc.arrays import Array, Number
from jacketcalc.flow_data import REFERENCE_DENSITY as REFERENCE_DENSITY
from jacketcalc.formula import formula

REFERENCE_TEMPERATURE = 293.15
"""Temperature of the standard reference atmosphere of ISO 6358 [K]."""

LINEAR_ZONE = 0.005
"""Share of the upstream pressure over which flow is taken linear (common practice) [-]."""
LARGEST_RATIO = 0.9
"""Largest critical ratio used, so that a stiffly loaded valve still opens gradually [-]."""
TUBE = (0.029, 1.25, 510.0, 474.0)
"""Plain tube: a, n, c, k in C = a d^2 / (L/d^n + c)^0.5, b = k C/d^2 [SI]."""

_SCALE = REFERENCE_DENSITY * float(np.sqrt(REFERENCE_TEMPERATURE))
_TINY_PRESSURE = 1e-3
"""Pressure that keeps a ratio of pressures from a division by zero [Pa]."""
_LEVELS = np.array([0.2, 0.4, 0.6, 0.75, 0.85, 0.92, 0.97])


@formula(
    name="ISO 6358 element",
    quantity="mass flow [kg/s]",
    source="iso-6358-1",
    equation="m = C p1 rho0 (T0/T1)^0.5 (1 - ((p2/p1 - b)/(1 - dp/p1 - b))^2)^0.5",
    ranges={"b": (0.0, LARGEST_RATIO)},
    scatter=(-0.10, 0.10),
    scatter_from="judgement",
    remark=f"Scatter as of catalogue data. Linear over the last {100 * LINEAR_ZONE:g} % of "
    "pressure ratio (common practice, no source).",
)
def mass_flow(
    C: Number, b: Number, p_up: Number, p_down: Number, T_up: Number, opening: Number = 0.0
) -> Array:
    """Return the mass flow through one element.

    Parameters
    ----------
    C : sonic conductance [m3/(s Pa)]
    b : critical back-pressure ratio [-]
    p_up, p_down : stagnation pressure upstream, pressure downstream [Pa]
    T_up : stagnation temperature upstream [K]
    opening : pressure difference at which flow begins [Pa]

    Returns
    -------
    Mass flow, zero where the difference of pressures is below `opening` [kg/s].

    References
    ----------
    ISO 6358-1:2013, with the linear zone near equal pressures that is common practice.
    """
    loaded, span = _spans(b, p_up, opening)
    opened = np.minimum(np.maximum(loaded - p_down, 0.0) / span, 1.0)
    kept = np.maximum(opened, LINEAR_ZONE * loaded / span)
    flow: Array = (_SCALE * C) * p_up * opened * np.sqrt((2.0 / kept - 1.0) / T_up)
    return flow


def mass_flow_with_slopes(
    C: Number, b: Number, p_up: Number, p_down: Number, T_up: Number, opening: Number = 0.0
) -> tuple[Array, Array, Array]:
    """Return the mass flow and its slopes in both pressures.

    Parameters are those of `mass_flow`.

    Returns
    -------
    Mass flow [kg/s], slope in `p_up` [kg/(s Pa)], slope in `p_down` [kg/(s Pa)].
    """
    loaded, span = _spans(b, p_up, opening)
    opened = np.minimum(np.maximum(loaded - p_down, 0.0) / span, 1.0)
    edge = LINEAR_ZONE * loaded / span
    linear = opened < edge
    root = np.sqrt(2.0 / np.maximum(opened, edge) - 1.0)
    scale = (_SCALE * C) / np.sqrt(T_up)
    share = scale * opened * root
    rise = np.where(linear, root, root * (1.0 - opened) / (2.0 - opened))
    rise = rise * ((opened > 0.0) * (scale * p_up / span))
    narrow = b * p_up >= LARGEST_RATIO * loaded
    span_slope = np.where(narrow, 1.0 - LARGEST_RATIO, 1.0 - np.asarray(b, dtype=float))
    slope_up: Array = share + rise * (1.0 - opened * span_slope)
    if np.any(opening):
        # An opening pressure lets the edge of the linear zone move with p_up.
        drift = linear * opened * (LINEAR_ZONE - edge * span_slope)
        slope_up = slope_up - drift * (scale * p_up) / (span * np.square(edge) * root)
    flow: Array = share * p_up
    return flow, slope_up, -rise


def upstream_pressure(C: Number, b: Number, m: Number, p_down: Number, T_up: Number) -> Array:
    """Return the upstream pressure that drives a given mass flow.

    Parameters
    ----------
    C : sonic conductance [m3/(s Pa)]
    b : critical back-pressure ratio, at most `LARGEST_RATIO` [-]
    m : mass flow, not negative [kg/s]
    p_down : pressure downstream [Pa]
    T_up : stagnation temperature upstream [K]

    Returns
    -------
    Stagnation pressure upstream [Pa].
    """
    choked = m * np.sqrt(T_up) / (_SCALE * C)
    back = np.maximum(p_down, b * choked)
    rest = 1.0 - b
    root = rest * np.sqrt(np.maximum(back**2 + (1.0 - 2.0 * b) * choked**2, 0.0))
    ellipse = (back**2 + (rest * choked) ** 2) / (b * back + root)
    linear = p_down + rest * choked / np.sqrt(2.0 * rest / LINEAR_ZONE - 1.0)
    pressure: Array = np.maximum(ellipse, linear)
    return pressure


def series(C1: Number, b1: Number, C2: Number, b2: Number) -> tuple[Array, Array]:
    """Combine two elements in the order of flow.

    Parameters
    ----------
    C1, C2 : sonic conductances [m3/(s Pa)]
    b1, b2 : critical back-pressure ratios [-]

    Returns
    -------
    Sonic conductance, exact where the second element chokes or the first one does
    [m3/(s Pa)], and the critical ratio whose ellipse lies closest to the exact flow [-].
    """
    ratio = C2 / np.asarray(C1, dtype=float)
    rest = 1.0 - b1
    root = rest * np.sqrt(np.maximum(1.0 + (1.0 - 2.0 * b1) * ratio**2, 0.0))
    between = (b1 + root) / (1.0 + (ratio * rest) ** 2)
    linear = 1.0 / (1.0 + ratio * rest / np.sqrt(2.0 * rest / LINEAR_ZONE - 1.0))
    between = np.minimum(between, linear)
    conductance: Array = np.where(ratio * b1 < 1.0, C2 * between, C1)
    return conductance, _fit_ratio(C1, b1, C2, b2, conductance)


@formula(
    name="plain tube conductance",
    quantity="C [m3/(s Pa)]",
    source="beater-2007",
    equation=f"C = {TUBE[0]:g} d^2 / (L/d^{TUBE[1]:g} + {TUBE[2]:g})^0.5, b = {TUBE[3]:g} C/d^2",
    scatter=(-0.10, 0.10),
    scatter_from="judgement",
    remark="For comparison only: the tube itself is marched.",
)
def tube_conductance(diameter: Number, length: Number) -> tuple[Array, Array]:
    """Return the sonic conductance and critical ratio of a plain tube, for comparison only.

    Parameters
    ----------
    diameter : inner diameter [m]
    length : length [m]

    Returns
    -------
    Sonic conductance [m3/(s Pa)], critical back-pressure ratio [-].

    References
    ----------
    Eckersten's form in Beater, Pneumatic Drives, 2007 (from memory).
    """
    area = np.asarray(diameter, dtype=float) ** 2
    lead, power, offset, ratio_lead = TUBE
    conductance: Array = lead * area / np.sqrt(length / diameter**power + offset)
    ratio: Array = ratio_lead * conductance / area
    return conductance, ratio


def _spans(b: Number, p_up: Number, opening: Number) -> tuple[Array, Array]:
    """Return upstream pressure less opening, and its distance from the critical pressure [Pa]."""
    loaded = np.maximum(p_up - opening, _TINY_PRESSURE)
    return loaded, loaded - np.minimum(b * p_up, LARGEST_RATIO * loaded)


def _fit_ratio(C1: Number, b1: Number, C2: Number, b2: Number, total: Array) -> Array:
    """Fit the critical ratio of two elements by least squares on the pressure ratio [-]."""
    shape = (*total.shape, 1)
    first = np.broadcast_to(b1, total.shape).reshape(shape)
    second = np.broadcast_to(b2, total.shape).reshape(shape)
    flow = _LEVELS * total.reshape(shape)
    after = _ratio_at(first, flow / np.broadcast_to(C1, total.shape).reshape(shape))
    ratio = after * _ratio_at(second, flow / (np.reshape(C2 + 0.0 * total, shape) * after))
    drop = 1.0 - np.sqrt(1.0 - _LEVELS**2)
    fitted: Array = 1.0 - ((1.0 - ratio) @ drop) / (drop @ drop)
    return np.maximum(fitted, 0.0)


def _ratio_at(b: Array, share: Array) -> Array:
    """Return the pressure ratio of an element at a share of its choked flow [-]."""
    ratio: Array = b + (1.0 - b) * np.sqrt(np.maximum(1.0 - share**2, 0.0))
    return ratio
