"""The machines that mutations are measured on: the main case, and additions to it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from jacketcalc.assessment.variants import bare_machine
from jacketcalc.casefile.reading import read_case
from jacketcalc.inputs import Case, Conductance, Exhaust, Machine

from .record import Setting

CASE = Path(__file__).parents[2] / "cases" / "impact_laboratory.toml"
SILENCER = Conductance(sonic=10e-8, critical_ratio=0.3)
LINE = Conductance(sonic=10e-8, critical_ratio=0.3)
TIGHT = 10e-3
"""Pitch of the jackets wound tightly, a third of the main case's [m]."""


def main_case() -> Case:
    """Read the main case."""
    return read_case(str(CASE))


def jacketed(machine: Machine, setting: Setting) -> Machine:
    """Return the main case's machine with what a setting adds."""
    if setting == "silencers on both vents":
        return replace(
            machine,
            exhaust_1=replace(machine.exhaust_1, silencer=SILENCER),
            exhaust_2=replace(machine.exhaust_2, silencer=SILENCER),
        )
    if setting == "a supply line":
        return replace(machine, supply=replace(machine.supply, line=LINE))
    if setting == "one jacket not fed":
        return replace(machine, exhaust_1=Exhaust(to="atmosphere"))
    return machine


def trio(setting: Setting) -> tuple[Machine, Machine, Machine]:
    """Return the bare and the jacketed machine of a setting, and one wound tightly."""
    case = main_case()
    machine = jacketed(case.machine, setting)
    return bare_machine(machine, case.judgement.bare), machine, wound(machine, TIGHT)


def wound(machine: Machine, pitch: float) -> Machine:
    """Give every jacket a pitch [m]."""
    stages = []
    for stage in machine.stages:
        assert stage.jacket is not None
        stages.append(replace(stage, jacket=replace(stage.jacket, pitch=pitch)))
    return replace(machine, stages=tuple(stages))
