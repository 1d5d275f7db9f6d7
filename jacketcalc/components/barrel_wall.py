"""Wall of the stages: axial nodes, radial and axial conduction, head, crown and mount.

The gas side enters as cycle means of h A and h A T over the time each node is exposed, the
outside as the jacket's means or the room. Radial resistances stand in series with both, so
one temperature a node is left and the balance is tridiagonal along the barrel. Arrays run
(node, stage, B), nodes from the head end.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from jacketcalc.components.chambers import Network
from jacketcalc.components.designs import Array
from jacketcalc.components.passage_cells import CHANNEL_CELLS

WALL_NODES = 28
"""Axial nodes of a barrel; extremes are carried on to its ends (second order)."""
PISTON_FILM = 260.0
"""Conductance across piston and barrel, 0.1 mm of air: judgement [W/(m2 K)]."""
SEAL_HEAT_TO_BARREL = 0.5
"""Share of seal friction heat that enters the barrel, the rest the piston: judgement [-]."""


@dataclass(frozen=True, kw_only=True)
class BarrelGrid:
    """Geometry of the walls; fields (node, stage, B) unless said."""

    area_in: Array
    """Inner surface of each node [m2]."""
    area_out: Array
    """Outer surface of each node [m2]."""
    resistance_in: Array
    """Inner surface to mid-wall [K/W]."""
    resistance_out: Array
    """Mid-wall to outer surface [K/W]."""
    axial: Array
    """Conductance between neighbouring nodes, shape (stage, B) [W/K]."""
    covered: Array
    """Share of each node's outside under its jacket's winding [-]."""
    idle: Array
    """Share of each node's outside under the shell of a jacket that no exhaust feeds [-]."""
    placement: Array
    """Share of each channel cell on each node, shape (node, CHANNEL_CELLS, port node, B) [-]."""
    node_of_stage: tuple[int, ...]
    """Exhaust node whose passage cools each stage, or -1."""
    exposed: tuple[Array, Array]
    """Bared area of each node at the instants of stroke 1 and 2, (instant, node, stage, B) [m2]."""
    skirt: Array
    """Conductance between piston skirt and each node, time mean [W/K]."""
    rubbed: Array
    """Share of the seal's travel over each node [-]."""
    head_area: Array
    """Gas side of head, and of crown, shape (stage, B) [m2]."""
    head_outside: Array
    """Outside of the head, shape (stage, B) [m2]."""
    outside_diameter: Array
    """Barrel outside, shape (stage, B) [m]."""
    mount: Array
    """Conductance of the open end to the drive body, shape (stage, B) [W/K]."""


@dataclass(frozen=True, kw_only=True)
class WallLoad:
    """Cycle means that act on the walls."""

    gas: Array
    """Mean h A of the gas, nodes then head then crown, shape (node + 2, stage, B) [W/K]."""
    gas_pull: Array
    """Mean of h A T and phase-lead heat there [W]."""
    outside: Array
    """Conductance from the outer surface, shape (node, stage, B) [W/K]."""
    outside_pull: Array
    """Conductance x temperature outside [W]."""
    seal: Array
    """Friction heat of each stage's seal, shape (stage, B) [W]."""
    head_room: Array
    """Head to room, shape (stage, B) [W/K]."""
    room: Array
    """Room temperature, shape (B,) [K]."""
    drive_wall: Array
    """Drive body temperature, shape (B,) [K]."""


@dataclass(frozen=True, kw_only=True)
class BarrelTemperatures:
    """Wall temperatures of the stages."""

    inside: Array
    """Inner surface, shape (node, stage, B) [K]."""
    middle: Array
    """Mid-wall, shape (node, stage, B) [K]."""
    outside: Array
    """Outer surface, shape (node, stage, B) [K]."""
    head: Array
    """Head, shape (stage, B) [K]."""
    crown: Array
    """Piston crown, shape (stage, B) [K]."""


