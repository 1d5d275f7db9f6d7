"""What to know of a gas that is not the supply's air: where it comes from, what it can do."""

from __future__ import annotations

from collections.abc import Iterator

from jacketcalc.assessment.result import Note
from jacketcalc.core.outcome import Outcome
from jacketcalc.correlations.records import catalogue
from jacketcalc.gases import FLUIDS
from jacketcalc.inputs import Case, GasName, Machine
from jacketcalc.unit_display import System, say_quantity

STIFLING: tuple[GasName, ...] = ("nitrogen", "argon", "helium", "carbon dioxide", "methane")
"""Gases that put out a breath without being noticed, common knowledge of the trade."""
FLAMMABLE: tuple[GasName, ...] = ("methane",)
CYLINDER_LAWS = {
    "gas spring": ("gas spring", "natural convection in the chamber", "jet-stirred suction"),
    "adair": ("Adair",),
    "annand": ("Annand",),
}
"""Records behind each in-cylinder model."""


def say_gas(machine: Machine, system: System) -> str:
    """Say which gas comes from which source; empty where it is the supply's air."""
    source, name = machine.source, machine.gas.name
    if source is None:
        return ""
    at = say_quantity(source.pressure, "pressure", system)
    warm = say_quantity(source.temperature, "temperature", system)
    text = f"{name} from a source at {at}, {warm}, taken dry"
    if name == "air":
        return text
    burns = ". It burns: rules for hazardous areas apply" if name in FLAMMABLE else ""
    return f"{text}; the drive runs on air{burns}"


def gas_notes(case: Case, jacketed: Outcome) -> Iterator[Note]:
    """Yield what to know of the gas, cautions first."""
    machine, system = case.machine, case.document.units
    name = machine.gas.name
    if name in FLAMMABLE:
        yield Note(
            name="flammable",
            level="warning",
            text=f"{name} stands in for natural gas and burns: leaks, vents, sparks and hot "
            "surfaces fall under the rules for hazardous areas, and such a machine under licensed "
            "practice. None of it is checked here. Heavier parts of a natural gas make it denser "
            "and can condense.",
        )
    if name in STIFLING:
        yield Note(
            name="stifling",
            level="note",
            text=f"{name} that leaks into a closed room takes the air's place and can suffocate "
            "without warning: ventilate, and follow local codes.",
        )
    said = say_gas(machine, system)
    if said:
        text = f"the stages compress {said}. Whether water condenses in them is not judged"
        if name != "air":
            text += f". A litre (ANR) of {name} is its own, dry, at 20 degC and 1 bar"
        yield Note(name="gas", level="note", text=text)
    if name != "air":
        yield Note(name="gas-laws", level="note", text=_say_laws(machine))
        yield from _cold_walls(machine, jacketed, system)


def _say_laws(machine: Machine) -> str:
    """Say with which gases the laws of the stages were tested."""
    name, records = machine.gas.name, catalogue()
    laws = [records[law] for law in (*CYLINDER_LAWS[machine.models.cylinder], "tube, turbulent")]
    own = [
        f"{law.name} with {law.tested_with}"
        for law in laws
        if name not in law.tested_with and "other gases" not in law.tested_with
    ]
    text = (
        f"conductances of check valves are those of air; {name} passes as through the same ideal "
        "nozzle"
    )
    if own:
        text += (
            f". Laws of the stages that were tested with other gases than {name}: "
            f"{'; '.join(own)}. They enter by the Prandtl, Reynolds and Peclet numbers of {name}, "
            "and their scatter with it is not known"
        )
    return text


def _cold_walls(machine: Machine, jacketed: Outcome, system: System) -> Iterator[Note]:
    """Tell of walls so cold that the gas could condense on them."""
    fluid = FLUIDS[machine.gas.name]
    if fluid.critical < fluid.span.lowest_temperature:
        return
    for stage in jacketed.stages:
        coldest = stage.wall_temperature.min
        if coldest < fluid.span.lowest_temperature:
            yield Note(
                name="liquid",
                level="warning",
                text=f"{fluid.name} could condense on the barrel of stage {stage.name}, which "
                f"is {say_quantity(coldest, 'temperature', system)} cold at its coldest; two "
                "phases are not modelled",
            )
