"""From designs to running machines: the fixed point of the iteration, all designs at once.

A design leaves the batch as soon as it has converged, stalled or failed, so that it is
solved in the same steps, to the same numbers, whatever stands beside it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from jacketcalc.components.chambers import Layout, Network, build_network
from jacketcalc.components.contents import near_contents
from jacketcalc.components.designs import Array, Design, fill, take
from jacketcalc.components.record import GasState
from jacketcalc.components.stroke_grid import Resolution
from jacketcalc.coupling.anderson import Anderson
from jacketcalc.coupling.finished import Finished, Solved, nothing_solved
from jacketcalc.coupling.iteration import Iteration, LeftOver, Snapshot
from jacketcalc.coupling.ledger import energy_gap
from jacketcalc.coupling.unknowns import Unknowns, pack, unpack, weigh
from jacketcalc.gas.table import AirTable, air

AIR_ENERGY = 3e5
"""Internal energy of air, on its table's datum, to weigh mass against energy [J/kg]."""
TOLERANCE = 2e-7
"""Largest change of any scaled unknown at convergence [-]."""
CLOSED = 3e-7
"""Sum of the energy ledger at convergence, over the drive's power [-]."""
COARSE = ((0.12, 0.03, 15), (0.34, 1e-3, 40))
"""Grids before the final one: resolution as a share of the final one, the change at which
iterations on them end, and how many are allowed [-]."""
FIRST_INSTANTS = 8
"""Instants of the travel that a piston may take to pick up speed."""
CREEP = 0.02
"""Speed, over the highest, below which a piston within its stroke has all but stopped [-]."""
STOPS_AND_GOES = (
    "the piston all but stops within its stroke and goes on when pressure has built up; "
    "no steady cycle was found, and bouncing pistons are outside this model"
)
RESPITE = 6
"""Plain iterations after a stroke that stalled from extrapolated contents; one that stalls
from contents it came to by itself is a stalled machine."""
TOWARDS = 0.5
"""Cosine between a design's drift and the way to contents that stalled, from which on the
last iteration but one tries them [-]."""
FOLLOWED = 0.15
"""Largest change of a scaled unknown up to which the next strokes follow the last ones: from far
off, the equations of all instants at once can settle on another root than marching finds [-]."""
PLAIN = 2
"""Iterations before acceleration starts, while contents settle."""
DOUBT, SHARPER = 30, 0.01
"""Iterations after which each step is solved to this share of its tolerance [-]."""
MARGIN, STRAYED, REST = 0.5, 10, 8
"""Iterations without a residual below this share of the last one noted, after which a design
goes on plainly, for so many iterations, with nothing remembered: across a kink of the map, as
where another valve opens first, extrapolation can go to and fro for ever."""
MOST = 150
"""Iterations allowed on the final grid."""


def solve(
    designs: Sequence[Design],
    finish: Callable[[Finished], None],
    resolution: Resolution | None = None,
    table: AirTable | None = None,
    progress: Callable[[float], None] | None = None,
) -> Solved:
    """Solve designs of one layout side by side.

    Parameters
    ----------
    designs : designs with equal `topology_key`
    finish : called with each group of designs that finished
    resolution : steps of a stroke
    table : property table; the shared one when None
    progress : called with the share done, 0 to 1
    """
    table = table or air()
    resolution = resolution or Resolution()
    network = build_network(list(designs), table)
    report = progress or (lambda share: None)
    with np.errstate(all="ignore"):
        run: _Run | None = None
        for place, (scale, tolerance, most) in enumerate(COARSE):
            run = _Run(Iteration(network, table, resolution.scaled(scale)), run)
            run.settle(_part(report, 0.2 * place, 0.2), tolerance, most)
        fine = _Run(Iteration(network, table, resolution), run)
        solved = nothing_solved(network, table, resolution, fine.u)

        def keep(done: Finished) -> None:
            solved.keep(done)
            finish(done)

        fine.iterate(keep, _part(report, 0.4, 0.6), TOLERANCE, MOST)
    return replace(solved, iterations=fine.total)


def _part(report: Callable[[float], None], start: float, span: float) -> Callable[[float], None]:
    """Report a part of the work as a share of the whole."""
    return lambda share: report(start + span * share)


