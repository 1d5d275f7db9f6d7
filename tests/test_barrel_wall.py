"""The barrel's wall, the cut of a pulse and the rest after it against closed forms."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from printed import near
from sample import MACHINE, STEEL, Array, network_of, single

from jacketcalc.components import barrel_wall
from jacketcalc.components import passage_cells as pc
from jacketcalc.components import passage_march as pm
from jacketcalc.components.barrel_wall import (
    SEAL_HEAT_TO_BARREL,
    BarrelGrid,
    WallLoad,
    build_grid,
    solve_walls,
)
from jacketcalc.components.pulses import Pulses, cut_pulses, passage_heat
from jacketcalc.components.stroke_grid import Resolution, instants
from jacketcalc.gas.table import air

ROOM = 293.0


def grid_of(**stage: Any) -> BarrelGrid:
    """Lay out one stage's barrel without its piston."""
    grid = build_grid(network_of(single(8e5, 20e5, 50e-3, **stage)), instants(Resolution()))
    return replace(grid, skirt=0.0 * grid.skirt)


def load_of(grid: BarrelGrid, **parts: Any) -> WallLoad:
    """Make a load that is nothing but the parts given."""
    none = np.zeros_like(grid.area_in)
    end, room = none[0], np.full(1, ROOM)
    both = np.concatenate([none, none[:2]])
    # A crown with no gas would have no balance.
    crown = both.copy()
    crown[-1] = 1.0
    values: dict[str, Any] = {
        "gas": crown, "gas_pull": crown * ROOM, "outside": none, "outside_pull": none,
        "seal": end, "head_room": end, "room": room, "drive_wall": room,
    }  # fmt: skip
    return WallLoad(**(values | parts))


def test_composite_cylinder() -> None:
    """Cengel, example 3-8 (read): steam at 320 degC in an insulated pipe, 120.79 W/m; 0.05 %.

    h 60, 50/55 mm of k 80, 30 mm of glass wool k 0.05, h 18 to 5 degC. The pipe loses 0.0229 K.
    """
    iron = replace(STEEL, conductivity=80.0)
    grid = grid_of(wall_thickness=2.5e-3, material=iron)
    grid = replace(grid, axial=1e-12 * grid.axial, mount=0.0 * grid.mount)
    dz = grid.area_in[0, 0, 0] / (np.pi * 0.05)
    wool = np.log(0.115 / 0.055) / (2 * np.pi * 0.05 * dz)
    outer = 1.0 / (wool + 1.0 / (18.0 * np.pi * 0.115 * dz))
    inner = np.concatenate([60.0 * grid.area_in, np.ones((2, 1, 1))])
    outside = outer + 0.0 * grid.area_in
    load = load_of(
        grid, gas=inner, gas_pull=inner * 593.15, outside=outside, outside_pull=outside * 278.15
    )
    found = solve_walls(grid, load)
    flux = outer * (found.outside - 278.15) / dz
    assert flux == pytest.approx(120.79, rel=5e-4)
    assert (found.inside - found.outside)[3, 0, 0] == near("0.0229")
    wool_drop = flux[0, 0, 0] * dz * wool
    assert wool_drop == pytest.approx(283.59, rel=5e-4)


def fin_error(nodes: int, monkeypatch: pytest.MonkeyPatch) -> float:
    """Largest error along a barrel that is a fin on its head, over the head's excess."""
    monkeypatch.setattr(barrel_wall, "WALL_NODES", nodes)
    grid = grid_of(wall_thickness=4e-3)
    grid = replace(
        grid, resistance_in=0 * grid.area_in, resistance_out=0 * grid.area_in, mount=0 * grid.mount
    )
    h, length, hot = 25.0, 0.165, 393.0
    outside = h * grid.area_out
    held = np.zeros((nodes + 2, 1, 1))
    held[-2:] = 1e9
    load = load_of(
        grid, gas=held, gas_pull=held * hot, outside=outside, outside_pull=outside * ROOM
    )
    found = solve_walls(grid, load)
    section = np.pi / 4 * (0.058**2 - 0.05**2)
    m = np.sqrt(h * np.pi * 0.058 / (STEEL.conductivity * section))
    z = (np.arange(nodes) + 0.5) * length / nodes
    exact = np.cosh(m * (length - z)) / np.cosh(m * length)
    return float(np.abs((found.middle[:, 0, 0] - ROOM) / (hot - ROOM) - exact).max())


