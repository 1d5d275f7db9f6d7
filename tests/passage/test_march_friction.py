"""The core's march against pipe flow with friction: Fanno's line and isothermal pipes."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from ideal_gas import IdealGas
from lone_tube import DEFAULT, GAMMA, R, bored, mach, tube
from passage_bench import ended_at, follow, size
from printed import near
from sample import TUBE

from jacketcalc.flow import closed_forms as forms

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
BORE = TUBE.bore


def sonic_flux(p: float, T0: float) -> float:
    """Mass flux at M 1, static pressure p."""
    T = T0 / 1.2
    return p / (R * T) * float(np.sqrt(GAMMA * R * T))


def fanno_error(cells: int) -> Any:
    """Relative errors of p, T and p0 at the inlets of pipes that choke at their ends."""
    errors = []
    for M in FANNO[:, 0]:
        parts = tube(cells, 0.02, tube_length=float(forms.fanno_length(M)) * BORE / 0.02)
        flow = sonic_flux(1e5, 300.0) * size(parts, "tube_area")
        found = follow(parts, flow, ambient=6e4)
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
    found = follow(parts, flux * size(parts, "tube_area"), 300.0 * 1.032, ambient=5e4)
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
