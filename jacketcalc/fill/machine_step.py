"""The machine at the end of an implicit step of time, and what its cycles carry there."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.core.layout import blank, constants
from jacketcalc.core.library import library
from jacketcalc.core.machine import number_volumes, pack_machine
from jacketcalc.core.read_outcome import per_mass, rubbed_rings, temperature
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.solution import Solution
from jacketcalc.core.stall import stall_pressure
from jacketcalc.designs import Design
from jacketcalc.errors import InstallationError
from jacketcalc.fill.gas import drive_table, gas_state
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


@dataclass(frozen=True, kw_only=True)
class Cycle:
    """What the machine carries at one instant of a fill, as means over a cycle."""

    period: float
    """Cycle time [s]."""
    waits: float
    """Share of it that the machine rests for its compressor [-]."""
    delivered: float
    """Mass flow into the receiver [kg/s]."""
    delivered_enthalpy: float
    """Enthalpy flow into it, on the table's datum [W]."""
    drive_air: float
    """Mass flow into the drive [kg/s]."""
    stage_air: float
    """Mass flow that stages draw from the supply or a source [kg/s]."""
    taken: float
    """Air that it takes of the supply [kg/s]."""
    exhaust: float
    """Mass flow out of the exhausts [kg/s]."""
    supplied_enthalpy: float
    """Enthalpy flow from supply and source into drive and stages [W]."""
    lost: float
    """Energy flow out of the machine but for the receiver: exhaust and heat to the surroundings, on
    the table's datum [W]."""
    discharge: tuple[float, ...]
    """Mass-mean discharge temperature of each stage [K]."""
    seal: tuple[float, ...]
    """Hottest of piston crown and barrel under the seal's travel, each stage [K]."""