def test_barrel_is_a_fin(monkeypatch: pytest.MonkeyPatch) -> None:
    """cosh m(L - z) / cosh mL, adiabatic tip (any heat transfer text), second order in nodes."""
    errors = np.array([fin_error(n, monkeypatch) for n in (24, 48, 96)])
    assert np.log2(errors[:-1] / errors[1:]) == pytest.approx(2.0, abs=0.1)
    assert errors[0] < 2.5e-3


def test_balance_of_the_walls() -> None:
    """Every watt into head, barrel and crown leaves by room, drive body and gas."""
    random = np.random.default_rng(3)
    grid = build_grid(network_of(MACHINE, MACHINE), instants(Resolution()))
    shape = grid.area_in.shape
    both = (shape[0] + 2, *shape[1:])
    gas, outside = 0.2 * random.random(both), 0.1 * random.random(shape)
    load = WallLoad(
        gas=gas, gas_pull=gas * (300 + 200 * random.random(both)), outside=outside,
        outside_pull=outside * (250 + 40 * random.random(shape)), seal=8 * random.random(shape[1:]),
        head_room=0.1 * random.random(shape[1:]), room=np.full(2, ROOM),
        drive_wall=np.array([280.0, 285.0]),
    )  # fmt: skip
    walls = solve_walls(grid, load)
    faces = np.concatenate([walls.inside, walls.head[None], walls.crown[None]])
    gained = (load.gas_pull - load.gas * faces).sum(axis=0) + load.seal
    lost = (load.outside * walls.outside - load.outside_pull).sum(axis=0)
    lost += load.head_room * (walls.head - ROOM)
    mount = 1.0 / (1.0 / grid.mount + 0.5 / grid.axial)
    lost += mount * (walls.middle[-1] - load.drive_wall)
    assert 0.0 < SEAL_HEAT_TO_BARREL < 1.0
    assert gained == pytest.approx(lost, rel=1e-9)


def test_jacket_cells_lie_on_the_barrel() -> None:
    """Each channel cell's surface is shared out in full, and only under the winding."""
    grid = build_grid(network_of(MACHINE), instants(Resolution()))
    assert grid.placement.sum(axis=0) == pytest.approx(1.0, rel=1e-12)
    covered = (grid.covered[:, :, 0] * np.array([0.165, 0.146]) / len(grid.covered)).sum(axis=0)
    assert covered == pytest.approx(0.12, rel=1e-12)


@settings(max_examples=30, deadline=None)
@given(seed=st.integers(0, 10_000), count=st.integers(12, 150), pulses=st.sampled_from([1, 2]))
def test_cut_keeps_mass_enthalpy_and_time(seed: int, count: int, pulses: int) -> None:
    """Phases carry the pulse's mass, mass x temperature, and with the rest its time."""
    random = np.random.default_rng(seed)
    shape = (count, 2, 3)
    when = np.linspace(0.0, 1.0, count)[:, None, None]
    flow = 0.04 * np.maximum(random.random((1, 2, 3)) - when, 0.0) ** 0.5 + 1e-5
    T = 220.0 + 60.0 * random.random(shape)
    dt = 0.1 * random.random(shape)
    dt *= 0.9 / dt.sum(axis=0)
    cut = cut_pulses(flow, T, dt, pulses)
    assert cut.mass.sum(axis=0) == pytest.approx((flow * dt).sum(axis=0), rel=1e-12)
    heat = (cut.mass * cut.T0).sum(axis=0)
    assert heat == pytest.approx((flow * T * dt).sum(axis=0), rel=1e-12)
    assert cut.time.sum(axis=0) + cut.rest == pytest.approx(0.9, rel=1e-12)
    assert cut.period == pytest.approx(0.9, rel=1e-12)
    assert T.min() - 1e-9 <= cut.T0.min() and cut.T0.max() <= T.max() + 1e-9


