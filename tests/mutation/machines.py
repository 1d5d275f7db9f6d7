"""The machines that mutations are measured on: the main case, and additions to it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from jacketcalc.assessment.variants import bare_machine
from jacketcalc.casefile.reading import read_case
from jacketcalc.inputs import (
    Case,
    Coolant,
    Exhaust,
    FlowElement,
    Gas,
    Machine,
    Outside,
    Receiver,
    Source,
)  # fmt: skip
from jacketcalc.materials import MATERIALS

from .record import Setting

CASE = Path(__file__).parents[1] / "machines" / "hot.toml"
SILENCER = FlowElement(sonic=10e-8, critical_back_pressure_ratio=0.3)
LINE = FlowElement(sonic=10e-8, critical_back_pressure_ratio=0.3)
SOURCE = 7e5
"""Pressure of the bottle that a first stage draws from, below that of the supply [Pa]."""
GIVEN = 8e-3
"""What a compressor gives in a fill, less than the machine takes [kg/s]."""
FILLED, FILLED_TO = Receiver(
    volume=1e-3, start_pressure=100e5, wall_mass=1.2, material=MATERIALS["carbon steel"].solid,
    diameter=0.08, surface=0.06,
), 130e5  # fmt: skip
"""The receiver of a fill, and the pressure at its end [Pa]."""
TIGHT = 10e-3
"""Pitch of the jackets wound tightly, a third of the main case's [m]."""


def main_case() -> Case:
    """Read the main case."""
    return read_case(str(CASE))


def jacketed(machine: Machine, setting: Setting) -> Machine:
    """Return the main case's machine with what a setting adds."""
    if setting == "silencers on both outlets":
        return replace(
            machine,
            exhaust_1=replace(machine.exhaust_1, silencer=SILENCER),
            exhaust_2=replace(machine.exhaust_2, silencer=SILENCER),
        )
    if setting == "a supply line":
        return replace(machine, supply=replace(machine.supply, line=LINE))
    if setting == "two drive cylinders":
        bore = machine.drive.bore / 2**0.5
        return replace(machine, drive=replace(machine.drive, cylinders=2, bore=bore))
    if setting == "one jacket not fed":
        return replace(machine, exhaust_1=Exhaust(to="atmosphere"))
    if setting == "two starts":
        return _with_jackets(machine, starts=2, pitch=15e-3)
    if setting == "galleries":
        return _with_jackets(machine, starts=2, pitch=15e-3, gallery_width=6e-3)
    if setting == "swirl law in the cylinders":
        return replace(machine, models=replace(machine.models, cylinder="adair"))
    if setting == "laws times factors":
        models = replace(machine.models, in_cylinder_factor=1.5, jacket_factor=0.8)
        ambient = replace(machine.ambient, film_factor=1.5)
        return replace(machine, models=models, ambient=ambient)
    if setting == "streams outside":
        first, second = machine.stages
        assert second.line is not None
        line = replace(second.line, coolant=Coolant(conductance=20.0, temperature=260.0))
        bath = Outside(bathed=400.0, bath_temperature=285.0)
        stages = (replace(first, outside=Outside(blown=40.0)),
                  replace(second, outside=bath, line=line))  # fmt: skip
        return replace(machine, stages=stages)
    if setting == "helium from a source":
        first = replace(machine.stages[0], draws_from="source")
        source = Source(pressure=SOURCE, temperature=machine.supply.temperature)
        stages = (first, *machine.stages[1:])
        return replace(machine, gas=Gas(name="helium"), source=source, stages=stages)
    if setting == "a fill":
        return replace(machine, supply=replace(machine.supply, capacity=GIVEN))
    if setting == "tubes that hold more than a pulse":
        return replace(
            machine,
            exhaust_1=_with_long_tube(machine.exhaust_1),
            exhaust_2=_with_long_tube(machine.exhaust_2),
        )
    return machine


def _with_long_tube(exhaust: Exhaust) -> Exhaust:
    assert exhaust.tube is not None
    return replace(exhaust, tube=replace(exhaust.tube, bore=50e-3, length=6.0))


def trio(setting: Setting) -> tuple[Machine, Machine, Machine]:
    """Return the machines without and with jackets of a setting, and one wound tightly."""
    case = main_case()
    machine = jacketed(case.machine, setting)
    return bare_machine(machine, case.judgement.no_jackets), machine, wound(machine, TIGHT)


def wound(machine: Machine, pitch: float) -> Machine:
    """Give every jacket a pitch [m]."""
    return _with_jackets(machine, pitch=pitch)


def _with_jackets(machine: Machine, **sizes: Any) -> Machine:
    stages = []
    for stage in machine.stages:
        assert stage.jacket is not None
        stages.append(replace(stage, jacket=replace(stage.jacket, **sizes)))
    return replace(machine, stages=tuple(stages))
