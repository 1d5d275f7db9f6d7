"""Water in air: vapour pressure, and the temperatures at which it frosts or condenses."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]
Number = float | Values

FREEZING = 273.15
"""Below this, what forms on a wall is frost [K]."""


def vapour_pressure_ice(T: Number) -> Values:
    """Return saturation pressure over ice (Murphy and Koop 2005, equation 7) [Pa].

    Parameters
    ----------
    T : temperature, above 110 [K]
    """
    T = np.asarray(T, dtype=float)
    return np.asarray(np.exp(9.550426 - 5723.265 / T + 3.53068 * np.log(T) - 0.00728332 * T))


def vapour_pressure_water(T: Number) -> Values:
    """Return saturation pressure over liquid water (Murphy and Koop 2005, equation 10) [Pa].

    Parameters
    ----------
    T : temperature, 123 to 332 [K]; used a little above, where it stays within 0.1 %
    """
    T = np.asarray(T, dtype=float)
    log = np.log(T)
    base = 54.842763 - 6763.22 / T - 4.210 * log + 0.000367 * T
    bend = np.tanh(0.0415 * (T - 218.8))
    return np.asarray(np.exp(base + bend * (53.878 - 1331.22 / T - 9.44523 * log + 0.014025 * T)))


def saturation_temperature(e: Number, *, frost: bool) -> Values:
    """Return the temperature at which vapour of pressure e [Pa] saturates [K].

    Parameters
    ----------
    e : vapour pressure [Pa]
    frost : over ice rather than over water
    """
    law = vapour_pressure_ice if frost else vapour_pressure_water
    low, high = np.full(np.shape(e), 130.0), np.full(np.shape(e), 450.0)
    for _ in range(60):
        middle = 0.5 * (low + high)
        over = law(middle) > e
        low, high = np.where(over, low, middle), np.where(over, middle, high)
    return np.asarray(0.5 * (low + high))


def vapour_pressure_at(dew_point: Number, p_dew: Number, p: Number) -> Values:
    """Return vapour pressure after a change of pressure that keeps the water.

    Parameters
    ----------
    dew_point : dew point (frost point below freezing) at pressure `p_dew` [K]
    p_dew : pressure at which the dew point is stated [Pa]
    p : pressure asked for [Pa]
    """
    dew_point = np.asarray(dew_point, dtype=float)
    frozen = dew_point < FREEZING
    e = np.where(frozen, vapour_pressure_ice(dew_point), vapour_pressure_water(dew_point))
    return np.asarray(e * p / p_dew)
