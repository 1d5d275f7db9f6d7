"""A fill through time: machine and receiver together, as many cycles in a step as the error lets.

The state is one row: receiver (mass, energy, wall), the machine's walls and contents, then running
sums. Each stage of a step is solved for the receiver pressure at which inflow and contents agree.
What a step leaves out: contents of chambers and lines follow the cycle's own steady run, except for
what they gain or lose from step to step.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.errors import ConvergenceError
from jacketcalc.fill.machine_step import Cycle, MachineStep, NoCycleError
from jacketcalc.fill.receiver import Held, Vessel
from jacketcalc.fill.rule import BEFORE, ERROR, GAMMA, NODES, ORDER
from jacketcalc.fill.short_supply import ShortSupply

TOLERANCE = 3e-3
"""Error let into each step, over the scales of `_scales` [-]."""
AGREED = 1e-4
"""Share of the inflow that a difference of pressures between machine and receiver may stand for
[-]; mass and energy agree all the same."""
STIFFEST, LEAST_ELASTICITY = 10.0, 0.2
"""Change of inflow with pressure, both relative: before it is known, and at least [-]."""
TRIES = 16
"""Pressures tried for that; 1 or 2 are usual."""
FIRST_STEP = 4.0
"""Cycles in the first step [-]."""
LEAST_STEP = 0.05
"""Cycles below which a step is not cut further: the machine has stopped [-]."""
MOST_STEPS = 400
"""Steps in all; 20 to 40 are usual."""
LARGEST_GROWTH, SAFETY, SMALLEST = 4.0, 0.8, 0.2
"""Limits on the change of a step's length [-]."""
STOPPED = 0.1
"""Cycle rate over the highest of a fill below which the machine counts as stalled: closer to where
its forces end it only creeps [-]."""
LANDED = 1e-6
"""Relative pressure within which a fill has come to its target [-]."""
SUMS = ("cycles", "drive_air", "stage_air", "delivered", "exhaust", "supplied", "lost",
        "receiver_heat", "rest")  # fmt: skip
"""Running sums: cycles [-], masses [kg], energies [J], and time at rest for the compressor [s]."""


Ended = Literal["target", "stall", "unsettled", "steps"]
"""How a fill ended: at its target; where the machine stalls; where no steady cycle was found; or
after too many steps."""


@dataclass(frozen=True, kw_only=True)
class Instant:
    """One instant of a fill."""

    time: float
    """Since its start [s]."""
    held: Held
    """The receiver."""
    cycle: Cycle
    """The machine."""
    supply_pressure: float
    """Supply pressure [Pa]."""
    sums: dict[str, float]
    """What has been carried since the start, by the names in `SUMS` [SI]."""


@dataclass(frozen=True, kw_only=True)
class Run:
    """A fill as marched."""

    instants: tuple[Instant, ...]
    """From the end of the first step to the end."""
    start: Held
    """The receiver before."""
    ended: Ended
    """How it ended."""
    state: Array
    """Walls [K] and contents [kg], [J] at the end."""
    machine_mass: float
    """Air that the machine's own volumes gained [kg]."""
    machine_energy: float
    """Energy that its volumes and walls gained [J]."""
    rejected: int
    """Steps taken again [-]."""
    solves: int
    """Solutions of the machine [-]."""
    iterations: int
    """Iterations of all of them [-]."""