class _Run:
    """Iterates a shrinking batch."""

    ended: Unknowns
    """After `settle`, where each design ended."""
    afresh: NDArray[np.bool_]
    """Designs that failed there."""
    learnt: Anderson
    """What was learnt of the others."""
    left: LeftOver | None
    """What their last iteration left over."""
    total: int
    """Iterations so far, those on coarser grids included."""
    new: Unknowns
    """Where the last iteration leads."""

    def __init__(self, iteration: Iteration, before: _Run | None = None) -> None:
        designs = iteration.network.designs
        self.iteration, self.count = iteration, 0
        self.plain = before is None
        self.u = iteration.start() if before is None else before.ended
        self.scale = _scales(iteration.network)
        self.guess = self._guess(self.u)
        self.mixing = Anderson(weigh(self.u))
        self.quick = _short_memory(iteration.network.layout)
        self.index = np.arange(designs)
        self.natural = np.ones(designs, dtype=bool)
        self.respite = np.zeros(designs, dtype=int)
        self.sound = pack(self.u, self.scale)
        self.beyond = np.full_like(self.sound, np.nan)
        self.noted = np.full(designs, np.inf)
        self.since = np.zeros(designs, dtype=int)
        self.total = 0 if before is None else before.total
        if before is not None:
            self._go_on(before)

    def _go_on(self, before: _Run) -> None:
        """Start with what a coarser grid taught."""
        self.mixing = before.learnt
        self.respite = np.where(before.afresh, RESPITE, 0)
        if before.left is not None:
            left = self.iteration.near(before.left, before.iteration.resolution, self.u)
            for track in left.tracks:
                track.sound[before.afresh] = False
            self.iteration.left_over = left

    def _guess(self, u: Unknowns) -> GasState:
        volume = self.iteration.strokes[0].start_volume
        return near_contents(self.iteration.air, u.m, u.U, volume)

    def settle(self, report: Callable[[float], None], tolerance: float, most: int) -> None:
        """Iterate on a coarse grid; a design that fails here starts the next grid afresh."""
        self.ended = ended = take(self.u, np.arange(self.index.size))
        self.afresh = np.zeros(self.index.size, dtype=bool)
        self.learnt = Anderson.blank(weigh(ended), self.index.size)
        self.left = None
        everything = np.zeros(self.index.size, dtype=int)

        def keep(done: Finished) -> None:
            left = self.iteration.left_over
            if self.left is None:
                self.left = take(left, everything)
            fill(self.left, left, done.index, done.column)
            sound = np.array([not words for words in done.where], dtype=bool)
            sound &= ~done.stalled[done.column]
            self.afresh[done.index[~sound]] = True
            last = take(self.new, done.column)
            self.mixing.store(self.learnt, done.index[sound], done.column[sound])
            for name, value in vars(ended).items():
                value[..., done.index[sound]] = getattr(last, name)[..., sound]

        self.iterate(keep, report, tolerance, most)

    def iterate(
        self,
        finish: Callable[[Finished], None],
        report: Callable[[float], None],
        tolerance: float,
        most: int,
    ) -> None:
        """Iterate until every design has finished."""
        y = pack(self.u, self.scale)
        total = self.index.size
        for count in range(1, most + 1):
            self.count, self.total = count, self.total + 1
            self.u = unpack(y, self.u, self.scale)
            if count == DOUBT:
                # What is left may be the steps' own noise.
                steps = self.iteration.resolution
                self.iteration.resolution = replace(steps, settled=SHARPER * steps.settled)
            self.new, snapshot = self.iteration(self.u, self.guess)
            g = pack(self.new, self.scale)
            residual = np.abs(g - y).max(axis=0)
            one, two = snapshot.records
            stalled = one.stalled | two.stalled
            broken = ~np.isfinite(residual)
            for track in self.iteration.left_over.tracks:
                track.sound[~(residual <= FOLLOWED)] = False
            lost = (stalled | broken) & ~self.natural
            stalled, broken = stalled & ~lost, broken & ~stalled & ~lost
            rough = np.maximum(one.rough, two.rough) > 0.0
            settled = (residual <= tolerance) & ~rough & ~lost
            if tolerance <= TOLERANCE and settled.any():
                settled &= np.abs(energy_gap(self.iteration, snapshot)) <= CLOSED
            over = settled | broken | stalled | (count == most)
            report(max(count / most, 1.0 - over.size / total))
            stopped = lost & (one.stalled | two.stalled)
            self.beyond = np.where(stopped, y, self.beyond)
            y = self._next(y, g, lost, last=count == most - 1)
            if over.any():
                column = np.flatnonzero(over)
                bad = ~(settled | stalled)[column]
                creeps = _creeps(snapshot)
                words = self._where(np.abs(g - y), column, bad, broken, rough, residual, creeps)
                finish(
                    Finished(
                        index=self.index[column], column=column,
                        network=self.iteration.network, iteration=self.iteration,
                        snapshot=snapshot, residual=residual, stalled=stalled, where=words,
                    )
                )  # fmt: skip
                y = self._shrink(y, np.flatnonzero(~over))
            if not self.index.size:
                return

    def _next(self, y: Array, g: Array, lost: NDArray[np.bool_], last: bool) -> Array:
        """Choose where to go on from: extrapolated, or plainly where that led astray."""
        self.respite = np.where(lost, RESPITE, np.maximum(self.respite - 1, 0))
        strayed = self._strays(np.abs(g - y).max(axis=0))
        self.mixing.forget(strayed)
        self.respite = np.where(strayed, REST, self.respite)
        g = np.where(lost, self.sound, g)
        y = np.where(lost, self.sound, y)
        plain = self.respite > 0
        mixed = g if self.plain and self.count <= PLAIN else self.mixing.mix(y, g)
        mixed[self.quick] = g[self.quick]
        self.natural = plain | (self.plain and self.count <= PLAIN)
        tried = self._leads_beyond(g, y) & last
        self.sound = g
        y = np.where(tried, self.beyond, np.where(plain, g, mixed))
        self.natural, lost = self.natural | tried, lost | tried
        if lost.any():
            fresh = self._guess(unpack(y, self.u, self.scale))
            self.guess.p = np.where(lost, fresh.p, self.guess.p)
            self.guess.T = np.where(lost, fresh.T, self.guess.T)
        return y

    def _strays(self, residual: Array) -> NDArray[np.bool_]:
        """Whether mixing has brought a design no nearer for long."""
        nearer = residual <= MARGIN * self.noted
        self.noted = np.where(nearer, residual, self.noted)
        self.since = np.where(nearer | (self.respite > 0), 0, self.since + 1)
        strayed = self.since >= STRAYED
        self.noted = np.where(strayed, np.inf, self.noted)
        return np.asarray(strayed)

    def _leads_beyond(self, g: Array, y: Array) -> NDArray[np.bool_]:
        """Whether a design drifts towards contents that stalled: too slowly to get there."""
        drift, far = g - y, self.beyond - y
        reach = np.sqrt((drift**2).sum(axis=0) * (far**2).sum(axis=0))
        return np.asarray((drift * far).sum(axis=0) > TOWARDS * reach)

    def _shrink(self, y: Array, kept: NDArray[np.intp]) -> Array:
        """Go on with the designs that are left."""
        self.index, self.natural = self.index[kept], self.natural[kept]
        self.respite, self.sound = self.respite[kept], self.sound[:, kept]
        self.beyond = self.beyond[:, kept]
        self.noted, self.since = self.noted[kept], self.since[kept]
        if not kept.size:
            return y
        old = self.iteration
        self.iteration = Iteration(take(old.network, kept), old.air, old.resolution)
        self.iteration.left_over = take(old.left_over, kept)
        self.scale = take(self.scale, kept)
        self.u, self.guess = take(self.u, kept), take(self.guess, kept)
        self.mixing.keep(kept)
        return np.asarray(y[:, kept])

    def _where(
        self,
        change: Array,
        column: NDArray[np.intp],
        bad: NDArray[np.bool_],
        broken: NDArray[np.bool_],
        rough: NDArray[np.bool_],
        residual: Array,
        creeps: NDArray[np.bool_],
    ) -> tuple[str, ...]:
        """Say what did not settle."""
        words = []
        for b, wrong in zip(column, bad, strict=True):
            if not wrong:
                words.append("")
            elif residual[b] <= TOLERANCE and rough[b]:
                words.append("a step of a stroke did not settle")
            elif residual[b] <= TOLERANCE:
                words.append("the energy that enters and leaves the machine does not balance")
            elif creeps[b]:
                words.append(STOPS_AND_GOES)
            elif broken[b]:
                words.append("the strokes broke down: a state left the property range")
            else:
                words.append(
                    f"{self._name(int(np.argmax(change[:, b])))} still changes by "
                    f"{residual[b]:.1e} of its scale an iteration"
                )
        return tuple(words)

    def _name(self, row: int) -> str:
        """Name of the unknown in a row."""
        for name, value in vars(self.u).items():
            row -= int(np.prod(value.shape[:-1]))
            if row < 0:
                return str(name).replace("_", " ")
        return "an unknown"


