"""Reciprocating compression by the program's own stroke cycle, for published cases. In SI.

The textbooks' compressors have no friction, no pressure drop in their valves, and gas that
takes up no heat or keeps its temperature. The stroke cycle is run with just that.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

import numpy as np

from jacketcalc.components.chamber_heat import Pace
from jacketcalc.components.chambers import Network, build_network
from jacketcalc.components.contents import near_contents
from jacketcalc.components.designs import Array, Design
from jacketcalc.components.passage_curve import Curve, fit_curve
from jacketcalc.components.record import GasState, StrokeWalls
from jacketcalc.components.stroke import Stroke
from jacketcalc.components.stroke_grid import Resolution, travel_grid
from jacketcalc.components.stroke_step import Stepper
from jacketcalc.flow.iso6358 import upstream_pressure
from jacketcalc.gas.table import Thermo, air
from jacketcalc.passage_geometry import OPEN_VENT
from jacketcalc.verification.machines import BORE, STROKE, STROKE_TIME, bench_machine

CYCLES = {1: 4, 2: 12}
"""Cycles by number of stages, after which mass repeats to 1e-3 and work to 1e-4 [-]."""
RESOLUTION = Resolution(release=3, travel=48, rest=4, settled=1e-5)
"""Steps of a stroke: twice as many move work by 1e-4 of it (measured)."""
PERFECT = 1e4
"""Conductance that holds gas at its wall's temperature [W/K]."""


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


class _IdealStepper(Stepper):
    """A stepper whose volumes take up no heat, or keep the room's temperature."""

    held: Array
    """Conductance to the room of each volume, shape (volume, 1) [W/K]."""

    def _heat(self, thermo: Thermo, volume: Array, dx: Array) -> tuple[Array, Array, Array]:
        self.coefficient = np.zeros((len(self.network.layout.chambers), volume.shape[1]))
        held = np.broadcast_to(self.held, volume.shape)
        return held, np.broadcast_to(self.walls.room, volume.shape), np.zeros_like(volume)


@cache
def run_compressor(
    p1: float, T1: float, p2: float, clearance: float, between: float, held: bool
) -> Cycle:
    """Run an ideal compressor until its cycle repeats.

    Parameters
    ----------
    p1, T1 : suction state [Pa], [K]
    p2 : delivery pressure [Pa]
    clearance : clearance of every stage [-]
    between : pressure between two stages; one stage where 0 [Pa]
    held : gas keeps its temperature; else it takes up no heat
    """
    machine = bench_machine(p1, T1, p2, clearance, between)
    network = build_network([Design(machine=machine)], air())
    strokes = (Stroke(network, 1), Stroke(network, 2))
    layout = network.layout
    conductance = np.full((layout.count, 1), PERFECT if held else 0.0)
    for line in layout.lines:
        if line is not None:
            conductance[line] = PERFECT
    curve = _open_curve(network)
    state = _start(network, strokes[0], p1, T1, p2, between)
    with np.errstate(all="ignore"):
        for _ in range(CYCLES[len(machine.stages)]):
            logs = [_stroke(network, s, curve, state, conductance) for s in strokes]
    return _read(network, strokes, logs, between or p2)


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


def _open_curve(network: Network) -> Curve:
    """Return the flow curve of exhausts that nothing obstructs."""
    nodes = len(network.layout.nodes)
    room = np.asarray(network.machine.room.pressure)
    flow = np.geomspace(1e-6, 1.0, 14)[:, None, None] * np.ones((1, nodes, 1))
    T = np.full((nodes, 1), 293.15)
    pressure = upstream_pressure(OPEN_VENT.sonic, OPEN_VENT.critical_ratio, flow, room, T)
    return fit_curve(flow, pressure, T, room)


def _start(
    network: Network, stroke: Stroke, p1: float, T1: float, p2: float, between: float
) -> GasState:
    """Return contents near those at the start of stroke 1."""
    layout, room = network.layout, float(network.machine.room.pressure[0])  # type: ignore[index]
    p = np.full((layout.count, 1), room)
    p[1] = p1
    for chamber, number in zip(layout.chambers, layout.compresses_on, strict=True):
        p[chamber] = p2 if number == 2 else (between or p1)
    p[layout.chambers[0]] = between or p2
    for line in layout.lines:
        if line is not None:
            p[line] = between
    thermo = air().thermo(np.full_like(p, T1), p)
    m = thermo.rho * stroke.start_volume
    return near_contents(air(), m, m * thermo.h - p * stroke.start_volume, stroke.start_volume)


def _stroke(
    network: Network, stroke: Stroke, curve: Curve, state: GasState, held: Array
) -> dict[str, Array]:
    """Integrate one stroke with ideal walls; `state` is advanced to its end."""
    room = np.asarray(network.machine.room.temperature)
    walls = StrokeWalls(drive=room, stage=np.zeros((1, 1, 1)), room=room)
    pace = Pace(
        omega=np.full(1, np.pi / STROKE_TIME), piston_speed=np.full(1, STROKE / STROKE_TIME)
    )
    stepper = _IdealStepper(
        stroke.equations, stroke.start_volume, air(), curve, state, walls, pace, RESOLUTION.settled
    )
    stepper.held = held
    start = np.minimum(stroke.equations.net_force(state.p), 0.0)
    left = np.linspace(1.0, 0.0, RESOLUTION.release + 1)
    for before, after in pairwise(left):
        stepper.release(before * start, after * start)
    length = np.asarray(network.machine.drive.stroke)
    covered = travel_grid(RESOLUTION)
    for here, there in pairwise(covered):
        stepper.travel(here * length, (there - here) * length)
    stepper.stop()
    for _ in range(RESOLUTION.rest):
        stepper.rest(network.hold / RESOLUTION.rest)
    stepper.finish(state)
    return {name: np.stack(rows) for name, rows in stepper.log.items()}


def _read(
    network: Network, strokes: tuple[Stroke, Stroke], logs: list[dict[str, Array]], p: float
) -> Cycle:
    """Read drawn mass, work and delivery temperature out of the two strokes of a cycle."""
    layout, table = network.layout, air()
    drawn, work, temperature = [], [], []
    levels = [p, float(network.machine.tank_pressure[0])]  # type: ignore[index]
    for i, chamber in enumerate(layout.chambers):
        drawn.append(sum(float((log["flow"][:, 2 + 2 * i] * log["dt"]).sum()) for log in logs))
        work.append(
            -sum(
                float((log["p"][:, chamber] * log["dx"]).sum() * stroke.equations.rate[chamber, 0])
                for stroke, log in zip(strokes, logs, strict=True)
            )
        )
        out = sum(float((log["flow"][:, 3 + 2 * i] * log["dt"]).sum()) for log in logs)
        heat = sum(float((log["enthalpy"][:, 3 + 2 * i] * log["dt"]).sum()) for log in logs)
        level = levels[min(i, 1)] if len(layout.chambers) > 1 else levels[1]
        temperature.append(float(table.temperature_from_enthalpy(heat / out, level)))
    between = p
    for line in layout.lines:
        if line is not None:
            time = sum(float(log["dt"].sum()) for log in logs)
            between = sum(float((log["p"][:, line] * log["dt"]).sum()) for log in logs) / time
    return Cycle(
        drawn=tuple(drawn),
        work=tuple(work),
        delivery_temperature=tuple(temperature),
        between=between,
    )


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
