"""The core's march against pipe flow with heat: Rayleigh's line and walls of one temperature."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from ideal_gas import IdealGas
from lone_tube import CHANNEL_CELLS, DEFAULT, GAMMA, GAS, THROUGH_TUBE, R, bored, mach, tube
from passage_bench import ended_at, follow, passage, put_law, size
from printed import near

from jacketcalc.core.parts import PassageParts
from jacketcalc.core.resolution import Resolution
from jacketcalc.correlations.laws import Law, Part
from jacketcalc.flow import closed_forms as forms

# Exact for gamma 1.4: M, T0/T0*, p/p*, p0/p0*.
RAYLEIGH = np.array(
    [
        [0.1, 0.0468, 2.3669, 1.2591],
        [0.2, 0.1736, 2.2727, 1.2346],
        [0.3, 0.3469, 2.1314, 1.1985],
        [0.4, 0.5290, 1.9608, 1.1566],
        [0.5, 0.6914, 1.7778, 1.1141],
        [0.6, 0.8189, 1.5957, 1.0753],
        [0.8, 0.9639, 1.2658, 1.0193],
    ]
)


def heated(cells: int, rise: float, flux: float, T0: float, wall: float) -> PassageParts:
    """A tube without friction, as long as brings stagnation temperature from T0 up by `rise`."""
    gas = IdealGas(prandtl=1.0)
    units = np.log((wall - T0) / (wall - T0 - rise))
    parts = tube(cells, 0.0, 40.0, gas)
    flow = flux * size(parts, "tube_area")
    length = units * flow * gas.cp / (40.0 * gas.conductivity * np.pi)
    return tube(cells, 0.0, 40.0, gas, tube_length=float(length))


def test_rayleigh_line() -> None:
    """V10: hot walls and no friction; p and p0 against T0 lie on one line, whatever the walls."""
    cells, end, wall = 108, 0.9, 20000.0
    last = forms.rayleigh(end)
    for _, stagnation, pressure, total_pressure in RAYLEIGH:
        total = 300.0 * float(last.stagnation_temperature) / stagnation
        static = total / (1 + 0.2 * end**2)
        flux = 1e5 / (R * static) * end * np.sqrt(GAMMA * R * static)
        parts = heated(cells, total - 300.0, flux, 300.0, wall)
        found = ended_at(1e5, parts, flux * size(parts, "tube_area"), wall=wall)
        assert found["T0"][cells] == pytest.approx(total, rel=1e-9)
        assert found["p"][0] / 1e5 == pytest.approx(pressure / float(last.pressure), rel=2e-4)
        got = found["port_pressure"] / (1e5 * (1 + 0.2 * end**2) ** 3.5)
        assert got == pytest.approx(total_pressure / float(last.stagnation_pressure), rel=2e-4)


def test_rayleigh_heating_example() -> None:
    """Cengel and Cimbala, example 12-14: 80 m/s, 550 K, 480 kPa, 1050 kJ/kg, cp 1.005.

    M2 0.314, T2 1566 K, p2 439 kPa, V2 249 m/s, 0.2 % (read in an open worked notebook).
    """
    cells, T01 = 96, 550.0 + 80.0**2 / 2 / GAS.cp
    flux = 480e3 / (R * 550.0) * 80.0
    parts = heated(cells, 1050e3 / 1005.0, flux, T01, 20000.0)
    found = ended_at(438.8e3, parts, flux * size(parts, "tube_area"), T0=T01, wall=20000.0)
    p, T = found["p"], found["T"]
    assert p[0] == pytest.approx(480e3, rel=1e-3)
    assert T[cells] == pytest.approx(1566.0, rel=2e-3)
    assert p[cells] == pytest.approx(439e3, rel=2e-3)
    assert mach(parts, found, flux)[-1] == pytest.approx(0.314, rel=2e-3)
    assert flux * R * T[cells] / p[cells] == pytest.approx(249.0, rel=2e-3)


def test_constant_wall() -> None:
    """V1: one transfer unit brings 0 in 100 degC walls to 63.2121 degC."""
    gas = IdealGas(prandtl=1.0)
    length = 1e-4 * gas.cp / (40.0 * gas.conductivity * np.pi)
    parts = tube(DEFAULT, 0.0, 40.0, gas, tube_length=length)
    found = follow(parts, 1e-4, 273.15, 373.15)
    assert found["T0"][DEFAULT] - 273.15 == near("63.2121")


def test_tube_with_wall_20_above() -> None:
    """Holman, example 6-1 (read): 2 atm, 200 degC, 25.4 mm, 10 m/s, walls 20 K above the air.

    103.5 W/m and 40.04 K over 3 m with the book's properties and Dittus-Boelter; 0.2 %.
    """
    mu, k, cp, Pr = 2.57e-5, 0.0386, 1025.0, 0.681
    gas = IdealGas(gamma=cp / (cp - R), viscosity=mu, prandtl=Pr)
    assert gas.conductivity == pytest.approx(k, rel=3e-3)
    resolution = Resolution(channel_cells=CHANNEL_CELLS)
    parts = passage(THROUGH_TUBE, gas, resolution, **bored(0.0254), tube_length=3.0)
    dittus = Part(base=lambda Re, Pr: 0.023 * Re**0.8 * Pr**0.4)
    put_law(parts, "tube_nusselt", Law(slow=dittus))
    flow, cells = 7.564e-3, DEFAULT + CHANNEL_CELLS
    wall: Any = 493.15
    for _ in range(12):
        found = follow(parts, flow, 473.15, wall, ambient=2 * 101325.0)
        wall = found["seen"][:cells] + 20.0
    T0 = found["T0"][: cells + 2]
    assert flow / size(parts, "tube_area") * 0.0254 / mu == pytest.approx(14749.0, rel=2e-3)
    assert T0[-1] - T0[0] == pytest.approx(40.04, rel=3e-3)
    assert (flow * cp * (T0[-1] - T0[0])) / 3.0 == pytest.approx(103.5, rel=3e-3)