def _creeps(snapshot: Snapshot) -> NDArray[np.bool_]:
    """Whether a piston all but stops between its ends, shape (B,)."""
    slow = np.zeros(snapshot.pulses.period.shape, dtype=bool)
    for r in snapshot.records:
        moves = r.dx > 0.0
        speed = np.where(moves, r.dx / np.maximum(r.dt, 1e-12), np.inf)
        highest = np.fmax.reduce(np.where(moves, speed, 0.0))
        speed[: np.argmax(moves.any(axis=1)) + FIRST_INSTANTS] = np.inf
        slow |= np.fmin.reduce(speed) < CREEP * highest
    return slow


def _scales(network: Network) -> dict[str, Array]:
    """Scales of the unknowns that are not temperatures: contents against a stroke's energy.

    A large line that is off by a little of its own contents is off by much of a stroke.
    """
    m = network.machine
    stroke = np.asarray(m.supply.pressure) * network.drive_area[0] * m.drive.stroke
    second = np.ones((1, network.designs))
    return {
        "m": stroke / AIR_ENERGY,
        "U": stroke,
        "period": second,
        "wait": second,
    }


def _short_memory(layout: Layout) -> list[int]:
    """Rows that forget within a cycle, drive chambers and exhaust nodes: never extrapolated."""
    quick = [0, 1, *layout.nodes]
    return quick + [layout.count + v for v in quick]
