"""Reciprocating compression by the program's own stroke cycle, for published cases. In SI.

The textbooks' compressors have no friction, no pressure drop in their valves, and gas that
takes up no heat or keeps its temperature. The core's strokes are run with just that: an even
heat law of no size or of a very large one, and walls at ambient temperature.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from jacketcalc.core.gas import core_air
from jacketcalc.core.layout import blank, constants
from jacketcalc.core.machine import Numbering, number_volumes
from jacketcalc.core.parts import PassageParts, StrokeParts
from jacketcalc.core.resolution import Resolution
from jacketcalc.designs import Design
from jacketcalc.gas.table import air
from jacketcalc.inputs import Machine
from jacketcalc.verification.machines import BORE, STROKE, STROKE_TIME, bench_machine

CYCLES = {1: 4, 2: 12}
"""Cycles by number of stages, after which mass repeats to 1e-3 and work to 1e-4 [-]."""
RESOLUTION = Resolution(settled=1e-6)
"""A machine's own steps: twice as many move adiabatic work by 6e-4 of it, four times by 5e-4."""
PERFECT = 1e4
"""Conductance that holds gas at its wall's temperature [W/K]."""
EVEN_LAW = 1e7
"""Nusselt number on the bore that does so in a chamber [-]."""


@dataclass(frozen=True, kw_only=True)
class Cycle:
    """What one cycle of a compressor did, stage by stage from the first."""

    drawn: tuple[float, ...]
    """Mass drawn in [kg]."""
    work: tuple[float, ...]
    """Indicated work [J]."""
    delivery_temperature: tuple[float, ...]
    """Mean temperature of what is delivered [K]."""
    between: float
    """Mean pressure between the stages, or of delivery where there is one [Pa]."""


@cache
def run_compressor(
    p1: float,
    T1: float,
    p2: float,
    clearance: float,
    between: float,
    held: bool,
    resolution: Resolution = RESOLUTION,
) -> Cycle:
    """Run an ideal compressor until its cycle repeats.

    Parameters
    ----------
    p1, T1 : suction state [Pa], [K]
    p2 : delivery pressure [Pa]
    clearance : clearance of every stage [-]
    between : pressure between two stages; one stage where 0 [Pa]
    held : gas keeps its temperature; else it takes up no heat
    resolution : how finely a stroke is stepped
    """
    machine = bench_machine(p1, T1, p2, clearance, between)
    parts = StrokeParts(Design(machine=machine), resolution)
    _idealise(parts.record, held)
    passages, ambient = PassageParts(machine), machine.ambient.temperature
    nodes = range(len(number_volumes(machine).nodes))
    curves = [passages.curve(ambient, passages.walls(ambient, ambient), node)[0] for node in nodes]
    unknowns = _start(machine, parts.record, p1, T1, p2, between)
    for _ in range(CYCLES[len(machine.stages)]):
        strokes = []
        for number in (1, 2):
            stroke = parts.run_stroke(number, unknowns, curves)
            unknowns["mass"], unknowns["energy"] = stroke["end_mass"], stroke["end_energy"]
            strokes.append(stroke)
    return _read(machine, strokes, between or p2)


def volumetric_efficiency(p1: float, T1: float, p2: float, clearance: float) -> float:
    """Return the volumetric efficiency of an adiabatic compressor [-]."""
    return _efficiency(run_compressor(p1, T1, p2, clearance, 0.0, held=False), p1, T1)


def adiabatic_work(p1: float, T1: float, p2: float, clearance: float) -> float:
    """Return the indicated work of an adiabatic compressor per mass delivered [J/kg]."""
    return _specific_work(run_compressor(p1, T1, p2, clearance, 0.0, held=False))


def isothermal_work(p1: float, T1: float, p2: float, clearance: float) -> float:
    """Return the indicated work of an isothermal compressor per mass delivered [J/kg]."""
    return _specific_work(run_compressor(p1, T1, p2, clearance, 0.0, held=True))


def adiabatic_pressure(p1: float, T1: float, p2: float, clearance: float) -> float:
    """Return work per volume drawn in: the mean pressure of a stage without clearance [Pa]."""
    density = float(air().thermo(T1, p1).rho)
    return adiabatic_work(p1, T1, p2, clearance) * density


def isothermal_pressure(p1: float, T1: float, p2: float, clearance: float) -> float:
    """Return the same of an isothermal compressor [Pa]."""
    density = float(air().thermo(T1, p1).rho)
    return isothermal_work(p1, T1, p2, clearance) * density


def delivery_temperature(p1: float, T1: float, p2: float, clearance: float) -> float:
    """Return the mean temperature that an adiabatic compressor delivers at [K]."""
    return run_compressor(p1, T1, p2, clearance, 0.0, held=False).delivery_temperature[0]


def two_stage_work(p1: float, T1: float, p2: float, clearance: float, between: float) -> float:
    """Return the work of two adiabatic stages with full intercooling per mass [J/kg]."""
    return _specific_work(run_compressor(p1, T1, p2, clearance, between, held=False))


