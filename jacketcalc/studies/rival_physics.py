"""What rivals of the jackets do to a machine: coefficients and conductances, each by its law.

Air blown across a barrel takes the place of natural convection (Churchill and Bernstein).
Water flows along each barrel in an annulus, laminar or turbulent, one wall heated.
Exhaust that is led to the line's cooler carries what a counterflow exchanger carries,

    Q = e C (T line in - T exhaust),     C = m cp of the line's air,

which the line, one well-mixed volume, loses through a conductance K = G C / (C - G), G = e C.
"""

from __future__ import annotations

from dataclasses import replace

from jacketcalc.core.outcome import Outcome
from jacketcalc.correlations import heat, outside
from jacketcalc.gas.stage_gas import stage_gas_table
from jacketcalc.gas.table import properties
from jacketcalc.geometry import barrel_outside, circle_area
from jacketcalc.inputs import Coolant, Machine, Outside, Stage
from jacketcalc.studies.rival_table import RivalTerms

FILM_RISE = 20.0
"""Film above the surroundings for a blown barrel; its coefficient hardly knows it [K]."""
WATER_DENSITY, WATER_HEAT = 998.2, 4184.0
"""Water at 20 degC and 1 bar, IAPWS (from memory) [kg/m3], [J/(kg K)]."""
WATER_VISCOSITY, WATER_CONDUCTIVITY = 1.002e-3, 0.598
"""Water at 20 degC and 1 bar, IAPWS (from memory) [Pa s], [W/(m K)]."""
CAPACITY = 1005.0
"""Specific heat of the exhaust near room pressure [J/(kg K)]."""
MOST = 0.999
"""Largest share of its capacity rate that a line's air gives off [-]."""
TRANSITION = 2300.0
"""Reynolds number up to which flow in an annulus stays laminar [-]."""
FIRST_FALL = 20.0
"""Exhaust below the surroundings before a machine was solved [K]."""


def blown_coefficient(machine: Machine, stage: Stage, speed: float) -> float:
    """Return the coefficient of air that is blown across a stage's barrel [W/(m2 K)].

    Parameters
    ----------
    machine, stage : the machine and one of its stages
    speed : of the air [m/s]
    """
    ambient = machine.ambient
    gas = properties(ambient.temperature + FILM_RISE, ambient.pressure)
    diameter = barrel_outside(stage)
    Re = speed * diameter * float(gas.density) / float(gas.viscosity)
    Pr = float(gas.viscosity) * float(gas.cp) / float(gas.conductivity)
    return outside.crossflow_nusselt(Re, Pr) * float(gas.conductivity) / diameter


def water_coefficient(stage: Stage, flow: float, gap: float) -> float:
    """Return the coefficient of water that flows along a barrel in an annulus [W/(m2 K)].

    Parameters
    ----------
    stage : the stage
    flow : volume flow of the water [m3/s]
    gap : radial height of the annulus [m]
    """
    inner = barrel_outside(stage)
    outer = inner + 2.0 * gap
    speed = flow / (circle_area(outer) - circle_area(inner))
    hydraulic = 2.0 * gap
    Re = speed * hydraulic * WATER_DENSITY / WATER_VISCOSITY
    Pr = WATER_VISCOSITY * WATER_HEAT / WATER_CONDUCTIVITY
    nusselt = float(heat.one_wall_laminar(0.0))
    if Re > TRANSITION:
        ratio = inner / outer
        turbulent = heat.annulus_turbulent(Re, Pr, ratio) * float(heat.inner_wall_factor(ratio))
        nusselt = max(nusselt, turbulent)
    return nusselt * WATER_CONDUCTIVITY / hydraulic


def with_fan(machine: Machine, terms: RivalTerms) -> Machine:
    """Return a machine with air blown across its barrels and heads."""
    return _with_outside(
        machine,
        lambda stage: Outside(blown=blown_coefficient(machine, stage, terms.fan_speed)),
    )


def with_water(machine: Machine, terms: RivalTerms, solved: Outcome | None) -> Machine:
    """Return a machine with water round its barrels, at the mean of its way in and out.

    Parameters
    ----------
    machine : the machine, its barrels bare
    terms : flow, gap and temperature of the water
    solved : what the machine does with it, as far as is known; None before it was solved
    """
    heat_taken = 0.0
    if solved is not None and not solved.stalled:
        balance = solved.energy_balance
        heat_taken = -sum(balance[f"barrel of {s.name} to ambient"] for s in machine.stages)
    rise = heat_taken / (terms.water_flow * WATER_DENSITY * WATER_HEAT)
    temperature = terms.water_temperature + 0.5 * rise
    return _with_outside(
        machine,
        lambda stage: Outside(
            bathed=water_coefficient(stage, terms.water_flow, terms.water_gap),
            bath_temperature=temperature,
        ),
    )


def _with_outside(machine: Machine, make: object) -> Machine:
    assert callable(make)
    stages = tuple(replace(stage, outside=make(stage)) for stage in machine.stages)
    return replace(machine, stages=stages)


def with_cooler(machine: Machine, conductance: float) -> Machine:
    """Return a machine whose first line loses heat through another conductance [W/K]."""
    i = first_line(machine)
    assert i is not None
    return _with_line(machine, i, heat_loss=conductance)


def with_exhaust_cooler(machine: Machine, terms: RivalTerms, solved: Outcome | None) -> Machine:
    """Return a machine whose exhaust cools its first line in an exchanger.

    Parameters
    ----------
    machine : the machine, its exhaust through its tubes
    terms : conductance of the exchanger
    solved : what the machine does with it, as far as is known; None before it was solved
    """
    i = first_line(machine)
    assert i is not None
    if solved is None or not solved.delivers:
        temperature = machine.ambient.temperature - FIRST_FALL
        coolant = Coolant(conductance=terms.exchanger, temperature=temperature)
        return _with_line(machine, i, coolant=coolant)
    stage = solved.stages[i]
    gas = stage_gas_table(machine)
    heat_capacity = gas.cp(stage.suction_temperature, solved.stages[i - 1].delivery_pressure)
    line = stage.mass_per_stroke * solved.cycle_rate * float(heat_capacity)
    exhaust = solved.drive_air_mass_flow * CAPACITY
    temperature = sum(solved.port_temperature) / len(solved.port_temperature)
    conductance = line_conductance(terms.exchanger, line, exhaust)
    coolant = Coolant(conductance=conductance, temperature=temperature)
    return _with_line(machine, i, coolant=coolant)


def line_conductance(exchanger: float, line: float, exhaust: float) -> float:
    """Return the conductance by which a well-mixed line loses what an exchanger carries [W/K].

    Parameters
    ----------
    exchanger : conductance of the exchanger [W/K]
    line, exhaust : capacity rates m cp of the line's air and of the exhaust [W/K]
    """
    least, most = min(line, exhaust), max(line, exhaust)
    effectiveness = outside.exchanger_effectiveness(exchanger / least, least / most)
    carried = min(effectiveness * least, MOST * line)
    return carried * line / (line - carried)


def first_line(machine: Machine) -> int | None:
    """Return the place of the first stage that a line feeds, None where there is none."""
    return next((i for i, stage in enumerate(machine.stages) if stage.line is not None), None)


def _with_line(machine: Machine, place: int, **changes: object) -> Machine:
    stages = list(machine.stages)
    line = stages[place].line
    assert line is not None
    changed = replace(line, **changes)  # type: ignore[arg-type]
    stages[place] = replace(stages[place], line=changed)
    return replace(machine, stages=tuple(stages))
