"""Notes on what can be, but is hardly meant: a slip of the decimal point, a unit, a name."""

from __future__ import annotations

from collections.abc import Iterator

from jacketcalc.casefile.check_sizes import AREA_OF_CONDUCTANCE, QUARTER_PI
from jacketcalc.inputs import Case, Given, Jacket, Machine
from jacketcalc.unit_display import System, format_quantity

ROUGHEST = 0.05
"""Roughness over hydraulic diameter to which friction laws are stated (Moody's chart) [-]."""
WIDEST_TOLERANCE = 0.25
"""Tolerance over value from which it is hardly meant; judgement [-]."""
WIDEST_KELVIN = 20.0
"""Tolerance of a temperature from which it is hardly meant; judgement [K]."""
USUAL_ROD = 4e8
"""Stress of a rod above which the usual rod steels yield, 42CrMo4 and alike (from memory) [Pa]."""
USUAL_SPRING = 0.2
"""Opening difference of a suction valve over the supply's gauge pressure; judgement [-]."""


def list_improbable(case: Case) -> list[str]:
    """Return a sentence for each size or name that is hardly meant."""
    system: System = case.document.units
    return [
        *_stages(case.machine, system),
        *_roughness(case.machine, system),
        *_rods(case.machine, system),
        *(_tolerance(given, system) for given in case.given if _is_wide(given)),
    ]


def _stages(machine: Machine, system: System) -> Iterator[str]:
    by_name = {stage.name: stage for stage in machine.stages}
    drive = machine.drive.cylinders * QUARTER_PI * machine.drive.bore**2
    for key in ("supply_path", "exhaust_path"):
        sonic = getattr(machine.valve, key).sonic
        if AREA_OF_CONDUCTANCE * sonic > drive:
            yield f"The control valve's {key} path passes more than an opening of the drive's bore."
    gauge = machine.supply.pressure - machine.ambient.pressure
    for stage in machine.stages:
        before = by_name.get(stage.draws_from)
        if before is not None and stage.bore >= before.bore:
            yield (
                f'Stage "{stage.name}" is as wide as the stage before it or wider, '
                f"{format_quantity(stage.bore, 'length', system)} after "
                f"{format_quantity(before.bore, 'length', system)}: it takes more than that stage "
                "pushes, so nothing is compressed between them."
            )
        opening = stage.inlet.cracking_pressure
        if before is None and opening > USUAL_SPRING * gauge:
            yield (
                f'The suction valve of stage "{stage.name}" opens at '
                f"{format_quantity(opening, 'pressure difference', system)}, "
                f"{opening / gauge:.0%} of the supply's gauge pressure: the chamber fills to less."
            )


def _roughness(machine: Machine, system: System) -> Iterator[str]:
    found = [
        (f'the jacket of stage "{stage.name}"', stage.jacket.roughness, 2.0 * stage.jacket.gap)
        for stage in machine.stages
        if isinstance(stage.jacket, Jacket)
    ]
    for port, exhaust in enumerate((machine.exhaust_1, machine.exhaust_2), 1):
        if exhaust.tube:
            found.append((f"the tube of port {port}", exhaust.tube.roughness, exhaust.tube.bore))
    for what, grain, width in found:
        if grain > ROUGHEST * width:
            yield (
                f"The roughness of {what}, {format_quantity(grain, 'length', system)}, is "
                f"{grain / width:.0%} of its hydraulic diameter; friction laws are stated to "
                f"{ROUGHEST:.0%}."
            )


def _rods(machine: Machine, system: System) -> Iterator[str]:
    gauge = machine.supply.pressure - machine.ambient.pressure
    for key in ("rod_1", "rod_2"):
        rod = getattr(machine.drive, key)
        if rod <= 0.0:
            continue
        stress = machine.drive.cylinders * gauge * (machine.drive.bore / rod) ** 2
        if stress > USUAL_ROD:
            yield (
                f"The drive's force on {key}, {format_quantity(rod, 'length', system)} thick, is "
                f"a stress of {stress / 1e6:.0f} MPa: usual rod steels yield. Strength is not "
                "checked here."
            )


def _is_wide(given: Given) -> bool:
    if not given.tolerance or isinstance(given.value, str):
        return False
    if given.unit == "K":
        return given.tolerance > WIDEST_KELVIN
    return given.tolerance > WIDEST_TOLERANCE * abs(given.value)


def _tolerance(given: Given, system: System) -> str:
    return f"The tolerance of {given.path} is wide for its value: {given.text}."
