"""Heat between the outer surfaces and the room."""

from __future__ import annotations

import numpy as np

from jacketcalc.components.designs import Array
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
