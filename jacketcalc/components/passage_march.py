"""The march along tube, helical channel and vent: one dimension, compressible, two-sided heat.

Pressure is marched upstream from the vent, where it is known (the room's, or sonic), and
stagnation temperature downstream from the port. A few sweeps over both settle a passage;
a warm start settles it in one. Arrays run (cell or face, row, node, design); rows are flow
levels or phases of a pulse.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from jacketcalc.components.designs import Array
from jacketcalc.components.passage_cells import CHANNEL_CELLS, TUBE_CELLS, Cells, Walls
from jacketcalc.components.passage_section import (
    CELL_NEWTON,
    END_NEWTON,
    Section,
    step_up,
    upstream_of,
)
from jacketcalc.flow import iso6358
from jacketcalc.gas.table import AirTable
from jacketcalc.passage_geometry import PassageGeometry

SWEEPS_COLD = 4


@dataclass(kw_only=True)
class Profile:
    """State of the air along the passage, faces first axis, kept for a warm start."""

    T0: Array
    """Stagnation temperature at faces [K]."""
    T: Array
    """Static temperature at faces [K]."""
    p: Array
    """Static pressure at faces [Pa]."""


@dataclass(frozen=True, kw_only=True)
class March:
    """What one march found; cells run tube first, in flow direction."""

    profile: Profile
    """Faces: TUBE_CELLS + CHANNEL_CELLS + 2 (the joint counts twice)."""
    port_pressure: Array
    """Stagnation pressure the flow needs at the port, shape (row, node, B) [Pa]."""
    barrel_conductance: Array
    """h A towards the barrel, shape (CHANNEL_CELLS, row, node, B) [W/K]."""
    outer_conductance: Array
    """h A towards tube wall or shell, shape (cells, row, node, B) [W/K]."""
    adiabatic_temperature: Array
    """Mean temperature each wall sees in a cell, recovery included, (cells, row, node, B) [K]."""
    coefficient: Array
    """Convective coefficient in the channel, shape (CHANNEL_CELLS, row, node, B) [W/(m2 K)]."""
    reynolds: Array
    """Reynolds number in the channel, shape (CHANNEL_CELLS, row, node, B) [-]."""
    mach_peak: Array
    """Highest Mach number anywhere, vent included, shape (row, node, B) [-]."""
    choked_inside: NDArray[np.bool_]
    """The tube's end chokes into the jacket, shape (row, node, B)."""
    choked_end: NDArray[np.bool_]
    """The channel's end chokes into the vent, shape (row, node, B)."""
    leak_share: Array
    """Share of the flow that short-cuts over the land tips, (CHANNEL_CELLS, row, node, B) [-]."""


def cold_profile(rows: tuple[int, ...], T0: Array, p: Array) -> Profile:
    """Return a uniform profile to start from."""
    faces = (TUBE_CELLS + CHANNEL_CELLS + 2, *rows)
    return Profile(
        T0=np.broadcast_to(T0, faces).copy(),
        T=np.broadcast_to(T0 - 1.0, faces).copy(),
        p=np.broadcast_to(p, faces).copy(),
    )


def mended(profile: Profile, T0: Array, p: Array) -> Profile:
    """Return the profile with rows that an iteration gone astray left unusable started anew."""
    sound = np.isfinite(profile.T0 + profile.T + profile.p).all(axis=0)
    if sound.all():
        return profile
    fresh = cold_profile(profile.T0.shape[1:], T0, p)
    return Profile(
        T0=np.where(sound, profile.T0, fresh.T0),
        T=np.where(sound, profile.T, fresh.T),
        p=np.where(sound, profile.p, fresh.p),
    )


