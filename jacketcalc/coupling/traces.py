"""Takes the arrays that `findings` reads out of a solution, one design at a time."""

from __future__ import annotations

import numpy as np

from jacketcalc.components.barrel_wall import WALL_NODES
from jacketcalc.components.designs import Array
from jacketcalc.components.passage_cells import CHANNEL_CELLS, TUBE_CELLS
from jacketcalc.coupling.finished import Finished
from jacketcalc.findings.passage_water import (
    PassagePart,
    PortTrack,
    exhaust_water,
    wall_water,
)
from jacketcalc.findings.stage_water import StageTrack, stage_water
from jacketcalc.findings.water import Vapour, Water


def read_water(done: Finished, b: int) -> Water:
    """Return what of a running design comes nearest to water."""
    supply, layout = done.network.machine.supply, done.network.layout
    vapour = Vapour(dew_point=_of(supply.pressure_dew_point, b), pressure=_of(supply.pressure, b))
    nodes = range(len(layout.nodes))
    parts = [part for i in nodes for part in passage_parts(done, i, b)]
    return Water(
        passage_wall=wall_water(parts, vapour),
        exhaust=exhaust_water(parts, [port_track(done, i, b) for i in nodes], vapour),
        stages=tuple(
            stage_water(stage_track(done, i, b), vapour) for i in range(len(layout.chambers))
        ),
    )


def stage_track(done: Finished, i: int, b: int) -> StageTrack:
    """Return the track of a stage and the surfaces its gas meets."""
    net, walls = done.network, done.snapshot.walls
    stage, chamber = net.machine.stages[i], net.layout.chambers[i]
    volume, pressure = (
        np.concatenate([getattr(record, name)[:, chamber, b] for record in done.snapshot.records])
        for name in ("volume", "p")
    )
    return StageTrack(
        name=stage.name,
        bared=volume / _of(net.stage_area[i], b),
        pressure=pressure,
        ring_position=(np.arange(WALL_NODES) + 0.5) * _of(stage.barrel_length, b) / WALL_NODES,
        ring_temperature=walls.inside[:, i, b],
        head=float(walls.head[i, b]),
        crown=float(walls.crown[i, b]),
    )


def passage_parts(done: Finished, i: int, b: int) -> list[PassagePart]:
    """Return tube and channel of an exhaust node, those there are."""
    net, snap, g, n = done.network, done.snapshot, done.network.passages, TUBE_CELLS
    profile, around = snap.march.profile, snap.passage_walls
    p, T = profile.p[:, :, i, b], profile.T[:, :, i, b]
    parts = []
    length = _of(g.tube_length, i, b)
    if length > 0.0:
        parts.append(
            PassagePart(
                place=f"tube of {port_name(done, i)}",
                distance=np.arange(n + 1) / n * length,
                origin="its port",
                pressure=p[: n + 1],
                air=T[: n + 1],
                walls={"wall": around.outer[:n, i, b]},
            )
        )
    if _of(g.present, i, b) > 0.0:
        marks = np.arange(CHANNEL_CELLS + 1) / CHANNEL_CELLS
        stage = net.machine.stages[net.layout.node_stage[i]]
        parts.append(
            PassagePart(
                place=f"jacket of stage {stage.name}",
                distance=_of(g.start, i, b) + marks * _of(g.advance, i, b),
                origin="the head end",
                pressure=p[n + 1 :],
                air=T[n + 1 :],
                walls={"shell": around.outer[n:, i, b], "barrel": around.barrel[:, i, b]},
            )
        )
    return parts


def port_track(done: Finished, i: int, b: int) -> PortTrack:
    """Return the exhaust of a node over a cycle."""
    node, records = done.network.layout.nodes[i], done.snapshot.records
    return PortTrack(
        place=port_name(done, i),
        pressure=np.concatenate([r.p[:, node, b] for r in records]),
        temperature=np.concatenate([r.T[:, node, b] for r in records]),
        flow=np.concatenate([r.exhaust[:, i, b] for r in records]),
    )


def port_name(done: Finished, i: int) -> str:
    """Return the port, or ports, that a node belongs to."""
    return "both ports" if len(done.network.layout.nodes) == 1 else f"port {i + 1}"


def _of(value: Array | float, *place: int) -> float:
    """Return one design's number out of an array over designs."""
    return float(np.asarray(value)[place])
