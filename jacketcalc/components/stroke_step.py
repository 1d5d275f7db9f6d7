"""One implicit step of a stroke, for all designs at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace
from typing import Any, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

from jacketcalc.components.chamber_heat import Pace
from jacketcalc.components.designs import Array
from jacketcalc.components.instant_row import instant_row
from jacketcalc.components.passage_curve import Curve
from jacketcalc.components.record import GasState, StrokeWalls
from jacketcalc.components.step_equations import StrokeEquations
from jacketcalc.components.step_limits import limited
from jacketcalc.components.step_records import Base, Change, Fluxes, Instant, Point
from jacketcalc.components.stroke_grid import GAMMA
from jacketcalc.components.stroke_heat import stage_part, wall_heat
from jacketcalc.gas.table import AirTable, Thermo

K = TypeVar("K", Fluxes, Thermo)

LEAST_LEFT = 0.6
"""Least contents the second stage starts from, over what the first one left: a chamber that
empties in less than a step would start it from less than nothing [-]."""
COLD_ENERGY = 1.2e5
"""Internal energy of air on its table's datum, run down to no temperature [J/kg]."""
PATIENCE = 12
"""Newton iterations after which half steps are taken: at a valve's seat some swing [-]."""
MOST_ITERATIONS = 60
"""Newton iterations before a step is called rough."""
LONGEST_STEP = 60.0
"""A step that takes longer is a stalled piston [s]."""
LARGEST_GUESS = (0.1, 0.1, 0.3)
"""Largest relative change extrapolated, of pressure, temperature and speed [-]."""
LEAST_WAIT = 1e-6
"""Shortest duration of a step that heat reads a speed from [s]."""
FIRST_DURATION = 2e-3
"""Guess for the first step of a stroke [s]."""


