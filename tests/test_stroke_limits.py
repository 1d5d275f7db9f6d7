"""The stroke cycle against its limits: isentropic, isothermal, blowdown, first law, gas spring."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from printed import near
from sample import (
    MACHINE,
    Array,
    IdealAir,
    Solved,
    iso,
    network_of,
    run,
    single,
)

from jacketcalc.components import (
    barrel_wall,
    chamber_heat,
    passage_cells,
    pulses,
    stroke_heat,
    stroke_opening,
)
from jacketcalc.components.chamber_heat import Pace, StageHeat, stage_heat
from jacketcalc.components.chambers import build_network
from jacketcalc.components.designs import Design
from jacketcalc.components.passage_curve import fit_curve
from jacketcalc.components.record import GasState, StrokeWalls
from jacketcalc.components.stroke import Stroke
from jacketcalc.components.stroke_step import Stepper
from jacketcalc.correlations import cylinder
from jacketcalc.coupling import iteration
from jacketcalc.flow import closed_forms as forms
from jacketcalc.flow.iso6358 import upstream_pressure
from jacketcalc.gas.table import air
from jacketcalc.inputs import Check, Machine, Room
from jacketcalc.passage_geometry import OPEN_VENT
from jacketcalc.verification.convergence import set_sizes

# 293 K: 8 -> 45 bar and 45 -> 300 bar, clearance 5 %, computed for this project with CoolProp.
SUCTION, DELIVERY = np.array([8e5, 45e5]), np.array([45e5, 300e5])


def entropy(T: float, p: float) -> float:
    return float(PropsSI("S", "T", T, "P", p, "Air"))


def without_heat(patch: pytest.MonkeyPatch, coefficient: float = 0.0) -> None:
    """Give the stages one coefficient and no phase lead, and the drive none."""

    def law(*args: Any, **state: Any) -> StageHeat:
        return StageHeat(coefficient=coefficient + 0.0 * state["T"], lead=0.0 * state["T"])

    patch.setattr(stroke_heat, "stage_heat", law)
    patch.setattr(stroke_heat, "drive_coefficient", lambda pace, p, T: 0.0 * p)


def ideal_stage(place: int, conductance: float) -> Machine:
    """A bare single stage at 293 K whose check valves hardly resist."""
    valve = Check(conductance=iso(conductance), opening_pressure=0.0)
    bore = (32e-3, 14e-3)[place]
    m = single(
        SUCTION[place], DELIVERY[place], bore, inlet=valve, delivery=valve, seal_friction=0.0
    )
    # The second stage's drive works between 45 and 15 bar, so that its exhaust stays gas.
    room, drive = ((101325.0, 0.1), (15e5, 0.055))[place]
    supplied = (5.0, 1.0)[place]
    return replace(
        m,
        valve=replace(m.valve, fill=iso(supplied), vent=iso(supplied)),
        drive=replace(m.drive, bore=drive),
        room=Room(temperature=293.15, pressure=room),
        supply=replace(m.supply, temperature=293.0),
    )


def extrapolated(solved: Solved, name: str) -> Array:
    """Carry a stage's number to check valves without resistance: its error goes as 1/C."""
    value = np.array([getattr(o.stages[0], name) for o in solved.outcomes]).reshape(2, 2)
    return np.asarray(value[:, 1] - (value[:, 0] - value[:, 1]) / 3.0)


MACHINES = [ideal_stage(place, C) for place in (0, 1) for C in (16.0, 64.0)]


@pytest.fixture(scope="module")
def adiabatic() -> Solved:
    with pytest.MonkeyPatch.context() as patch:
        without_heat(patch)
        return run(MACHINES)


@pytest.fixture(scope="module")
def isothermal() -> Solved:
    with pytest.MonkeyPatch.context() as patch:
        without_heat(patch, 2e6)
        seen = iteration.gas_side_temperature
        patch.setattr(iteration, "gas_side_temperature", lambda *a: 293.0 + 0.0 * seen(*a))
        return run(MACHINES)