def test_phases_follow_a_known_pulse() -> None:
    """A pulse at constant flow cuts into equal phases, and the rest is the time without flow."""
    dt = np.full((1000, 1, 1), 1e-3)
    flow = np.where(np.arange(1000)[:, None, None] < 400, 0.02, 0.0)
    cut = cut_pulses(flow, np.full_like(dt, 250.0), dt, 1)
    # An instant at full flow counts 1/1.005 as flow: 2 ms of the 400 pass for rest.
    assert cut.time == pytest.approx(0.4 / 1.005 / len(cut.time), rel=1e-9)
    assert cut.rest == pytest.approx(0.6 + 0.4 * 0.005 / 1.005, rel=1e-9)
    assert cut.mass.sum() == pytest.approx(8e-3, rel=1e-12)


def test_air_at_rest_warms_exponentially() -> None:
    """Still air of heat capacity C behind conductance UA gains C (Tw - T)(1 - exp(-UA t / C)).

    Of that exp(-NTU) reaches the vent, NTU that of the way there: an excess over a constant wall.
    """
    g = network_of(MACHINE).passages
    shape = (1, *g.area.shape)
    flow, T0, wall = np.full(shape, 2e-3), np.full(shape, 240.0), 300.0
    cells = (pc.TUBE_CELLS + pc.CHANNEL_CELLS, *g.area.shape)
    walls = pc.Walls(
        barrel=np.full((pc.CHANNEL_CELLS, *g.area.shape), wall),
        outer=np.full(cells, wall), heat=np.ones(1),
    )  # fmt: skip
    start = pm.cold_profile(shape, T0, np.float64(1.2e5))
    found = pm.march(
        air(), g, {"nominal": np.arange(1)}, flow, T0, walls, np.array([101325.0]), start, 8
    )
    units = found.outer_conductance[:, 0].copy()
    units[pc.TUBE_CELLS :] += found.barrel_conductance[:, 0]
    units /= 2e-3 * 1005.0
    outlasts = np.exp(
        -np.array([units[c + 1 :].sum(axis=0) + units[c] / 2 for c in range(len(units))])
    )
    taken: list[Array] = []
    rests = np.array([1e-3, 0.05, 0.5, 50.0])
    for rest in rests:
        moment = np.full(shape, 1e-12)
        pulses = Pulses(
            time=moment, mass=flow * moment, T0=T0, rest=np.full(g.area.shape, rest),
            period=np.array([rest]),
        )  # fmt: skip
        heat = passage_heat(air(), g, pulses, found, walls)
        both = (heat.outer * wall - heat.outer_pull).sum(axis=0)
        taken.append((both + (heat.barrel * wall - heat.barrel_pull).sum(axis=0)) * rest)
    n = pc.TUBE_CELLS
    T, p = found.profile.T[:, 0], found.profile.p[:, 0]
    middle = np.concatenate([(T[:n] + T[1 : n + 1]) / 2, (T[n + 1 : -1] + T[n + 2 :]) / 2])
    low = np.broadcast_to(np.minimum(p[0], p[-1]), middle.shape)
    state, k = air().thermo(middle, low), air().transport(middle, low)[1]
    tube, channel = g.tube_length / n, g.length / pc.CHANNEL_CELLS
    volume = np.concatenate(
        [np.repeat((g.tube_area * tube)[None], n, 0),
         np.repeat((g.area * channel)[None], pc.CHANNEL_CELLS, 0)]
    )  # fmt: skip
    capacity = state.rho * state.h_T * volume
    # Nusselt 3.66 in a round tube, 4.861 one side of a flat gap (exact).
    width = g.barrel_perimeter + g.fin_perimeter + g.shell_perimeter
    conductance = np.concatenate(
        [3.66 * k[:n] * np.pi * tube, 4.861 * k[n:] / g.hydraulic_diameter * width * channel]
    )
    for rest, got in zip(rests, taken, strict=True):
        kept = -np.expm1(-conductance * rest / capacity)
        gained = capacity * (wall - middle) * kept
        assert got == pytest.approx((gained * outlasts).sum(axis=0), rel=1e-6)
