"""A receiver for the shipped machine, and one machine's fill (invented)."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from jacketcalc import read_case
from jacketcalc.core.resolution import Resolution
from jacketcalc.designs import Design
from jacketcalc.fill.machine_step import MachineStep
from jacketcalc.fill.march import TOLERANCE, Marcher, Run
from jacketcalc.fill.receiver import Vessel
from jacketcalc.inputs import Case, Machine, Receiver
from jacketcalc.materials import MATERIALS

CASE = read_case(Path(__file__).parent.parent / "cases" / "impact_laboratory.toml")
COARSE = Resolution(rings=10, channel_cells=8, tube_cells=3, levels=14, phases=5).scaled(0.4)
"""Steps for tests that compare two ways of one and the same machine."""
RECEIVER = Receiver(
    volume=0.5e-3, start_pressure=101300.0, wall_mass=0.6,
    material=MATERIALS["carbon steel"].solid, diameter=0.06, surface=0.04,
)  # fmt: skip
"""Half a litre: a fill of some hundred cycles."""


def fill_case(volume: float = 0.5e-3, **changed: object) -> Case:
    """The shipped case with a receiver."""
    receiver = replace(RECEIVER, volume=volume)
    return replace(CASE, machine=replace(CASE.machine, receiver=receiver, **changed))


def march(
    machine: Machine, target: float, receiver: Receiver = RECEIVER, *,
    resolution: Resolution = COARSE, tolerance: float = TOLERANCE,
) -> tuple[Run, Vessel, MachineStep]:  # fmt: skip
    """Fill a receiver by one machine."""
    step, vessel = MachineStep(Design(machine=machine), resolution), Vessel(receiver, machine)
    held = vessel.start()
    state = step.begin(held.pressure)
    return Marcher(step, vessel, tolerance).run(target, state, held), vessel, step
