"""A design as the core sees it: every number of it in one record.

What is given a record here fills it.
"""

from __future__ import annotations

import math
from dataclasses import astuple, dataclass
from functools import cache, lru_cache
from typing import Any

import numpy as np

from jacketcalc.arrays import Array
from jacketcalc.core.gas import core_air, core_gas
from jacketcalc.core.layout import blank, constants
from jacketcalc.core.tables import (
    FINE_INTERVALS,
    PRANDTL_MIDDLE,
    PRANDTL_REACH,
    fill_law,
    fill_table,
)
from jacketcalc.correlations import cylinder, heat, laws, outside
from jacketcalc.designs import Design, OwnLaws, port_stages
from jacketcalc.flow import closed_forms, iso6358
from jacketcalc.gas.table import gas_table
from jacketcalc.geometry import (
    barrel_outside,
    circle_area,
    clearance_volume,
    piston_areas,
    shell_bore,
    shell_outside,
)
from jacketcalc.inputs import FEEDS, GasName, Machine, Stage
from jacketcalc.passage_geometry import PassageGeometry, passage_geometries

SMALLEST_NODE = 1e-5
"""Volume between valve and open air when nothing else stands there [m3]."""
PASSAGE_SHARE = 0.5
"""Share of a passage's air that stores at port pressure: its pressure falls to the
outlet [-]."""
PISTON_FILM = 260.0
"""Across piston and barrel, 0.1 mm of air: judgement; another gas by its conductivity
[W/(m2 K)]."""
STILL_AIR = 0.025
"""Conductivity of the air that stands in an unfed jacket [W/(m K)]."""


@dataclass(frozen=True)
class Numbering:
    """Which volume of the core is which."""

    node_stage: tuple[int, ...]
    """Stage fed by each exhaust node, or -1; nodes follow the two drive chambers."""
    stages: tuple[int, ...]
    """Volume of each stage's chamber."""
    lines: tuple[int, ...]
    """Volume of the line before each stage; -1 where it draws from the supply, -2 the source."""
    after: tuple[int, ...]
    """Volume of the line after each stage, -1 where it delivers to the receiver."""
    count: int
    """Volumes in all."""

    @property
    def nodes(self) -> tuple[int, ...]:
        """Volume of each exhaust node."""
        return tuple(2 + i for i in range(len(self.node_stage)))


def number_volumes(machine: Machine) -> Numbering:
    """Number the volumes: drive chambers, exhaust nodes, stages, lines."""
    node_stage = port_stages(machine)
    first = 2 + len(node_stage)
    names = [stage.name for stage in machine.stages]
    count = first + len(names)
    lines, after = [], [-1] * len(names)
    for stage in machine.stages:
        if stage.draws_from in FEEDS:
            lines.append(-1 - FEEDS.index(stage.draws_from))
            continue
        lines.append(count)
        after[names.index(stage.draws_from)] = count
        count += 1
    return Numbering(
        node_stage=node_stage,
        stages=tuple(first + i for i in range(len(names))),
        lines=tuple(lines),
        after=tuple(after),
        count=count,
    )


def pack_machine(design: Design) -> Any:
    """Return the core's record of a design."""
    m = design.machine
    numbering = number_volumes(m)
    record = blank("Machine")
    _surroundings(record, m)
    _drive(record, m)
    for key, value in (
        ("stages", len(m.stages)),
        ("nodes", len(numbering.nodes)),
        ("volumes", numbering.count),
        ("heat", design.heat),
        ("resistance", design.resistance != "none"),
        ("imposed", m.valve.cycle_rate is not None),
        ("imposed_rate", m.valve.cycle_rate or 0.0),
        ("conductance_factor", design.conductance_factor),
        ("film_factor", m.ambient.film_factor),
    ):
        record[key] = value
    _paths(record, m)
    for i, stage in enumerate(m.stages):
        _stage(record["stage"][i], m, stage)
        record["stage"][i]["line"] = numbering.lines[i]
        record["stage"][i]["after"] = numbering.after[i]
        node = numbering.node_stage.index(i) if i in numbering.node_stage else -1
        record["stage"][i]["node"] = node
    _cylinder(record["cylinder"], m)
    record["film"], record["pipe"] = _film_table(), _pipe_law()
    passages = passage_geometries(m)
    for i, geometry in enumerate(passages):
        record["passage"][i] = pack_passage(geometry, design.closure, design.laws)
        record["passage"][i]["channel_factor"] = m.models.jacket_factor
    for i, geometry in enumerate(passage_geometries(design.resisting_machine)):
        record["resisting"][i] = pack_passage(geometry, design.closure, design.laws)
        record["resisting"][i]["channel_factor"] = m.models.jacket_factor
    _volumes(record, m, numbering)
    return record


