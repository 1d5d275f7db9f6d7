"""Exact solutions of gas flow that the solvers are checked against.

Ideal gas throughout; `gamma` is the ratio of specific heats [-], `M` a Mach number [-], and a
star the state where M is 1. Every argument may be a float or an array.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from jacketcalc.arrays import Array, Number
from jacketcalc.flow.iso6358 import REFERENCE_DENSITY, REFERENCE_TEMPERATURE

AIR_GAS_CONSTANT = 287.05
"""Gas constant of dry air [J/(kg K)]."""
AIR_GAMMA = 1.4
"""Ratio of specific heats of air as an ideal gas [-]."""

_LEAST_MACH = 1e-4
"""Mach number at which the search for a root begins [-]."""


@dataclass(frozen=True, kw_only=True)
class FlowState:
    """Ratios of a state to the state where M is 1."""

    temperature: Array
    """Static temperature, T/T* [-]."""
    pressure: Array
    """Static pressure, p/p* [-]."""
    stagnation_temperature: Array
    """Stagnation temperature, T0/T0* [-]."""
    stagnation_pressure: Array
    """Stagnation pressure, p0/p0* [-]."""


def stagnation_temperature_ratio(M: Number, gamma: Number = AIR_GAMMA) -> Array:
    """Return stagnation over static temperature [-]."""
    ratio: Array = 1.0 + 0.5 * (gamma - 1.0) * np.square(M)
    return ratio


def critical_back_pressure_ratio(gamma: Number = AIR_GAMMA) -> Array:
    """Return sonic over stagnation pressure of an ideal nozzle [-]."""
    ratio: Array = np.power(2.0 / (gamma + 1.0), gamma / (gamma - 1.0))
    return ratio


def choked_flux(gamma: Number = AIR_GAMMA, gas_constant: Number = AIR_GAS_CONSTANT) -> Array:
    """Return choked mass flux x sqrt(T0) / p0 of an ideal nozzle [s sqrt(K)/m]."""
    power = (gamma + 1.0) / (2.0 * (gamma - 1.0))
    flux: Array = np.sqrt(gamma / gas_constant) * np.power(2.0 / (gamma + 1.0), power)
    return flux


def equivalent_area(C: Number) -> Array:
    """Return the area of the ideal nozzle that passes what an element chokes at.

    Parameters
    ----------
    C : sonic conductance [m3/(s Pa)]

    Returns
    -------
    Area [m2].
    """
    area: Array = C * REFERENCE_DENSITY * math.sqrt(REFERENCE_TEMPERATURE) / choked_flux()
    return area


def fanno(M: Number, gamma: Number = AIR_GAMMA) -> FlowState:
    """Return the state on a Fanno line: a pipe with friction and no heat."""
    mach = np.asarray(M, dtype=float)
    temperature = 0.5 * (gamma + 1.0) / stagnation_temperature_ratio(mach, gamma)
    power = (gamma + 1.0) / (2.0 * (gamma - 1.0))
    return FlowState(
        temperature=temperature,
        pressure=np.sqrt(temperature) / mach,
        stagnation_temperature=np.ones_like(temperature),
        stagnation_pressure=np.power(temperature, -power) / mach,
    )


def fanno_length(M: Number, gamma: Number = AIR_GAMMA) -> Array:
    """Return f L*/D, with the Darcy f, from M to the sonic end of an adiabatic pipe [-]."""
    square = np.square(np.asarray(M, dtype=float))
    log = np.log(0.5 * (gamma + 1.0) * square / stagnation_temperature_ratio(M, gamma))
    length: Array = (1.0 - square) / (gamma * square) + 0.5 * (gamma + 1.0) / gamma * log
    return length


def fanno_mach(length: float, gamma: float = AIR_GAMMA) -> float:
    """Return the subsonic M from which f L*/D, with the Darcy f, is `length` [-]."""
    return _subsonic(lambda M: float(fanno_length(M, gamma)) - length)


def rayleigh(M: Number, gamma: Number = AIR_GAMMA) -> FlowState:
    """Return the state on a Rayleigh line: a pipe with heat and no friction."""
    mach = np.asarray(M, dtype=float)
    pressure = (1.0 + gamma) / (1.0 + gamma * np.square(mach))
    temperature = np.square(mach * pressure)
    total = stagnation_temperature_ratio(mach, gamma) / (0.5 * (gamma + 1.0))
    return FlowState(
        temperature=temperature,
        pressure=pressure,
        stagnation_temperature=temperature * total,
        stagnation_pressure=pressure * np.power(total, gamma / (gamma - 1.0)),
    )


def rayleigh_mach(stagnation_temperature: float, gamma: float = AIR_GAMMA) -> float:
    """Return the subsonic M at which T0/T0* is `stagnation_temperature` [-]."""
    return _subsonic(
        lambda M: stagnation_temperature - float(rayleigh(M, gamma).stagnation_temperature)
    )


def isothermal_length(M: Number, gamma: Number = AIR_GAMMA) -> Array:
    """Return f L/D, with the Darcy f, from M to M = 1/sqrt(gamma) in an isothermal pipe [-]."""
    group = gamma * np.square(np.asarray(M, dtype=float))
    length: Array = (1.0 - group) / group + np.log(group)
    return length


def isothermal_pressure(M: Number, gamma: Number = AIR_GAMMA) -> Array:
    """Return p over p at M = 1/sqrt(gamma) in an isothermal pipe [-]."""
    pressure: Array = 1.0 / (np.sqrt(gamma) * np.asarray(M, dtype=float))
    return pressure


def blowdown_time_constant(volume: Number, C: Number, T: Number) -> Array:
    """Return the time constant of a vessel emptying through a choked element.

    Parameters
    ----------
    volume : volume of the vessel [m3]
    C : sonic conductance [m3/(s Pa)]
    T : temperature at the start [K]

    Returns
    -------
    Mass over choked mass flow at the start [s].
    """
    root = np.sqrt(REFERENCE_TEMPERATURE * np.asarray(T, dtype=float))
    constant: Array = volume / (C * REFERENCE_DENSITY * AIR_GAS_CONSTANT * root)
    return constant


def isothermal_blowdown(pressure_ratio: Number) -> Array:
    """Return the time to fall to `pressure_ratio` of the start, choked, over the constant [-]."""
    time: Array = -np.log(pressure_ratio)
    return time


def adiabatic_blowdown(pressure_ratio: Number, gamma: Number = AIR_GAMMA) -> Array:
    """Return the time to fall to `pressure_ratio` of the start, choked, over the constant [-]."""
    power = (gamma - 1.0) / (2.0 * gamma)
    time: Array = 2.0 / (gamma - 1.0) * (np.power(pressure_ratio, -power) - 1.0)
    return time


def adiabatic_temperature(pressure_ratio: Number, gamma: Number = AIR_GAMMA) -> Array:
    """Return the temperature left in the vessel over that at the start [-]."""
    ratio: Array = np.power(pressure_ratio, (gamma - 1.0) / gamma)
    return ratio


def mass_left(pressure_ratio: Number, gamma: Number = AIR_GAMMA) -> Array:
    """Return the mass left in the vessel over that at the start, adiabatic [-]."""
    ratio: Array = np.power(pressure_ratio, 1.0 / gamma)
    return ratio


def mean_outflow_temperature(pressure_ratio: Number, gamma: Number = AIR_GAMMA) -> Array:
    """Return the mass-average temperature of what left, adiabatic, over that at the start [-]."""
    ratio: Array = (1.0 - pressure_ratio) / (gamma * (1.0 - mass_left(pressure_ratio, gamma)))
    return ratio


def mean_exhaust_temperature(pressure_ratio: Number, gamma: Number = AIR_GAMMA) -> Array:
    """Return the mean exhaust temperature of a full-pressure drive over that of its supply [-].

    `pressure_ratio` is back-pressure over supply pressure [-]; blowdown, then push-out, no heat.
    """
    drop = 1.0 - np.asarray(pressure_ratio, dtype=float)
    ratio: Array = 1.0 - drop * (gamma - 1.0) / gamma
    return ratio


def _subsonic(residual: Callable[[float], float]) -> float:
    """Solve a monotone residual for a subsonic Mach number [-]."""
    # Here, for it takes a quarter of a second to load, and the main job never comes here.
    from scipy.optimize import brentq

    return float(brentq(residual, _LEAST_MACH, 1.0, xtol=1e-13))