def test_adiabatic_discharge_is_isentropic(adiabatic: Solved) -> None:
    """T9: 480.02 K and 507.95 K by CoolProp; an ideal gas would give 503.8 K for the second.

    At the standard steps the valve opens inside one of them, which is worth 0.02 %.
    """
    want = [
        PropsSI("T", "S", entropy(293.0, p1), "P", p2, "Air")
        for p1, p2 in zip(SUCTION, DELIVERY, strict=True)
    ]
    assert want == [near("480.02"), near("507.95")]
    assert extrapolated(adiabatic, "discharge_temperature") == pytest.approx(want, rel=2e-4)
    assert extrapolated(adiabatic, "peak_temperature") == pytest.approx(want, rel=2e-4)


def test_adiabatic_work(adiabatic: Solved) -> None:
    """T9: 188.83 and 223.83 kJ/kg."""
    work = extrapolated(adiabatic, "compression_work")
    mass = extrapolated(adiabatic, "mass_per_stroke")
    assert work / mass / 1e3 == pytest.approx([188.83, 223.83], rel=5e-4)


def test_adiabatic_volumetric_efficiency(adiabatic: Solved) -> None:
    """T10: 1 + c - c rho_d/rho_s with real gas, 0.88142 and 0.88326 (ideal gas 0.8561)."""
    eta = extrapolated(adiabatic, "volumetric_efficiency")
    ends = zip(SUCTION, DELIVERY, (480.02, 507.95), strict=True)
    ratio = [
        PropsSI("D", "T", T, "P", p2, "Air") / PropsSI("D", "T", 293.0, "P", p1, "Air")
        for p1, p2, T in ends
    ]
    assert 1.05 - 0.05 * np.array(ratio) == pytest.approx([0.88142, 0.88326], abs=1e-5)
    assert eta == pytest.approx([0.88142, 0.88326], abs=2e-4)


def test_isothermal_limit(isothermal: Solved) -> None:
    """T10: volumetric efficiency 0.76628 and 0.75159, work 144.33 and 160.78 kJ/kg."""
    assert extrapolated(isothermal, "discharge_temperature") == pytest.approx(293.0, abs=0.1)
    eta = extrapolated(isothermal, "volumetric_efficiency")
    assert eta == pytest.approx([0.76628, 0.75159], abs=2e-4)
    work = extrapolated(isothermal, "compression_work")
    mass = extrapolated(isothermal, "mass_per_stroke")
    assert work / mass / 1e3 == pytest.approx([144.33, 160.78], rel=5e-3)


def vented(gas: Any, times: Array, room: float = 0.6e5) -> tuple[Array, Array]:
    """Blow 1 L at 8 bar and 293.15 K down through 1 dm3/(s bar); return p and T at its end.

    The piston rests at the far stop, where the vented chamber's volume is its dead volume.
    """
    m = single(8e5, 45e5, 32e-3)
    m = replace(
        m,
        valve=replace(m.valve, vent=iso(1.0)),
        drive=replace(m.drive, dead_volume_2=1e-3),
        room=replace(m.room, pressure=room),
    )
    network = build_network([Design(machine=m)], gas)
    stroke = Stroke(network, 1)
    levels = np.geomspace(1e-5, 1e-2, 14)[:, None, None] * np.ones((1, 2, 1))
    T0 = np.full((2, 1), 293.15)
    wide = upstream_pressure(OPEN_VENT.sonic, OPEN_VENT.critical_ratio, levels, room, T0)
    curve = fit_curve(levels, np.asarray(wide), T0, np.array([room]))
    p = np.full((network.layout.count, 1), 8e5)
    p[list(network.layout.nodes)] = room * 1.001
    T = np.full_like(p, 293.15)
    volume = stroke.start_volume + stroke.equations.rate * m.drive.stroke
    state = gas.thermo(T, p)
    mass = state.rho * volume
    contents = GasState(m=mass, U=mass * state.h - p * volume, p=p, T=T)
    still = np.full((2 * len(times), 1, 1), 293.15)
    walls = StrokeWalls(drive=np.full(1, 293.15), stage=still, room=np.full(1, 293.15))
    pace = Pace(omega=np.full(1, 6.0), piston_speed=np.full(1, 0.2))
    sizes = (stroke.equations, stroke.start_volume)
    stepper = Stepper(*sizes, gas, curve, contents, walls, pace, settled=1e-6)
    for step in times:
        stepper.rest(np.full(1, step))
    stepper.finish(contents)
    assert stepper.rough.max() == 0.0
    return contents.p[1], contents.T[1]