def _surroundings(record: Any, m: Machine) -> None:
    air = core_air()
    record["ambient_temperature"], record["ambient_pressure"] = (
        m.ambient.temperature,
        m.ambient.pressure,
    )
    record["ambient_enthalpy"] = air.state(m.ambient.temperature, m.ambient.pressure)[1]
    record["supply_temperature"], record["supply_pressure"] = (
        m.supply.temperature,
        m.supply.pressure,
    )
    record["supply_enthalpy"] = air.state(m.supply.temperature, m.supply.pressure)[1]
    record["receiver_pressure"] = m.receiver_pressure
    gas = core_gas(m.gas.name)
    record["gas"] = gas.address
    at_ambient = gas.state(m.ambient.temperature, m.ambient.pressure)
    record["gas_ambient_enthalpy"] = at_ambient[1]
    record["piston_film"] = PISTON_FILM
    if m.gas.name != "air":
        in_air = air.state(m.ambient.temperature, m.ambient.pressure)
        record["piston_film"] *= at_ambient[7] / in_air[7]
    source = m.source
    if source is not None:
        record["source_temperature"], record["source_pressure"] = (
            source.temperature,
            source.pressure,
        )
        record["source_enthalpy"] = gas.state(source.temperature, source.pressure)[1]


def _drive(record: Any, m: Machine) -> None:
    drive = m.drive
    record["drive_area"] = piston_areas(drive)
    record["drive_bore"], record["stroke"] = drive.bore, drive.stroke
    record["drive_wall_thickness"] = drive.wall_thickness
    record["drive_emissivity"] = drive.material.emissivity
    record["moving_mass"] = drive.moving_mass
    record["drive_cylinders"] = drive.cylinders
    record["friction"] = drive.cylinders * drive.friction
    record["friction_share"] = drive.friction_share
    record["hold"] = m.valve.switching_time + m.valve.pause


def _paths(record: Any, m: Machine) -> None:
    """Supply path with its line, exhaust path, then two check valves a stage."""
    fill, line = m.valve.supply_path, m.supply.line
    C, b = fill.sonic, fill.critical_back_pressure_ratio
    if line is not None:
        series = iso6358.series(line.sonic, line.critical_back_pressure_ratio, C, b)
        C, b = float(series[0]), float(series[1])
    outlet = m.valve.exhaust_path
    paths = [(C, b, 0.0), (outlet.sonic, outlet.critical_back_pressure_ratio, 0.0)]
    passes = flow_factor(m.gas.name)
    for stage in m.stages:
        for check in (stage.inlet, stage.delivery):
            flow = check.conductance
            paths.append(
                (passes * flow.sonic, flow.critical_back_pressure_ratio, check.cracking_pressure)
            )
    for j, (sonic, ratio, opening) in enumerate(paths):
        record["C"][j], record["b"][j], record["opening"][j] = sonic, ratio, opening


@cache
def flow_factor(name: GasName) -> float:
    """Return how much more of a gas than of air passes a choked valve, by mass [-].

    Conductances are those of air; another gas passes as through the same ideal nozzle, thin.
    """
    if name == "air":
        return 1.0
    table, T, p = gas_table(name), iso6358.REFERENCE_TEMPERATURE, 1e5
    gamma = float(table.cp(T, p) / table.cv(T, p))
    return float(closed_forms.choked_flux(gamma, table.gas_constant) / closed_forms.choked_flux())


def _volumes(record: Any, m: Machine, numbering: Numbering) -> None:
    fixed = [m.drive.cylinders * v for v in (m.drive.dead_volume_1, m.drive.dead_volume_2)]
    fixed += [
        SMALLEST_NODE + PASSAGE_SHARE * float(record["resisting"][i]["volume"])
        for i in range(len(numbering.nodes))
    ]
    fixed += [clearance_volume(s, m.drive.stroke) for s in m.stages]
    fixed += [s.line.volume for s in m.stages if s.line is not None]
    record["fixed_volume"][: len(fixed)] = fixed


def _stage(record: Any, m: Machine, stage: Stage) -> None:
    for key, value in (
        ("bore", stage.bore),
        ("area", circle_area(stage.bore)),
        ("clearance_length", stage.clearance * m.drive.stroke),
        ("seal_friction", stage.seal_friction),
        ("barrel_length", stage.barrel_length),
        ("wall_thickness", stage.wall_thickness),
        ("conductivity", stage.material.conductivity),
        ("emissivity", stage.material.emissivity),
        ("head_thickness", stage.head_thickness),
        ("piston_length", stage.piston_length),
        ("flange", stage.flange_conductance),
        ("compresses_on", stage.compresses_on),
        ("idle_spread", 1.0),
        ("idle_emissivity", 0.9),
    ):
        record[key] = value
    _cooled(record, m, stage)
    _ports(record, stage)
    jacket = stage.jacket
    if jacket is None or stage.name in (m.exhaust_1.to, m.exhaust_2.to):
        return
    barrel, inner = barrel_outside(stage), shell_bore(stage, jacket)
    outer = shell_outside(stage, jacket)
    record["idle_start"], record["idle_length"] = jacket.offset, jacket.length
    record["idle_still"] = STILL_AIR / (barrel / 2 * math.log(inner / barrel))
    exchange = outside.gap_exchange(
        stage.material.emissivity, jacket.shell.emissivity, barrel / inner
    )
    record["idle_exchange"] = exchange
    record["idle_solid"] = barrel / 2 * math.log(outer / inner) / jacket.shell.conductivity
    record["idle_spread"], record["idle_emissivity"] = outer / barrel, jacket.shell.emissivity


