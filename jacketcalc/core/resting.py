"""The outcome of a machine that does not run: nothing flows, and what stands is told."""

from __future__ import annotations

from jacketcalc.core.equivalent import equivalent_conductance
from jacketcalc.core.outcome import JacketOutcome, Outcome, StageOutcome, WallTemperature
from jacketcalc.core.solution import Solution
from jacketcalc.core.stall import force_margin, stall_pressure


def resting_outcome(s: Solution) -> Outcome:
    """Return a machine at rest: all at the room's temperature, stages full of what they draw."""
    m, room = s.machine, s.machine.room.temperature
    nodes = range(len(s.numbering.nodes))
    none = tuple(0.0 for _ in nodes)
    return Outcome(
        cycle_rate=0.0,
        delivered_mass_flow=0.0,
        drive_air_mass_flow=0.0,
        drive_air_per_kg=0.0,
        drive_work=0.0,
        drive_wall_temperature=room,
        drive_gas_heat=0.0,
        port_temperature=tuple(room for _ in nodes),
        back_pressure_mean=none,
        back_pressure_peak=none,
        stages=tuple(_stage(s, i) for i in range(len(m.stages))),
        ledger={},
        energy_closure=0.0,
        mass_closure=0.0,
        cold=None,
        water=None,
        stalled=s.stalled,
        stalls_in=_stalls_in(s) if s.stalled else "",
        coldest_gas=room,
        hottest_gas=room,
        coldest_passage=room,
        lowest_pressure=m.room.pressure,
        highest_pressure=m.tank_pressure,
        stall_pressure=stall_pressure(m),
        force_margin=force_margin(m),
        wait=0.0,
        free_cycle_rate=0.0,
        turns=s.turns,
        residual=float(s.found["residual"]),
    )


def _stage(s: Solution, i: int) -> StageOutcome:
    room, supply = s.machine.room.temperature, s.machine.supply
    node = s.node_of(i)
    return StageOutcome(
        name=s.machine.stages[i].name,
        charge_temperature=room,
        turn_temperature=room,
        charge_pressure=supply.pressure,
        suction_temperature=room,
        discharge_temperature=room,
        peak_temperature=room,
        delivery_pressure=s.machine.tank_pressure if s.numbering.after[i] < 0 else supply.pressure,
        mass_per_stroke=0.0,
        volumetric_efficiency=0.0,
        compression_work=0.0,
        gas_heat=0.0,
        wall_temperature=WallTemperature(min=room, mean=room, max=room),
        seal_temperature=room,
        jacket=_jacket(s, node) if node >= 0 and s.jacketed(node) else None,
    )


def _jacket(s: Solution, node: int) -> JacketOutcome:
    """Return a jacket without flow; its flow curve is known all the same."""
    room = s.machine.room
    C, b = equivalent_conductance(s.found["curve"][node : node + 1], room.pressure)
    return JacketOutcome(
        heat=0.0,
        rest_heat=0.0,
        port_temperature=room.temperature,
        port_coldest=room.temperature,
        inlet_temperature=room.temperature,
        outlet_temperature=room.temperature,
        back_pressure_mean=0.0,
        back_pressure_peak=0.0,
        sonic_conductance=C,
        critical_pressure_ratio=b,
        mach_peak=0.0,
        reynolds_mean=0.0,
        reynolds_peak=0.0,
        coefficient=0.0,
        velocity_peak=0.0,
        leak_share=0.0,
        chokes="",
        transit_share=0.0,
        coldest_wall=room.temperature,
    )


def _stalls_in(s: Solution) -> str:
    """Name of the stage that compresses on the stroke that was not completed."""
    number = int(s.found["stalled_on"])
    names = [stage.name for stage in s.machine.stages if stage.compresses_on == number]
    return names[-1] if names else "none"