def march(
    air: AirTable,
    geometry: PassageGeometry,
    closures: dict[str, NDArray[np.intp]],
    flow: Array,
    T0_port: Array,
    walls: Walls,
    room_pressure: Array,
    start: Profile,
    sweeps: int = 1,
) -> March:
    """Follow the air of every row through its passage.

    Parameters
    ----------
    air : property table
    geometry : stacked passage sizes, fields of shape (node, B)
    closures : for each closure name, the indices of the designs that use it
    flow : mass flow, shape (row, node, B), positive [kg/s]
    T0_port : stagnation temperature at the port, shape (row, node, B) [K]
    walls : wall temperatures
    room_pressure : shape (B,) [Pa]
    start : profile to start from; not changed
    sweeps : sweeps over temperature and pressure; one does from a warm start
    """
    g = geometry
    T0, T, p = start.T0.copy(), start.T.copy(), start.p.copy()
    for _ in range(sweeps):
        cells = Cells(air, g, closures, flow, T0, T, p, walls)
        cells.sweep_temperature(T0_port, _port_pressure(g, cells, T0, p), T0, p)
        port, mach, inside, end = _sweep_pressure(g, cells, flow, room_pressure, T0, T, p)
    return March(
        profile=Profile(T0=T0, T=T, p=p),
        port_pressure=port,
        barrel_conductance=cells.barrel,
        outer_conductance=cells.outer,
        adiabatic_temperature=cells.adiabatic_temperature,
        coefficient=cells.coefficient,
        reynolds=cells.reynolds,
        mach_peak=mach,
        choked_inside=inside,
        choked_end=end,
        leak_share=cells.leak,
    )


def _sweep_pressure(
    g: PassageGeometry,
    cells: Cells,
    flow: Array,
    room_pressure: Array,
    T0: Array,
    T: Array,
    p: Array,
) -> tuple[Array, Array, NDArray[np.bool_], NDArray[np.bool_]]:
    """Carry pressure upstream from the vent; fill `T` and `p`, return the port's pressure."""
    n = TUBE_CELLS
    last = T0.shape[0] - 1
    cp, R = cells.cp, cells.R
    silenced = iso6358.upstream_pressure(
        g.silencer_sonic, g.silencer_ratio, flow, room_pressure, T0[last]
    )
    vent = Section(flow / g.vent_area, T0[last], cp[-1], R[-1])
    p_vent = np.maximum(silenced, vent.sonic_pressure)
    mach = vent.mach(p_vent)
    channel_end = Section(cells.G[-1], T0[last], cp[-1], R[-1])
    share = np.asarray(g.area / g.vent_area)
    p[last], at_end = upstream_of(vent, p_vent, g.vent_loss, channel_end, share)
    T[last] = channel_end.temperature(p[last])
    mach = np.maximum(mach, channel_end.mach(p[last]))
    for cell in range(CHANNEL_CELLS - 1, -1, -1):
        at, near = n + cell, _newton(cell, CHANNEL_CELLS)
        step_up(at + 1, cells.G[cell], cells.drag[cell], cp[at], R[at], T0, T, p, near)
    joint = n + 1
    channel = Section(cells.G[0], T0[joint], cp[n], R[n])
    tube_end = Section(cells.tube_G[-1], T0[n], cp[n - 1], R[n - 1])
    share = np.asarray(g.tube_area / g.area)
    p[n], choked = upstream_of(channel, p[joint], g.entry_loss, tube_end, share)
    T[n] = tube_end.temperature(p[n])
    mach = np.maximum(mach, tube_end.mach(p[n]))
    for cell in range(n - 1, -1, -1):
        near, drag = _newton(cell, n), cells.tube_drag[cell]
        step_up(cell, cells.tube_G[cell], drag, cp[cell], R[cell], T0, T, p, near)
    return _port_pressure(g, cells, T0, p), mach, choked, at_end


def _newton(cell: int, cells: int) -> int:
    """Newton iterations in a cell of a part with so many."""
    return END_NEWTON if cell >= cells - 2 else CELL_NEWTON


def _port_pressure(g: PassageGeometry, cells: Cells, T0: Array, p: Array) -> Array:
    """Stagnation pressure before the tube's fitting, shape (row, node, B) [Pa]."""
    tube = Section(cells.tube_G[0], T0[0], cells.cp[0], cells.R[0])
    return np.asarray(tube.stagnation(p[0]) + g.tube_loss * tube.dynamic(p[0]))
