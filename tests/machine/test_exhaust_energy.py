"""The exhaust keeps the first law: its enthalpy is the supply's less the drive's work."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from printed import near
from sample import Solved, run, single
from stroke_bench import without_heat

from jacketcalc.flow import closed_forms as forms
from jacketcalc.gas.table import air

LOADS = (0.3, 0.6, 0.8)


@pytest.fixture(scope="module")
def loaded() -> Solved:
    """Drives without wall heat against friction of 0.3 to 0.8 of full force, at 1.2 bar."""
    m = single(8e5, 20e5, 10e-3)
    full = (8e5 - 1.2e5) * np.pi / 4 * (0.1**2 - 0.016**2)
    m = replace(
        m,
        ambient=replace(m.ambient, pressure=1.2e5),
        supply=replace(m.supply, temperature=293.0),
        valve=replace(m.valve, switching_time=0.5),
    )
    drives = [replace(m.drive, friction_share=0.0, friction=load * full) for load in LOADS]
    return run([replace(m, drive=drive) for drive in drives], change=without_heat)


def exhausted(solved: Solved, place: int) -> tuple[float, float]:
    """Mean specific enthalpy of a design's exhaust [J/kg], and work per mass of drive air."""
    whole, outcome = solved.solutions[place].whole, solved.outcomes[place]
    mass, heat = (
        float((whole[name] * whole["dt"][:, None]).sum())
        for name in ("exhaust", "exhaust_enthalpy")
    )
    each = outcome.drive_work * outcome.cycle_rate / outcome.drive_air_mass_flow
    return heat / mass, each


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


def test_blowdown_then_push_out_make_the_mean() -> None:
    """Energy: what left in blowdown and the rest pushed out at its own temperature."""
    left = forms.mass_left(0.15)
    mean = (1.0 - left) * forms.mean_outflow_temperature(0.15)
    mean += left * forms.adiabatic_temperature(0.15)
    assert mean == pytest.approx(float(forms.mean_exhaust_temperature(0.15)), rel=1e-12)