def build_grid(network: Network, shares: Array) -> BarrelGrid:
    """Lay nodes along the barrels.

    Parameters
    ----------
    network : sizes
    shares : share of the stroke covered at each instant of a stroke, shape (instant,) [-]
    """
    m, layout = network.machine, network.layout
    stages = m.stages
    length = np.stack([s.barrel_length for s in stages])
    bore = np.stack([s.bore for s in stages])
    wall = np.stack([s.wall_thickness for s in stages])
    k = np.stack([s.material.conductivity for s in stages])
    outside, middle = bore + 2 * wall, bore + wall
    dz = length / WALL_NODES
    edge = np.arange(WALL_NODES + 1)[:, None, None] * dz
    stroke = np.asarray(m.drive.stroke)
    clear = network.clearance_length
    exposed = []
    for number in (1, 2):
        towards = np.array([c == number for c in layout.compresses_on])[:, None]
        x = shares[:, None, None] * stroke
        open_length = clear + np.where(towards, stroke - x, x)
        exposed.append(np.pi * bore * _overlap(edge, 0.0 * open_length, open_length))
    piston = np.stack([s.piston_length for s in stages])
    covers = np.zeros((WALL_NODES, *bore.shape))
    for share in (np.arange(9) + 0.5) / 9:
        face = clear + share * stroke
        covers += _overlap(edge, face[None], face[None] + piston[None])[0] / 9
    rubbed = _overlap(edge, clear[None], (clear + stroke)[None])[0]
    shape = (WALL_NODES, *bore.shape)
    area = np.pi / 4 * bore**2
    placement, covered, node_of_stage = _placement(network, edge, dz)
    head = np.stack([s.head_thickness for s in stages])
    return BarrelGrid(
        area_in=np.broadcast_to(np.pi * bore * dz, shape),
        area_out=np.broadcast_to(np.pi * outside * dz, shape),
        resistance_in=np.broadcast_to(np.log(middle / bore) / (2 * np.pi * k * dz), shape),
        resistance_out=np.broadcast_to(np.log(outside / middle) / (2 * np.pi * k * dz), shape),
        axial=k * np.pi / 4 * (outside**2 - bore**2) / dz,
        covered=covered,
        idle=_idle_cover(network, edge, dz),
        placement=placement,
        node_of_stage=node_of_stage,
        exposed=(exposed[0], exposed[1]),
        skirt=PISTON_FILM * np.pi * bore * covers,
        rubbed=rubbed / rubbed.sum(axis=0),
        head_area=area,
        head_outside=np.pi / 4 * outside**2 + np.pi * outside * head,
        outside_diameter=outside,
        mount=np.stack([s.mount_conductance for s in stages]),
    )


def _overlap(edge: Array, start: Array, end: Array) -> Array:
    """Length of each node between start and end; leading axis of those kept."""
    low = np.maximum(edge[None, :-1], start[:, None])
    high = np.minimum(edge[None, 1:], end[:, None])
    return np.asarray(np.maximum(high - low, 0.0))


def _placement(network: Network, edge: Array, dz: Array) -> tuple[Array, Array, tuple[int, ...]]:
    """Place the channel cells of each passage on the nodes of the barrel it winds round."""
    layout, g = network.layout, network.passages
    nodes, stages = len(layout.nodes), len(layout.chambers)
    placement = np.zeros((WALL_NODES, CHANNEL_CELLS, nodes, network.designs))
    covered = np.zeros((WALL_NODES, stages, network.designs))
    owner = [-1] * stages
    marks = np.arange(CHANNEL_CELLS + 1)[:, None] / CHANNEL_CELLS
    for node, stage in enumerate(layout.node_stage):
        if stage < 0:
            continue
        owner[stage] = node
        at = np.asarray(g.start)[node] + marks * np.asarray(g.advance)[node]
        low, high = np.minimum(at[:-1], at[1:]), np.maximum(at[:-1], at[1:])
        over = np.minimum(edge[1:, None, stage], high) - np.maximum(edge[:-1, None, stage], low)
        over = np.maximum(over, 0.0)
        placement[:, :, node] = over / np.maximum(high - low, 1e-12)
        covered[:, stage] = over.sum(axis=1) / dz[stage] * np.asarray(g.present)[node]
    return placement, covered, tuple(owner)


def _idle_cover(network: Network, edge: Array, dz: Array) -> Array:
    """Share of each node under an unfed jacket's winding, shape (node, stage, B) [-]."""
    shells = network.idle_shells
    start = np.stack([np.asarray(s.start) for s in shells])
    end = start + np.stack([np.asarray(s.length) for s in shells])
    return np.asarray(_overlap(edge, start[None], end[None])[0] / dz)


