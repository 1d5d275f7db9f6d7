"""What the stages' walls feel over a cycle: gas, seals, the jacket's air and the room."""

from __future__ import annotations

import numpy as np

from jacketcalc.components.barrel_wall import WALL_NODES, BarrelGrid, WallLoad
from jacketcalc.components.chambers import Network
from jacketcalc.components.designs import Array
from jacketcalc.components.pulses import PassageHeat
from jacketcalc.components.record import Record
from jacketcalc.correlations import gap_radiation
from jacketcalc.coupling.surroundings import room_coefficient
from jacketcalc.coupling.unknowns import Unknowns
from jacketcalc.gas.table import AirTable

SKIN_PASSES = 3
"""Passes over the skin temperature of a shell without flow; its film hardly depends on it."""


def wall_load(
    air: AirTable,
    network: Network,
    grid: BarrelGrid,
    u: Unknowns,
    records: tuple[Record, Record],
    period: Array,
    heat: PassageHeat,
) -> WallLoad:
    """Return the cycle means that the wall balances answer to.

    Parameters
    ----------
    u : surfaces to take the outside films at
    records : strokes 1 and 2
    period : cycle time, shape (B,) [s]
    heat : what the passages' air does to the barrels
    """
    room_T = np.asarray(network.machine.room.temperature)
    room_p = np.asarray(network.machine.room.pressure)
    gas, pull = gas_side(network, grid, records, period)
    outside, outside_pull = jacket_side(grid, heat, u.outside.shape)
    emissivity = np.stack([s.material.emissivity for s in network.machine.stages])

    def film(surface: Array) -> Array:
        return room_coefficient(air, grid.outside_diameter, emissivity, surface, room_T, room_p)

    covered = grid.covered * network.heat + grid.idle
    bare = film(u.outside) * (1.0 - covered)
    free = (bare + idle_film(air, network, grid, u.outside) * grid.idle) * grid.area_out
    return WallLoad(
        gas=gas,
        gas_pull=pull,
        outside=outside + free,
        outside_pull=outside_pull + free * room_T,
        seal=seal_work(network, records) / period,
        head_room=film(u.head) * grid.head_outside,
        room=room_T,
        drive_wall=u.drive_wall[0],
    )


def gas_side(
    network: Network, grid: BarrelGrid, records: tuple[Record, Record], period: Array
) -> tuple[Array, Array]:
    """Cycle means of h A and of h A T with the phase lead, nodes then head then crown."""
    stages = len(network.layout.chambers)
    c = slice(network.layout.chambers[0], network.layout.chambers[0] + stages)
    gas, pull = np.zeros((2, WALL_NODES + 2, stages, network.designs))
    for record, bared in zip(records, grid.exposed, strict=True):
        total = bared.sum(axis=1) + 2 * grid.head_area
        h = record.stage_coefficient * record.dt[:, None]
        q = h * record.T[:, c] + record.stage_lead / total
        gas[:WALL_NODES] += np.einsum("insb,isb->nsb", bared, h)
        pull[:WALL_NODES] += np.einsum("insb,isb->nsb", bared, q)
        gas[WALL_NODES:] += grid.head_area * h.sum(axis=0)
        pull[WALL_NODES:] += grid.head_area * q.sum(axis=0)
    return gas / period, pull / period


def jacket_side(grid: BarrelGrid, heat: PassageHeat, shape: tuple[int, ...]) -> tuple[Array, Array]:
    """Cycle means of h A and of h A T from the passage's air to the nodes under it."""
    outside, pull = np.zeros(shape), np.zeros(shape)
    for stage, node in enumerate(grid.node_of_stage):
        if node >= 0:
            placed = grid.placement[:, :, node]
            outside[:, stage] = np.einsum("ncb,cb->nb", placed, heat.barrel[:, node])
            pull[:, stage] = np.einsum("ncb,cb->nb", placed, heat.barrel_pull[:, node])
    return outside, pull


def idle_film(air: AirTable, network: Network, grid: BarrelGrid, surface: Array) -> Array:
    """Coefficient from a barrel to the room through the gap of an unfed jacket and its shell.

    In series 1 / (still air + radiation), shell wall and 1 / film of the room, all on the
    barrel's outer surface, shape (node, stage, B) [W/(m2 K)].
    """
    still_air, gap_spread, wall, spread, emissivity = (
        np.stack([np.asarray(getattr(s, name)) for s in network.idle_shells])
        for name in ("still_air", "gap_spread", "shell_resistance", "spread", "emissivity")
    )
    barrel = np.stack([s.material.emissivity for s in network.machine.stages])
    room_T = np.asarray(network.machine.room.temperature)
    room_p = np.asarray(network.machine.room.pressure)
    diameter = grid.outside_diameter * spread
    share = 0.5 * np.ones_like(surface)
    shell = room_T + share * (surface - room_T)
    for _ in range(SKIN_PASSES):
        radiant = gap_radiation(barrel, emissivity, 1.0 / gap_spread, surface, shell)
        gap = 1.0 / (still_air + radiant)
        skin = room_T + share * (surface - room_T)
        h = spread * room_coefficient(air, diameter, emissivity, skin, room_T, room_p)
        share = 1.0 / (1.0 + h * (gap + wall))
        shell = surface - h * share * gap * (surface - room_T)
    return np.asarray(h * share)


def seal_work(network: Network, records: tuple[Record, Record]) -> Array:
    """Friction work of each stage's seal in a cycle, shape (stage, B) [J]."""
    room = np.asarray(network.machine.room.pressure)
    work = np.zeros((len(network.layout.chambers), network.designs))
    for record in records:
        for i, chamber in enumerate(network.layout.chambers):
            push = (record.p[:, chamber] - room) * record.dx
            rub = network.machine.stages[i].seal_friction * network.stage_area[i]
            work[i] += rub * push.sum(axis=0)
    return work