def _cooled(record: Any, m: Machine, stage: Stage) -> None:
    """What the line before loses heat to, and what flows over barrel and head."""
    line, ambient = stage.line, m.ambient.temperature
    record["line_loss"], record["line_sink"] = line.heat_loss if line else 0.0, ambient
    if line is not None and line.coolant is not None:
        own, more = line.heat_loss, line.coolant.conductance
        record["line_loss"] = own + more
        pull = own * ambient + more * line.coolant.temperature
        record["line_sink"] = pull / (own + more)
    if stage.outside is not None:
        for name in ("blown", "bathed", "bath_temperature"):
            record[name] = getattr(stage.outside, name)


def _ports(record: Any, stage: Stage) -> None:
    """Ports in the head, suction first, and the tube of the line before; blank where none is."""
    for k, port in enumerate((stage.inlet, stage.delivery)):
        if port.port_length > 0.0:
            record["port_bore"][k], record["port_length"][k] = port.port_bore, port.port_length
            record["port_entrance"][k] = heat.entrance_factor(port.port_bore, port.port_length)
    line = stage.line
    if line is not None and line.length > 0.0:
        record["line_bore"], record["line_length"] = line.bore, line.length
        record["line_entrance"] = heat.entrance_factor(line.bore, line.length)


def _cylinder(record: Any, m: Machine) -> None:
    codes = {"gas spring": "GAS_SPRING", "adair": "ADAIR", "annand": "ANNAND"}
    record["model"] = constants()[codes[m.models.cylinder]]
    record["mixing"], record["factor"] = m.models.mixing, m.models.in_cylinder_factor
    shared = _cylinder_laws()
    for name in shared.dtype.names or ():
        if name not in ("model", "mixing", "factor"):
            record[name] = shared[name]


@lru_cache(maxsize=1)
def _cylinder_laws() -> Any:
    record = blank("CylinderLaws")
    low, high = 1e-3, 1e7
    fill_table(record["spring_real"], lambda pe: [cylinder.SPRING(pe)], low, high)
    imaginary = record["spring_imaginary"]
    fill_table(imaginary, lambda pe: [cylinder.gas_spring(pe)[1]], low, high, FINE_INTERVALS)
    record["spring_floor"], record["natural"] = cylinder.NUSSELT_FLOOR, cylinder.NATURAL
    record["jet"] = astuple(cylinder.JET)
    record["jet_piston"], record["jet_inflow"] = cylinder.JET_SPEED
    record["swirl"] = astuple(cylinder.SWIRL)
    record["swirl_mean"], record["swirl_least"] = cylinder.SWIRL_MEAN, cylinder.LEAST_SWIRL
    record["annand"] = astuple(cylinder.ENGINE)
    record["drive"] = cylinder.DRIVE
    return record


@lru_cache(maxsize=1)
def _film_table() -> Any:
    """Natural convection round a cylinder over the Grashof number."""
    record = blank("Table")

    def nusselt(grashof: Array) -> list[Array]:
        prandtl = (PRANDTL_MIDDLE / PRANDTL_REACH, PRANDTL_MIDDLE, PRANDTL_MIDDLE * PRANDTL_REACH)
        return [
            np.array([outside.cylinder_nusselt(float(Gr), Pr) for Gr in grashof]) for Pr in prandtl
        ]

    fill_table(record, nusselt, 1e-3, 1e12)
    return record


@lru_cache(maxsize=1)
def _pipe_law() -> Any:
    """Flow through a port or a line; the entrance is a factor of each one's own."""
    record = blank("Law")
    fill_law(record, laws.tube_nusselt())
    return record


@lru_cache(maxsize=512)
def pack_passage(g: PassageGeometry, closure: str, own: OwnLaws | None = None) -> Any:
    """Return the core's record of a passage, its laws tabled; shared, not to be written to."""
    record = blank("Passage")
    for name in record.dtype.names or ():
        if hasattr(g, name):
            record[name] = getattr(g, name)
    record["channel_factor"] = 1.0
    record["heating_exponent"] = heat.HEATING_EXPONENT
    record["heating_from"] = math.log(heat.HEATING_LAMINAR)
    record["heating_span"] = math.log(heat.HEATING_TURBULENT / heat.HEATING_LAMINAR)
    record["still_channel"], record["still_tube"] = heat.STILL_CHANNEL, heat.STILL_TUBE
    channel = laws.Channel(
        hydraulic_diameter=g.hydraulic_diameter,
        curvature_diameter=g.curvature_diameter,
        aspect=g.aspect,
        radius_ratio=g.radius_ratio,
        roughness=g.roughness,
        entrance=g.entrance,
    )
    fill_law(record["friction"], laws.channel_friction(channel, own))
    fill_law(record["nusselt"], laws.channel_nusselt(closure, channel, own))
    fill_law(record["tube_friction"], laws.tube_friction(g.tube_roughness))
    fill_law(record["tube_nusselt"], laws.tube_nusselt(g.tube_entrance))
    return record
