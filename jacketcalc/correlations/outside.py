"""Heat transfer outside: room air, radiation, fins and plain walls."""

from __future__ import annotations

import math

import ht
import numpy as np

from jacketcalc.correlations.cylinder import GRAVITY
from jacketcalc.correlations.passage import Number, Values

STEFAN_BOLTZMANN = 5.670374419e-8
"""Stefan-Boltzmann constant, CODATA 2018 [W/(m2 K4)]."""


def cylinder_nusselt(rayleigh: float, Pr: float) -> float:
    """Return the Nusselt number of natural convection round a horizontal cylinder [-].

    Churchill and Chu 1975, as `ht` has it; arguments are Rayleigh and Prandtl number [-].
    """
    return float(ht.Nu_horizontal_cylinder_Churchill_Chu(Pr, rayleigh / Pr))


def horizontal_cylinder(
    diameter: Number,
    T_surface: Number,
    T_room: Number,
    k: Number,
    rho: Number,
    mu: Number,
    cp: Number,
) -> Values:
    """Return the natural-convection coefficient round a horizontal cylinder.

    Parameters
    ----------
    diameter : outer diameter [m]
    T_surface, T_room : surface and room temperature [K]
    k, rho, mu, cp : properties of air at the mean of both temperatures
        [W/(m K)], [kg/m3], [Pa s], [J/(kg K)]

    Returns
    -------
    Heat transfer coefficient (Churchill and Chu 1975) [W/(m2 K)].
    """
    film = 0.5 * (np.asarray(T_surface, dtype=float) + T_room)
    Pr = mu * cp / np.asarray(k, dtype=float)
    buoyancy = GRAVITY * np.abs(np.asarray(T_surface, dtype=float) - T_room) / film
    rayleigh = buoyancy * np.asarray(diameter, dtype=float) ** 3 * np.square(rho / mu) * Pr
    spread = np.power(1.0 + np.power(0.559 / Pr, 9.0 / 16.0), -8.0 / 27.0)
    coefficient: Values = (
        np.square(0.6 + 0.387 * np.power(rayleigh, 1.0 / 6.0) * spread) * k / diameter
    )
    return coefficient


def radiation(emissivity: Number, T_surface: Number, T_room: Number) -> Values:
    """Return the radiation coefficient of a surface in a large room.

    Parameters
    ----------
    emissivity : total hemispherical emissivity [-]
    T_surface, T_room : surface and room temperature [K]

    Returns
    -------
    Radiant flux over the difference of temperatures [W/(m2 K)].
    """
    surface = np.asarray(T_surface, dtype=float)
    room = np.asarray(T_room, dtype=float)
    squares = surface * surface + room * room
    coefficient: Values = emissivity * STEFAN_BOLTZMANN * squares * (surface + room)
    return coefficient


def gap_radiation(
    emissivity_in: Number,
    emissivity_out: Number,
    diameter_ratio: Number,
    T_in: Number,
    T_out: Number,
) -> Values:
    """Return the radiation coefficient between long concentric grey cylinders.

    Parameters
    ----------
    emissivity_in, emissivity_out : of the two surfaces that face each other [-]
    diameter_ratio : of the inner surface over the outer one [-]
    T_in, T_out : temperatures of the two [K]

    Returns
    -------
    s (T1^2 + T2^2)(T1 + T2) / (1/e1 + (D1/D2)(1/e2 - 1)), on the inner surface [W/(m2 K)].
    """
    resistance = 1.0 / np.asarray(emissivity_in, dtype=float)
    resistance = resistance + diameter_ratio * (1.0 / np.asarray(emissivity_out, dtype=float) - 1.0)
    black = radiation(1.0, T_in, T_out)
    coefficient: Values = black / resistance
    return coefficient


def fin_efficiency(h: Number, k: Number, thickness: Number, height: Number) -> Values:
    """Return the efficiency of a straight fin that loses nothing at its tip.

    Parameters
    ----------
    h : heat transfer coefficient on both faces [W/(m2 K)]
    k : conductivity of the fin [W/(m K)]
    thickness, height : size of the fin [m]

    Returns
    -------
    Heat taken up over that of a fin at root temperature, tanh(mL)/(mL) [-].
    """
    slender = np.maximum(height * np.sqrt(2.0 * h / (np.asarray(k, dtype=float) * thickness)), 1e-6)
    efficiency: Values = np.tanh(slender) / slender
    return efficiency


def cylinder_resistance(inner: Number, outer: Number, k: Number, length: Number) -> Values:
    """Return the resistance of a cylinder wall to radial conduction.

    Parameters
    ----------
    inner, outer : diameters [m]
    k : conductivity [W/(m K)]
    length : axial length [m]

    Returns
    -------
    Thermal resistance [K/W].
    """
    ratio = np.asarray(outer, dtype=float) / inner
    resistance: Values = np.log(ratio) / (2.0 * math.pi * k * length)
    return resistance
