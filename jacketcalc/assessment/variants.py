"""The machines that an assessment solves."""

from __future__ import annotations

from dataclasses import replace

from jacketcalc.assessment.model_range import JACKET, LEAST, MOST, list_members
from jacketcalc.core.equivalent import equivalent_conductance
from jacketcalc.core.parts import PassageParts
from jacketcalc.designs import Design, OwnLaws, Resistance, port_stages, without_jackets
from jacketcalc.errors import CaseError, Problem
from jacketcalc.inputs import Case, Exhaust, Machine, Reference

RATIOS = (0.8, 1.5, 3.0)
"""Ratios of passage to valve conductance solved to find the break-even [-]."""
FREE = "free "
"""Before the names of machines whose imposed cycle rate is taken away."""

Variants = dict[str, Design]


def has_silenced_bare(machine: Machine) -> bool:
    """Whether the machine has a tube or silencer that a machine without jackets could keep."""
    return any(e.tube is not None or e.silencer is not None for e in _exhausts(machine))


def require_jacket(case: Case) -> None:
    """Refuse a case none of whose exhausts feeds a jacket.

    Raises
    ------
    CaseError
        When the case feeds no jacket.
    """
    jackets = {s.name for s in case.machine.stages if s.jacket is not None}
    if any(e.to in jackets for e in _exhausts(case.machine)):
        return
    problem = Problem(
        name="jacket-missing",
        message="no exhaust port feeds a jacket, so there is nothing to compare",
        path="exhaust",
        file=case.file,
        why="the machine with jackets is compared with the one without",
        fix='send a port to a stage with a jacket: exhaust.port_1.to = "its name"'
        if jackets
        else "`jacketcalc propose CASE -o jackets.toml` winds jackets and writes the case",
    )
    raise CaseError([problem])


def _exhausts(machine: Machine) -> tuple[Exhaust, Exhaust]:
    return (machine.exhaust_1, machine.exhaust_2)


def bare_machine(machine: Machine, reference: Reference) -> Machine:
    """Return the machine without jackets, its exhaust direct or through its tubes."""
    return without_jackets(machine, tubes=reference == "exhaust through tube")


def other_reference(judged: Reference) -> Reference:
    """Return the machine without jackets that is not judged against."""
    return "exhaust through tube" if judged == "exhaust direct" else "exhaust direct"


def list_compared(machine: Machine, judged: Reference, *, band: bool = True) -> Variants:
    """Name and describe the machines of every comparison that a verdict speaks of.

    With and without jackets under every member of the band; both references where they differ; and
    all of them left free once more, their names after `FREE`, where a cycle rate is imposed.
    """
    variants = _compared(machine, judged, band)
    if machine.valve.cycle_rate is not None:
        own = replace(machine, valve=replace(machine.valve, cycle_rate=None))
        variants.update({f"{FREE}{n}": d for n, d in _compared(own, judged, band).items()})
    return variants


def _compared(machine: Machine, judged: Reference, band: bool) -> Variants:
    bares = {"bare": bare_machine(machine, judged)}
    if has_silenced_bare(machine):
        bares["other bare"] = bare_machine(machine, other_reference(judged))
    variants = {name: Design(machine=bare) for name, bare in bares.items()}
    variants["jacketed"] = Design(machine=machine)
    for member in list_members(machine, ranged=band)[1:]:
        variants[f"jacketed, {member.label}"] = Design(machine=member.apply(machine))
        for name, own in bares.items() if not member.jackets_alone else ():
            alone = member.without_jackets.apply(own)
            variants[f"{name}, {member.label}"] = Design(machine=alone)
    return variants


def list_variants(machine: Machine, judged: Reference) -> Variants:
    """Name and describe every machine an assessment needs.

    Parameters
    ----------
    machine : the machine with jackets
    judged : what the machine without jackets is
    """
    free: Resistance = "none" if judged == "exhaust direct" else "tube"
    variants = {
        "cooling alone": Design(machine=machine, resistance=free),
        "resistance alone": Design(machine=machine, heat=False),
    }
    variants.update(list_compared(machine, judged))
    ratio = float(min(passage_ratios(machine)))
    for wanted in RATIOS:
        variants[f"ratio {wanted:g}"] = Design(machine=machine, conductance_factor=wanted / ratio)
    return variants


def with_laws(variants: Variants, laws: OwnLaws | None) -> Variants:
    """Give all machines a user's laws, but those whose jackets' heat transfer is low or high."""
    labels = (f"{JACKET} low", f"{JACKET} high", LEAST, MOST)
    ends = {f"jacketed, {label}" for label in labels}
    return {
        name: design if name.removeprefix(FREE) in ends else replace(design, laws=laws)
        for name, design in variants.items()
    }


def passage_ratios(machine: Machine) -> tuple[float, ...]:
    """Sonic conductance of each jacketed passage over the control valve's, walls at a guess."""
    parts = PassageParts(machine)
    stages = port_stages(machine)
    jacketed = [n for n, i in enumerate(stages) if i >= 0 and machine.stages[i].jacket is not None]
    curves = (parts.curve_before_start(node) for node in jacketed)
    ambient, valve = machine.ambient.pressure, machine.valve.exhaust_path.sonic
    return tuple(equivalent_conductance(curve, ambient)[0] / valve for curve in curves)
