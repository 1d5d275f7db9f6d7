"""The stroke cycle between its limits: isentropic and isothermal."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from coolprop_air import entropy
from printed import near
from sample import Array, Solved, iso, run, single
from stroke_bench import without_heat

from jacketcalc.inputs import Ambient, CheckValve, Machine

# 293 K: 8 -> 45 bar and 45 -> 300 bar, clearance 5 %, computed for this project with CoolProp.
SUCTION, DELIVERY = np.array([8e5, 45e5]), np.array([45e5, 300e5])


def ideal_stage(place: int, conductance: float) -> Machine:
    """A bare single stage at 293 K whose check valves hardly resist."""
    valve = CheckValve(conductance=iso(conductance), cracking_pressure=0.0)
    bore = (32e-3, 14e-3)[place]
    m = single(
        SUCTION[place], DELIVERY[place], bore, inlet=valve, delivery=valve, seal_friction=0.0
    )
    # The second stage's drive works between 45 and 15 bar, so that its exhaust stays gas.
    ambient, drive = ((101325.0, 0.1), (15e5, 0.055))[place]
    supplied = (5.0, 1.0)[place]
    return replace(
        m,
        valve=replace(m.valve, supply_path=iso(supplied), exhaust_path=iso(supplied)),
        drive=replace(m.drive, bore=drive),
        ambient=Ambient(temperature=293.15, pressure=ambient),
        supply=replace(m.supply, temperature=293.0),
    )


def extrapolated(solved: Solved, name: str) -> Array:
    """Carry a stage's number to check valves without resistance: its error goes as 1/C."""
    value = np.array([getattr(o.stages[0], name) for o in solved.outcomes]).reshape(2, 2)
    return np.asarray(value[:, 1] - (value[:, 0] - value[:, 1]) / 3.0)


MACHINES = [ideal_stage(place, C) for place in (0, 1) for C in (16.0, 64.0)]


@pytest.fixture(scope="module")
def adiabatic() -> Solved:
    return run(MACHINES, change=without_heat)


def held_at_293(record: Any) -> None:
    """Walls at 293 K: metal without resistance, outside that radiates without bounds."""
    without_heat(record, 2e6 * 32e-3 / 0.026)
    for stage in record["stage"][: int(record["stages"])]:
        stage["conductivity"], stage["emissivity"], stage["flange"] = 1e9, 1e7, 0.0


@pytest.fixture(scope="module")
def isothermal() -> Solved:
    machines = [replace(m, ambient=replace(m.ambient, temperature=293.0)) for m in MACHINES]
    return run(machines, change=held_at_293)


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
    work = extrapolated(adiabatic, "indicated_work")
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
    work = extrapolated(isothermal, "indicated_work")
    mass = extrapolated(isothermal, "mass_per_stroke")
    assert work / mass / 1e3 == pytest.approx([144.33, 160.78], rel=5e-3)
