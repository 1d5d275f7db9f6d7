"""One exhaust pulse of the shipped case: what drives it, and what the package made of it."""

from __future__ import annotations

import math
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from jacketcalc.casefile.reading import read_case
from jacketcalc.core.gas import core_air
from jacketcalc.core.machine import SMALLEST_NODE
from jacketcalc.core.read_outcome import read_outcome
from jacketcalc.core.run import solve
from jacketcalc.core.solution import Solution
from jacketcalc.designs import Design
from jacketcalc.gas.table import air
from jacketcalc.inputs import FlowElement, Machine
from jacketcalc.passage_geometry import passage_geometries

from .annulus_2009 import OF_2009
from .channel import Surroundings
from .euler import Array, Gas

CASE = Path(__file__).parents[1] / "machines" / "hot.toml"
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
    valve: FlowElement
    closed: float
    """How long the port is shut until the next pulse [s]."""


@dataclass(frozen=True, kw_only=True)
class Pulse:
    """A pulse as the solved machine has it."""

    chamber: Chamber
    around: Surroundings
    design: Design
    """What was solved."""
    node: int
    """Exhaust node."""
    walls: Any
    """Walls of the passage as the core takes them, shape (1,)."""
    machine: dict[str, float]
    """What the machine's solution says, SI."""

    def ringing(self, gas: Gas) -> float:
        """Period of a pipe shut at the port and open at the outlet, four passes of sound [s]."""
        s, T = self.around.sizes, CP_AT[0]
        return 4.0 * (s["tube_length"] + s["length"]) / math.sqrt(gas.gamma * gas.R * T)


def ideal_air() -> Gas:
    """Air as an ideal gas of constant specific heat."""
    cp = float(core_air().state(*CP_AT)[4])
    R = air().gas_constant
    return Gas(gamma=cp / (cp - R), R=R)


def without_tip_leak(machine: Machine) -> Machine:
    """Shut the slots over the ribs: their flow is parallel, and the same in both models."""
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
    design = Design(machine=machine, laws=OF_2009)
    solution = solve(design)
    if not solution.runs:
        raise ArithmeticError("the machine found no steady cycle")
    one, two = solution.parts
    first, then = (two, one) if node == 0 else (one, two)
    # The second instant of every step lies at its end; drive chamber and node have one number.
    ends = slice(1, None, 2)
    time = np.concatenate([[0.0], np.cumsum(first["dt"])[ends]])
    volume = np.concatenate([then["volume"][-1:, node], first["volume"][ends, node]])
    hA = np.concatenate([then["conductance"][-1:, node], first["conductance"][ends, node]])
    moves = np.concatenate([[True], np.diff(time) > 1e-9])
    chamber = Chamber(
        time=time[moves],
        volume=volume[moves],
        conductance=hA[moves],
        wall=float(solution.found["start"]["drive_wall"]),
        start=(float(then["p"][-1, node]), float(then["T"][-1, node])),
        valve=machine.valve.exhaust_path,
        closed=float(then["dt"].sum()),
    )
    walls = solution.found["around"][node : node + 1]
    around = Surroundings(
        sizes=asdict(passage_geometries(machine)[node]),
        closure=machine.models.jacket,
        barrel=walls["barrel"][0, : solution.cells],
        outer=walls["outer"][0, : solution.tube + solution.cells],
        ambient=(machine.ambient.pressure, machine.ambient.temperature),
    )
    return Pulse(
        chamber=chamber, around=around, design=design, node=node, walls=walls,
        machine=_machine_says(solution, node),
    )  # fmt: skip


def _machine_says(solution: Solution, node: int) -> dict[str, float]:
    """Heat and back-pressure as the package reports them."""
    outcome = read_outcome(solution)
    jacket = outcome.stages[solution.numbering.node_stage[node]].jacket
    assert jacket is not None
    return {
        "heat": jacket.heat,
        "rest heat": jacket.rest_heat,
        "back-pressure mean": jacket.back_pressure_mean,
        "back-pressure peak": jacket.back_pressure_peak,
        "transit share": jacket.transit_share,
        "period": 1.0 / outcome.cycle_rate,
    }
