"""The core's march against exact pipe flow and worked examples: Fanno, isothermal, Rayleigh."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from ideal_gas import IdealGas
from passage_bench import ended_at, follow, passage, plain_tube, put_law, size
from printed import near
from sample import TUBE, bare

from jacketcalc.core.parts import PassageParts
from jacketcalc.core.resolution import Resolution
from jacketcalc.correlations.laws import Law, Part
from jacketcalc.flow import closed_forms as forms
from jacketcalc.inputs import Exhaust

# Exact for gamma 1.4: f L*/D, p/p*, T/T*, p0/p0*. M 0.1 read in Farokhi, Aircraft
# Propulsion, appendix E; M 0.4 and 0.5 in textbook examples.
FANNO = np.array(
    [
        [0.1, 66.9216, 10.9435, 1.1976, 5.8218],
        [0.2, 14.5333, 5.4554, 1.1905, 2.9635],
        [0.25, 8.4834, 4.3546, 1.1852, 2.4027],
        [0.3, 5.2993, 3.6191, 1.1788, 2.0351],
        [0.4, 2.3085, 2.6958, 1.1628, 1.5901],
        [0.5, 1.0691, 2.1381, 1.1429, 1.3398],
        [0.6, 0.4908, 1.7634, 1.1194, 1.1882],
        [0.8, 0.0723, 1.2893, 1.0638, 1.0382],
    ]
)
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
# Exact for gamma 1.4: M, f L/D to M = 1/sqrt(gamma), p over p there.
ISOTHERMAL = np.array(
    [
        [0.1, 66.1599, 8.4515],
        [0.2, 13.9747, 4.2258],
        [0.4, 1.9682, 2.1129],
        [0.5, 0.8073, 1.6903],
        [0.6, 0.2989, 1.4086],
    ]
)
GAMMA, R = 1.4, 287.0
GAS = IdealGas()
BORE = TUBE.bore
THROUGH_TUBE = replace(
    bare(),
    exhaust_1=Exhaust(to="atmosphere", tube=replace(TUBE, fitting_loss=0.0)),
    exhaust_2=Exhaust(to="atmosphere", tube=TUBE),
)
DEFAULT = Resolution().tube_cells
CHANNEL_CELLS = 4
"""Cells of the channel that is not there: they leave room for the tube's."""


def tube(
    cells: int, f: float, nusselt: float = 0.0, gas: IdealGas = GAS, **sizes: float
) -> PassageParts:
    """A tube of constant friction factor and Nusselt number in a number of cells."""
    resolution = Resolution(tube_cells=cells, channel_cells=CHANNEL_CELLS)
    return plain_tube(passage(THROUGH_TUBE, gas, resolution, **sizes), f, nusselt)


def bored(bore: float) -> dict[str, float]:
    """Sizes of a tube of another bore."""
    return {"tube_bore": bore, "tube_area": np.pi / 4 * bore**2}


def sonic_flux(p: float, T0: float) -> float:
    """Mass flux at M 1, static pressure p."""
    T = T0 / 1.2
    return p / (R * T) * float(np.sqrt(GAMMA * R * T))


def mach(parts: PassageParts, found: Any, flux: float) -> Any:
    """Mach number at the tube's faces."""
    faces = parts.resolution.tube_cells + 1
    return flux * np.sqrt(R * found["T"][:faces] / GAMMA) / found["p"][:faces]


def fanno_error(cells: int) -> Any:
    """Relative errors of p, T and p0 at the inlets of pipes that choke at their ends."""
    errors = []
    for M in FANNO[:, 0]:
        parts = tube(cells, 0.02, tube_length=float(forms.fanno_length(M)) * BORE / 0.02)
        flow = sonic_flux(1e5, 300.0) * size(parts, "tube_area")
        found = follow(parts, flow, room=6e4)
        assert found["chokes_inside"]
        line = forms.fanno(M)
        errors.append(
            [
                found["p"][0] / 1e5 / line.pressure - 1.0,
                found["T"][0] / 250.0 / line.temperature - 1.0,
                found["port_pressure"] / (1e5 * 1.2**3.5) / line.stagnation_pressure - 1.0,
            ]
        )
    return np.abs(np.array(errors, dtype=float).T)


def test_fanno_at_the_default_cells() -> None:
    """V9 rows, each the whole pipe from M to its sonic end, in the cells every tube has."""
    error = fanno_error(DEFAULT)
    assert error.max() < 1.1e-3
    # A tube as fitted has f L/D of 0.3 to 3: M 0.4 and above.
    assert error[:, 4:].max() < 5e-4


def test_fanno_converges_to_the_table() -> None:
    """V9 to its printed digits; to a sonic end the order is 1 to 2, for dp/dx is infinite."""
    length = forms.fanno_length(FANNO[:, 0])
    assert np.abs(length - FANNO[:, 1]).max() < 5.1e-5
    coarse, fine = (fanno_error(n) for n in (48, 96))
    order = np.log2(coarse[0] / fine[0])
    assert order.min() > 1.1 and order.max() < 2.1
    assert fine.max() < 1e-4


