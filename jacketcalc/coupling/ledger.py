"""Every watt by name: the energy balance of the whole machine."""

from __future__ import annotations

import numpy as np

from jacketcalc.components.chambers import Network
from jacketcalc.components.designs import Array
from jacketcalc.components.passage_cells import TUBE_CELLS
from jacketcalc.components.record import Record
from jacketcalc.coupling.iteration import Iteration, Snapshot


def energy_ledger(iteration: Iteration, snap: Snapshot) -> dict[str, Array]:
    """Return the energy flows into the machine over a cycle, negative when out of it.

    Enthalpies count from air at room temperature and pressure. Heat to the room is taken
    from the wall balances, gas from the strokes, so that the sum closes only when strokes,
    passages and walls agree. Each value has shape (B,) [W].
    """
    net = iteration.network
    layout, m = net.layout, net.machine
    one, two = snap.records
    period = snap.pulses.period
    room_T, room_p = np.asarray(m.room.temperature), np.asarray(m.room.pressure)
    zero = iteration.air.thermo(room_T, room_p).h

    def carried(path: int) -> Array:
        flow = sum((r.enthalpy[:, path] * r.dt).sum(axis=0) for r in (one, two))
        mass = sum((r.flow[:, path] * r.dt).sum(axis=0) for r in (one, two))
        return np.asarray((flow - zero * mass) / period)

    out: dict[str, Array] = {"drive supply": carried(0)}
    drawn = np.zeros_like(period)
    delivered = np.zeros_like(period)
    for i, (line, after) in enumerate(zip(layout.lines, layout.after, strict=True)):
        if line is None:
            drawn = drawn + carried(2 + 2 * i)
        if after is None:
            delivered = delivered + carried(3 + 2 * i)
    out["stage supply"] = drawn
    out["receiver"] = -delivered
    port = sum((r.exhaust_enthalpy * r.dt[:, None]).sum(axis=(0, 1)) for r in (one, two))
    mass = sum((r.exhaust * r.dt[:, None]).sum(axis=(0, 1)) for r in (one, two))
    barrel, outer = _passage_heat(iteration, snap)
    vent = (port - zero * mass) / period + barrel.sum(axis=0) + outer.sum(axis=(0, 1))
    out["exhaust at vents"] = -vent
    out.update(_room(iteration, snap))
    return out


def drive_work(network: Network, records: tuple[Record, Record]) -> Array:
    """Work of the drive gas on the piston in a cycle, shape (B,) [J]."""
    work = np.zeros(network.designs)
    for fed, r in enumerate(records):
        vented = 1 - fed
        push = r.p[:, fed] * network.drive_area[fed] - r.p[:, vented] * network.drive_area[vented]
        work = work + (push * r.dx).sum(axis=0)
    return np.asarray(work)


def energy_gap(iteration: Iteration, snap: Snapshot) -> Array:
    """Return the sum of the ledger over the drive's power, shape (B,) [-]."""
    total = np.sum(list(energy_ledger(iteration, snap).values()), axis=0)
    work = drive_work(iteration.network, snap.records)
    return np.asarray(total * snap.pulses.period / np.maximum(work, 1e-300))


def _passage_heat(iteration: Iteration, snap: Snapshot) -> tuple[Array, Array]:
    """Heat into the exhaust from barrels (node, B) and from tube and shell (cell, node, B) [W].

    The barrel's part is what the wall balance gives, the outer part what tube and shell take
    from the room.
    """
    heat, load, walls = snap.heat, snap.load, snap.walls
    grid = iteration.grid
    from_barrel = np.zeros((heat.barrel.shape[1], snap.pulses.period.size))
    for stage, node in enumerate(grid.node_of_stage):
        if node >= 0:
            placed = grid.placement[:, :, node]
            conductance = np.einsum("ncb,cb->nb", placed, heat.barrel[:, node])
            pull = np.einsum("ncb,cb->nb", placed, heat.barrel_pull[:, node])
            from_barrel[node] += (conductance * walls.outside[:, stage] - pull).sum(axis=0)
    room = load.room
    joined = heat.outer * snap.outer_room / np.maximum(heat.outer + snap.outer_room, 1e-12)
    air = heat.outer_pull / np.maximum(heat.outer, 1e-12)
    return from_barrel, joined * (room - air)


def _room(iteration: Iteration, snap: Snapshot) -> dict[str, Array]:
    """Heat from the room into each outer surface, shape (B,) [W]."""
    net = iteration.network
    load, walls, m = snap.load, snap.walls, net.machine
    room = load.room
    barrel, outer = _passage_heat(iteration, snap)
    stages = len(net.layout.chambers)
    total = (load.outside * walls.outside - load.outside_pull).sum(axis=0)
    owner = iteration.grid.node_of_stage
    out: dict[str, Array] = {}
    for i in range(stages):
        to_room = total[i] - (barrel[owner[i]] if owner[i] >= 0 else 0.0)
        out[f"barrel of {m.stages[i].name} to room"] = -to_room
        out[f"head of {m.stages[i].name} to room"] = -(load.head_room * (walls.head - room))[i]
    out["tubes from room"] = outer[:TUBE_CELLS].sum(axis=(0, 1))
    out["shells from room"] = outer[TUBE_CELLS:].sum(axis=(0, 1))
    drive = snap.start.drive_wall[0]
    out["drive cylinder to room"] = -snap.drive_room * (drive - room)
    lines = np.zeros_like(room)
    for i, line in enumerate(net.layout.lines):
        record = m.stages[i].line
        if line is not None and record is not None:
            for r in snap.records:
                lines = lines + record.heat_loss * ((r.T[:, line] - room) * r.dt).sum(axis=0)
    if any(line is not None for line in net.layout.lines):
        out["interstage line to room"] = -lines / snap.pulses.period
    return out
