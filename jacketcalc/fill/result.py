"""What a fill came to: the numbers a user reads, from the march."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.fill.gas import gas_state
from jacketcalc.fill.march import Ended, Run
from jacketcalc.fill.receiver import Vessel
from jacketcalc.flow_data import REFERENCE_DENSITY
from jacketcalc.inputs import Case, Machine, Receiver


@dataclass(frozen=True, kw_only=True)
class Peak:
    """The highest of a temperature over a fill."""

    temperature: float
    """How hot it was [K]."""
    time: float
    """When, since the start [s]."""
    pressure: float
    """Receiver pressure then [Pa]."""
    stage: str
    """Stage that it belongs to."""


@dataclass(frozen=True, kw_only=True)
class Course:
    """A fill over time, one number an instant."""

    time: Array
    """Since the start, shape (n,) [s]."""
    pressure: Array
    """Receiver, shape (n,) [Pa]."""
    temperature: Array
    """Air in the receiver, shape (n,) [K]."""
    wall: Array
    """Wall of the receiver, shape (n,) [K]."""
    mass: Array
    """Air in the receiver, shape (n,) [kg]."""
    delivery: Array
    """Mass flow into the receiver, shape (n,) [kg/s]."""
    cycle_rate: Array
    """Cycles a second, shape (n,) [1/s]."""
    taken: Array
    """Air that drive and first stage take, shape (n,) [kg/s]."""
    supply_pressure: Array
    """Supply, shape (n,) [Pa]."""
    discharge: Array
    """Mean discharge temperature, shape (n, stage) [K]."""
    seal: Array
    """Hottest of crown and barrel under the seal's travel, shape (n, stage) [K]."""


@dataclass(frozen=True, kw_only=True)
class Fill:
    """One machine's fill."""

    ended: Ended
    """How it ended."""
    pressure: float
    """Receiver pressure at the end [Pa]."""
    time: float
    """Duration [s]."""
    cycles: float
    """Cycles in it [-]."""
    drive_air: float
    """Air that the drive took [kg]."""
    drive_air_volume: float
    """The same as volume at the reference atmosphere, ISO 8778 [m3]."""
    stage_air: float
    """Air that the first stage drew [kg]."""
    delivered: float
    """Air that came into the receiver [kg]."""
    mass: float
    """Air in the receiver at the end [kg]."""
    temperature: float
    """Temperature of the air in the receiver at the end [K]."""
    wall: float
    """Temperature of the receiver's wall at the end [K]."""
    rest_pressure: float
    """Pressure that the receiver settles to once it is as warm as what surrounds it [Pa]."""
    hottest_discharge: Peak
    """Highest mean discharge temperature."""
    hottest_seal: Peak
    """Hottest seal."""
    rest_share: float
    """Share of the time that the machine rests for its compressor [-]."""
    lowest_supply: float
    """Lowest supply pressure [Pa]."""
    mass_closure: float
    """Air that is not accounted for over all air taken in [-]."""
    energy_closure: float
    """Energy that is not accounted for, over the supply pressure times the volume of all air
    taken in [-]."""
    steps: int
    """Steps of time [-]."""
    rejected: int
    """Steps that were taken again [-]."""
    solves: int
    """Solutions of the machine [-]."""
    course: Course
    """The fill over time."""

    @property
    def strokes(self) -> float:
        """Strokes, two a cycle [-]."""
        return 2.0 * self.cycles

    @property
    def reached(self) -> bool:
        """Whether it came to its target."""
        return self.ended == "target"

    @property
    def specific_air(self) -> float:
        """Drive air over what was delivered [-]."""
        return self.drive_air / self.delivered if self.delivered > 0.0 else 0.0


@dataclass(frozen=True, kw_only=True)
class FillComparison:
    """A fill with jackets beside the same one without."""

    case: Case
    """The case."""
    receiver: Receiver
    """The receiver that is filled."""
    target: float
    """Pressure asked for [Pa]."""
    no_jackets: Fill
    """The machine without jackets."""
    with_jackets: Fill | None
    """The machine with its jackets; None where it has none."""
    helped: float
    """Share of the time of the fill with jackets in which they filled faster than the machine
    without would have filled the same contents [-]."""
    air_is_short: bool
    """Whether the compressor's capacity limits the fill."""

    @property
    def fills(self) -> tuple[Fill, ...]:
        """The fills, without jackets first."""
        if self.with_jackets is None:
            return (self.no_jackets,)
        return self.no_jackets, self.with_jackets


def read_fill(run: Run, machine: Machine, vessel: Vessel) -> Fill:
    """Return what a march came to."""
    last, sums = run.instants[-1], run.instants[-1].sums
    course = _course(run)
    taken = sums["drive_air"] + sums["stage_air"]
    gained = last.held.mass - run.start.mass + run.machine_mass
    stored = last.held.energy - run.start.energy + run.machine_energy
    stored += vessel.capacity * (last.held.wall - run.start.wall)
    pushed = taken * machine.supply.pressure / _supply_density(machine)
    names = [stage.name for stage in machine.stages]
    return Fill(
        ended=run.ended,
        pressure=last.held.pressure,
        time=last.time,
        cycles=sums["cycles"],
        drive_air=sums["drive_air"],
        drive_air_volume=sums["drive_air"] / REFERENCE_DENSITY,
        stage_air=sums["stage_air"],
        delivered=sums["delivered"],
        mass=last.held.mass,
        temperature=last.held.temperature,
        wall=last.held.wall,
        rest_pressure=vessel.settled_pressure(last.held),
        hottest_discharge=_peak(course.discharge, course, names),
        hottest_seal=_peak(course.seal, course, names),
        rest_share=sums["rest"] / last.time,
        lowest_supply=float(course.supply_pressure.min()),
        mass_closure=(taken - sums["exhaust"] - gained) / taken,
        energy_closure=(sums["supplied"] - sums["lost"] - sums["receiver_heat"] - stored) / pushed,
        steps=len(run.instants),
        rejected=run.rejected,
        solves=run.solves,
        course=course,
    )


def _supply_density(machine: Machine) -> float:
    return float(gas_state(machine.supply.temperature, machine.supply.pressure)[0])


def _course(run: Run) -> Course:
    """Return a fill over time; what the machine does at its start is told by its first step."""
    held = [run.start, *(i.held for i in run.instants)]
    one = [run.instants[0], *run.instants]
    return Course(
        time=np.array([0.0, *(i.time for i in run.instants)]),
        pressure=np.array([h.pressure for h in held]),
        temperature=np.array([h.temperature for h in held]),
        wall=np.array([h.wall for h in held]),
        mass=np.array([h.mass for h in held]),
        delivery=np.array([i.cycle.delivered for i in one]),
        cycle_rate=np.array([1.0 / i.cycle.period for i in one]),
        taken=np.array([i.cycle.taken for i in one]),
        supply_pressure=np.array([i.supply_pressure for i in one]),
        discharge=np.array([i.cycle.discharge for i in one]),
        seal=np.array([i.cycle.seal for i in one]),
    )


def _peak(temperatures: Array, course: Course, names: list[str]) -> Peak:
    at, stage = np.unravel_index(int(np.argmax(temperatures)), temperatures.shape)
    return Peak(
        temperature=float(temperatures[at, stage]), time=float(course.time[at]),
        pressure=float(course.pressure[at]), stage=names[int(stage)],
    )  # fmt: skip
