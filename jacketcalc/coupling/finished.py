"""What the solver hands over: designs that have finished, and what is left of a batch."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from jacketcalc.components.chambers import Network
from jacketcalc.components.designs import Array, fill, take
from jacketcalc.components.passage_march import Profile
from jacketcalc.components.record import GasState
from jacketcalc.components.stroke_grid import Resolution, instants
from jacketcalc.components.stroke_opening import OPENING, travel_seconds
from jacketcalc.coupling.iteration import Iteration, Snapshot
from jacketcalc.coupling.unknowns import Unknowns
from jacketcalc.gas.table import AirTable


@dataclass(frozen=True, kw_only=True)
class Finished:
    """Some designs that finished together, with the last iteration they took part in."""

    index: NDArray[np.intp]
    """Their places in the batch."""
    column: NDArray[np.intp]
    """Their places in the arrays of the iteration."""
    network: Network
    iteration: Iteration
    snapshot: Snapshot
    residual: Array
    """Largest change of a scaled unknown, shape (B,) [-]."""
    stalled: NDArray[np.bool_]
    """Piston stops within a stroke, shape (B,)."""
    where: tuple[str, ...]
    """For each finished design that failed, what did not settle; else empty."""


@dataclass(kw_only=True)
class Solved:
    """What is left of a batch when all its designs have finished, for one more look."""

    network: Network
    air: AirTable
    resolution: Resolution
    last: Unknowns
    """What the last iteration of each design started from."""
    reversal: GasState
    """Contents at the reversal to stroke 2."""
    later: Array
    """Highest pressure of each node past the opening of the strokes, (node, B) [Pa]."""
    seconds: Array
    """Time at each place of the travel of both strokes, shape (2, place, B) [s]."""
    sound: NDArray[np.bool_]
    """The design runs, shape (B,)."""
    iterations: int
    """Iterations of the whole machine, coarse ones included."""
    warm: dict[str, Profile] = field(default_factory=dict)
    """Profiles along the passages in the last iteration of each design."""

    def keep(self, done: Finished) -> None:
        """Note what has finished."""
        fine = np.array([not words for words in done.where], dtype=bool)
        fine &= ~done.stalled[done.column]
        to, of = done.index[fine], done.column[fine]
        self.sound[to] = True
        fill(self.last, done.snapshot.start, to, of)
        warm = done.iteration.left_over.warm
        self.warm = self.warm or take(warm, np.zeros(self.sound.size, dtype=int))
        fill(self.warm, warm, to, of)
        one, two = done.snapshot.records
        p, T, volume, mass = one.p[-1], one.T[-1], one.volume[-1], one.mass[-1]
        U = mass * self.air.thermo_beyond(T, p).h - p * volume
        fill(self.reversal, GasState(m=mass, U=U, p=p, T=T), to, of)
        nodes = list(done.network.layout.nodes)
        past = instants(self.resolution) > OPENING
        for k, record in enumerate((one, two)):
            self.seconds[k][..., to] = travel_seconds(record, self.resolution)[:, of]
        late = [r.p[past][:, nodes].max(axis=0) for r in (one, two)]
        self.later[..., to] = np.maximum(*late)[..., of]


def nothing_solved(
    network: Network, table: AirTable, resolution: Resolution, u: Unknowns
) -> Solved:
    """Return a batch of which nothing has finished."""
    blank = np.full((network.layout.count, network.designs), np.nan)
    return Solved(
        network=network,
        air=table,
        resolution=resolution,
        last=take(u, np.arange(network.designs)),
        reversal=GasState(m=blank, U=blank.copy(), p=blank.copy(), T=blank.copy()),
        later=np.zeros((len(network.layout.nodes), network.designs)),
        seconds=np.zeros((2, resolution.travel + 1, network.designs)),
        sound=np.zeros(network.designs, dtype=bool),
        iterations=0,
    )
