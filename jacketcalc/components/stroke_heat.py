"""Heat between gas and walls of every volume at instants of a stroke."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from jacketcalc.components.chamber_heat import Pace, drive_coefficient, stage_heat
from jacketcalc.components.chambers import Network
from jacketcalc.components.designs import Array
from jacketcalc.components.record import StrokeWalls
from jacketcalc.gas.table import AirTable, Thermo


@dataclass(frozen=True, kw_only=True)
class WallHeat:
    """Heat law of all volumes: conductance (T - wall), and the phase lead."""

    conductance: Array
    """h A to the walls, shape (..., volume, B) [W/K]."""
    wall: Array
    """Wall temperature, shape (..., volume, B) [K]."""
    lead: Array
    """Share of the phase lead, shape (..., volume, B) [-]."""
    coefficient: Array
    """Heat transfer coefficient in the stages, shape (..., stage, B) [W/(m2 K)]."""


def wall_heat(
    network: Network,
    air: AirTable,
    walls: StrokeWalls,
    pace: Pace,
    *,
    p: Array,
    T: Array,
    thermo: Thermo,
    volume: Array,
    stage_wall: Array,
    inflow: Array,
    speed: Array,
    time: Array,
    opening: NDArray[np.bool_],
) -> WallHeat:
    """Evaluate the heat laws of all volumes.

    Parameters
    ----------
    p, T : gas pressure [Pa] and temperature [K], shape (..., volume, B)
    thermo : properties of the gas in the stages, shape (..., stage, B)
    volume : volumes [m3]
    stage_wall : mean wall temperature over the wetted area, shape (..., stage, B) [K]
    inflow : mass flow through the suction valves, shape (..., stage, B) [kg/s]
    speed : piston speed, shape (..., B) [m/s]
    time : since the reversal of the valve, shape (..., B) [s]
    opening : whether each stage's chamber grows in this stroke, shape (stage, B)
    """
    layout = network.layout
    c, d = slice(layout.chambers[0], layout.chambers[-1] + 1), slice(0, 2)
    G, lead = np.zeros_like(volume), np.zeros_like(volume)
    wall = np.empty_like(volume)
    wall[:] = walls.room
    size, bore = network.drive_area, network.machine.drive.bore
    wetted = 2 * size + np.pi * bore * volume[..., d, :] / size
    G[..., d, :] = drive_coefficient(pace, p[..., d, :], T[..., d, :]) * wetted
    wall[..., d, :] = walls.drive
    perimeter = np.sqrt(4 * np.pi * network.stage_area)
    area = 2 * network.stage_area + perimeter * volume[..., c, :] / network.stage_area
    wall[..., c, :] = stage_wall
    law = stage_heat(
        network, air, pace, p=p[..., c, :], T=T[..., c, :], thermo=thermo,
        volume=volume[..., c, :], area=area, wall=stage_wall, inflow=inflow,
        speed=speed[..., None, :], time=time[..., None, :], opening=opening,
    )  # fmt: skip
    G[..., c, :], lead[..., c, :] = law.coefficient * area, law.lead
    for i, line in enumerate(layout.lines):
        record = network.machine.stages[i].line
        if line is not None and record is not None:
            G[..., line, :] = record.heat_loss
    return WallHeat(conductance=G, wall=wall, lead=lead, coefficient=law.coefficient)


def stage_part(thermo: Thermo, chambers: slice) -> Thermo:
    """Properties of the stages' gas out of those of all volumes."""
    return Thermo(
        rho=thermo.rho[..., chambers, :],
        h=thermo.h[..., chambers, :],
        rho_T=thermo.rho_T[..., chambers, :],
        rho_p=thermo.rho_p[..., chambers, :],
        h_T=thermo.h_T[..., chambers, :],
        h_p=thermo.h_p[..., chambers, :],
    )