class MachineStep:
    """One machine that is followed through time; owns the core's work space.

    Parameters
    ----------
    design : the machine
    resolution : how finely
    stop : array of one int32; another thread that sets it ends a solution
    """

    def __init__(self, design: Design, resolution: Resolution, stop: Any = None) -> None:
        self.machine, self.resolution, self.stop = design.machine, resolution, stop
        self.record, self.steps = pack_machine(design), resolution.packed()
        self.numbering = number_volumes(self.machine)
        self._stall = stall_pressure(self.machine)
        self.storage = pack_storage(self.machine, self.record, resolution)
        self.found = blank("Solution")
        self._passed: list[tuple[float, Any]] = []
        self._space = np.zeros(library().core_workspace(), dtype=np.uint8)
        self.solves = 0
        self.iterations = 0

    @property
    def supply_pressure(self) -> float:
        """Supply pressure that it is solved at [Pa]."""
        return float(self.record["supply_pressure"])

    def set_supply(self, pressure: float) -> None:
        """Set the supply pressure."""
        self.record["supply_pressure"] = pressure
        temperature = float(self.record["supply_temperature"])
        self.record["supply_enthalpy"] = gas_state(temperature, pressure)[1]
        supply = replace(self.machine.supply, pressure=pressure)
        self._stall = stall_pressure(replace(self.machine, supply=supply))

    def set_capacity(self, capacity: float) -> None:
        """Set the intake that rests keep to; 0 for none."""
        self.record["capacity"] = capacity

    def begin(self, pressure: float, walls: float, line_pressure: float) -> Array:
        """Return the state of a machine at rest whose walls and lines have one temperature.

        Chambers begin with what its first cycles keep in them.

        Parameters
        ----------
        pressure : of the receiver [Pa]
        walls : temperature [K]
        line_pressure : of the lines between stages [Pa]
        """
        storage, before = self.storage, self.storage["before"]
        storage["middle"][...] = walls
        for name in ("head", "crown", "line_wall", "outer"):
            before[name][...] = walls
        before["drive_wall"] = walls
        density, h = gas_state(walls, line_pressure, self.machine.gas.name)[:2]
        kept, lines = np.zeros(storage["kept"].shape), [v for v in self.numbering.lines if v >= 0]
        for volume in lines:
            mass = density * self.record["fixed_volume"][volume]
            before["mass"][volume] = mass
            before["energy"][volume] = mass * (h - line_pressure / density)
            kept[volume] = 1.0
        everything = storage["kept"].copy()
        storage["kept"][...] = kept
        try:
            self.record["receiver_pressure"] = pressure
            self._solve(PINNED, None)
        finally:
            storage["kept"][...] = everything
        state = self.state()
        for volume in lines:
            state[self._at("mass", volume)] = before["mass"][volume]
            state[self._at("energy", volume)] = before["energy"][volume]
        return state

    def _at(self, name: str, volume: int) -> int:
        """Where a volume's mass or energy stands in a state."""
        count = self.numbering.count
        return len(self.state()) - 2 * count + (0 if name == "mass" else count) + volume

    def state(self) -> Array:
        """Return walls [K] and contents [kg], [J] of the last solution as one row."""
        stages, nodes = len(self.machine.stages), len(self.numbering.nodes)
        cells = self.resolution.tube_cells + self.resolution.channel_cells
        start, count = self.found["start"], self.numbering.count
        return np.concatenate([
            self.found["barrel"]["middle"][:stages, : self.resolution.rings].ravel(),
            start["head"][:stages], start["crown"][:stages], start["line_wall"][:stages],
            [start["drive_wall"]], start["outer"][:nodes, :cells].ravel(),
            start["mass"][:count], start["energy"][:count],
        ])  # fmt: skip

    def mass_of(self, state: Array) -> float:
        """Return the air in all volumes of a state [kg]."""
        count = self.numbering.count
        return float(state[-2 * count : -count].sum())

    def energy_of(self, state: Array) -> float:
        """Return the energy of walls and contents of a state [J]."""
        stages, nodes = len(self.machine.stages), len(self.numbering.nodes)
        cells = self.resolution.tube_cells + self.resolution.channel_cells
        s, count = self.storage, self.numbering.count
        capacity = np.concatenate([
            np.repeat(s["ring"][:stages], self.resolution.rings),
            s["head"][:stages], s["crown"][:stages], s["line"][:stages],
            [s["drive"]], s["outer"][:nodes, :cells].ravel(),
        ])  # fmt: skip
        return float(capacity @ state[: len(capacity)] + state[-count:].sum())

    def _set_before(self, state: Array) -> None:
        """Write a state into the storage's record."""
        stages, nodes = len(self.machine.stages), len(self.numbering.nodes)
        rings, count = self.resolution.rings, self.numbering.count
        cells = self.resolution.tube_cells + self.resolution.channel_cells
        before, at = self.storage["before"], 0

        def take(size: int) -> Array:
            nonlocal at
            at += size
            return state[at - size : at]

        self.storage["middle"][:stages, :rings] = take(stages * rings).reshape(stages, rings)
        for name in ("head", "crown", "line_wall"):
            before[name][:stages] = take(stages)
        before["drive_wall"] = take(1)[0]
        before["outer"][:nodes, :cells] = take(nodes * cells).reshape(nodes, cells)
        before["mass"][:count], before["energy"][:count] = take(count), take(count)

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
        self._set_before(base)
        self.record["receiver_pressure"] = pressure
        self._solve(1.0 / length, self._nearby(time))
        self._pass(time)
        return self._read()

    def _pass(self, time: float) -> None:
        """Keep the last two instants solved."""
        kept = [one for one in self._passed if one[0] < time][-1:]
        self._passed = [*kept, (time, self.found["start"].copy())]

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
        self.storage["rate"] = rate
        for place in ([near] if near is not None else []) + [None]:
            ended = library().core_step(
                self.record.ctypes.data, drive_table().address, self.steps.ctypes.data,
                self.storage.ctypes.data, None if place is None else place.ctypes.data,
                None if self.stop is None else self.stop.ctypes.data,
                self._space.ctypes.data, self._space.nbytes, self.found.ctypes.data,
            )  # fmt: skip
            self.solves += 1
            self.iterations += int(self.found["iterations"])
            if ended == constants()["SOLVED"]:
                return
            if ended == constants()["INTERRUPTED"]:
                raise KeyboardInterrupt
            if ended < 0:
                raise InstallationError("the machine has more parts than the core has space for")
        raise NoCycleError(ended == constants()["STALLED"])

    def _read(self) -> Cycle:
        s = Solution(self.machine, self.record, self.found, self.steps)
        period, n = s.period, s.numbering
        final = [i for i, after in enumerate(n.after) if after < 0]
        first = [i for i, line in enumerate(n.lines) if line < 0]
        dt = s.whole["dt"][:, None]
        mass = (s.whole["flow"] * dt).sum(axis=0) / period
        heat = (s.whole["enthalpy"] * dt).sum(axis=0) / period
        exhaust = float((s.whole["exhaust"] * dt).sum()) / period
        balance, zero = self.found["balance"], float(self.record["ambient_enthalpy"])
        names = 4 + 2 * len(self.machine.stages) + 4
        lost = -float(balance[3:names].sum()) + zero * exhaust
        pressure = [
            float(self.record["receiver_pressure"]) if after < 0
            else float(s.whole["p"][:, after] @ s.whole["dt"]) / period
            for after in n.after
        ]  # fmt: skip
        return Cycle(
            period=period,
            waits=2.0 * float(self.found["start"]["wait"]) / period,
            delivered=float(sum(mass[3 + 2 * i] for i in final)),
            delivered_enthalpy=float(sum(heat[3 + 2 * i] for i in final)),
            drive_air=float(mass[0]),
            stage_air=float(sum(mass[2 + 2 * i] for i in first)),
            taken=float(mass[0] + sum(mass[2 + 2 * i] for i in first if n.lines[i] == -1)),
            exhaust=exhaust,
            supplied_enthalpy=float(heat[0] + sum(heat[2 + 2 * i] for i in first)),
            lost=lost,
            discharge=tuple(
                temperature(s, per_mass(heat[3 + 2 * i], mass[3 + 2 * i]), pressure[i])
                for i in range(len(n.stages))
            ),
            seal=tuple(
                float(max(b["inside"][: s.rings][rubbed_rings(s, i)].max(), b["crown"]))
                for i, b in enumerate(self.found["barrel"][: len(n.stages)])
            ),
        )
