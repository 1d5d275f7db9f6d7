"""Water in air: vapour pressure, and the temperatures at which it frosts or condenses."""

from __future__ import annotations

import numpy as np

from jacketcalc.arrays import Array, Number
from jacketcalc.formula import formula

FREEZING = 273.15
"""Below this, what forms on a wall is frost [K]."""
ICE, WATER = 6140.0, 5420.0
"""Latent heat over the vapour's gas constant at freezing: ln e falls by so much with 1 / T [K]."""
OVER_ICE = (9.550426, 5723.265, 3.53068, 0.00728332)
"""Coefficients of 1, 1/T, ln T and T in ln e over ice [SI]."""
OVER_WATER: tuple[tuple[float, ...], ...] = (
    (54.842763, 6763.22, 4.210, 0.000367),
    (0.0415, 218.8),
    (53.878, 1331.22, 9.44523, 0.014025),
)
"""The same over water: twice, the second times a tanh of steepness and middle between [SI]."""
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


@formula(
    name="vapour pressure over ice",
    quantity="e [Pa]",
    source="murphy-koop-2005",
    equation="ln(e) = {:.10g} - {:.10g}/T + {:.10g} ln(T) - {:.10g} T".format(*OVER_ICE),
    ranges={"T": (110.0, 273.16)},
    scatter=(-0.0025, 0.0025),
    scatter_from="from memory",
    remark="Equation 7.",
)
def vapour_pressure_ice(T: Number) -> Array:
    """Return saturation pressure over ice (Murphy and Koop 2005, equation 7) [Pa].

    Parameters
    ----------
    T : temperature, above 110 [K]
    """
    T = np.asarray(T, dtype=float)
    constant, inverse, log, slope = OVER_ICE
    return np.asarray(np.exp(constant - inverse / T + log * np.log(T) - slope * T))


@formula(
    name="vapour pressure over water",
    quantity="e [Pa]",
    source="murphy-koop-2005",
    equation="ln(e) = {:.10g} - {:.10g}/T - {:.10g} ln(T) + {:.10g} T + ".format(*OVER_WATER[0])
    + "tanh({:.10g} (T - {:.10g})) ".format(*OVER_WATER[1])
    + "({:.10g} - {:.10g}/T - {:.10g} ln(T) + {:.10g} T)".format(*OVER_WATER[2]),
    ranges={"T": (123.0, 332.0)},
    scatter=(-0.0005, 0.0005),
    scatter_from="from memory",
    remark="Equation 10; used a little above its range, where it stays within 0.1 %.",
)
def vapour_pressure_water(T: Number) -> Array:
    """Return saturation pressure over liquid water (Murphy and Koop 2005, equation 10) [Pa].

    Parameters
    ----------
    T : temperature, 123 to 332 [K]; used a little above, where it stays within 0.1 %
    """
    T = np.asarray(T, dtype=float)
    base, added = (a - b / T - c * np.log(T) + d * T for a, b, c, d in OVER_WATER[::2])
    steepness, middle = OVER_WATER[1]
    return np.asarray(np.exp(base + np.tanh(steepness * (T - middle)) * added))


def saturation_temperature(e: Number, *, frost: bool) -> Array:
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


@formula(
    name="enhancement by dense air",
    quantity="factor on vapour pressure [-]",
    source="iapws-g11-15",
    equation="ln(F) = v p/(R T) - 2 B n - 1.5 C n^2 + ln(Z)",
    ranges={"T": (193.0, 473.0), "p": (0.0, 5e6)},
    scatter=(-0.01, 0.01),
    scatter_from="judgement",
    remark="v molar volume of ice or water, n and Z molar density and compressibility of dry air, "
    "B and C virial coefficients of its equations 7 and 8. Carried on beyond 5 MPa.",
)
def enhancement_factor(T: Number, p: Number, molar_density: Number, *, frost: bool) -> Array:
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
