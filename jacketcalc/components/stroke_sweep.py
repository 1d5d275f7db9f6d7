"""A whole stroke by Newton's method on all its instants at once, from a track nearby.

Marching solves the instants one after another, each to the end. Here all are linearised about
the track in one call, and only their contents are then followed in order. Equations, steps and
heat are those of `stroke_step`, and so is what they settle to.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from jacketcalc.components.chamber_heat import Pace
from jacketcalc.components.designs import Array
from jacketcalc.components.instant_row import instant_row
from jacketcalc.components.passage_curve import Curve
from jacketcalc.components.record import GasState, Record, StrokeWalls, Track
from jacketcalc.components.step_equations import StrokeEquations
from jacketcalc.components.step_limits import limited
from jacketcalc.components.step_records import Base, Change, Instant, Point
from jacketcalc.components.stroke_chain import chain
from jacketcalc.components.stroke_grid import GAMMA, Course, inner
from jacketcalc.components.stroke_heat import WallHeat, wall_heat
from jacketcalc.components.stroke_step import LARGEST_GUESS, LONGEST_STEP, first_weight
from jacketcalc.gas.table import AirTable

SHORTER, LONGER = 0.4, 1.0
"""Largest relative change of a duration in one pass: wider limits take more passes [-]."""
LEAST_SPEED = 0.2
"""Least speed that heat is taken at, over that of the instant before [-]."""
NEARER, FAINT = 0.1, 1e-6
"""Largest change in the last pass, over that in the first one and absolute, so that heat laws,
which lag a pass behind, do so by a hundredth of what an iteration changes [-]."""
AT_ONCE = 8000
"""Instants times designs that are linearised in one call, to bound memory [-]."""


class Sweep:
    """Newton's method on the instants of one stroke.

    Parameters
    ----------
    equations : balances of the stroke
    start_volume : volumes at the reversal, shape (volume, B) [m3]
    course : steps of the stroke
    air : property table
    curve : flow curve of each node's passage
    walls : wall temperatures
    pace : cycle rate and mean speed assumed by the heat closures
    settled : largest relative change in the last pass [-]
    """

    def __init__(
        self,
        equations: StrokeEquations,
        start_volume: Array,
        course: Course,
        air: AirTable,
        curve: Curve,
        walls: StrokeWalls,
        pace: Pace,
        settled: float,
    ) -> None:
        self.equations, self.settled = equations, settled
        self.air, self.curve, self.walls, self.pace = air, curve, walls, pace
        net = equations.network
        stroke = np.asarray(net.machine.drive.stroke)
        self.volume = start_volume + equations.rate * (course.places * stroke)[:, None]
        self.starts = 2 * course.release
        """First instant of travel."""
        self.stops = self.starts + 2 * (len(course.covered) - 1)
        """First instant of rest."""
        self.dx = np.zeros((len(course.places), net.designs))
        self.dx[self.starts : self.stops] = np.repeat(np.diff(course.covered, axis=0), 2, axis=0)
        self.dx *= stroke
        self.hold = np.repeat(course.rest, 2, axis=0)
        self.left = inner(np.linspace(1.0, 0.0, course.release + 1)[:, None])
        """Share left of the force on the resting piston."""
        self.ends_p = np.stack([net.machine.supply.pressure, net.machine.tank_pressure])
        self.ends_T = np.stack([net.machine.supply.temperature] * 2)
        self.ends_h = np.stack([net.supply_enthalpy] * 2)

    def run(self, state: GasState, track: Track, passes: int) -> Record:
        """Solve the stroke; `state` is advanced to its end.

        Parameters
        ----------
        state : contents at the reversal of the valve, advanced in place
        track : the way it is likely to go
        passes : passes allowed

        Returns
        -------
        The stroke's record, rough where it did not settle.
        """
        force = np.minimum(self.equations.net_force(state.p), 0.0)
        self.target, self.idle = self.left * force, force == 0.0
        w = track.w.copy()
        w[: self.starts] = np.where(self.idle, 0.0, w[: self.starts])
        w[self.stops :] = self.hold
        p, T, weight, flow = track.p, track.T, track.weight, track.flow
        rows: dict[str, Array] = {}
        rates = {name: np.zeros(0) for name in ("m", "U", "E")}
        going = np.ones(w.shape[1], dtype=bool)
        first = top = np.full(w.shape[1], np.inf)
        count = 0
        for count in range(1, passes + 1):
            heat = self._heat(state, p, T, w, flow, weight * w)
            new, steps, found = self._pass(state, p, T, w, weight, heat)
            rows, rates = _kept(going, new, rows), _kept(going, vars(steps), rates)
            top = np.where(going, found, top)
            first = np.minimum(first, top) if count == 1 else first
            p, T, w, flow = rows["p"], rows["T"], rows["step"], rows["flow"]
            weight = self._weights(state, Base(**rates), rows["weight"])
            going = going & ~(top <= np.minimum(self.settled, np.maximum(NEARER * first, FAINT)))
            if not going.any():
                break
        share = rows["weight"]
        state.m = state.m + (share[:, None] * rates["m"]).sum(axis=0)
        state.U = state.U + (share[:, None] * rates["U"]).sum(axis=0)
        state.p, state.T = p[-1].copy(), T[-1].copy()
        return Record(
            **rows,
            impact=(share * rates["E"]).sum(axis=0),
            stalled=np.zeros(w.shape[1], dtype=bool),
            rough=np.where(going, top, 0.0),
            iterations=count,
            followed=~going,
        )

    def _weights(self, state: GasState, rates: Base, weight: Array) -> Array:
        """Weights of the instants by what the steps start from and the first stages' rates."""
        used = weight[:, None]
        m = np.cumsum(np.concatenate([state.m[None], used * rates.m]), axis=0)[:-1:2]
        U = np.cumsum(np.concatenate([state.U[None], used * rates.U]), axis=0)[:-1:2]
        own = first_weight(
            Base(m=m, U=U, E=rates.E[::2]), Base(m=rates.m[::2], U=rates.U[::2], E=rates.E[::2])
        )
        return np.stack([own, 1.0 - own], axis=1).reshape(weight.shape)

    def _heat(
        self, state: GasState, p: Array, T: Array, w: Array, flow: Array, dt: Array
    ) -> WallHeat:
        """Heat laws at the straight-line guesses that marching takes them at."""
        reach = np.full(len(w), (1.0 - GAMMA) / GAMMA)
        reach[::2] = GAMMA / (1.0 - GAMMA)
        reach[[k for k in (0, self.starts, self.stops) if k < len(w)]] = 0.0
        guess = []
        for start, value, most in zip((state.p, state.T), (p, T), LARGEST_GUESS[:2], strict=True):
            now = np.concatenate([start[None], value[:-1]])
            last = np.concatenate([start[None], now[:-1]])
            guess.append(_beyond(now, last, reach[:, None, None], most))
        part, c = slice(self.starts, self.stops), self.equations.chambers
        speed = np.zeros_like(w)
        passed = self.dx[part] / w[part]
        now = np.concatenate([self.pace.piston_speed[None], passed[:-1]])
        last = np.concatenate([now[:1], now[:-1]])
        ahead = _beyond(now, last, reach[part, None], LARGEST_GUESS[2])
        speed[part] = np.maximum(ahead, LEAST_SPEED * now)
        inflow = np.concatenate([np.zeros_like(flow[:1, 2::2]), flow[:-1, 2::2]])
        return wall_heat(
            self.equations.network, self.air, self.walls, self.pace, p=guess[0], T=guess[1],
            thermo=self.air.thermo_beyond(guess[1][:, c], guess[0][:, c]), volume=self.volume,
            stage_wall=self.walls.stage, inflow=inflow, speed=speed,
            time=np.cumsum(dt, axis=0) - dt, opening=self.equations.opening,
        )  # fmt: skip

    def _pass(
        self, state: GasState, p: Array, T: Array, w: Array, weight: Array, heat: WallHeat
    ) -> tuple[dict[str, Array], Base, Array]:
        """Move all instants by one Newton step; return rows, rates and the largest change."""
        eq, n = self.equations, self.equations.count
        base = np.concatenate([state.m, state.U, np.zeros_like(state.m[:1])])
        share = weight.copy()
        share[::2] = GAMMA
        rows: list[dict[str, Array]] = []
        rates: list[dict[str, Array]] = []
        top = np.zeros(w.shape[1])
        for part in self._parts():
            if part.start == self.stops:
                base[-1] = 0.0
            at = Instant(
                share=share[part], volume=self.volume[part], dx=self.dx[part],
                target=self.target[part] if part.stop <= self.starts else None,
                fixed=self.idle if part.stop <= self.starts else np.array(part.start >= self.stops),
                conductance=heat.conductance[part], wall=heat.wall[part], lead=heat.lead[part],
            )  # fmt: skip
            point = self._point(p[part], T[part], w[part])
            near = eq.linearise(self.air, self.curve, point, at)
            more, base = chain(eq, near, at, point.w, weight[part], base)
            alpha, U = eq.eliminate(near.slopes, more.m, more.U)
            dw = eq.duration(near.slopes, more.E, alpha)
            dw = np.minimum(np.maximum(dw, -SHORTER * point.w), LONGER * point.w)
            dp, dT = eq.expand(near.slopes, alpha, U, dw)
            change = Change(p=dp, T=dT, w=dw, fluxes=eq.moved(near, dp, dT))
            top = np.maximum(top, self._advance(point, change).max(axis=0))
            dm, _, dU, leads = eq.rates(point, at, near.thermo, change.fluxes)
            force = eq.net_force(point.p[:, :n])
            rates.append({"m": point.w[:, None] * dm, "U": dU, "E": force * at.dx})
            found = near.thermo, change.fluxes, leads, weight[part], heat.coefficient[part]
            rows.append(instant_row(eq, point, at, *found))
        return _joined(rows), Base(**_joined(rates)), top

    def _parts(self) -> Iterator[slice]:
        """Instants to take together: of one phase, and not too many."""
        many = 2 * max(1, AT_ONCE // (2 * self.dx.shape[1]))
        ends = (0, self.starts, self.stops, len(self.dx))
        for start, end in pairwise(ends):
            for here in range(start, end, many):
                yield slice(here, min(here + many, end))

    def _point(self, p: Array, T: Array, w: Array) -> Point:
        many = (len(p), *self.ends_p.shape)
        ends = [np.broadcast_to(v, many) for v in (self.ends_p, self.ends_T, self.ends_h)]
        return Point(
            p=np.concatenate([p, ends[0]], axis=1),
            T=np.concatenate([T, ends[1]], axis=1),
            h=np.concatenate([T, ends[2]], axis=1),
            w=w.copy(),
        )

    def _advance(self, point: Point, change: Change) -> Array:
        """Move the instants, within limits; return the largest relative change, (instant, B)."""
        n, w = self.equations.count, point.w
        share, top = limited(self.equations, point, change)
        point.p[:, :n] += share[:, None] * change.p
        point.T[:, :n] += share[:, None] * change.T
        dw = share * change.w
        point.w = w + dw
        # A piston that slow may be stalling, which marching has to find out.
        top = np.where(point.w > LONGEST_STEP, np.inf, top)
        return np.maximum(top, np.abs(dw) / np.maximum(w, 1e-9))


def _beyond(now: Array, last: Array, reach: Array, most: float) -> Array:
    """Go on in a straight line, within limits, as `Stepper` guesses."""
    step = np.minimum(np.maximum(reach * (now - last), -most * last), most * last)
    return np.asarray(now + step)


def _kept(
    going: NDArray[np.bool_], new: dict[str, Array], old: dict[str, Array]
) -> dict[str, Array]:
    """Take the new values of the designs that still move, so that none depends on the others."""
    if going.all():
        return new
    return {name: np.where(going, value, old[name]) for name, value in new.items()}


def _joined(parts: list[dict[str, Array]]) -> dict[str, Array]:
    return {name: np.concatenate([part[name] for part in parts]) for name in parts[0]}
