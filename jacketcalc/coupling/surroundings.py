"""Heat between the outer surfaces and the room."""

from __future__ import annotations

import numpy as np

from jacketcalc.components.chambers import Network
from jacketcalc.components.designs import Array
from jacketcalc.components.passage_cells import CHANNEL_CELLS, TUBE_CELLS
from jacketcalc.correlations import horizontal_cylinder, radiation
from jacketcalc.gas.table import AirTable

SMALLEST_DIFFERENCE = 0.5
"""Difference of temperature below which natural convection is taken as at this one [K]."""


def room_coefficient(
    air: AirTable, diameter: Array, emissivity: Array, surface: Array, room: Array, p: Array
) -> Array:
    """Return natural convection plus radiation of a horizontal cylinder [W/(m2 K)].

    Parameters
    ----------
    diameter : outer diameter [m]
    emissivity : of the surface [-]
    surface, room : temperatures [K]
    p : room pressure [Pa]
    """
    gap = surface - room
    apart = np.where(np.abs(gap) < SMALLEST_DIFFERENCE, SMALLEST_DIFFERENCE, gap)
    film = np.maximum(room + 0.5 * apart, 160.0)
    thermo = air.thermo(film, np.broadcast_to(p, film.shape))
    mu, k = air.transport(film, np.broadcast_to(p, film.shape))
    free = horizontal_cylinder(diameter, room + apart, room, k, thermo.rho, mu, thermo.h_T)
    return np.asarray(free + radiation(emissivity, surface, room))


def passage_room_conductance(air: AirTable, network: Network, outer: Array) -> Array:
    """Return conductances from tube wall and shell inside to the room, film included [W/K].

    Parameters
    ----------
    outer : temperatures inside of tube wall and shell, shape (cell, port node, B) [K]
    """
    g, n, m = network.passages, TUBE_CELLS, network.machine
    room_T, room_p = np.asarray(m.room.temperature), np.asarray(m.room.pressure)
    tube_dx = g.tube_length / n
    shell_dx = np.abs(g.advance) / CHANNEL_CELLS
    parts = []
    for temperature, diameter, emissivity, wall, length in (
        (outer[:n], g.tube_outside, g.tube_emissivity, g.tube_wall_resistance, tube_dx),
        (outer[n:], g.shell_outside, g.shell_emissivity, g.shell_resistance, shell_dx),
    ):
        h = room_coefficient(
            air, np.asarray(diameter), np.asarray(emissivity), temperature, room_T, room_p
        )
        film = 1.0 / (h * np.pi * diameter)
        parts.append(length / (wall + film))
    return np.concatenate(parts)
