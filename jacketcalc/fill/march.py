"""A fill through time: machine and receiver together, as many cycles in a step as the error lets.

What a step leaves out: within a cycle walls stay as they are, and so does the receiver; contents of
chambers and lines follow the cycle's own steady run, but for what they gain or lose from step to
step.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.errors import ConvergenceError
from jacketcalc.fill.agree import Joint
from jacketcalc.fill.cycle import Cycle
from jacketcalc.fill.machine_step import MachineStep, NoCycleError
from jacketcalc.fill.receiver import Held, Vessel
from jacketcalc.fill.rule import ORDER
from jacketcalc.fill.step import SUMS, Taken, take_step

TOLERANCE = 3e-3
"""Error let into each step: a share of the receiver's air, and of 300 K [-]. A hundredth of it
moves the shipped case's times by 2e-4 and its temperatures by 0.1 K."""
FIRST_STEP = 4.0
"""Cycles in the first step [-]."""
LEAST_STEP = 0.05
"""Cycles below which a step is not cut further: the machine has stopped [-]."""
MOST_STEPS = 400
"""Steps in all; 20 to 40 are usual."""
LARGEST_GROWTH, SAFETY, SMALLEST = 4.0, 0.8, 0.2
"""Limits on the change of a step's length [-]."""
BROKEN_OFF = 0.25
"""Share of a step that is tried where there was no solution at its end [-]."""
STOPPED = 0.1
"""Cycle rate over the highest of a fill below which the machine counts as stalled: closer to where
its forces end it only creeps [-]."""
DRY = 1e-3
"""Delivery over the highest of a fill below which a machine counts as delivering nothing: what its
clearance holds takes up the stroke [-]."""
LANDED = 1e-6
"""Relative pressure within which a fill has come to its target [-]."""

Ended = Literal["target", "stall", "dry", "unsettled", "steps"]
"""How a fill ended: at its target; where the machine stalls; where it delivers no more; where no
steady cycle was found; or after too many steps."""


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
        self.joint, self.tolerance, self._told = Joint(machine, vessel), tolerance, told
        self.machine = machine

    def run(self, target: float, state: Array, held: Held) -> Run:
        """Fill until the receiver has a pressure, or the machine no longer delivers.

        Parameters
        ----------
        target : pressure at which the fill ends [Pa]
        state : walls and contents at the start [SI]
        held : the receiver at the start
        """
        instants: list[Instant] = []
        first, begun, solved = state, held, self.machine.solves
        sums, time, rejected, growth, rise = np.zeros(len(SUMS)), 0.0, 0, LARGEST_GROWTH, 0.0
        length = FIRST_STEP * self.joint.period
        ended: Ended = "steps"
        while len(instants) < MOST_STEPS:
            length = _aim(length, target - held.pressure, rise)
            try:
                taken = take_step(self.joint, held, state, sums, length, time)
            except (NoCycleError, ConvergenceError) as fault:
                length, growth, rejected = BROKEN_OFF * length, 1.0, rejected + 1
                if length < LEAST_STEP * self.joint.period:
                    stalled = isinstance(fault, NoCycleError) and fault.stalled
                    ended = "stall" if stalled else "unsettled"
                    break
                continue
            factor = SAFETY * (max(taken.error, 1e-12) / self.tolerance) ** (-1.0 / ORDER)
            if taken.error > self.tolerance and length > LEAST_STEP * self.joint.period:
                length, rejected = length * max(SMALLEST, factor), rejected + 1
                continue
            if taken.held.pressure > target * (1.0 + LANDED):
                length, rejected = length * _land(target, held, taken, length), rejected + 1
                continue
            held, state, sums, rise = taken.held, taken.state, taken.sums, taken.rise
            time += length
            instants.append(self._instant(time, taken))
            if self._told is not None:
                self._told((held.pressure - begun.pressure) / (target - begun.pressure))
            if held.pressure >= target * (1.0 - LANDED):
                ended = "target"
                break
            if _creeps(instants) or _is_dry(instants):
                ended = "stall" if _creeps(instants) else "dry"
                break
            length *= min(growth, max(SMALLEST, factor))
            growth = LARGEST_GROWTH
        return Run(
            instants=tuple(instants),
            start=begun,
            ended=ended,
            state=state,
            machine_mass=self.machine.mass_of(state) - self.machine.mass_of(first),
            machine_energy=self.machine.energy_of(state) - self.machine.energy_of(first),
            rejected=rejected,
            solves=self.machine.solves - solved,
        )

    def _instant(self, time: float, taken: Taken) -> Instant:
        return Instant(
            time=time,
            held=taken.held,
            cycle=self.joint.last_cycle(),
            supply_pressure=self.machine.supply_pressure,
            sums=dict(zip(SUMS, map(float, taken.sums), strict=True)),
        )


def _aim(length: float, left: float, rise: float) -> float:
    """Return a step that ends at the target where it would come near it [s]."""
    if rise <= 0.0:
        return length
    return left / rise if length > left / rise else length


def _land(target: float, held: Held, taken: Taken, length: float) -> float:
    """Return the share of a step after which a pressure was met: of the parabola through its start
    with value and slope at its end."""
    whole, end = taken.held.pressure - held.pressure, taken.rise * length
    asked = target - held.pressure
    bend, slope = end - whole, 2.0 * whole - end
    root = slope * slope + 4.0 * bend * asked
    place = 2.0 * asked / (slope + root**0.5) if slope > 0.0 and root > 0.0 else asked / whole
    return min(max(place, 1e-3), 1.0)


def _creeps(instants: list[Instant]) -> bool:
    """Whether the machine all but stopped, and not because it waits for its compressor."""
    fastest = min(one.cycle.period for one in instants)
    last = instants[-1].cycle
    return last.waits <= 0.0 and fastest < STOPPED * last.period


def _is_dry(instants: list[Instant]) -> bool:
    """Whether next to nothing is delivered any more."""
    most = max(one.cycle.delivered for one in instants)
    return instants[-1].cycle.delivered < DRY * most
