"""Valves, orifices and vessels, for published cases. Arguments in SI."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from jacketcalc.core.gas import core_air
from jacketcalc.correlations.cylinder import natural_convection
from jacketcalc.flow import closed_forms as forms
from jacketcalc.flow.iso6358 import (
    REFERENCE_DENSITY,
    REFERENCE_TEMPERATURE,
    mass_flow,
    tube_conductance,
)

SPECIFIC_HEAT = 1005.0
"""Specific heat of air at constant pressure in the vessel cases [J/(kg K)]."""
NOZZLE_RATIO = float(forms.critical_back_pressure_ratio())
"""Critical back-pressure ratio of an ideal nozzle, which stands for b [-]."""
COOLEST, HOTTEST = 0.9, 1.6
"""Least and largest temperature of a vessel just filled, over those of line and contents [-]."""


def critical_pressure(p0: float, gamma: float) -> float:
    """Return the sonic pressure of an ideal nozzle [Pa]."""
    return p0 * float(forms.critical_back_pressure_ratio(gamma))


def critical_temperature(T0: float, gamma: float) -> float:
    """Return the sonic temperature of an ideal nozzle [K]."""
    return T0 / float(forms.stagnation_temperature_ratio(1.0, gamma))


def choked_until(p1: float, p_ambient: float) -> float:
    """Return the gauge pressure behind a hole up to which it stays choked [Pa]."""
    return (p1 + p_ambient) * NOZZLE_RATIO - p_ambient


def choked_flow(p0: float, T0: float, A: float) -> float:
    """Return the choked mass flow of an ideal nozzle, with the textbooks' gas constant [kg/s]."""
    return p0 * A * float(forms.choked_flux(1.4, 287.0)) / math.sqrt(T0)


def element_flow(C: float, b: float, p1: float, p2: float, T1: float) -> float:
    """Return the flow of an ISO 6358 element as free air of the reference state [m3/s]."""
    return float(mass_flow(C, b, p1, p2, T1)) / REFERENCE_DENSITY


def area_of_conductance(C: float) -> float:
    """Return the area of the ideal nozzle that passes what an element chokes at [m2]."""
    return float(forms.equivalent_area(C))


def tube_sonic_conductance(D: float, L: float) -> float:
    """Return the sonic conductance of a plain tube [m3/(s Pa)]."""
    return float(tube_conductance(D, L)[0])


def isothermal_emptying(V: float, D: float, T: float, p1: float, p2: float) -> float:
    """Return the time in which a vessel empties isothermally, choked, through a hole [s]."""
    area = math.pi / 4.0 * D**2
    constant = forms.blowdown_time_constant(V, _conductance(area), T)
    return float(constant * forms.isothermal_blowdown(p2 / p1))


def adiabatic_rest(p1: float, p2: float, T1: float) -> float:
    """Return the temperature left in a vessel that emptied without heat [K]."""
    return T1 * float(forms.adiabatic_temperature(p2 / p1))


def adiabatic_mass_left(p1: float, p2: float, T1: float, V: float) -> float:
    """Return the mass left in a vessel that emptied without heat, ideal gas [kg]."""
    return p1 * V / (287.0 * T1) * float(forms.mass_left(p2 / p1))


def filled_temperature(p: float, T: float, p_start: float, T_start: float) -> float:
    """Return the temperature of a vessel filled without heat from a line, real air [K].

    Parameters
    ----------
    p, T : pressure and temperature of the line [Pa], [K]
    p_start, T_start : contents at the start; no contents where `p_start` is 0 [Pa], [K]
    """
    h_line = core_air().state(T, p)[1]
    m, U = 0.0, 0.0
    if p_start > 0.0:
        rho, h = core_air().state(T_start, p_start)[:2]
        m, U = rho, rho * h - p_start

    def energy_short(gas: float) -> float:
        """Energy brought in less that held by a cubic metre at the line's pressure [J]."""
        rho, h = core_air().state(gas, p)[:2]
        return float(U + (rho - m) * h_line - (rho * h - p))

    low, high = COOLEST * min(T, T_start or T), HOTTEST * max(T, T_start)
    return float(brentq(energy_short, low, high, xtol=1e-9))


