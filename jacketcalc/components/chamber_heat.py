"""Heat between the gas and the walls of drive and stage chambers, at one instant."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from jacketcalc.components.chambers import Network
from jacketcalc.components.designs import Array
from jacketcalc.correlations import cylinder
from jacketcalc.gas.table import AirTable, Thermo

SUCTION_EDGE = 0.1
"""Inflow, as a share of what the piston displaces, at which a chamber counts half as
drawing: smooth, because a hard switch on zero flow stalls implicit solvers [-]."""
SPEED_FLOOR = 0.2
"""Floor on piston speed in the jet form, as a share of the mean speed [-]."""


@dataclass(frozen=True, kw_only=True)
class Pace:
    """How fast the machine runs, from the iteration before."""

    omega: Array
    """Angular frequency of the cycle, shape (B,) [rad/s]."""
    piston_speed: Array
    """Mean piston speed 2 S f, shape (B,) [m/s]."""


def crank_angle(omega: Array, time: Array, opening: NDArray[np.bool_]) -> Array:
    """Return the angle from least volume, 0 to pi, that a stroke has come to by time [rad].

    A stroke is half a turn at the cycle's angular speed: theta = omega t while the chamber
    opens, pi - omega t while it closes, and stays at the dead point once that is reached.

    Parameters
    ----------
    omega : angular frequency of the cycle [rad/s]
    time : since the reversal of the valve [s]
    opening : whether the chamber grows in this stroke
    """
    turned = np.minimum(omega * time, np.pi)
    return np.asarray(np.where(opening, turned, np.pi - turned))


@dataclass(frozen=True, kw_only=True)
class StageHeat:
    """Heat law of the stage chambers: q = conductance (T - wall) + phase lead."""

    coefficient: Array
    """Coefficient on T - wall, shape (stage, B) [W/(m2 K)]."""
    lead: Array
    """Share of -T (dp/dT)_v dV taken out at once by the phase lead, shape (stage, B) [-]."""


def stage_heat(
    network: Network,
    air: AirTable,
    pace: Pace,
    *,
    p: Array,
    T: Array,
    thermo: Thermo,
    volume: Array,
    area: Array,
    wall: Array,
    inflow: Array,
    speed: Array,
    time: Array,
    opening: NDArray[np.bool_],
) -> StageHeat:
    """Evaluate the in-cylinder closure for all stages at once, arrays (stage, B).

    Parameters
    ----------
    p, T : gas pressure [Pa] and temperature [K]
    thermo : properties there
    volume : chamber volume [m3]
    area : wetted area, head, crown and barrel [m2]
    wall : mean wall temperature over that area [K]
    inflow : mass flow through the suction valve [kg/s]
    speed : piston speed, shape (B,) [m/s]
    time : since the reversal of the valve, shape (B,) [s]
    opening : whether the chamber grows in this stroke
    """
    mu, k = air.transport(T, p)
    model = network.machine.models.cylinder
    bore = np.sqrt(network.stage_area * (4 / np.pi))
    cp, rho = thermo.h_T, thermo.rho
    if model == "adair":
        angle = crank_angle(pace.omega, time, opening)
        h = cylinder.adair(k, rho, mu, cp, 6.0 * volume / area, pace.omega, angle)
        return StageHeat(coefficient=h, lead=np.zeros_like(h))
    if model == "annand":
        h = cylinder.annand(k, rho, mu, bore, pace.piston_speed)
        return StageHeat(coefficient=h, lead=np.zeros_like(h))
    diameter = 4.0 * volume / area
    peclet = pace.omega * diameter**2 * (rho * cp / (4.0 * k))
    real, imaginary = cylinder.gas_spring(peclet)
    still = k / diameter * real
    free = cylinder.natural_convection(k, rho, mu, cp, T, np.abs(T - wall))
    still = np.cbrt(still**3 + free**3)
    drawn = inflow / (rho * network.stage_area * pace.piston_speed)
    shut = 1.0 / (1.0 + (drawn / SUCTION_EDGE) ** 2)
    floor = SPEED_FLOOR * pace.piston_speed
    inflow_speed = inflow / (rho * network.stage_area)
    jet = cylinder.jet_stirred(k, rho, mu, cp, bore, speed, inflow_speed, floor)
    stirring = network.machine.models.stirring
    coefficient = still + stirring * (1.0 - shut) * np.maximum(jet - still, 0.0)
    cv = cp - T * thermo.rho_T**2 / (rho**2 * thermo.rho_p)
    lagging = shut * imaginary * k * area / (diameter * pace.omega)
    lead = lagging / (rho * volume * cv + lagging)
    return StageHeat(coefficient=coefficient * (1.0 - lead), lead=lead)


def drive_coefficient(pace: Pace, p: Array, T: Array) -> Array:
    """Coefficient in the drive chambers, shape (2, B) [W/(m2 K)]."""
    return np.asarray(cylinder.drive_eichelberg(pace.piston_speed, p, T))
