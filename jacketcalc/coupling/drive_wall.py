"""The wall of the drive cylinder, one temperature that finds its own balance."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jacketcalc.components.barrel_wall import BarrelGrid, BarrelTemperatures
from jacketcalc.components.chambers import Network
from jacketcalc.components.designs import Array
from jacketcalc.components.record import Record
from jacketcalc.coupling.surroundings import room_coefficient
from jacketcalc.gas.table import AirTable


@dataclass(frozen=True, kw_only=True)
class DriveWall:
    """Balance of the drive wall."""

    temperature: Array
    """Wall temperature, shape (B,) [K]."""
    gas: Array
    """Heat from the drive gas into the wall at that temperature, shape (B,) [W]."""
    friction: Array
    """Seal friction and end-stop impact, shape (B,) [W]."""


def drive_room_conductance(network: Network, air: AirTable, wall: Array) -> Array:
    """Conductance from the drive cylinder to the room, shape (B,) [W/K]."""
    m = network.machine
    outside = np.asarray(m.drive.bore + 2 * m.drive.wall_thickness)
    area = np.pi * outside * m.drive.stroke + np.pi / 2 * outside**2
    h = room_coefficient(
        air,
        outside,
        np.asarray(m.drive.material.emissivity),
        wall,
        np.asarray(m.room.temperature),
        np.asarray(m.room.pressure),
    )
    return np.asarray(h * area)


def drive_friction_work(network: Network, records: tuple[Record, Record]) -> Array:
    """Friction and impact work of the drive in a cycle, shape (B,) [J]."""
    drive, room = network.machine.drive, network.machine.room.pressure
    work = sum((r.impact for r in records), np.zeros(network.designs))
    for fed, record in enumerate(records):
        push = (record.p[:, fed] - room) * network.drive_area[fed] * drive.friction_share
        work = work + ((push + drive.friction) * record.dx).sum(axis=0)
    return np.asarray(work)


def solve_drive_wall(
    network: Network,
    grid: BarrelGrid,
    records: tuple[Record, Record],
    barrels: BarrelTemperatures,
    period: Array,
    to_room: Array,
) -> DriveWall:
    """Balance gas, friction, room and the stages' mounts."""
    room = np.asarray(network.machine.room.temperature)
    gas, pull = np.zeros((2, network.designs))
    for r in records:
        each = r.conductance[:, :2] * r.dt[:, None]
        gas = gas + each.sum(axis=(0, 1)) / period
        pull = pull + (each * r.T[:, :2]).sum(axis=(0, 1)) / period
    friction = drive_friction_work(network, records) / period
    mount, middle = mount_side(grid, barrels)
    top = pull + friction + to_room * room + (mount * middle).sum(axis=0)
    wall = top / (gas + to_room + mount.sum(axis=0))
    return DriveWall(temperature=wall, gas=pull - gas * wall, friction=friction)


def mount_side(grid: BarrelGrid, barrels: BarrelTemperatures) -> tuple[Array, Array]:
    """Conductance from the last node's mid-wall to the drive, and its temperature there."""
    mount = 1.0 / (1.0 / np.maximum(grid.mount, 1e-9) + 0.5 / grid.axial)
    return mount, barrels.middle[-1]