def gas_side_temperature(grid: BarrelGrid, walls: BarrelTemperatures, stroke: int) -> Array:
    """Mean wall temperature the gas sees at each instant, shape (instant, stage, B) [K]."""
    bared = grid.exposed[stroke - 1]
    total = bared.sum(axis=1) + 2 * grid.head_area
    ends = grid.head_area * (walls.head + walls.crown)
    return np.asarray((np.einsum("insb,nsb->isb", bared, walls.inside) + ends) / total)


def solve_walls(grid: BarrelGrid, load: WallLoad) -> BarrelTemperatures:
    """Balance every node, head and crown for given gas and outside.

    The skirt ties the crown to all nodes: the barrel is solved for a crown of 0 K, and for
    what each kelvin of the crown adds, and the crown's own balance then gives the crown.
    """
    n = WALL_NODES
    seal = SEAL_HEAT_TO_BARREL * load.seal * grid.rubbed
    alone = _solve_barrel(grid, load, load.gas_pull[:n] + seal)
    none = replace(
        load,
        gas_pull=np.zeros_like(load.gas_pull),
        outside_pull=np.zeros_like(load.outside_pull),
        room=np.zeros_like(load.room),
        drive_wall=np.zeros_like(load.drive_wall),
    )
    each = _solve_barrel(grid, none, grid.skirt)
    heat = load.gas_pull[n + 1] + (1.0 - SEAL_HEAT_TO_BARREL) * load.seal
    heat = heat + (grid.skirt * alone.inside).sum(axis=0)
    crown = heat / (load.gas[n + 1] + (grid.skirt * (1.0 - each.inside)).sum(axis=0))
    return BarrelTemperatures(
        inside=alone.inside + crown * each.inside,
        middle=alone.middle + crown * each.middle,
        outside=alone.outside + crown * each.outside,
        head=alone.head + crown * each.head,
        crown=crown,
    )


def _solve_barrel(grid: BarrelGrid, load: WallLoad, g: Array) -> BarrelTemperatures:
    """Balance nodes and head.

    Parameters
    ----------
    g : heat into each node from inside, were it at 0 K, shape (node, stage, B) [W]
    """
    n = WALL_NODES
    a = load.gas[:n] + grid.skirt
    to_mid = 1.0 + a * grid.resistance_in
    to_out = 1.0 + load.outside * grid.resistance_out
    diagonal = a / to_mid + load.outside / to_out
    right = g / to_mid + load.outside_pull / to_out
    end = 2 * grid.axial
    head_diagonal = load.gas[n] + load.head_room + end
    head_right = load.gas_pull[n] + load.head_room * load.room
    mount = 1.0 / (1.0 / np.maximum(grid.mount, 1e-9) + 1.0 / end)
    middle, head = _tridiagonal(
        diagonal, right, grid.axial, end, head_diagonal, head_right, mount, load.drive_wall
    )
    return BarrelTemperatures(
        inside=(g * grid.resistance_in + middle) / to_mid,
        middle=middle,
        outside=(load.outside_pull * grid.resistance_out + middle) / to_out,
        head=head,
        crown=np.zeros_like(head),
    )


def _tridiagonal(
    diagonal: Array,
    right: Array,
    axial: Array,
    end: Array,
    head_diagonal: Array,
    head_right: Array,
    mount: Array,
    drive_wall: Array,
) -> tuple[Array, Array]:
    """Thomas' algorithm from the mount to the head, over stages and designs at once."""
    n = len(diagonal)
    pivot, value = np.empty_like(diagonal), np.empty_like(right)
    for i in range(n - 1, -1, -1):
        below = mount if i == n - 1 else axial
        above = end if i == 0 else axial
        pivot[i] = diagonal[i] + below + above
        value[i] = right[i]
        if i == n - 1:
            value[i] = value[i] + mount * drive_wall
        else:
            pivot[i] = pivot[i] - axial**2 / pivot[i + 1]
            value[i] = value[i] + axial * value[i + 1] / pivot[i + 1]
    head = (head_right + end * value[0] / pivot[0]) / (head_diagonal - end**2 / pivot[0])
    out = np.empty_like(right)
    out[0] = (value[0] + end * head) / pivot[0]
    for i in range(1, n):
        out[i] = (value[i] + axial * out[i - 1]) / pivot[i]
    return out, head
