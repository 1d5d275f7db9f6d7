"""Terms of the strokes and the drive, against closed forms and the plain computation.

The companion of `test_physical_terms.py`: what `tests/mutation` breaks, a test must notice.
"""

from __future__ import annotations

import json
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from plain import plain_machine
from sample import MACHINE, Array, IdealAir, network_of, single

from jacketcalc.components.barrel_wall import BarrelTemperatures, build_grid
from jacketcalc.components.chamber_heat import Pace
from jacketcalc.components.passage_curve import Curve, fit_curve
from jacketcalc.components.record import GasState, StrokeWalls
from jacketcalc.components.step_records import Fluxes, Instant, Point
from jacketcalc.components.stroke import Setting, Stroke
from jacketcalc.components.stroke_grid import Resolution, instants
from jacketcalc.coupling.drive_wall import solve_drive_wall
from jacketcalc.coupling.wall_loads import seal_work
from jacketcalc.flow.iso6358 import upstream_pressure
from jacketcalc.gas.table import air
from jacketcalc.inputs import Machine
from jacketcalc.passage_geometry import OPEN_VENT

PROBES: dict[str, Any] = json.loads(plain_machine.STORE.read_text())["probe"]
MAIN: Machine = plain_machine.read_machine()


def open_curve(room: float, T: float) -> Curve:
    """The flow curve of two nodes that vent into the open."""
    levels = np.geomspace(1e-5, 60e-3, 22)[:, None, None] * np.ones((1, 2, 1))
    T0 = np.full((2, 1), T)
    wide = upstream_pressure(OPEN_VENT.sonic, OPEN_VENT.critical_ratio, levels, room, T0)
    return fit_curve(levels, np.asarray(wide), T0, np.array([room]))


def filled(side: Stroke, p: Array, T: float) -> GasState:
    """Fill the volumes at the start of a stroke with air at pressures and one temperature."""
    at, volume = np.full_like(p, T), side.start_volume
    gas = air().thermo(at, p)
    mass = gas.rho * volume
    return GasState(m=mass, U=mass * gas.h - p * volume, p=p, T=at)


def test_two_cycles_are_the_plain_ones() -> None:
    """Two cycles of the bare main case with given walls, from the plain code's start.

    Times of the strokes, then mass and temperature of drive chambers, stages and line, at twice
    the usual steps. Steps as usual are held to 0.5 % of the plain code; a third of that here.
    """
    found = two_cycles(plain_machine.design(MAIN, "bare straight"), Resolution().scaled(2.0))
    assert found == pytest.approx(PROBES["strokes"], rel=1.6e-3)


def two_cycles(m: Machine, steps: Resolution) -> Array:
    """Run strokes 1, 2, 1, 2 as `plain_machine.probe_strokes` does."""
    network, room = network_of(m), m.room.pressure
    layout, strokes = network.layout, (Stroke(network, 1), Stroke(network, 2))
    area, line = network.stage_area[:, 0], layout.lines[1]
    assert line is not None
    p = np.full((layout.count, 1), 1.02 * room)
    p[1] = 0.95 * m.supply.pressure
    p[[line, *layout.chambers]] = 0.5 * m.supply.pressure * area[0] / area[1]
    state, curve = filled(strokes[0], p, m.room.temperature), open_curve(room, 270.0)
    held = np.broadcast_to(np.array([[[340.0], [450.0]]]), (len(instants(steps)), 2, 1))
    walls = StrokeWalls(drive=np.full(1, 300.0), stage=held, room=np.full(1, m.room.temperature))
    pace = Pace(omega=np.full(1, 2 * np.pi / 0.9), piston_speed=np.full(1, m.drive.stroke / 0.45))
    times = []
    for side in (*strokes, *strokes):
        record = side.run(
            Setting(air=air(), curve=curve, walls=walls, pace=pace, settled=steps.settled),
            state, side.course(network.hold, steps),
        )  # fmt: skip
        times.append(float(record.dt.sum()))
    kept = [0, 1, *layout.chambers, line]
    return np.array([*times, *state.m[kept, 0], *state.T[kept, 0]])


def test_seal_work() -> None:
    """Rubbing share x gauge force x travel, both strokes: 3 % of 10 and 40 bar on 32 mm."""
    network = network_of(single(8e5, 45e5, 32e-3))
    chamber, count = network.layout.chambers[0], network.layout.count
    records = []
    for gauge in (10e5, 40e5):
        p = np.full((8, count, 1), np.nan)
        p[:, chamber] = MACHINE.room.pressure + gauge
        records.append(SimpleNamespace(p=p, dx=np.full((8, 1), 0.12 / 8)))
    work: Any = seal_work(network, (records[0], records[1]))  # type: ignore[arg-type]
    face = np.pi / 4 * 0.032**2
    assert work[0, 0] == pytest.approx(0.03 * face * 0.12 * 50e5, rel=1e-12)


