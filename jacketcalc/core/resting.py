"""The outcome of a machine that does not run: nothing flows, and what stands is told."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from jacketcalc.core.catalogue import OUTPUTS
from jacketcalc.core.equivalent import equivalent_conductance
from jacketcalc.core.outcome import (
    JacketOutcome,
    Outcome,
    StageOutcome,
    SurfaceTemperature,
    WallTemperature,
)
from jacketcalc.core.output_record import Owner
from jacketcalc.core.solution import Solution
from jacketcalc.core.stall import Stop, force_margin, read_stop, stall_pressure


def resting_outcome(s: Solution) -> Outcome:
    """Return a machine at rest: all at ambient temperature, stages full of what they draw."""
    m, ambient = s.machine, s.machine.ambient.temperature
    nodes = range(len(s.numbering.nodes))
    none = tuple(0.0 for _ in nodes)
    stop = read_stop(s) if s.stalled else Stop(by="")
    found = {
        **_still(Outcome, "machine", ambient),
        "port_temperature": tuple(ambient for _ in nodes),
        "back_pressure_mean": none,
        "back_pressure_peak": none,
        "stages": tuple(_stage(s, i) for i in range(len(m.stages))),
        "energy_balance": {},
        "cold": None,
        "water": None,
        "stalled": s.stalled,
        "held_by": stop.by,
        "stalls_in": stop.stage,
        "stall_reach": stop.reach,
        "stall_asked": stop.asked,
        "lowest_pressure": m.ambient.pressure,
        "highest_pressure": m.receiver_pressure,
        "stall_pressure": stall_pressure(m),
        "force_margin": force_margin(m),
        "turns": s.turns,
        "residual": float(s.found["residual"]),
    }
    return Outcome(**found)


def _still(record: type[Any], owner: Owner, ambient: float) -> dict[str, Any]:
    """Return the numbers of a record at rest: temperatures are ambient, all else is nought."""
    kinds = {o.path.rpartition(".")[2]: o.dimension for o in OUTPUTS if o.owner == owner}
    names = [field.name for field in fields(record) if field.name in kinds]
    return {name: ambient if kinds[name] == "temperature" else 0.0 for name in names}


def _stage(s: Solution, i: int) -> StageOutcome:
    ambient = s.machine.ambient.temperature
    first = s.machine.feed(s.machine.stages[i]).pressure
    node = s.node_of(i)
    final = s.numbering.after[i] < 0
    found = {
        **_still(StageOutcome, "stage", ambient),
        "name": s.machine.stages[i].name,
        "compression_start_pressure": first,
        "delivery_pressure": s.machine.receiver_pressure if final else first,
        "wall_temperature": WallTemperature(min=ambient, mean=ambient, max=ambient),
        "surface": SurfaceTemperature(head=ambient, middle=ambient, flange=ambient),
        "jacket": _jacket(s, node) if node >= 0 and s.jacketed(node) else None,
    }
    return StageOutcome(**found)


def _jacket(s: Solution, node: int) -> JacketOutcome:
    """Return a jacket without flow; its flow curve is known all the same."""
    ambient = s.machine.ambient
    C, b = equivalent_conductance(s.found["curve"][node : node + 1], ambient.pressure)
    found = {
        **_still(JacketOutcome, "jacket", ambient.temperature),
        "sonic_conductance": C,
        "critical_back_pressure_ratio": b,
        "chokes": "",
    }
    return JacketOutcome(**found)
