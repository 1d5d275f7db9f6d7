"""What a thermometer reads on the outside of a stage: its barrel, or the shell that covers it."""

from __future__ import annotations

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.core.outcome import SurfaceTemperature
from jacketcalc.core.solution import Solution
from jacketcalc.correlations.outside import radiation
from jacketcalc.readings import PLACES

_PASSES = 40
"""Passes over radiation across the gap of an unfed jacket [-]."""


def read_surface(s: Solution, i: int) -> SurfaceTemperature:
    """Return the temperatures of a stage's surface at its head, middle and flange."""
    length, outside = s.machine.stages[i].barrel_length, s.found["barrel"][i]["outside"][: s.rings]
    middles = (np.arange(s.rings) + 0.5) * length / s.rings
    found = {}
    for place, share in PLACES.items():
        z = share * length
        covered = _under_fed(s, i, z)
        if covered is None:
            covered = _under_idle(s, i, z, outside)
        found[place] = float(np.interp(z, middles, outside)) if covered is None else covered
    return SurfaceTemperature(**found)


def _under_fed(s: Solution, i: int, z: float) -> float | None:
    """Return the outside of a fed jacket's shell, None where none lies over a place [K]."""
    node = s.node_of(i)
    if node < 0 or not s.jacketed(node):
        return None
    g, n, cells = s.record["passage"][node], s.tube, s.cells
    along = (z - float(g["start"])) / float(g["advance"])
    if not 0.0 <= along <= 1.0:
        return None
    inside = s.found["around"][node]["outer"][n : n + cells]
    loss = s.found["outer_ambient"][node][n : n + cells] * (inside - s.machine.ambient.temperature)
    wall = float(g["shell_resistance"]) / (abs(float(g["advance"])) / cells)
    return float(np.interp(along, (np.arange(cells) + 0.5) / cells, inside - loss * wall))


def _under_idle(s: Solution, i: int, z: float, outside: Array) -> float | None:
    """Return the outside of an unfed jacket's shell, None where none lies over a place [K]."""
    stage, ring = s.record["stage"][i], s.machine.stages[i].barrel_length / s.rings
    start = float(stage["idle_start"])
    end = start + float(stage["idle_length"])
    edges = np.arange(s.rings + 1) * ring
    whole = np.flatnonzero((edges[:-1] >= start) & (edges[1:] <= end))
    if not start <= z <= end or not len(whole):
        return None
    k = int(whole[np.argmin(np.abs(edges[whole] + ring / 2 - z))])
    surface, ambient = float(outside[k]), s.machine.ambient.temperature
    area = np.pi * (float(stage["bore"]) + 2.0 * float(stage["wall_thickness"])) * ring
    flux = float(s.found["barrel"][i]["air"][k]) / area * (surface - ambient)
    shell, still, exchange = surface, float(stage["idle_still"]), float(stage["idle_exchange"])
    for _ in range(_PASSES):
        shell = surface - flux / (still + float(radiation(exchange, surface, shell)))
    return shell - flux * float(stage["idle_solid"])