class Marcher:
    """Steps a machine and a receiver through a fill.

    Parameters
    ----------
    machine : the machine, at its start
    vessel : the receiver
    tolerance : error let into each step [-]
    told : called with the share done
    """

    def __init__(
        self,
        machine: MachineStep,
        vessel: Vessel,
        tolerance: float = TOLERANCE,
        told: Callable[[float], None] | None = None,
    ) -> None:
        self._told = told
        self.supply = ShortSupply(machine)
        self.machine, self.vessel, self.tolerance = machine, vessel, tolerance
        self.cycle: Cycle | None = None
        self._passed: list[tuple[float, float, float]] = []
        self._elasticity = STIFFEST
        self._inflow = 0.0
        self._rise = 0.0

    def run(self, target: float, state: Array, held: Held) -> Run:
        """Fill until the receiver has a pressure, or the machine no longer delivers.

        Parameters
        ----------
        target : pressure at which the fill ends [Pa]
        state : walls and contents at the start [SI]
        held : the receiver at the start
        """
        first = state
        sums = np.zeros(len(SUMS))
        ended: Ended = "steps"
        time, rejected, growth = 0.0, 0, LARGEST_GROWTH
        instants: list[Instant] = []
        begun, first_pressure = held, held.pressure
        length = FIRST_STEP * float(self.machine.found["period"])
        while len(instants) < MOST_STEPS:
            length = self._shorten(length, instants, target)
            try:
                new_held, new_state, new_sums, error = self._step(held, state, sums, length, time)
            except (NoCycleError, ConvergenceError) as fault:
                length, growth = 0.25 * length, 1.0
                rejected += 1
                if length < LEAST_STEP * self._period():
                    stalled = isinstance(fault, NoCycleError) and fault.stalled
                    ended = "stall" if stalled else "unsettled"
                    break
                continue
            if error > 1.0 and length > LEAST_STEP * self._period():
                rejected += 1
                length *= max(SMALLEST, SAFETY * error ** (-1.0 / ORDER))
                continue
            if new_held.pressure > target * (1.0 + LANDED):
                share = (target - held.pressure) / (new_held.pressure - held.pressure)
                length *= self._land(share, held, new_held, length)
                rejected += 1
                continue
            held, state, sums = new_held, new_state, new_sums
            time += length
            instants.append(
                Instant(
                    time=time, held=held, cycle=self._cycle(),
                    supply_pressure=self.machine.supply_pressure,
                    sums=dict(zip(SUMS, map(float, sums), strict=True)),
                )
            )  # fmt: skip
            if self._told is not None:
                self._told((held.pressure - first_pressure) / (target - first_pressure))
            if held.pressure >= target * (1.0 - LANDED):
                ended = "target"
                break
            fastest = max(1.0 / one.cycle.period for one in instants)
            if 1.0 / self._period() < STOPPED * fastest and self._cycle().waits <= 0.0:
                ended = "stall"
                break
            grown = SAFETY * max(error, 1e-9) ** (-1.0 / ORDER)
            length *= min(growth, max(SMALLEST, grown))
            growth = LARGEST_GROWTH
        return Run(
            instants=tuple(instants), start=begun, ended=ended, state=state,
            machine_mass=self.machine.mass_of(state) - self.machine.mass_of(first),
            machine_energy=self.machine.energy_of(state) - self.machine.energy_of(first),
            rejected=rejected, solves=self.machine.solves, iterations=self.machine.iterations,
        )  # fmt: skip

    def _period(self) -> float:
        return self.cycle.period if self.cycle else float(self.machine.found["period"])

    def _cycle(self) -> Cycle:
        assert self.cycle is not None
        return self.cycle

    def _land(self, share: float, held: Held, new: Held, length: float) -> float:
        """Return the share of a step after which the pressure is met, from slopes at its end."""
        rise, end = new.pressure - held.pressure, self._rise * length
        # Parabola through the start, with value and slope at the end.
        a, b = end - rise, 2.0 * rise - end
        if abs(a) < 1e-9 * rise:
            return share
        root = (b * b + 4.0 * a * share * rise) ** 0.5 if b * b + 4.0 * a * share * rise > 0 else b
        place = 2.0 * share * rise / (b + root)
        return float(min(max(place, 0.0), 1.0)) if place > 0.0 else share

    def _shorten(self, length: float, instants: list[Instant], target: float) -> float:
        """Aim the last step at the target, and halve the one before rather than leave a crumb."""
        if not instants:
            return length
        last = instants[-1]
        if self._rise <= 0.0:
            return length
        left = (target - last.held.pressure) / self._rise
        return min(length, left) if length > 0.5 * left else length

    def _step(
        self, held: Held, state: Array, sums: Array, length: float, time: float
    ) -> tuple[Held, Array, Array, float]:
        """Take one step; return receiver, state, sums and the error over what is let."""
        then = np.concatenate([[held.mass, held.energy, held.wall], state])
        part = GAMMA * length
        flows: list[Array] = []
        rates: list[Array] = []
        now = held
        slopes: list[float] = []
        for weights, node in zip(BEFORE, NODES, strict=True):
            base = then.copy()
            for weight, flow in zip(weights, flows, strict=False):
                base += length * weight * flow
            now, found = self._stage(base, part, now, time + node * length)
            row = np.concatenate([[now.mass, now.energy, now.wall], found])
            flows.append((row - base) / part)
            rates.append(self._rates(now))
            slopes.append(now.pressure)
        total = sums.copy()
        for weight, rate in zip((*BEFORE[-1], GAMMA), rates, strict=True):
            total += length * weight * rate
        error = length * np.einsum("i,ij->j", ERROR, flows)
        off = np.abs(error) / self._scales(now, state)
        # Masses taken in and delivered, over what they have come to.
        sum_off = length * np.abs(np.einsum("i,ij->j", ERROR, rates))[1:4]
        off_sums = sum_off / np.maximum(total[1:4], 1e-6)
        worst = float(max(off.max(), off_sums.max())) / self.tolerance
        # Pressure's slope at the end, from the last two stages.
        self._rise = (slopes[2] - slopes[1]) / ((NODES[2] - NODES[1]) * length)
        return now, row[3:], total, worst

    def _foresee(self, then: Held, part: float, near: Held) -> Held:
        """Return the receiver for the inflow that its course so far foretells."""
        for _ in range(2):
            inflow, enthalpy = self._course(near.pressure)
            near = self.vessel.settle(then, part, inflow, inflow * enthalpy, near)
        return near

    def _course(self, pressure: float) -> tuple[float, float]:
        """Carry inflow [kg/s] and its enthalpy [J/kg] on from the last two instants."""
        p1, m1, h1 = self._passed[-1]
        if len(self._passed) < 2:
            return m1, h1
        p0, m0, h0 = self._passed[0]
        share = (pressure - p1) / (p1 - p0) if p1 != p0 else 0.0
        share = min(max(share, -1.0), 2.0)
        return max(m1 + share * (m1 - m0), 0.0), h1 + share * (h1 - h0)

    def _note(self, cycle: Cycle, pressure: float, first: bool) -> None:
        """Keep a cycle, in place of an earlier one of the same instant."""
        if not first:
            self._passed.pop()
        m = cycle.delivered
        self._passed = [*self._passed[-1:], (pressure, m, cycle.delivered_enthalpy / max(m, 1e-12))]
        self.cycle = cycle

    def _scales(self, now: Held, state: Array) -> Array:
        """What an error of 1 is: the receiver's air, 300 K of a wall, ten times a line's air."""
        count = self.machine.numbering.count
        scale = np.full(3 + len(state), 300.0)
        scale[0] = now.mass
        scale[1] = max(abs(now.mass) * 3e5, 1.0)
        # A chamber's contents are of no account but in the balances.
        mass = np.full(count, np.inf)
        for volume in self.machine.numbering.lines:
            if volume >= 0:
                mass[volume] = 10.0 * max(state[len(state) - 2 * count + volume], 1e-9)
        scale[-2 * count : -count], scale[-count:] = mass, 3e5 * mass
        return scale

    def _rates(self, now: Held) -> Array:
        c = self._cycle()
        return np.array([
            1.0 / c.period, c.drive_air, c.stage_air, c.delivered, c.exhaust,
            c.supplied_enthalpy, c.lost, now.heat_out, c.waits,
        ])  # fmt: skip

    def _stage(self, base: Array, part: float, near: Held, time: float) -> tuple[Held, Array]:
        """Solve one stage: the pressure at which inflow and contents agree."""
        then = Held(
            mass=float(base[0]), energy=float(base[1]), wall=float(base[2]),
            temperature=near.temperature, pressure=near.pressure, heat=0.0, heat_out=0.0,
        )  # fmt: skip
        if self.cycle is not None:
            near = self._foresee(then, part, near)
        tried: list[tuple[float, float]] = []
        p = near.pressure
        for _ in range(TRIES):
            c = self.supply.solve(base[3:], part, p, time)
            self._note(c, p, first=not tried)
            now = self.vessel.settle(then, part, c.delivered, c.delivered_enthalpy, near)
            if tried and c.delivered > 0.0 and p != tried[-1][0]:
                rise = (c.delivered - self._inflow) / c.delivered
                self._elasticity = max(abs(rise * p / (p - tried[-1][0])), LEAST_ELASTICITY)
            self._inflow = c.delivered
            tried.append((p, now.pressure - p))
            if abs(now.pressure - p) * self._elasticity <= AGREED * p:
                return now, self.machine.state()
            p = _next_pressure(tried, now.pressure)
        raise ConvergenceError("receiver and machine did not agree")


def _next_pressure(tried: list[tuple[float, float]], answer: float) -> float:
    """Return the next pressure to try: secant, kept between pressures that bracket the answer."""
    if len(tried) == 1:
        return answer
    (p1, f1), (p2, f2) = tried[-2:]
    p = p2 - f2 * (p2 - p1) / (f2 - f1) if f1 != f2 else answer
    low = max((q for q, f in tried if f > 0.0), default=0.0)
    high = min((q for q, f in tried if f < 0.0), default=float("inf"))
    if low < p < high:
        return p
    return 0.5 * (low + high) if low > 0.0 and high < float("inf") else answer
