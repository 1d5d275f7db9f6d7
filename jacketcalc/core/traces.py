"""Hands over the arrays that `findings` reads water out of."""

from __future__ import annotations

import numpy as np

from jacketcalc.core.solution import Solution
from jacketcalc.findings.passage_water import PassagePart, PortTrack, exhaust_water, wall_water
from jacketcalc.findings.stage_water import StageTrack, stage_water
from jacketcalc.findings.supply_water import supply_vapour
from jacketcalc.findings.water import Water


def read_water(s: Solution) -> Water:
    """Return what of a running machine comes nearest to water."""
    vapour = supply_vapour(s.machine.supply)
    nodes = range(len(s.numbering.nodes))
    parts = [part for node in nodes for part in passage_parts(s, node)]
    dry = [_is_dry(s, i) for i in range(len(s.machine.stages))]
    return Water(
        passage_wall=wall_water(parts, vapour),
        exhaust=exhaust_water(parts, [port_track(s, node) for node in nodes], vapour),
        stages=tuple(
            None if none else stage_water(stage_track(s, i), vapour) for i, none in enumerate(dry)
        ),
    )


def _is_dry(s: Solution, i: int) -> bool:
    """Whether a stage's gas comes from a source, which is taken dry, and not from the supply."""
    return s.machine.feed(s.machine.stages[i]) is s.machine.source


def stage_track(s: Solution, i: int) -> StageTrack:
    """Return the track of a stage and the surfaces its gas meets."""
    stage, chamber, barrel = s.machine.stages[i], s.numbering.stages[i], s.found["barrel"][i]
    return StageTrack(
        name=stage.name,
        bared=s.whole["volume"][:, chamber] / float(s.record["stage"][i]["area"]),
        pressure=s.whole["p"][:, chamber],
        ring_position=(np.arange(s.rings) + 0.5) * stage.barrel_length / s.rings,
        ring_temperature=barrel["inside"][: s.rings],
        head=float(barrel["head"]),
        crown=float(barrel["crown"]),
    )


def passage_parts(s: Solution, node: int) -> list[PassagePart]:
    """Return tube and channel of an exhaust node, those there are."""
    g, around, n, cells = s.record["passage"][node], s.found["around"][node], s.tube, s.cells
    rows = s.found["march"][node][: int(s.found["pulses"][node]["phases"])]
    p, T = rows["p"].T, rows["T"].T
    parts = []
    length = float(g["tube_length"])
    if length > 0.0:
        parts.append(
            PassagePart(
                place=f"tube of {port_name(s, node)}",
                distance=np.arange(n + 1) / n * length,
                origin="its port",
                pressure=p[: n + 1],
                air=T[: n + 1],
                walls={"wall": around["outer"][:n]},
            )
        )
    if s.jacketed(node):
        marks = np.arange(cells + 1) / cells
        stage = s.machine.stages[s.numbering.node_stage[node]]
        faces = slice(n + 1, n + cells + 2)
        parts.append(
            PassagePart(
                place=f"jacket of stage {stage.name}",
                distance=float(g["start"]) + marks * float(g["advance"]),
                origin="the head end",
                pressure=p[faces],
                air=T[faces],
                walls={
                    "shell": around["outer"][n : n + cells],
                    "barrel": around["barrel"][:cells],
                },
            )
        )
    return parts


def port_track(s: Solution, node: int) -> PortTrack:
    """Return the exhaust of a node over a cycle."""
    volume = s.numbering.nodes[node]
    return PortTrack(
        place=port_name(s, node),
        pressure=s.whole["p"][:, volume],
        temperature=s.whole["T"][:, volume],
        flow=s.whole["exhaust"][:, node],
    )


def port_name(s: Solution, node: int) -> str:
    """Return the port, or ports, that a node belongs to."""
    return "both ports" if len(s.numbering.nodes) == 1 else f"port {node + 1}"
