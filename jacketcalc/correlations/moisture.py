"""Water in air: vapour pressure, and the temperatures at which it frosts or condenses."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]
Number = float | Values

FREEZING = 273.15
"""Below this, what forms on a wall is frost [K]."""
ICE, WATER = 6140.0, 5420.0
"""Latent heat over the vapour's gas constant at freezing: ln e falls by so much with 1 / T [K]."""
MOLAR_GAS_CONSTANT = 8.314462618
"""CODATA 2018 [J/(mol K)]."""
WATER_VOLUME, ICE_VOLUME = 18.02e-6, 19.65e-6
"""Molar volumes of water and of ice (densities 1000 and 917 kg/m3, common values) [m3/mol]."""
SECOND_VIRIAL = ((66.5687, -0.237), (-238.834, -1.048), (-176.755, -3.183))
"""Factors and powers of T / 100 K: air with water, IAPWS G11-15, equation 7 [cm3/mol]."""
THIRD_VIRIAL = ((4.82737e-4, 0), (1.05678e-3, -1), (-6.56394e-3, -2), (2.94442e-2, -3),
                (-3.19317e-2, -4))  # fmt: skip
"""The same for two of air with one of water, equation 8 [dm6/mol2]."""
INVERSE_STEPS = 20
"""Steps of a temperature from a vapour pressure: each leaves a tenth of the error or less."""


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
    law, slope = (vapour_pressure_ice, ICE) if frost else (vapour_pressure_water, WATER)
    log = np.log(np.asarray(e, dtype=float))
    inverse = np.full(np.shape(e), 1.0 / FREEZING)
    for _ in range(INVERSE_STEPS):
        inverse = inverse + (np.log(law(1.0 / inverse)) - log) / slope
    return np.asarray(1.0 / inverse)


def enhancement_factor(T: Number, p: Number, molar_density: Number, *, frost: bool) -> Values:
    """Return by how much air raises the vapour that it holds over ice or water [-].

    Saturated air holds `enhancement_factor` x vapour pressure / p of vapour: the pressure on ice
    or water drives it out (Poynting), and air draws it (virial coefficients of IAPWS G11-15,
    equations 7 and 8, with little water in the air). Stated for 193 to 473 K up to 5 MPa; carried
    on beyond with the real density of air.

    Parameters
    ----------
    T : temperature [K]
    p : pressure of the air [Pa]
    molar_density : of dry air at T and p [mol/m3]
    frost : over ice rather than over water
    """
    T, n = np.asarray(T, dtype=float), np.asarray(molar_density, dtype=float)
    t = T / 100.0
    second = sum(c * t**d for c, d in SECOND_VIRIAL) * 1e-6
    third = sum(c * t**d for c, d in THIRD_VIRIAL) * 1e-6
    pushed = (ICE_VOLUME if frost else WATER_VOLUME) * p / (MOLAR_GAS_CONSTANT * T)
    Z = p / (n * MOLAR_GAS_CONSTANT * T)
    return np.asarray(np.exp(pushed - 2.0 * second * n - 1.5 * third * n**2 + np.log(Z)))
