"""What a machine would show at a bench."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.assessment.variants import bare_machine
from jacketcalc.core.run import run
from jacketcalc.core.solved import Result
from jacketcalc.designs import Design
from jacketcalc.gas.stage_gas import stage_gas_table
from jacketcalc.inputs import Machine
from jacketcalc.readings import PLACES, Reading

Solve = Callable[[Sequence[Design]], Sequence[Result]]
LEVELS = 5
"""Receiver pressures at which the delivery of a filling machine is taken [-]."""


def predict(
    machines: Sequence[Machine],
    readings: Sequence[Reading],
    stated: Machine,
    *,
    threads: int | None = None,
    solve: Solve | None = None,
) -> Array:
    """Return what each machine would show, of shape (machines, readings) [SI].

    NaN where a machine does not settle, stalls or has no such part.

    Parameters
    ----------
    machines : machines to read at
    readings : what is read, and in which state
    stated : machine of the case: its supply pressure is what a sag counts from
    threads : machines solved at once; as many as there are cores when None
    solve : what solves machines in detail, if not the core itself
    """
    asked: dict[Design, int] = {}
    places = [
        [[asked.setdefault(d, len(asked)) for d in designs_of(machine, reading, stated)]
         for reading in readings]
        for machine in machines
    ]  # fmt: skip
    each = list(asked)
    solved = solve(each) if solve else run(each, details=True, threads=threads)
    return np.array(
        [
            [_read([solved[i] for i in own], reading, machine, stated)
             for own, reading in zip(row, readings, strict=True)]
            for row, machine in zip(places, machines, strict=True)
        ]
    )  # fmt: skip


def without_profiles(result: Result) -> Result:
    """Return a result with the walls alone, which readings need; the rest takes megabytes."""
    if result.detail is None:
        return replace(result, tracks=None)
    none = np.empty(0)
    stages = tuple(
        replace(
            stage, volume=none, pressure=none, temperature=none, wall_inside=none,
            wall_position=stage.wall_position.copy(), wall_outside=stage.wall_outside.copy(),
        )
        for stage in result.detail.stages
    )  # fmt: skip
    detail = replace(
        result.detail, time=none, position=none, drive_pressure=none, stages=stages, passages=(),
        pressure_budgets=(),
    )  # fmt: skip
    return replace(result, detail=detail, tracks=None)


def designs_of(machine: Machine, reading: Reading, stated: Machine) -> tuple[Design, ...]:
    """Return the machines to solve for a reading: several pressures for a fill time."""
    state = _in_state(machine, reading, stated)
    if reading.kind != "fill time":
        return (Design(machine=state),)
    levels = np.linspace(reading.pressure_from, reading.pressure_to, LEVELS)
    return tuple(Design(machine=replace(state, receiver_pressure=float(p))) for p in levels)


def _in_state(machine: Machine, reading: Reading, stated: Machine) -> Machine:
    """Return the machine as it stood when it was read."""
    if reading.supply_pressure is not None:
        # What a sag takes from the supply of the case it takes from the one that was read.
        sag = machine.supply.pressure / stated.supply.pressure
        supply = replace(machine.supply, pressure=sag * reading.supply_pressure)
        machine = replace(machine, supply=supply)
    if reading.receiver_pressure is not None:
        machine = replace(machine, receiver_pressure=reading.receiver_pressure)
    if reading.ambient_temperature is not None:
        air_outside = replace(machine.ambient, temperature=reading.ambient_temperature)
        machine = replace(machine, ambient=air_outside)
    return machine if reading.jackets == "with" else bare_machine(machine, "exhaust direct")


def _read(results: Sequence[Result], reading: Reading, machine: Machine, stated: Machine) -> float:
    if any(r.failure or r.outcome.stalled for r in results):
        return float("nan")
    outcome, detail = results[0].outcome, results[0].detail
    match reading.kind:
        case "cycle time":
            return 1.0 / outcome.cycle_rate
        case "delivered mass":
            return outcome.delivered_mass_flow * reading.duration
        case "valve pressure":
            return _in_state(machine, reading, stated).supply.pressure
        case "fill time":
            return _fill_time([r.outcome.delivered_mass_flow for r in results], reading, machine)
    stage = [s.name for s in machine.stages].index(reading.stage)
    if reading.kind == "wall temperature":
        assert detail is not None
        own = detail.stages[stage]
        length = machine.stages[stage].barrel_length
        return float(np.interp(PLACES[reading.place] * length, own.wall_position, own.wall_outside))
    jacket = outcome.stages[stage].jacket
    return float("nan") if jacket is None else jacket.outlet_temperature


def _fill_time(flows: Sequence[float], reading: Reading, machine: Machine) -> float:
    """Return the time from one receiver pressure to another, the receiver at ambient [s]."""
    if min(flows) <= 0.0:
        return float("nan")
    levels = np.linspace(reading.pressure_from, reading.pressure_to, LEVELS)
    outside = reading.ambient_temperature or machine.ambient.temperature
    table = stage_gas_table(machine)
    held = [table.thermo(outside, p).rho for p in levels]
    mass = reading.receiver_volume * np.asarray(held, dtype=float)
    pace = 1.0 / np.asarray(flows)
    return float(np.sum(0.5 * (pace[1:] + pace[:-1]) * np.diff(mass)))