def two_stage_pressure(p1: float, T1: float, p2: float, clearance: float, between: float) -> float:
    """Return the pressure between two adiabatic stages with full intercooling, whose bores
    are in the ratio that makes `between` [Pa]."""
    return run_compressor(p1, T1, p2, clearance, between, held=False).between


def _efficiency(cycle: Cycle, p1: float, T1: float) -> float:
    swept = np.pi / 4.0 * BORE**2 * STROKE
    return float(cycle.drawn[0] / (air().thermo(T1, p1).rho * swept))


def _specific_work(cycle: Cycle) -> float:
    return sum(work / drawn for work, drawn in zip(cycle.work, cycle.drawn, strict=True))


def _idealise(record: Any, held: bool) -> None:
    """Let no gas take up heat, or let the stages' keep their walls' temperature; lines do."""
    laws = record["cylinder"]
    laws["model"], laws["drive"] = constants()["ANNAND"], 0.0
    laws["annand"]["coefficient"] = EVEN_LAW if held else 0.0
    laws["annand"]["reynolds"] = laws["annand"]["prandtl"] = 0.0
    record["stage"]["line_loss"] = PERFECT


def _start(machine: Machine, record: Any, p1: float, T1: float, p2: float, between: float) -> Any:
    """Return contents near those at the start of stroke 1, and walls at ambient temperature."""
    numbering = number_volumes(machine)
    p = np.full(numbering.count, machine.ambient.pressure)
    p[1] = p1
    for volume, stage in zip(numbering.stages, machine.stages, strict=True):
        p[volume] = p2 if stage.compresses_on == 2 else (between or p1)
    p[numbering.stages[0]] = between or p2
    for line in numbering.lines:
        if line >= 0:
            p[line] = between
    start = blank("Unknowns")
    volumes = _volumes(machine, numbering, record)
    for v, (pressure, volume) in enumerate(zip(p, volumes, strict=True)):
        rho, h = core_air().state(T1, float(pressure))[:2]
        start["mass"][v] = rho * volume
        start["energy"][v] = start["mass"][v] * h - pressure * volume
    for name in ("inside", "outside", "head", "crown", "drive_wall"):
        start[name] = machine.ambient.temperature
    start["period"] = 2.0 * STROKE_TIME
    return start


def _volumes(machine: Machine, numbering: Numbering, record: Any) -> np.ndarray[Any, Any]:
    """Volumes at the reversal to stroke 1: what that stroke shrinks stands at its largest [m3]."""
    found = np.array(record["fixed_volume"][: numbering.count])
    found[1] += record["drive_area"][1] * machine.drive.stroke
    for i, stage in enumerate(machine.stages):
        if stage.compresses_on == 1:
            found[numbering.stages[i]] += record["stage"][i]["area"] * machine.drive.stroke
    return found


def _read(machine: Machine, strokes: list[Any], p: float) -> Cycle:
    """Read drawn mass, work and delivery temperature out of the two strokes of a cycle."""
    numbering = number_volumes(machine)
    logs = [{name: row[name][: int(row["instants"])] for name in _LOGGED} for row in strokes]

    def cycle(name: str, place: int, weight: str) -> float:
        return sum(float(log[name][:, place] @ log[weight]) for log in logs)

    drawn, work, temperature = [], [], []
    levels = (p, machine.receiver_pressure)
    for i, (chamber, stage) in enumerate(zip(numbering.stages, machine.stages, strict=True)):
        area = np.pi / 4.0 * stage.bore**2
        signs = [1.0 if stage.compresses_on == number else -1.0 for number in (1, 2)]
        drawn.append(cycle("flow", 2 + 2 * i, "dt"))
        work.append(
            sum(
                sign * area * float(log["p"][:, chamber] @ log["dx"])
                for sign, log in zip(signs, logs, strict=True)
            )
        )
        carried = cycle("enthalpy", 3 + 2 * i, "dt") / cycle("flow", 3 + 2 * i, "dt")
        level = levels[min(i, 1)] if len(machine.stages) > 1 else levels[1]
        temperature.append(float(air().temperature_from_enthalpy(carried, level)))
    between = p
    for line in numbering.lines:
        if line >= 0:
            between = cycle("p", line, "dt") / sum(float(log["dt"].sum()) for log in logs)
    return Cycle(
        drawn=tuple(drawn),
        work=tuple(work),
        delivery_temperature=tuple(temperature),
        between=between,
    )


_LOGGED = ("dt", "dx", "p", "flow", "enthalpy")


QUANTITIES: dict[str, Callable[..., float]] = {
    "compressor, volumetric efficiency": volumetric_efficiency,
    "compressor, adiabatic work": adiabatic_work,
    "compressor, isothermal work": isothermal_work,
    "compressor, adiabatic mean pressure": adiabatic_pressure,
    "compressor, isothermal mean pressure": isothermal_pressure,
    "compressor, delivery temperature": delivery_temperature,
    "two stages, work": two_stage_work,
    "two stages, pressure between": two_stage_pressure,
}
