"""Frost in the exhaust: walls and air against the frost point of their own pressure.

A passage that throttles stands above ambient pressure while it flows, where the same air
frosts at a higher temperature. Every cell is held against every phase of the pulse.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.findings.water import Nearest, Vapour, nearest

FLOWING = 0.01
"""Exhaust counts as flowing from this share of its peak on [-]."""


@dataclass(frozen=True, kw_only=True)
class PassagePart:
    """A tube, or the channel of a jacket, through the phases of a pulse."""

    place: str
    """What it is, such as `tube of port 1`, or `jacket of stage second`."""
    distance: Array
    """Where its faces lie, from `origin`, shape (face,) [m]."""
    origin: str
    """Where the distance counts from, such as `its port`, or `the head end`."""
    pressure: Array
    """Static pressure at its faces, shape (face, phase) [Pa]."""
    air: Array
    """Static temperature of the air at its faces, shape (face, phase) [K]."""
    walls: dict[str, Array]
    """Surface of each wall in the cells between its faces, by the wall's name, (cell,) [K]."""


@dataclass(frozen=True, kw_only=True)
class PortTrack:
    """The exhaust at the valve over a cycle."""

    place: str
    """Which port, such as `port 1`."""
    pressure: Array
    """Pressure, shape (instant,) [Pa]."""
    temperature: Array
    """Temperature, shape (instant,) [K]."""
    flow: Array
    """Mass flow, shape (instant,) [kg/s]."""


def wall_water(parts: list[PassagePart], vapour: Vapour) -> Nearest | None:
    """Return the passage wall that comes nearest to frost; None where there is no wall."""
    found = [one for part in parts for one in _walls(part, vapour)]
    return nearest(found) if found else None


def exhaust_water(parts: list[PassagePart], ports: list[PortTrack], vapour: Vapour) -> Nearest:
    """Return the exhaust air that comes nearest to frost, at the valve or on its way."""
    found = [_at_port(port, vapour) for port in ports]
    for part in parts:
        found.append(_coldest(part, "air in the ", part.distance, part.air, part.pressure, vapour))
    return nearest(found)


def _walls(part: PassagePart, vapour: Vapour) -> Iterator[Nearest]:
    middle = 0.5 * (part.distance[:-1] + part.distance[1:])
    pressure = 0.5 * (part.pressure[:-1] + part.pressure[1:])
    for name, surface in part.walls.items():
        wall = np.broadcast_to(surface[:, None], pressure.shape)
        yield _coldest(part, f"{name} of the ", middle, wall, pressure, vapour)


def _coldest(
    part: PassagePart, of: str, distance: Array, T: Array, p: Array, vapour: Vapour
) -> Nearest:
    """Return the least margin over places and phases of one part."""
    point = vapour.point(p)
    i, k = np.unravel_index(int(np.argmin(T - point)), point.shape)
    return Nearest(
        margin=float(T[i, k] - point[i, k]),
        temperature=float(T[i, k]),
        point=float(point[i, k]),
        pressure=float(p[i, k]),
        part=f"{of}{part.place}",
        distance=float(distance[i]),
        origin=part.origin,
        moment=f"in phase {k + 1} of {point.shape[1]} of its pulses",
    )


def _at_port(port: PortTrack, vapour: Vapour) -> Nearest:
    """Return the least margin of the air that flows out of a port."""
    flows = port.flow > FLOWING * port.flow.max()
    point = vapour.point(port.pressure)
    k = int(np.argmin(np.where(flows, port.temperature - point, np.inf)))
    return Nearest(
        margin=float(port.temperature[k] - point[k]),
        temperature=float(port.temperature[k]),
        point=float(point[k]),
        pressure=float(port.pressure[k]),
        part=f"exhaust at {port.place}",
        distance=None,
        origin="",
        moment="as it leaves the valve",
    )