def test_blowdown_of_the_vented_chamber(monkeypatch: pytest.MonkeyPatch) -> None:
    """8 to 2.4 bar: 0.9410 s and 207.8 K adiabatic, 1.2074 s isothermal; second order in time."""
    gas = IdealAir(GAS_CONSTANT=forms.AIR_GAS_CONSTANT)
    tau = float(forms.blowdown_time_constant(1e-3, 1e-8, 293.15))
    whole = tau * float(forms.adiabatic_blowdown(0.3))
    assert whole == near("0.9410")
    without_heat(monkeypatch)
    errors = []
    for steps in (10, 20, 40):
        p, T = vented(gas, np.full(steps, whole / steps))
        errors.append(p[0] / 2.4e5 - 1.0)
    assert T[0] == near("207.8")
    assert abs(errors[-1]) < 1e-4
    assert np.log2(np.abs(errors[0] / errors[1])) == pytest.approx(2.0, abs=0.3)
    monkeypatch.setattr(stroke_heat, "drive_coefficient", lambda pace, p, T: 1e6 + 0.0 * p)
    whole = tau * float(forms.isothermal_blowdown(0.3))
    p, T = vented(gas, np.full(40, whole / 40))
    assert whole == near("1.2074")
    assert T[0] == pytest.approx(293.15, abs=0.01)
    assert p[0] == pytest.approx(2.4e5, rel=1e-4)