class Stepper:
    """Carries the contents of all volumes through the steps of one stroke."""

    def __init__(
        self,
        equations: StrokeEquations,
        start_volume: Array,
        air: AirTable,
        curve: Curve,
        state: GasState,
        walls: StrokeWalls,
        pace: Pace,
        settled: float,
    ) -> None:
        self.settled = settled
        self.equations, self.start_volume = equations, start_volume
        self.air, self.curve, self.walls, self.pace = air, curve, walls, pace
        self.network = net = equations.network
        designs, chambers = net.designs, net.layout.chambers
        self.chamber = slice(chambers[0], chambers[-1] + 1)
        self.stroke = np.asarray(net.machine.drive.stroke)
        ends_p = np.stack([net.machine.supply.pressure, net.machine.tank_pressure])
        ends_T = np.stack([net.machine.supply.temperature] * 2)
        ends_h = np.stack([net.supply_enthalpy] * 2)
        self.point = Point(
            p=np.concatenate([state.p, ends_p]),
            T=np.concatenate([state.T, ends_T]),
            h=np.concatenate([state.T, ends_h]),
            w=np.full(designs, FIRST_DURATION),
        )
        self.base = Base(m=state.m, U=state.U, E=np.zeros(designs))
        self.log: dict[str, list[Array]] = {}
        self.stalled: NDArray[np.bool_] = np.zeros(designs, dtype=bool)
        self.rough = np.zeros(designs)
        self.iterations = 0
        self.inflow = np.zeros((len(chambers), designs))
        self.passed = np.zeros(designs)
        self.instant = 0
        self.travelling = False
        self.before: tuple[Array, Array, Array] | None = None
        self.last_dx = np.ones(designs)

    def release(self, before: Array, after: Array) -> None:
        """Step the force on the resting piston from `before` to `after` [N]."""
        idle = (before == after) | self.stalled
        self.point.w = np.where(idle, 0.0, np.maximum(self.point.w, 1e-9))
        still = np.zeros_like(before)
        self._step(still, still, idle, lambda c: before + c * (after - before))

    def travel(self, x: Array, dx: Array) -> None:
        """Step the piston from `x` on by `dx` [m]."""
        if not self.travelling:
            self.point.w = dx / np.maximum(self.pace.piston_speed, 1e-3)
            self.travelling, self.before = True, None
        else:
            self.point.w = self.point.w * (dx / self.last_dx)
            if self.before is not None:
                p, T, speed = self.before
                self.before = (p, T, speed * (self.last_dx / dx))
        self.last_dx = dx
        self._step(x, dx, np.zeros(dx.shape, dtype=bool), None)

    def stop(self) -> Array:
        """Bring the piston to rest at the far stop; return the energy destroyed [J]."""
        self.before, self.travelling = None, False
        lost = self.base.E
        self.base.E = np.zeros_like(lost)
        return lost

    def rest(self, time: Array) -> None:
        """Step through `time` at the far stop [s]."""
        self.point.w = np.where(self.stalled, 0.0, time)
        still = np.zeros_like(self.point.w)
        self._step(self.stroke, still, np.ones(time.shape, dtype=bool), None)

    def finish(self, state: GasState) -> None:
        """Leave the contents in `state`."""
        n = self.equations.count
        state.m, state.U = self.base.m, self.base.U
        state.p, state.T = self.point.p[:n].copy(), self.point.T[:n].copy()

    def _step(
        self,
        x: Array,
        dx: Array,
        fixed: NDArray[np.bool_],
        target: Callable[[float], Array] | None,
    ) -> None:
        base = self.base
        share = np.full(dx.shape, GAMMA)
        for c in (GAMMA, 1.0):
            self._predict(c)
            volume = self.start_volume + self.equations.rate * (x + c * dx)
            goal = None if target is None else target(c)
            rates, at, found = self._solve(base, volume, dx, fixed, goal, share)
            own = first_weight(base, rates) if c < 1.0 else share
            self._note(at, *found, own)
            base = Base(
                m=base.m + own * rates.m, U=base.U + own * rates.U, E=base.E + own * rates.E
            )
            share = 1.0 - own
        self.base = base

    def _predict(self, c: float) -> None:
        """Extrapolate pressures, temperatures and speed in a straight line to the next instant."""
        n, point = self.equations.count, self.point
        now = (point.p[:n].copy(), point.T[:n].copy(), 1.0 / np.maximum(point.w, 1e-9))
        before, self.before = self.before, now
        if before is None:
            return
        reach = GAMMA / (1.0 - GAMMA) if c < 1.0 else (1.0 - GAMMA) / GAMMA
        p, T, speed = (
            value + np.minimum(np.maximum(reach * (value - last), -most * last), most * last)
            for value, last, most in zip(now, before, LARGEST_GUESS, strict=True)
        )
        point.p[:n], point.T[:n] = p, T
        if self.travelling:
            point.w = np.where(self.stalled, 0.0, 1.0 / np.maximum(speed, 0.2 * now[2]))

    def _solve(
        self,
        base: Base,
        volume: Array,
        dx: Array,
        fixed: NDArray[np.bool_],
        target: Array | None,
        share: Array,
    ) -> tuple[Base, Instant, tuple[Thermo, Fluxes, Array]]:
        """Solve one stage of a step; return its rates over the whole step, and what was found."""
        eq, point = self.equations, self.point
        thermo = self.air.thermo_beyond(point.T[: eq.count], point.p[: eq.count])
        known: Thermo | None = thermo
        conductance, wall, lead = self._heat(thermo, volume, dx)
        at = Instant(
            share=share, volume=volume, dx=dx, target=target, fixed=fixed | self.stalled,
            conductance=conductance, wall=wall, lead=lead,
        )  # fmt: skip
        active = np.ones(dx.shape, dtype=bool)
        kept: Fluxes | None = None
        for count in range(MOST_ITERATIONS):
            self.iterations += 1
            self.pull = 1.0 if count < PATIENCE else 0.5
            if self.stalled.any():
                at = replace(at, fixed=fixed | self.stalled)
            change, found = eq.newton(self.air, self.curve, point, at, base, known)
            known = None
            top = self._advance(change, active, fixed)
            if kept is None or active.all():
                kept, thermo = change.fluxes, found
            else:
                kept, thermo = _where(active, change.fluxes, kept), _where(active, found, thermo)
            active = active & (top > self.settled)
            if not active.any():
                break
        else:
            self.rough = np.maximum(self.rough, np.where(active, top, 0.0))
        assert kept is not None
        dm, _, dU, leads = eq.rates(point, at, thermo, kept)
        n = eq.count
        rates = Base(m=point.w * dm, U=dU, E=eq.net_force(point.p[:n]) * dx)
        return rates, at, (thermo, kept, leads)

    def _advance(
        self, change: Change, active: NDArray[np.bool_], fixed: NDArray[np.bool_]
    ) -> Array:
        """Move the point, within limits; return the largest relative change."""
        point, n = self.point, self.equations.count
        w = point.w
        share, top = limited(self.equations, point, change)
        pull = np.where(top > self.settled, self.pull, 1.0)
        limit = np.where(active, pull * share, 0.0)
        dw = limit * change.w
        point.p[:n] += limit * change.p
        point.T[:n] += limit * change.T
        point.w = w + dw
        slow = (point.w > LONGEST_STEP) & ~fixed
        if slow.any():
            # What follows of the stroke takes no time: nothing flows, so it stays finite.
            self.stalled |= slow
            point.w = np.where(slow, 0.0, point.w)
            top = np.where(slow, 1.0, top)
        return np.maximum(top, np.abs(dw) / np.maximum(w, 1e-9))

    def _heat(self, thermo: Thermo, volume: Array, dx: Array) -> tuple[Array, Array, Array]:
        """Conductance to the walls, their temperature, and the share of the phase lead."""
        n, point = self.equations.count, self.point
        law = wall_heat(
            self.network, self.air, self.walls, self.pace, p=point.p[:n], T=point.T[:n],
            thermo=stage_part(thermo, self.chamber), volume=volume,
            stage_wall=self.walls.stage[self.instant], inflow=self.inflow,
            speed=dx / np.maximum(point.w, LEAST_WAIT), time=self.passed,
            opening=self.equations.opening,
        )  # fmt: skip
        self.coefficient = law.coefficient
        return law.conductance, law.wall, law.lead

    def _note(
        self, at: Instant, thermo: Thermo, fluxes: Fluxes, lead: Array, weight: Array
    ) -> None:
        row = instant_row(
            self.equations, self.point, at, thermo, fluxes, lead, weight, self.coefficient
        )
        for name, value in row.items():
            self.log.setdefault(name, []).append(value)
        self.inflow = fluxes.F[2::2]
        self.passed = self.passed + row["dt"]
        self.instant += 1


def first_weight(base: Base, rates: Base) -> Array:
    """Weight of a step's first stage, 1 - GAMMA unless a volume empties; shape (..., B) [-].

    At GAMMA the step is two steps of Euler's implicit method, which never overshoots.
    """
    weight = np.full(base.E.shape, 1.0 - GAMMA)
    thermal = base.U - COLD_ENERGY * base.m, rates.U - COLD_ENERGY * rates.m
    for held, rate in ((base.m, rates.m), thermal):
        drop = np.maximum(-rate, 1e-30)
        most = (held - LEAST_LEFT * (held - GAMMA * drop)) / drop
        weight = np.minimum(weight, most.min(axis=-2))
    return np.asarray(np.maximum(weight, GAMMA))


def _where(mask: NDArray[np.bool_], new: K, old: K) -> K:
    """Take the new values of the designs still moving, so that none depends on the others."""
    kind: Any = type(old)
    names = [f.name for f in fields(kind)]
    return cast(K, kind(**{n: np.where(mask, getattr(new, n), getattr(old, n)) for n in names}))
