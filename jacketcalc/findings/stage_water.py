"""Condensation in a stage: every surface against the dew point of each instant it is bared at.

The pressure is that of the cylinder. A piston that has reached the head bares only the warm
end, so that the cold rings meet lower pressures than delivery's.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.findings.water import Nearest, Vapour, nearest


@dataclass(frozen=True, kw_only=True)
class StageTrack:
    """A stage's gas over a cycle, both strokes in order, and the surfaces it meets."""

    name: str
    """Name of the stage."""
    bared: Array
    """Length of barrel bared from the head end, shape (instant,) [m]."""
    pressure: Array
    """Gas pressure, shape (instant,) [Pa]."""
    ring_position: Array
    """Middle of each ring of the barrel from the head end, rising, shape (ring,) [m]."""
    ring_temperature: Array
    """Inner surface of each ring, shape (ring,) [K]."""
    head: float
    """Head [K]."""
    crown: float
    """Piston crown [K]."""


def stage_water(track: StageTrack, vapour: Vapour) -> Nearest:
    """Return the surface of a stage that comes nearest to its dew point."""
    point = vapour.point(track.pressure)
    place, coldest = coldest_bared(track)
    surfaces = [
        ("head", None, np.full_like(point, track.head)),
        ("crown", None, np.full_like(point, track.crown)),
        ("barrel", place, coldest),
    ]
    found = []
    for part, where, temperature in surfaces:
        k = int(np.argmin(temperature - point))
        found.append(
            Nearest(
                margin=float(temperature[k] - point[k]),
                temperature=float(temperature[k]),
                point=float(point[k]),
                pressure=float(track.pressure[k]),
                part=f"{part} of stage {track.name}",
                distance=None if where is None else float(where[k]),
                origin="" if where is None else "the head end",
                moment=moment_of(track.bared, k),
            )
        )
    return nearest(found)


def coldest_bared(track: StageTrack) -> tuple[Array, Array]:
    """Return place [m] and temperature [K] of the coldest bared barrel, each (instant,).

    Between the rings' middles the surface is straight; the end face is carried on.
    """
    z, T = track.ring_position, track.ring_temperature
    face = T[0] - z[0] * (T[1] - T[0]) / (z[1] - z[0])
    z, T = np.concatenate([[0.0], z]), np.concatenate([[face], T])
    so_far = np.minimum.accumulate(T)
    first = np.array([int(np.argmin(T[: k + 1])) for k in range(T.size)])
    last = np.maximum(np.searchsorted(z, track.bared, side="right") - 1, 0)
    edge = np.interp(track.bared, z, T)
    at_edge = edge < so_far[last]
    return np.where(at_edge, track.bared, z[first[last]]), np.where(at_edge, edge, so_far[last])


def moment_of(bared: Array, k: int) -> str:
    """Return what a stage does at an instant of the length of barrel that it bares [m]."""
    before = bared[k - 1]
    if bared[k] < before:
        return "as it compresses"
    return "as it draws in" if bared[k] > before else "at the turn of the piston"