def test_blowdown_of_real_air(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is left is isentropic: 8 to 1.2 bar from 293 K ends at 169.82 K (CoolProp)."""
    without_heat(monkeypatch)
    p, T = vented(air(), np.full(60, 2.5 / 60), room=1.1e5)
    want = PropsSI("T", "S", entropy(293.15, 8e5), "P", float(p[0]), "Air")
    assert p[0] < 1.3e5
    assert T[0] == pytest.approx(want, rel=2e-4)


LOADS = (0.3, 0.6, 0.8)


@pytest.fixture(scope="module")
def loaded() -> Solved:
    """Drives without wall heat against friction of 0.3 to 0.8 of full force, at 1.2 bar."""
    with pytest.MonkeyPatch.context() as patch:
        without_heat(patch)
        m = single(8e5, 20e5, 10e-3)
        full = (8e5 - 1.2e5) * np.pi / 4 * (0.1**2 - 0.016**2)
        m = replace(
            m,
            room=replace(m.room, pressure=1.2e5),
            supply=replace(m.supply, temperature=293.0),
            valve=replace(m.valve, dead_time=0.5),
        )
        drives = [replace(m.drive, friction_share=0.0, friction=load * full) for load in LOADS]
        return run([replace(m, drive=drive) for drive in drives])


def exhausted(solved: Solved, place: int) -> tuple[float, float]:
    """Mean specific enthalpy of a design's exhaust [J/kg], and work per mass of drive air."""
    group = next(g for g in solved.groups if place in g.index)
    b = group.column[list(group.index).index(place)]
    records = group.snapshot.records
    mass = sum((r.exhaust * r.dt[:, None]).sum(axis=(0, 1)) for r in records)
    heat = sum((r.exhaust_enthalpy * r.dt[:, None]).sum(axis=(0, 1)) for r in records)
    outcome = solved.outcomes[place]
    each = outcome.drive_work * outcome.cycle_rate / outcome.drive_air_mass_flow
    return float((heat / mass)[b]), each


def test_exhaust_keeps_the_first_law(loaded: Solved) -> None:
    """h_exh = h_supply - w without wall heat, however the air was throttled on its way."""
    supply = PropsSI("H", "T", 293.0, "P", 8e5, "Air")
    for place, outcome in enumerate(loaded.outcomes):
        h, work = exhausted(loaded, place)
        assert h == pytest.approx(supply - work, rel=1e-6)
        assert abs(outcome.energy_closure) < 1e-6


def test_mean_exhaust_temperature(loaded: Solved) -> None:
    """8 bar, 293 K, to 1.2 bar at full pressure: w 71.288 kJ/kg and 220.55 K (CoolProp).

    Work short of that warms the exhaust as heat from the wall would: 10, 20, 30, 40 and 50
    kJ/kg to 230.5, 240.4, 250.4, 260.3 and 270.2 K (computed for this project).
    """
    supply = PropsSI("H", "T", 293.0, "P", 8e5, "Air")
    full = 6.8e5 / PropsSI("D", "T", 293.0, "P", 8e5, "Air")
    assert full == pytest.approx(71288.0, abs=1.0)
    assert PropsSI("T", "H", supply - full, "P", 1.2e5, "Air") == near("220.55")
    short, warmed = [0, 10, 20, 30, 40, 50], [220.55, 230.5, 240.4, 250.4, 260.3, 270.2]
    for place, load in enumerate(LOADS):
        h, work = exhausted(loaded, place)
        T = float(air().temperature_from_enthalpy(np.array(h), np.array(1.2e5)))
        assert pytest.approx(np.interp((full - work) / 1e3, short, warmed), abs=0.07) == T
        assert load * full < work < full


PECLET = np.array([1.0, 10.0, 100.0, 1000.0, 10000.0])


def spring_loss(peclets: Array) -> Array:
    """Work lost a cycle by a closed chamber of ideal gas under the stages' own heat law.

    Small sinusoidal compression, one frequency a Peclet number; divided by
    p0 V0 (pressure amplitude / p0)^2.
    """
    network = network_of(*[single(1e5, 45e5, 32e-3)] * len(peclets))
    gas: Any = IdealAir()
    T0, p0, small, steps = 300.0, 1e5, 1e-5, 400
    face = float(network.stage_area[0, 0])
    V0, wetted = face * 0.06, 2 * face + np.sqrt(4 * np.pi * face) * 0.06
    rho = p0 / (gas.GAS_CONSTANT * T0)
    diffusivity = gas.viscosity / gas.prandtl / rho
    omega = peclets * 4 * diffusivity / (4 * V0 / wetted) ** 2
    pace = Pace(omega=omega, piston_speed=0.24 * omega / (2 * np.pi))
    capacity, one = rho * V0 * gas.cp / gas.gamma, np.ones((1, len(peclets)))

    def rate(angle: float, T: Array) -> Array:
        V, dV = V0 * (1 + small * np.cos(angle)) * one, -V0 * small * np.sin(angle)
        p = p0 * (T / T0) * (V0 / V)
        law = stage_heat(
            network, gas, pace, p=p, T=T, thermo=gas.thermo(T, p), volume=V,
            area=wetted * one, wall=T0 * one, inflow=0.0 * one, speed=0.0 * omega,
            time=0.0 * omega, opening=one > 0.0,
        )  # fmt: skip
        out = law.coefficient * wetted * (T - T0) / omega - law.lead * p * dV
        return np.asarray((-p * dV - out) / capacity)

    def cycle(T: Array) -> tuple[Array, Array]:
        """Temperature after a cycle, and the loss."""
        excess, h = np.empty((steps, len(peclets))), 2 * np.pi / steps
        angles = h * np.arange(steps)[:, None]
        for i, a in enumerate(angles[:, 0]):
            excess[i] = (p0 * (T / T0) / (1 + small * np.cos(a)) - p0)[0]
            k1 = rate(a, T)
            k2 = rate(a + h / 2, T + h / 2 * k1)
            k3 = rate(a + h / 2, T + h / 2 * k2)
            T = T + h / 6 * (k1 + 2 * k2 + 2 * k3 + rate(a + h, T + h * k3))
        sine = (excess * np.sin(angles)).sum(axis=0) * h
        cosine = (excess * np.cos(angles)).sum(axis=0) * h
        amplitude = np.hypot(sine, cosine) / np.pi / p0
        return T, np.abs(sine) * V0 * small / (p0 * V0 * amplitude**2)

    # The chamber is linear at this amplitude: two cycles give the periodic start.
    apart = 0.01
    first, second = cycle(T0 * one)[0], cycle((T0 + apart) * one)[0]
    start = T0 + (first - T0) / (1.0 - (second - first) / apart)
    return cycle(start)[1]


def complex_loss(real: Array, imaginary: Array, peclets: Array, gamma: float) -> Array:
    """Loss of a chamber with Nusselt number real + i imaginary (Lee 1983, lumped)."""
    N = gamma * (real + 1j * imaginary) / peclets
    K = (gamma - 1j * N) / (1 - 1j * N)
    return np.asarray(np.pi * np.abs(K.imag) / np.abs(K) ** 2)


def test_gas_spring_with_the_exact_nusselt_number(monkeypatch: pytest.MonkeyPatch) -> None:
    """Lee's exact loss at Peclet 1 to 10 000: 0.07405, 0.37446, 0.12663, 0.04014 (gamma 1.4).

    The stages' heat law, phase lead included, is driven with Lee's Nusselt number.
    """
    monkeypatch.setattr(chamber_heat.cylinder, "gas_spring", cylinder.lee_exact)
    monkeypatch.setattr(chamber_heat.cylinder, "natural_convection", lambda *a: 0.0 * a[-1])
    loss = spring_loss(PECLET)
    table = cylinder.gas_spring_loss(PECLET[:4], 1.4)
    assert list(table) == [near("0.07405"), near("0.37446"), near("0.12663"), near("0.04014")]
    assert loss == pytest.approx(cylinder.gas_spring_loss(PECLET, 1.4), rel=2e-4)


def test_gas_spring_as_shipped(monkeypatch: pytest.MonkeyPatch) -> None:
    """The measured law, lumped, gives its own complex loss; over Peclet 30 to 3000 near Lee's.

    Kornhauser and Smith's law meets the exact theory at Peclet 100 to 300 and is measured
    to lose more above: within 35 % here, and never more than the factor 2 outside it.
    """
    monkeypatch.setattr(chamber_heat.cylinder, "natural_convection", lambda *a: 0.0 * a[-1])
    loss = spring_loss(PECLET)
    real, imaginary = cylinder.gas_spring(PECLET)
    assert loss == pytest.approx(complex_loss(real, imaginary, PECLET, 1.4), rel=2e-4)
    ratio = loss / cylinder.gas_spring_loss(PECLET, 1.4)
    assert ratio[2] == pytest.approx(1.0, abs=0.35)
    assert ratio.min() > 0.5 and ratio.max() < 3.0


HEADLINES = (
    "cycle_rate", "delivered_mass_flow", "drive_air_mass_flow", "drive_work",
    "back_pressure_mean", "back_pressure_peak", "port_temperature", "stages.charge_temperature",
    "stages.discharge_temperature", "stages.peak_temperature", "stages.mass_per_stroke",
    "stages.volumetric_efficiency", "stages.compression_work", "stages.wall_temperature.min",
    "stages.wall_temperature.mean", "stages.wall_temperature.max", "stages.jacket.heat",
    "stages.jacket.inlet_temperature", "stages.jacket.outlet_temperature",
)  # fmt: skip


def headlines(solved: Solved) -> dict[str, Array]:
    """All headline numbers, by name, over designs and stages."""

    def read(thing: Any, path: list[str]) -> list[float]:
        if isinstance(thing, tuple):
            return [v for part in thing for v in read(part, path)]
        return read(getattr(thing, path[0]), path[1:]) if path else [float(thing)]

    return {
        name: np.array([read(o, name.split(".")) for o in solved.outcomes]) for name in HEADLINES
    }


def gci(coarse: Array, middle: Array, fine: Array) -> Array:
    """Grid convergence index of the fine grid after ASME V&V 20, refinement 2, safety 1.25 [-].

    The order is held between 1 and 2, for differences at rounding level have none.
    """
    first, second = np.abs(coarse - middle), np.abs(middle - fine)
    order = np.clip(np.log2(np.maximum(first, 1e-300) / np.maximum(second, 1e-300)), 1.0, 2.0)
    return np.asarray(1.25 * second / np.abs(fine) / (2.0**order - 1.0))


@pytest.fixture(scope="module")
def refined() -> list[dict[str, Array]]:
    return [headlines(run([MACHINE], factor)) for factor in (0.5, 1.0, 2.0)]


@pytest.mark.parametrize("name", HEADLINES)
def test_steps_converge(name: str, refined: list[dict[str, Array]]) -> None:
    """Twice the time steps move no headline number by 0.1 %."""
    coarse, middle, fine = (row[name] for row in refined)
    assert np.abs(middle / fine - 1.0).max() < 1e-3
    assert gci(coarse, middle, fine).max() < 1.5e-3


@pytest.fixture(scope="module")
def finer_cells() -> dict[str, dict[str, Array]]:
    """Headlines with twice as many of each kind of cell."""
    sizes = {
        "TUBE_CELLS": passage_cells.TUBE_CELLS,
        "CHANNEL_CELLS": passage_cells.CHANNEL_CELLS,
        "WALL_NODES": barrel_wall.WALL_NODES,
        "PHASES": pulses.PHASES,
        "LEVELS": 40,
    }
    found = {"levels shipped": headlines(run([MACHINE], 0.34))}
    with set_sizes(sizes):
        found["as shipped"] = headlines(run([MACHINE], 0.34))
    for name, size in sizes.items():
        with set_sizes({**sizes, name: 2 * size}):
            found[name] = headlines(run([MACHINE], 0.34))
    return found


@pytest.mark.parametrize("cells", ["TUBE_CELLS", "CHANNEL_CELLS", "WALL_NODES", "PHASES", "LEVELS"])
def test_cells_converge(cells: str, finer_cells: dict[str, dict[str, Array]]) -> None:
    """Twice the cells, phases or levels move no headline number by 0.1 %."""
    before = finer_cells["levels shipped" if cells == "LEVELS" else "as shipped"]
    moved = {
        name: float(np.abs(before[name] / value - 1.0).max())
        for name, value in finer_cells[cells].items()
    }
    assert {name: v for name, v in moved.items() if v >= 1e-3} == {}


def test_openings_iterate_far_enough(monkeypatch: pytest.MonkeyPatch) -> None:
    """The peak hardly moves when every step of an opening is solved a million times closer."""
    loose = np.array(run([MACHINE], 0.5).outcomes[0].back_pressure_peak)
    monkeypatch.setattr(stroke_opening, "LOOSER", 1e-4)
    close = np.array(run([MACHINE], 0.5).outcomes[0].back_pressure_peak)
    assert np.any(loose != close)
    assert loose == pytest.approx(close, rel=5e-4)