def filling_mass_flow(V: float, T: float, p: float, p_line: float, rate: float) -> float:
    """Return the flow from a line that warms a vessel at a given rate, real air [kg/s].

    Parameters
    ----------
    V : volume [m3]
    T, p : temperature of line and vessel [K], pressure of the vessel [Pa]
    p_line : pressure of the line [Pa]
    rate : rise of temperature in the vessel [K/s]
    """
    h_line = core_air().state(T, p_line)[1]
    rho, h, rho_T, rho_p, h_T, h_p = core_air().state(T, p)[:6]
    # A cubic metre: d rho = rho_T dT + rho_p dp,  h_line d rho = d(rho h - p).
    energy_T, energy_p = rho_T * h + rho * h_T, rho_p * h + rho * h_p - 1.0
    per_mass = np.linalg.solve([[rho_T, rho_p], [energy_T, energy_p]], [1.0, h_line])
    return float(rate * V / per_mass[0])


def vessel_filling_rate(
    L: float, D: float, hole: float, discharge: float, T: float, p0: float, p_start: float,
    t1: float, t2: float,
) -> float:  # fmt: skip
    """Return the mean rise of pressure of a vessel that fills from the surroundings [Pa/s].

    Parameters
    ----------
    L, D : length and bore of the vessel [m]
    hole : bore of the hole [m]
    discharge : discharge coefficient of the hole [-]
    T, p0 : temperature and pressure of the surroundings, and of the vessel's wall [K], [Pa]
    p_start : pressure at the start [Pa]
    t1, t2 : times between which the mean is taken [s]
    """
    first, second = _filling(L, D, hole, discharge, T, p0, p_start, (t1, t2))
    return (second[0] - first[0]) / (t2 - t1)


def vessel_filling_temperature(
    L: float, D: float, hole: float, discharge: float, T: float, p0: float, p_start: float,
    t: float,
) -> float:  # fmt: skip
    """Return the gas temperature in a vessel that fills from the surroundings [K]."""
    return _filling(L, D, hole, discharge, T, p0, p_start, (t,))[0][1]


def _filling(
    L: float, D: float, hole: float, discharge: float, T: float, p0: float, p_start: float,
    times: tuple[float, ...],
) -> list[tuple[float, float]]:  # fmt: skip
    """Integrate a vessel that fills through a hole, its wall at ambient temperature."""
    C = _conductance(discharge * math.pi / 4.0 * hole**2)
    volume = math.pi / 4.0 * D**2 * L
    surface = math.pi * D * L + 2.0 * math.pi / 4.0 * D**2
    R, cv = forms.AIR_GAS_CONSTANT, SPECIFIC_HEAT - forms.AIR_GAS_CONSTANT

    def rates(_: float, y: np.ndarray) -> list[float]:
        m, gas = y
        flow = float(mass_flow(C, NOZZLE_RATIO, p0, m * R * gas / volume, T))
        mu, k = core_air().state(gas, p0)[6:]
        h = float(natural_convection(k, m / volume, mu, SPECIFIC_HEAT, gas, gas - T))
        heat = h * surface * (gas - T)
        return [flow, (flow * (SPECIFIC_HEAT * T - cv * gas) - heat) / (m * cv)]

    start = [p_start * volume / (R * T), T]
    run = solve_ivp(rates, (0.0, times[-1]), start, t_eval=times, rtol=1e-8, atol=1e-9)
    return [(m * R * gas / volume, gas) for m, gas in run.y.T]


def _conductance(area: float) -> float:
    """Return the sonic conductance of an ideal nozzle [m3/(s Pa)]."""
    return float(
        area * forms.choked_flux() / (REFERENCE_DENSITY * math.sqrt(REFERENCE_TEMPERATURE))
    )


QUANTITIES: dict[str, Callable[..., float]] = {
    "nozzle, sonic pressure": critical_pressure,
    "nozzle, sonic temperature": critical_temperature,
    "hole, choked up to": choked_until,
    "nozzle, choked flow": choked_flow,
    "ISO 6358 element, free air": element_flow,
    "area of a sonic conductance": area_of_conductance,
    "plain tube, sonic conductance": tube_sonic_conductance,
    "vessel emptying, isothermal time": isothermal_emptying,
    "vessel emptying, adiabatic temperature": adiabatic_rest,
    "vessel emptying, adiabatic mass": adiabatic_mass_left,
    "vessel filled from a line": filled_temperature,
    "vessel filling, flow from its warming": filling_mass_flow,
    "vessel filling through a hole, rise": vessel_filling_rate,
    "vessel filling through a hole, temperature": vessel_filling_temperature,
}
