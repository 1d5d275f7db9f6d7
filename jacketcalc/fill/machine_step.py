"""The machine at the end of an implicit step of time."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.core.layout import blank, constants
from jacketcalc.core.library import library
from jacketcalc.core.machine import number_volumes, pack_machine
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.solution import Solution
from jacketcalc.core.stall import stall_pressure
from jacketcalc.designs import Design
from jacketcalc.errors import ConvergenceError, RangeError
from jacketcalc.fill.cycle import Cycle, read_cycle
from jacketcalc.fill.gas import drive_table, gas_state
from jacketcalc.fill.machine_state import StateRow
from jacketcalc.fill.storage import pack_storage

PINNED = 1e3
"""Rate of a step so short that walls stay as they are [1/s]."""
FURTHEST = 1.5
"""Furthest that two instants are carried on, over the time between them [-]."""


class NoCycleError(Exception):
    """The machine came to no steady cycle; `stalled` where the piston stops."""

    def __init__(self, stalled: bool) -> None:
        super().__init__("stalled" if stalled else "unsettled")
        self.stalled = stalled


class MachineStep:
    """One machine that is followed through time; owns the core's work space.

    Parameters
    ----------
    design : the machine
    resolution : how finely
    stop : array of one int32; another thread that sets it ends a solution
    """

    def __init__(self, design: Design, resolution: Resolution, stop: Any = None) -> None:
        self.machine, self.stop = design.machine, stop
        self.record, self.steps = pack_machine(design), resolution.packed()
        self.numbering = number_volumes(self.machine)
        self.row = StateRow(self.numbering, resolution)
        self.storage = pack_storage(self.machine, self.record, resolution)
        self.found = blank("Solution")
        self.solves = 0
        self._stall = stall_pressure(self.machine)
        self._space = np.zeros(library().core_workspace(), dtype=np.uint8)
        self._passed: list[tuple[float, Any]] = []

    @property
    def supply_pressure(self) -> float:
        """Supply pressure that it is solved at [Pa]."""
        return float(self.record["supply_pressure"])

    def set_supply(self, pressure: float) -> None:
        """Set the supply pressure."""
        T = float(self.record["supply_temperature"])
        self.record["supply_pressure"] = pressure
        self.record["supply_enthalpy"] = gas_state(T, pressure)[1]
        supply = replace(self.machine.supply, pressure=pressure)
        self._stall = stall_pressure(replace(self.machine, supply=supply))

    def set_capacity(self, capacity: float) -> None:
        """Set the intake that rests keep to [kg/s]; 0 for none."""
        self.record["capacity"] = capacity

    def mass_of(self, state: Array) -> float:
        """Return the air in all volumes of a state [kg]."""
        return float(self.row.mass(state).sum())

    def energy_of(self, state: Array) -> float:
        """Return the energy of walls and contents of a state [J]."""
        capacities = self.row.capacities(self.storage)
        return float(capacities @ state[: len(capacities)] + self.row.energy(state).sum())

    def begin(self, pressure: float) -> Array:
        """Return the state of a cold machine, its lines at the pressure that feeds it.

        Parameters
        ----------
        pressure : of the receiver [Pa]
        """
        walls, before = self.machine.ambient.temperature, self.storage["before"]
        self.storage["middle"][...] = walls
        for name in ("head", "crown", "line_wall", "drive_wall", "outer"):
            before[name][...] = walls
        fed = self.machine.feed(self.machine.stages[0]).pressure
        density, h = gas_state(walls, fed, self.machine.gas.name)[:2]
        volumes = density * self.record["fixed_volume"]
        before["mass"][self._lines] = volumes[self._lines]
        before["energy"][self._lines] = (volumes * (h - fed / density))[self._lines]
        return self._first_cycles(pressure)

    def begin_again(self, state: Array, pressure: float) -> Array:
        """Return a state whose chambers hold what the first cycles keep in them.

        Parameters
        ----------
        state : walls and lines that stay as they are [SI]
        pressure : of the receiver [Pa]
        """
        self.row.write(state, self.storage)
        return self._first_cycles(pressure)

    @property
    def _lines(self) -> list[int]:
        """Volumes of the lines between stages."""
        return [volume for volume in self.numbering.lines if volume >= 0]

    def _first_cycles(self, pressure: float) -> Array:
        """Solve the machine between walls and lines that stay, for its chambers."""
        kept = self.storage["kept"].copy()
        self.storage["kept"][...] = 0.0
        self.storage["kept"][self._lines] = 1.0
        self._passed = []
        self.record["receiver_pressure"] = pressure
        try:
            self._solve(PINNED, None)
        finally:
            self.storage["kept"][...] = kept
        state = self.row.read(self.found)
        for name, own in (("mass", self.row.mass(state)), ("energy", self.row.energy(state))):
            own[self._lines] = self.storage["before"][name][self._lines]
        return state

    def state(self) -> Array:
        """Return walls [K] and contents [kg], [J] of the last solution as one row."""
        return self.row.read(self.found)

    def solve(self, base: Array, length: float, pressure: float, time: float) -> Cycle:
        """Solve the machine at the end of an implicit step and return what its cycles carry.

        Parameters
        ----------
        base : walls and contents that the step starts from [SI]
        length : of the step [s]
        pressure : of the receiver [Pa]
        time : since the start of the fill [s]

        Raises
        ------
        NoCycleError
            When there is no steady cycle there.
        """
        if pressure >= self._stall:
            raise NoCycleError(True)
        self.row.write(base, self.storage)
        self.record["receiver_pressure"] = pressure
        self._solve(1.0 / length, self._nearby(time))
        kept = [one for one in self._passed if one[0] < time][-1:]
        self._passed = [*kept, (time, self.found["start"].copy())]
        return read_cycle(Solution(self.machine, self.record, self.found, self.steps))

    def rest(self, base: Array, length: float) -> Array:
        """Return walls and contents after an implicit step in which the machine stands still.

        Parameters
        ----------
        base : walls and contents that the step starts from [SI]
        length : of the step [s]

        Raises
        ------
        ConvergenceError
            When the walls did not settle.
        """
        self.row.write(base, self.storage)
        self.storage["rate"] = 1.0 / length
        start = self.storage["before"].copy()
        start["inside"][...] = start["outside"][...] = self.storage["middle"]
        start["period"] = 1.0
        ended = library().core_rest(
            self.record.ctypes.data, drive_table().address, self.steps.ctypes.data,
            self.storage.ctypes.data, start.ctypes.data,
            self._space.ctypes.data, self._space.nbytes, self.found.ctypes.data,
        )  # fmt: skip
        if ended != constants()["SOLVED"]:
            raise ConvergenceError("the walls of the machine at rest did not settle")
        state = self.row.read(self.found)
        self.row.mass(state)[...] = self.row.mass(base)
        self.row.energy(state)[...] = self.row.energy(base)
        return state

    def _nearby(self, time: float) -> Any:
        """Carry on the last two instants to a time; None where there is none."""
        if not self._passed:
            return None
        (t1, last), (t0, first) = self._passed[-1], self._passed[0]
        if t1 <= t0 or time <= t0:
            return last
        share = min((time - t1) / (t1 - t0), FURTHEST)
        guess = last.copy()
        ahead, now, then = (one.reshape(1).view(np.float64) for one in (guess, last, first))
        ahead[...] = now + share * (now - then)
        return guess

    def _solve(self, rate: float, near: Any) -> None:
        """Call the core, near the last solution; where that fails, from its own first guess."""
        self.storage["rate"], ended, codes = rate, -1, constants()
        for place in (None,) if near is None else (near, None):
            ended = library().core_step(
                self.record.ctypes.data, drive_table().address, self.steps.ctypes.data,
                self.storage.ctypes.data, None if place is None else place.ctypes.data,
                None if self.stop is None else self.stop.ctypes.data,
                self._space.ctypes.data, self._space.nbytes, self.found.ctypes.data,
            )  # fmt: skip
            self.solves += 1
            if ended == codes["SOLVED"]:
                return
            if ended == codes["INTERRUPTED"]:
                raise KeyboardInterrupt
            if ended < 0:
                raise RangeError("the machine has more parts than the core has space for")
        raise NoCycleError(ended == codes["STALLED"])
