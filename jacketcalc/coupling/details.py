"""Profiles and diagrams of one running machine, for drawings, figures and the report."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jacketcalc.components.barrel_wall import WALL_NODES
from jacketcalc.components.designs import Array
from jacketcalc.components.passage_cells import CHANNEL_CELLS, TUBE_CELLS
from jacketcalc.coupling.finished import Finished


@dataclass(frozen=True, kw_only=True)
class PassageDetail:
    """Air along one passage and through one pulse."""

    stage: str
    """Stage whose jacket it feeds; empty for none."""
    position: Array
    """Axial position of the channel's faces from the head end, shape (face,) [m]."""
    temperature: Array
    """Mass-mean stagnation temperature there [K]."""
    pressure_peak: Array
    """Static pressure there at the strongest phase [Pa]."""
    mach_peak: Array
    """Mach number there at the strongest phase [-]."""
    wall_temperature: Array
    """Barrel outside under the channel cells, shape (cell,) [K]."""
    shell_temperature: Array
    """Shell inside over the channel cells, shape (cell,) [K]."""
    coefficient: Array
    """Mass-mean convective coefficient in the channel cells [W/(m2 K)]."""
    time: Array
    """Time from the reversal of the valve that starts the pulse, shape (instant,) [s]."""
    port_pressure: Array
    """Pressure at the valve's exhaust [Pa]."""
    port_temperature: Array
    """Temperature there [K]."""
    flow: Array
    """Mass flow [kg/s]."""


@dataclass(frozen=True, kw_only=True)
class StageDetail:
    """A stage's cycle and wall."""

    name: str
    volume: Array
    """Gas volume over the cycle, from the reversal to stroke 1, shape (instant,) [m3]."""
    pressure: Array
    """Gas pressure [Pa]."""
    temperature: Array
    """Gas temperature [K]."""
    wall_position: Array
    """Middle of the wall nodes from the head end, shape (node,) [m]."""
    wall_inside: Array
    """Inner surface [K]."""
    wall_outside: Array
    """Outer surface [K]."""
    head_temperature: float
    """Head [K]."""
    crown_temperature: float
    """Piston crown [K]."""


@dataclass(frozen=True, kw_only=True)
class Detail:
    """Everything drawn of one machine."""

    time: Array
    """Time from the reversal to stroke 1, shape (instant,) [s]."""
    position: Array
    """Piston position [m]."""
    drive_pressure: Array
    """Drive chambers, shape (2, instant) [Pa]."""
    stages: tuple[StageDetail, ...]
    passages: tuple[PassageDetail, ...]


def read_details(done: Finished) -> list[Detail]:
    """Return the details of every design that finished."""
    return [_detail(done, int(b)) for b in done.column]


def _detail(done: Finished, b: int) -> Detail:
    one, two = done.snapshot.records
    dt = np.concatenate([one.dt[:, b], two.dt[:, b]])
    x = np.cumsum(one.dx[:, b])
    back = x[-1] - np.cumsum(two.dx[:, b])
    p = np.concatenate([one.p[..., b], two.p[..., b]])
    return Detail(
        time=np.cumsum(dt),
        position=np.concatenate([x, back]),
        drive_pressure=p[:, :2].T,
        stages=tuple(_stage(done, i, b) for i in range(len(done.network.layout.chambers))),
        passages=tuple(_passage(done, i, b) for i in range(len(done.network.layout.nodes))),
    )


def _stage(done: Finished, i: int, b: int) -> StageDetail:
    net, snap = done.network, done.snapshot
    chamber = net.layout.chambers[i]
    one, two = snap.records
    length = float(np.asarray(net.machine.stages[i].barrel_length)[b])
    return StageDetail(
        name=net.machine.stages[i].name,
        volume=np.concatenate([one.volume[:, chamber, b], two.volume[:, chamber, b]]),
        pressure=np.concatenate([one.p[:, chamber, b], two.p[:, chamber, b]]),
        temperature=np.concatenate([one.T[:, chamber, b], two.T[:, chamber, b]]),
        wall_position=(np.arange(WALL_NODES) + 0.5) * length / WALL_NODES,
        wall_inside=snap.walls.inside[:, i, b].copy(),
        wall_outside=snap.walls.outside[:, i, b].copy(),
        head_temperature=float(snap.walls.head[i, b]),
        crown_temperature=float(snap.walls.crown[i, b]),
    )


def _passage(done: Finished, i: int, b: int) -> PassageDetail:
    net, snap = done.network, done.snapshot
    layout, g, n = net.layout, net.passages, TUBE_CELLS + 1
    profile, pulses = snap.march.profile, snap.pulses
    weight = pulses.mass[:, i, b] / pulses.mass[:, i, b].sum()
    strong = int(np.argmax(pulses.flow[:, i, b]))
    T, p = profile.T[n:, strong, i, b], profile.p[n:, strong, i, b]
    gas = done.iteration.air
    speed = pulses.flow[strong, i, b] / float(np.asarray(g.area)[i, b]) / gas.thermo(T, p).rho
    marks = np.arange(CHANNEL_CELLS + 1) / CHANNEL_CELLS
    stage = layout.node_stage[i]
    one, two = snap.records
    first, then = (two, one) if layout.nodes[i] == layout.ports[0] else (one, two)
    if layout.ports[0] == layout.ports[1]:
        first, then = one, two
    node = layout.nodes[i]
    present = stage >= 0 and float(np.asarray(g.present)[i, b]) > 0
    return PassageDetail(
        stage=net.machine.stages[stage].name if present else "",
        position=float(np.asarray(g.start)[i, b]) + marks * float(np.asarray(g.advance)[i, b]),
        temperature=(profile.T0[n:, :, i, b] * weight).sum(axis=1),
        pressure_peak=p.copy(),
        mach_peak=np.asarray(speed / gas.sound_speed(T, p)),
        wall_temperature=snap.passage_walls.barrel[:, i, b].copy(),
        shell_temperature=snap.passage_walls.outer[TUBE_CELLS:, i, b].copy(),
        coefficient=(snap.march.coefficient[:, :, i, b] * weight).sum(axis=1),
        time=np.cumsum(np.concatenate([first.dt[:, b], then.dt[:, b]])),
        port_pressure=np.concatenate([first.p[:, node, b], then.p[:, node, b]]),
        port_temperature=np.concatenate([first.T[:, node, b], then.T[:, node, b]]),
        flow=np.concatenate([first.exhaust[:, i, b], then.exhaust[:, i, b]]),
    )
