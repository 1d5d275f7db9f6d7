"""From designs to running machines: the fixed point of the iteration, all designs at once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from jacketcalc.components.chambers import Network, build_network
from jacketcalc.components.designs import Array, Design
from jacketcalc.components.contents import near_contents
from jacketcalc.components.stroke import Resolution
from jacketcalc.coupling.anderson import Anderson
from jacketcalc.coupling.iteration import Iteration, Snapshot
from jacketcalc.coupling.unknowns import Unknowns, pack, unpack
from jacketcalc.gas.table import AirTable, air

TOLERANCE = 1e-8
"""Largest change of any scaled unknown at convergence [-]."""
COARSE = 0.34
"""Resolution of the first iterations, as a share of the final one [-]."""
COARSE_TOLERANCE = 1e-4
"""Change at which the coarse iterations end [-]."""
PLAIN = 2
"""Iterations before acceleration starts, while contents settle."""
MOST_COARSE, MOST_FINE = 30, 60
"""Iterations allowed."""


@dataclass(kw_only=True)
class Solution:
    """Running machines; designs that stalled or failed hold their last state."""

    network: Network
    iteration: Iteration
    snapshot: Snapshot
    residual: Array
    """Largest change of a scaled unknown in the last iteration, shape (B,) [-]."""
    stalled: NDArray[np.bool_]
    """Piston stops within a stroke, shape (B,)."""
    rough: Array
    """Largest Newton change left over, shape (B,) [-]."""
    iterations: int
    """Iterations of the whole machine, coarse ones included."""


def solve(
    designs: Sequence[Design],
    resolution: Resolution | None = None,
    table: AirTable | None = None,
    progress: Callable[[float], None] | None = None,
) -> Solution:
    """Solve designs of one layout side by side.

    Parameters
    ----------
    designs : designs with equal `topology_key`
    resolution : steps of a stroke
    table : property table; the shared one when None
    progress : called with the share done, 0 to 1
    """
    table = table or air()
    resolution = resolution or Resolution()
    network = build_network(list(designs), table)
    coarse = Iteration(network, table, resolution.scaled(COARSE))
    u = coarse.start()
    u, _, _, count = _iterate(coarse, u, COARSE_TOLERANCE, MOST_COARSE, progress)
    fine = Iteration(network, table, resolution)
    fine.warm = coarse.warm
    _, snapshot, residual, more = _iterate(fine, u, TOLERANCE, MOST_FINE, progress)
    records = snapshot.records
    return Solution(
        network=network,
        iteration=fine,
        snapshot=snapshot,
        residual=residual,
        stalled=records[0].stalled | records[1].stalled,
        rough=np.maximum(records[0].rough, records[1].rough),
        iterations=count + more,
    )


def _iterate(
    iteration: Iteration,
    u: Unknowns,
    tolerance: float,
    most: int,
    progress: Callable[[float], None] | None,
) -> tuple[Unknowns, Snapshot, Array, int]:
    scale = _scales(iteration, u)
    guess = near_contents(iteration.air, u.m, u.U, iteration.strokes[0].start_volume)
    mixing = Anderson()
    quick = _short_memory(iteration)
    y = pack(u, scale)
    for count in range(1, most + 1):
        u = unpack(y, u, scale)
        new, snapshot = iteration(u, guess)
        g = pack(new, scale)
        residual = np.abs(g - y).max(axis=0)
        if progress is not None:
            progress(count / most)
        moving = ~(snapshot.records[0].stalled | snapshot.records[1].stalled)
        if not np.any(moving & (residual > tolerance)):
            break
        y = g if count <= PLAIN else mixing.mix(y, g)
        y[quick] = g[quick]
    return new, snapshot, residual, count


def _scales(iteration: Iteration, u: Unknowns) -> dict[str, Array]:
    return {"m": u.m.copy(), "U": np.abs(u.U), "period": u.period.copy(), "wait": u.period.copy()}


def _short_memory(iteration: Iteration) -> list[int]:
    """Rows that forget within a cycle, drive chambers and exhaust nodes: never extrapolated."""
    layout = iteration.network.layout
    quick = [0, 1, *layout.nodes]
    return quick + [layout.count + v for v in quick]
