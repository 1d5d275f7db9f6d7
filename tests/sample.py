"""A machine for tests (invented), an ideal gas in place of the air table, and a short solve."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from jacketcalc.core.machine import pack_machine
from jacketcalc.core.outcome import Outcome
from jacketcalc.core.resolution import Resolution
from jacketcalc.core.run import read_result, solve_packed
from jacketcalc.core.solution import Solution
from jacketcalc.designs import Design
from jacketcalc.gas.table import Thermo
from jacketcalc.inputs import (
    Ambient,
    CheckValve,
    Drive,
    Exhaust,
    FlowElement,
    Jacket,
    Line,
    Machine,
    Solid,
    Stage,
    Supply,
    Tube,
    Valve,
)

Array = NDArray[np.float64]

STEEL = Solid(name="steel", conductivity=16.2, emissivity=0.3, lowest=200.0, highest=500.0)
PLASTIC = Solid(name="plastic", conductivity=0.3, emissivity=0.9, lowest=200.0, highest=360.0)
ALUMINIUM = Solid(name="aluminium", conductivity=167.0, emissivity=0.3, lowest=200.0, highest=400.0)
TUBE = Tube(bore=12e-3, wall=2e-3, length=0.4, material=PLASTIC, roughness=2e-6, fitting_loss=1.5)
JACKET = Jacket(
    gap=8e-3, pitch=30e-3, starts=1, rib=3e-3, length=0.12, offset=0.0, inlet_at="head",
    rib_joint="barrel", tip_clearance=1e-4, roughness=3e-6, inlet_loss=0.5, outlet_loss=1.0,
    outlet_bore=20e-3, inlet_bore=12e-3, gallery_width=0.0, shell_thickness=4e-3, shell=PLASTIC,
)  # fmt: skip


def iso(litres: float, critical_back_pressure_ratio: float = 0.3) -> FlowElement:
    """Give a conductance from dm3/(s bar)."""
    return FlowElement(
        sonic=litres * 1e-8, critical_back_pressure_ratio=critical_back_pressure_ratio
    )


FIRST = Stage(
    name="first", draws_from="supply", compresses_on=2, bore=32e-3, clearance=0.05,
    barrel_length=0.165, wall_thickness=4e-3, material=STEEL, head_thickness=10e-3,
    piston_length=38e-3, inlet=CheckValve(conductance=iso(2.0), cracking_pressure=5e3),
    delivery=CheckValve(conductance=iso(1.0), cracking_pressure=1e4), seal_friction=0.03,
    seal=PLASTIC, flange_conductance=1.0, jacket=JACKET,
)  # fmt: skip
SECOND = replace(
    FIRST, name="second", draws_from="first", compresses_on=1, bore=14e-3, wall_thickness=6e-3,
    piston_length=20e-3, barrel_length=0.146,
    inlet=CheckValve(conductance=iso(0.5), cracking_pressure=2e4),
    delivery=CheckValve(conductance=iso(0.3), cracking_pressure=5e4),
    line=Line(volume=15e-6, heat_loss=0.1),
)  # fmt: skip
MACHINE = Machine(
    ambient=Ambient(temperature=293.15, pressure=101325.0),
    supply=Supply(pressure=8e5, temperature=293.15, pressure_dew_point=276.15),
    valve=Valve(supply_path=iso(5.0), exhaust_path=iso(5.0), switching_time=0.03),
    drive=Drive(
        bore=0.1, stroke=0.12, rod_1=16e-3, rod_2=16e-3, dead_volume_1=4e-5,
        dead_volume_2=4e-5, moving_mass=3.5, friction=60.0, friction_share=0.05,
        wall_thickness=4e-3, material=ALUMINIUM,
    ),
    stages=(FIRST, SECOND),
    receiver_pressure=301e5,
    exhaust_1=Exhaust(to="second", tube=TUBE),
    exhaust_2=Exhaust(to="first", tube=TUBE),
)  # fmt: skip


def jacketed(machine: Machine = MACHINE, **changes: Any) -> Machine:
    """Change every jacket of a machine."""
    return replace(
        machine, stages=tuple(replace(s, jacket=replace(JACKET, **changes)) for s in machine.stages)
    )


def bare(machine: Machine = MACHINE) -> Machine:
    """Take jackets and tubes away."""
    return replace(
        machine,
        stages=tuple(replace(s, jacket=None) for s in machine.stages),
        exhaust_1=Exhaust(to="atmosphere"),
        exhaust_2=Exhaust(to="atmosphere"),
    )


def single(pressure: float, receiver: float, bore: float, **stage: Any) -> Machine:
    """Make a bare single-stage machine; the stage draws from the drive's supply."""
    only = replace(FIRST, jacket=None, bore=bore, **stage)
    machine = replace(MACHINE, stages=(only,), receiver_pressure=receiver)
    return replace(bare(machine), stages=(only,), supply=replace(MACHINE.supply, pressure=pressure))


@dataclass(frozen=True)
class Solved:
    """Outcomes in the order of the designs, why some failed, and the core's solutions."""

    outcomes: list[Outcome]
    reasons: list[str]
    solutions: list[Solution]


def run(
    designs: Sequence[Design | Machine],
    factor: float = 1.0,
    change: Callable[[Any], None] = lambda record: None,
    resolution: Resolution | None = None,
) -> Solved:
    """Solve designs side by side.

    Parameters
    ----------
    designs : designs, or machines as they stand
    factor : steps over the default number of steps
    change : changes what the core is given of a machine, in place
    resolution : steps, rings and cells, in place of `factor`
    """
    steps = resolution or Resolution().scaled(factor)

    def one(design: Design | Machine) -> Solution:
        given = design if isinstance(design, Design) else Design(machine=design)
        record = pack_machine(given)
        change(record)
        return solve_packed(given.machine, record, steps)

    with ThreadPoolExecutor() as threads:
        solutions = list(threads.map(one, designs))
    results = [read_result(solution) for solution in solutions]
    return Solved([r.outcome for r in results], [r.failure for r in results], solutions)


@dataclass(frozen=True)
class IdealAir:
    """An ideal gas of constant properties with the face of the air table."""

    gamma: float = 1.4
    GAS_CONSTANT: float = 287.0
    viscosity: float = 1.8e-5
    prandtl: float = 0.7

    @property
    def cp(self) -> float:
        """Specific heat at constant pressure [J/(kg K)]."""
        return self.gamma / (self.gamma - 1.0) * self.GAS_CONSTANT

    def thermo(self, T: Any, p: Any) -> Thermo:
        T, p = np.broadcast_arrays(np.asarray(T, dtype=float), np.asarray(p, dtype=float))
        rho, one = p / (self.GAS_CONSTANT * T), np.ones_like(T)
        return Thermo(
            rho=rho, h=self.cp * T, rho_T=-rho / T, rho_p=rho / p, h_T=self.cp * one, h_p=0.0 * one
        )

    def thermo_beyond(self, T: Any, p: Any) -> Thermo:
        return self.thermo(T, p)

    def transport(self, T: Any, p: Any) -> tuple[Array, Array]:
        one = np.ones(np.broadcast_shapes(np.shape(T), np.shape(p)))
        return self.viscosity * one, self.viscosity * self.cp / self.prandtl * one
