"""Many cycles stepped over at once, against every cycle passed one by one.

The other way carries contents and walls from each cycle into the next: no fixed point, no steps
longer than a cycle, no error estimate. The receiver stands at the middle of what it goes through in
a cycle, so that what is left between the two ways falls with the number of cycles.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from fill_sample import CASE, COARSE, RECEIVER, march

from jacketcalc.core.layout import blank
from jacketcalc.core.library import library
from jacketcalc.core.solution import Solution
from jacketcalc.designs import Design
from jacketcalc.fill.cycle import read_cycle
from jacketcalc.fill.gas import drive_table
from jacketcalc.fill.machine_step import MachineStep
from jacketcalc.fill.receiver import Vessel

TARGET = 61e5
OWN = replace(RECEIVER, volume=2e-3, wall_mass=2.4, diameter=0.1, surface=0.1)


def pass_every_cycle(target: float) -> dict[str, float]:
    machine = CASE.machine
    step, vessel = MachineStep(Design(machine=machine), COARSE), Vessel(OWN, machine)
    held = vessel.start()
    state = step.begin(held.pressure)
    step.row.write(state, step.storage)
    then, found, out = step.storage, step.found["start"].copy(), blank("Solution")
    for name in ("mass", "energy", "head", "crown", "line_wall", "drive_wall", "outer"):
        found[name] = then["before"][name]
    found["inside"][...] = found["outside"][...] = machine.ambient.temperature
    period = float(found["period"])
    space = np.zeros(library().core_workspace(), dtype=np.uint8)
    sums = {"time": 0.0, "cycles": 0.0, "drive_air": 0.0, "discharge": 0.0, "seal": 0.0}
    rise = 0.0
    while held.pressure < target:
        step.record["receiver_pressure"] = held.pressure + 0.5 * rise
        then["rate"] = 1.0 / period
        ended = library().core_cycle(
            step.record.ctypes.data, drive_table().address, step.steps.ctypes.data,
            then.ctypes.data, found.ctypes.data, space.ctypes.data, space.nbytes, out.ctypes.data,
        )  # fmt: skip
        assert ended == 0
        found = out["start"].copy()
        cycle = read_cycle(Solution(machine, step.record, out, step.steps))
        period = cycle.period
        before, held = (
            held,
            vessel.settle(held, period, cycle.delivered, cycle.delivered_enthalpy, held),
        )
        part = min(1.0, (target - before.pressure) / (held.pressure - before.pressure))
        rise = held.pressure - before.pressure
        sums["time"] += part * period
        sums["cycles"] += part
        sums["drive_air"] += part * cycle.drive_air * period
        sums["discharge"] = max(sums["discharge"], *cycle.discharge)
        sums["seal"] = max(sums["seal"], *cycle.seal)
        then["middle"][:2, : COARSE.rings] = out["barrel"]["middle"][:2, : COARSE.rings]
        then["before"] = found
        found["period"] = period
    return {**sums, "temperature": held.temperature, "line": float(found["mass"][6])}


def test_steps_of_many_cycles_come_to_what_every_cycle_comes_to() -> None:
    every = pass_every_cycle(TARGET)
    assert every["cycles"] > 20
    run, _, _ = march(CASE.machine, TARGET, OWN, tolerance=3e-4)
    last = run.instants[-1]
    assert run.ended == "target"
    assert last.time == pytest.approx(every["time"], rel=2e-3)
    assert last.sums["cycles"] == pytest.approx(every["cycles"], rel=2e-3)
    assert last.sums["drive_air"] == pytest.approx(every["drive_air"], rel=2e-3)
    assert last.held.temperature == pytest.approx(every["temperature"], abs=0.1)
    hottest = max(max(one.cycle.discharge) for one in run.instants)
    assert hottest == pytest.approx(every["discharge"], abs=0.5)


def test_a_steady_machine_is_where_every_cycle_leads() -> None:
    """A step without end comes to the steady state of `solve`."""
    from jacketcalc.core.run import solve

    machine = replace(CASE.machine, receiver_pressure=150e5)
    step = MachineStep(Design(machine=machine), COARSE)
    state = step.begin(150e5)
    cycle = step.solve(state, 1e12, 150e5, 0.0)
    steady = solve(Design(machine=machine), COARSE)
    assert cycle.period == pytest.approx(steady.period, rel=1e-6)
    assert cycle.delivered == pytest.approx(steady.carried(5) / steady.period, rel=1e-6)
