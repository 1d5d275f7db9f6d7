"""Where the iteration starts: a machine at rest that has just been filled."""

from __future__ import annotations

import numpy as np

from jacketcalc.components.barrel_wall import WALL_NODES
from jacketcalc.components.chambers import Network
from jacketcalc.components.designs import Array
from jacketcalc.components.passage_cells import CHANNEL_CELLS, TUBE_CELLS
from jacketcalc.coupling.unknowns import Unknowns
from jacketcalc.gas.table import AirTable

START_FILL = 0.5
"""Interstage pressure to start from, over what equal masses at equal temperature would give:
low, because a line that is too full stalls the stage that fills it [-]."""
LARGEST_RATIO = 40.0
"""Largest ratio of piston areas that guess follows [-]."""


def first_guess(network: Network, air: AirTable, volume: Array) -> Unknowns:
    """Guess walls near the room, stages at suction, interstage lines at a middle pressure.

    Parameters
    ----------
    volume : volumes at the reversal to stroke 1, shape (volume, B) [m3]
    """
    m = network.machine
    room = np.asarray(m.room.temperature)
    p = start_pressures(network)
    T = np.broadcast_to(np.asarray(m.supply.temperature), p.shape).copy()
    thermo = air.thermo(T, p)
    mass = thermo.rho * volume
    stages, nodes, B = len(network.layout.chambers), len(network.layout.nodes), network.designs
    warm = np.broadcast_to(room + 20.0, (WALL_NODES, stages, B))
    return Unknowns(
        m=mass,
        U=mass * thermo.h - p * volume,
        inside=warm.copy(),
        outside=warm.copy(),
        head=warm[0].copy(),
        crown=warm[0].copy(),
        drive_wall=room[None] - 8.0,
        outer=np.broadcast_to(room - 10.0, (TUBE_CELLS + CHANNEL_CELLS, nodes, B)).copy(),
        port_temperature=np.broadcast_to(room - 20.0, (nodes, B)).copy(),
        period=np.ones((1, B)),
        wait=np.zeros((1, B)),
    )


def start_pressures(network: Network) -> Array:
    """Return the pressure of every volume at the reversal to stroke 1, (volume, B) [Pa]."""
    layout, m = network.layout, network.machine
    supply = np.asarray(m.supply.pressure)
    p = np.empty((layout.count, network.designs))
    p[:] = np.asarray(m.room.pressure) * 1.05
    p[1] = supply * 0.95
    for i, chamber in enumerate(layout.chambers):
        p[chamber] = supply
        after = layout.after[i]
        if after is not None:
            ratio = network.stage_area[i] / network.stage_area[i + 1]
            p[after] = START_FILL * supply * np.minimum(ratio, LARGEST_RATIO)
            p[layout.chambers[i + 1]] = p[after]
    for i, chamber in enumerate(layout.chambers):
        if layout.compresses_on[i] == 2:
            after = layout.after[i]
            p[chamber] = p[after] if after is not None else m.tank_pressure
    return p