@pytest.mark.parametrize("length", [0.4, 3.0])
def test_fanno_order_is_two_below_sonic(length: float) -> None:
    """f L/D between the Mach numbers found at both ends is the pipe's, second order in cells."""
    flux, errors = 1e5 / (R * 300.0) * 170.0, []
    for cells in (6, 12, 24, 48):
        parts = tube(cells, 0.02, tube_length=length)
        M = mach(parts, follow(parts, flux * size(parts, "tube_area")), flux)
        span = forms.fanno_length(M[0]) - forms.fanno_length(M[-1])
        errors.append(float(span / (0.02 * length / BORE) - 1.0))
    order = np.log2(np.array(errors)[:-1] / np.array(errors)[1:])
    assert order == pytest.approx(2.0, abs=0.1)
    assert abs(errors[0]) < 2e-3


def test_fanno_to_a_sonic_end() -> None:
    """Cengel and Cimbala, example 12-15 (read in an open worked notebook).

    300 K, 150 kPa, M 0.4, 30 mm, f 0.0148 chokes after 4.68 m at 258 K, 55.6 kPa with 37.1 %
    of p0 lost.
    """
    parts = tube(96, 0.0148, **bored(0.03), tube_length=4.679)
    flux = 150e3 / (R * 300.0) * 0.4 * np.sqrt(GAMMA * R * 300.0)
    found = follow(parts, flux * size(parts, "tube_area"), 300.0 * 1.032, room=5e4)
    p, T = found["p"], found["T"]
    assert found["chokes_inside"]
    assert p[0] == pytest.approx(150e3, rel=3e-4)
    assert T[96] == near("258")
    assert p[96] == pytest.approx(55.64e3, rel=3e-4)
    assert 1.0 - p[96] * 1.2**3.5 / found["port_pressure"] == near("0.371")


def test_fanno_to_an_open_end() -> None:
    """Cengel and Cimbala, example 12-16 (read in an open worked notebook).

    85 m/s, 220 kPa, 450 K, f 0.023, 50 mm: after 27 m M2 0.42 off a chart, exact 0.4102,
    105.9 kPa, 438.8 K, 0.284 kg/s.
    """
    parts = tube(96, 0.023, **bored(0.05), tube_length=27.0)
    M1 = 85.0 / np.sqrt(GAMMA * R * 450.0)
    flow = 220e3 / (R * 450.0) * 85.0 * np.pi / 4 * 25e-4
    found = ended_at(105.9e3, parts, flow, T0=450.0 * (1.0 + 0.2 * M1**2))
    M = mach(parts, found, flow / size(parts, "tube_area"))
    assert flow == near("0.28430")
    assert found["p"][0] == pytest.approx(220e3, rel=1e-3)
    assert M[0] == pytest.approx(M1, rel=1e-3)
    assert M[-1] == pytest.approx(0.4102, rel=1e-3)
    assert found["T"][96] == pytest.approx(438.8, abs=0.1)


def test_isothermal_pipe() -> None:
    """V11: walls that hold the static temperature, by huge h and no recovery (Pr near 0).

    The speed lags the wall's grip by half a cell: an error of first order in cells.
    """
    M1, length, pressure = ISOTHERMAL.T
    assert forms.isothermal_length(M1) == pytest.approx(length, abs=5.1e-5)
    assert forms.isothermal_pressure(M1) == pytest.approx(pressure, abs=5.1e-5)
    # From M1 to about M 0.7, well short of the limit 0.845.
    gas = IdealGas(prandtl=1e-12)
    flux = 1e5 / (R * 300.0) * 0.7 * np.sqrt(GAMMA * R * 300.0)
    for start, whole in zip(M1, length, strict=True):
        span = whole - forms.isothermal_length(0.7)
        parts = tube(64, 0.02, 1e6 * gas.prandtl, gas, tube_length=span * BORE / 0.02)
        T0 = 300.0 * (1.0 + 0.2 * start**2)
        found = ended_at(1e5, parts, flux * size(parts, "tube_area"), T0=T0)
        M = flux * np.sqrt(R * 300.0 / GAMMA) / found["p"][:65]
        gone = forms.isothermal_length(M[0]) - forms.isothermal_length(M[-1])
        assert gone == pytest.approx(span, rel=2e-2)
        assert M[0] == pytest.approx(start, rel=2e-2)


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
        found = follow(parts, flow, 473.15, wall, room=2 * 101325.0)
        wall = found["seen"][:cells] + 20.0
    T0 = found["T0"][: cells + 2]
    assert flow / size(parts, "tube_area") * 0.0254 / mu == pytest.approx(14749.0, rel=2e-3)
    assert T0[-1] - T0[0] == pytest.approx(40.04, rel=3e-3)
    assert (flow * cp * (T0[-1] - T0[0])) / 3.0 == pytest.approx(103.5, rel=3e-3)