@pytest.mark.parametrize(("share", "led"), [(0.0, 1.0), (0.5, 0.5), (1.0, 0.0)])
def test_delivery_at_constant_pressure_has_no_phase_lead(share: float, led: float) -> None:
    """Heat leads the squeeze of the gas: -T (dp/dT)_v (dV less what leaves), the whole of it
    with shut valves, none where all that the piston sweeps is pushed out (exact)."""
    gas: Any = IdealAir()
    side = Stroke(network_of(single(8e5, 45e5, 32e-3)), 2)
    eq, chamber = side.equations, side.network.layout.chambers[0]
    count, dx, w = eq.count, 1e-3, 0.01
    p, T = np.full((count + 2, 1), 45e5), np.full((count + 2, 1), 400.0)
    thermo = gas.thermo(T[:count], p[:count])
    swept = float(-eq.rate[chamber, 0]) * dx
    fluxes = Fluxes(F=np.zeros((4, 1)), X=np.zeros((2, 1)), h=gas.cp * T)
    fluxes.F[3] = share * swept * thermo.rho[chamber] / w
    flat = np.zeros((count, 1))
    at = Instant(
        share=0.3, volume=flat + 1e-4, dx=np.full(1, dx), target=None,
        fixed=np.zeros(1, dtype=bool), conductance=flat, wall=flat + 300.0, lead=flat + 0.2,
    )  # fmt: skip
    point = Point(p=p, T=T, h=gas.cp * T, w=np.full(1, w))
    lead = eq.rates(point, at, thermo, fluxes)[3]
    assert lead[chamber, 0] == pytest.approx(0.2 * led * 45e5 * swept, rel=1e-9, abs=1e-9)


def test_drive_wall_balance() -> None:
    """One node: gas, friction, impact, room and mounts, worked out by hand."""
    m = MACHINE
    network, grid = network_of(m), build_grid(network_of(m), instants(Resolution()))
    count, d = network.layout.count, m.drive
    records = []
    for fed, impact in enumerate((4.0, 6.0)):
        p = np.full((5, count, 1), np.nan)
        p[:, fed] = 6e5 + m.room.pressure
        conductance, T = np.full((5, count, 1), 2.0), np.full((5, count, 1), 260.0)
        records.append(
            SimpleNamespace(
                p=p, T=T, conductance=conductance, dt=np.full((5, 1), 0.1),
                dx=np.full((5, 1), d.stroke / 5), impact=np.full(1, impact),
            )
        )  # fmt: skip
    along = np.full_like(grid.area_in, 350.0)
    barrels = BarrelTemperatures(
        inside=along, middle=along, outside=along, head=along[0], crown=along[0]
    )
    pair: Any = (records[0], records[1])
    found = solve_drive_wall(network, grid, pair, barrels, np.full(1, 1.0), np.full(1, 1.5))
    areas = [np.pi / 4 * (d.bore**2 - r**2) for r in (d.rod_1, d.rod_2)]
    rub = sum((6e5 * a * d.friction_share + d.friction) * d.stroke for a in areas) + 10.0
    mount = 0.0
    for stage in m.stages:
        section = np.pi * stage.wall_thickness * (stage.bore + stage.wall_thickness)
        half = 0.5 * stage.barrel_length / len(along)
        mount += 1 / (1 / stage.mount_conductance + half / (stage.material.conductivity * section))
    want = (4.0 * 260.0 + rub + 1.5 * 293.15 + mount * 350.0) / (4.0 + 1.5 + mount)
    assert found.temperature[0] == pytest.approx(want, rel=1e-9)
    assert found.friction[0] == pytest.approx(rub, rel=1e-12)


def test_piston_flies_under_a_constant_force() -> None:
    """x = F t2 / 2m: the stroke takes sqrt(2 m S / F) and ends with F S of kinetic energy.

    Exact while pressures keep: every chamber is given a huge dead volume. Time is the integral of
    dx over the root of x; for the first step from rest the method gives 1.6 in place of 2 times
    that root, which is a fifth of the root of its share of the stroke.
    """
    huge = 1e6
    m = single(8e5, 45e5, 32e-3, clearance=huge)
    m = replace(m, drive=replace(m.drive, dead_volume_1=huge, dead_volume_2=huge))
    network = network_of(m)
    side, p = Stroke(network, 1), np.full((network.layout.count, 1), m.room.pressure)
    chamber = network.layout.chambers[0]
    p[0], p[chamber] = 8e5, 7.5e5
    state, curve = filled(side, p, 293.15), open_curve(m.room.pressure, 293.15)
    steps = Resolution()
    still = np.full((len(instants(steps)), 1, 1), 293.15)
    walls = StrokeWalls(drive=still[0, 0], stage=still, room=still[0, 0])
    pace = Pace(omega=np.full(1, 7.0), piston_speed=np.full(1, 0.27))
    setting = Setting(air=air(), curve=curve, walls=walls, pace=pace, settled=steps.settled)
    record = side.run(setting, state, side.course(network.hold, steps))
    d, stage = m.drive, m.stages[0]
    face = np.pi / 4 * stage.bore**2
    force = (1 - d.friction_share) * (8e5 - m.room.pressure) * np.pi / 4 * (d.bore**2 - d.rod_1**2)
    force += (1 - stage.seal_friction) * (7.5e5 - m.room.pressure) * face - d.friction
    travels = record.dx[:, 0] > 0.0
    first = record.dx[travels][:2].sum() / d.stroke
    want = np.sqrt(2 * d.moving_mass * d.stroke / force)
    assert record.dt[travels].sum() == pytest.approx(want, rel=0.2 * np.sqrt(first))
    assert record.impact[0] == pytest.approx(force * d.stroke, rel=1e-6)
