"""One exhaust pulse of the shipped case: what drives it, and what the package made of it."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any

import numpy as np

from jacketcalc.casefile.reading import read_case
from jacketcalc.components.chambers import SMALLEST_NODE
from jacketcalc.components.designs import Design
from jacketcalc.coupling.finished import Finished
from jacketcalc.coupling.reading import Reading
from jacketcalc.coupling.solve import solve
from jacketcalc.gas.table import air
from jacketcalc.inputs import Conductance, Machine

from .channel import Surroundings
from .euler import Array, Gas

CASE = Path(__file__).parents[2] / "cases" / "impact_laboratory.toml"
CP_AT = (270.0, 1.5e5)
"""State whose specific heat the ideal gas has all over [K, Pa]."""
NODE = SMALLEST_NODE
"""Air between valve and tube, that of the package's port node without passage [m3]."""


@dataclass(frozen=True, kw_only=True)
class Chamber:
    """A drive chamber that empties through its valve while the piston moves as it did."""

    time: Array
    """From the valve's reversal [s]."""
    volume: Array
    """At these times [m3]."""
    conductance: Array
    """h A to the drive's wall at these times [W/K]."""
    wall: float
    """Drive wall [K]."""
    start: tuple[float, float]
    """Pressure [Pa] and temperature [K] at the reversal."""
    valve: Conductance
    closed: float
    """How long the port is shut until the next pulse [s]."""


@dataclass(frozen=True, kw_only=True)
class Pulse:
    """A pulse as the solved machine has it."""

    chamber: Chamber
    around: Surroundings
    geometry: Any
    """The package's passage geometry, fields of shape (1, 1)."""
    machine: dict[str, float]
    """What the machine's solution says, SI."""

    def ringing(self, gas: Gas) -> float:
        """Period of a pipe shut at the port and open at the vent, four passes of sound [s]."""
        s, T = self.around.sizes, CP_AT[0]
        return 4.0 * (s["tube_length"] + s["length"]) / math.sqrt(gas.gamma * gas.R * T)


def ideal_air() -> Gas:
    """Air as an ideal gas of constant specific heat."""
    cp = float(air().thermo(*map(np.asarray, CP_AT)).h_T)
    R = air().GAS_CONSTANT
    return Gas(gamma=cp / (cp - R), R=R)


def without_tip_leak(machine: Machine) -> Machine:
    """Shut the slots over the lands: their flow is parallel, and the same in both models."""
    stages = tuple(
        replace(s, jacket=replace(s.jacket, tip_clearance=0.0)) if s.jacket else s
        for s in machine.stages
    )
    return replace(machine, stages=stages)


def read_pulse(node: int) -> Pulse:
    """Solve the shipped case and take out the pulse of one exhaust port.

    Parameters
    ----------
    node : 0 for port 1, 1 for port 2
    """
    machine = without_tip_leak(read_case(str(CASE)).machine)
    groups: list[Finished] = []
    solve([Design(machine=machine)], groups.append)
    done = groups[0]
    snap, net = done.snapshot, done.network
    if done.where[0]:
        raise ArithmeticError(f"the machine did not settle: {done.where[0]}")
    one, two = snap.records
    first, then = (two, one) if node == 0 else (one, two)
    # The second instant of every step lies at its end.
    ends = slice(1, None, 2)
    last = then.dt.shape[0] - 1
    time = np.concatenate([[0.0], np.cumsum(first.dt[:, 0])[ends]])
    volume = np.concatenate([[then.volume[last, node, 0]], first.volume[ends, node, 0]])
    hA = np.concatenate([[then.conductance[last, node, 0]], first.conductance[ends, node, 0]])
    moves = np.concatenate([[True], np.diff(time) > 1e-9])
    chamber = Chamber(
        time=time[moves],
        volume=volume[moves],
        conductance=hA[moves],
        wall=float(snap.start.drive_wall[0, 0]),
        start=(float(then.p[last, node, 0]), float(then.T[last, node, 0])),
        valve=machine.valve.vent,
        closed=float(then.dt[:, 0].sum()),
    )
    names = [f.name for f in fields(net.passages)]
    sizes = {n: float(np.asarray(getattr(net.passages, n))[node, 0]) for n in names}
    walls = snap.passage_walls
    around = Surroundings(
        sizes=sizes,
        closure=machine.models.jacket,
        barrel=walls.barrel[:, node, 0],
        outer=walls.outer[:, node, 0],
        room=(machine.room.pressure, machine.room.temperature),
    )
    geometry = replace(net.passages, **{n: np.full((1, 1), v) for n, v in sizes.items()})
    return Pulse(
        chamber=chamber, around=around, geometry=geometry, machine=_machine_says(done, node)
    )


def _machine_says(done: Finished, node: int) -> dict[str, float]:
    """Heat and back-pressure as the package reports them."""
    outcome = Reading(done).outcomes()[0]
    stage = done.network.layout.node_stage[node]
    jacket = outcome.stages[stage].jacket
    assert jacket is not None
    return {
        "heat": jacket.heat,
        "rest heat": jacket.rest_heat,
        "back-pressure mean": jacket.back_pressure_mean,
        "back-pressure peak": jacket.back_pressure_peak,
        "transit share": jacket.transit_share,
        "period": 1.0 / outcome.cycle_rate,
    }
