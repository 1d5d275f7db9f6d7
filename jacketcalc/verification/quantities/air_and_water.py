"""Properties of air and of the water in it, for published cases. Arguments in SI."""

from __future__ import annotations

from collections.abc import Callable

from jacketcalc.core.gas import core_air
from jacketcalc.correlations.moisture import vapour_pressure_ice, vapour_pressure_water
from jacketcalc.gas import coolprop
from jacketcalc.gases import AIR

NEARLY_EMPTY = 1e-3
"""Stands for zero density, which the property library does not accept [mol/m3]."""


def air_density(T: float, p: float) -> float:
    """Return the density of air [kg/m3]."""
    return float(core_air().state(T, p)[0])


def air_volume(T: float, p: float) -> float:
    """Return the specific volume of air [m3/kg]."""
    return 1.0 / air_density(T, p)


def air_cp(T: float, p: float) -> float:
    """Return the specific heat of air at constant pressure [J/(kg K)]."""
    return float(core_air().state(T, p)[4])


def air_cv(T: float, p: float) -> float:
    """Return the specific heat of air at constant volume, cp - T (dp/dT)^2 dv/dp [J/(kg K)]."""
    rho, _, rho_T, rho_p, cp = core_air().state(T, p)[:5]
    return float(cp - T * rho_T**2 / (rho**2 * rho_p))


def air_viscosity(T: float, p: float) -> float:
    """Return the viscosity of air [Pa s]."""
    return float(core_air().state(T, p)[6])


def air_conductivity(T: float, p: float) -> float:
    """Return the conductivity of air [W/(m K)]."""
    return float(core_air().state(T, p)[7])


def air_compressibility(T: float, p: float) -> float:
    """Return the compressibility factor of air [-]."""
    return p / (air_density(T, p) * AIR.gas_constant * T)


def reference_viscosity(T: float, density: float) -> float:
    """Return the viscosity that the table is made from; molar density in mol/m3 [Pa s]."""
    return float(coolprop.reference_transport(T, max(density, NEARLY_EMPTY))[0])


def reference_conductivity(T: float, density: float) -> float:
    """Return the conductivity that the table is made from [W/(m K)]."""
    return float(coolprop.reference_transport(T, max(density, NEARLY_EMPTY))[1])


def over_ice(T: float) -> float:
    """Return the vapour pressure over ice [Pa]."""
    return float(vapour_pressure_ice(T))


def over_water(T: float) -> float:
    """Return the vapour pressure over water [Pa]."""
    return float(vapour_pressure_water(T))


QUANTITIES: dict[str, Callable[..., float]] = {
    "air, density": air_density,
    "air, specific volume": air_volume,
    "air, cp": air_cp,
    "air, cv": air_cv,
    "air, viscosity": air_viscosity,
    "air, conductivity": air_conductivity,
    "air, compressibility": air_compressibility,
    "air, reference viscosity": reference_viscosity,
    "air, reference conductivity": reference_conductivity,
    "vapour pressure over ice": over_ice,
    "vapour pressure over water": over_water,
}
