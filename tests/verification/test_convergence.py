"""Observed order of the numerical schemes against exact solutions, by Richardson.

Grid convergence index after ASME V&V 20 practice (from memory), safety factor 1.25.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from jacketcalc.core.layout import blank
from jacketcalc.core.parts import balance_walls
from jacketcalc.core.resolution import Resolution
from jacketcalc.designs import Design
from jacketcalc.flow import closed_forms as forms
from jacketcalc.gas import air
from jacketcalc.verification.grid_convergence import Convergence, grid_convergence
from jacketcalc.verification.machines import bench_machine
from jacketcalc.verification.quantities.compressors import run_compressor
from jacketcalc.verification.quantities.ducts import marched_port_pressure


def test_richardson_knows_a_second_order_scheme() -> None:
    """Exact: 1 + h^2 at h 0.4, 0.2, 0.1."""
    found = grid_convergence([1.16, 1.04, 1.01])
    assert found.order == pytest.approx(2.0)
    assert found.extrapolated == pytest.approx(1.0)
    assert found.error == pytest.approx(0.04)
    assert found.index == pytest.approx(1.25 * 0.04 / 1.01)


@pytest.mark.parametrize(
    ("values", "note"),
    [([1.0, 1.0, 1.0], "settled"), ([1.0, 1.1, 1.0], "oscillates"), ([1.0, 1.1, 1.3], "grows")],
)
def test_richardson_says_when_it_cannot(values: list[float], note: str) -> None:
    found = grid_convergence(values)
    assert found.note == note
    assert found.order == 0.0


def marched(*case: float) -> Convergence:
    cuts = [Resolution(tube_cells=cells) for cells in (6, 12, 24)]
    return grid_convergence([marched_port_pressure(*case, resolution=cut) for cut in cuts])


def test_march_of_an_open_pipe() -> None:
    """Fanno, Mach 0.2 to 0.41 (Cengel and Cimbala's duct, ends exact)."""
    found = marched(0.28430, 453.6, 105.9e3, 0.05, 27.0, 0.023)
    assert found.order > 1.7
    assert found.error < 3e-5
    M1 = 85.0 / np.sqrt(1.4 * 287.0 * 450.0)
    exact = 220e3 * (1.0 + 0.2 * M1**2) ** 3.5
    assert found.extrapolated == pytest.approx(exact, rel=1e-3)


def test_march_of_a_choked_pipe() -> None:
    """Fanno, Mach 0.4 to 1: pressure falls without bound of slope at the end."""
    found = marched(0.17102, 309.6, 50e3, 0.03, 4.68, 0.0148)
    assert found.order > 1.3
    assert found.error < 4e-4
    exact = 150e3 / float(forms.stagnation_temperature_ratio(0.4)) ** -3.5
    assert found.extrapolated == pytest.approx(exact, rel=1e-3)


def isothermal_work(p1: float, p2: float, T: float) -> float:
    """Exact: the integral of v dp at constant temperature, real air [J/kg]."""
    x, weight = np.polynomial.legendre.leggauss(24)
    p = p1 * (p2 / p1) ** (0.5 * (x + 1.0))
    volume = 1.0 / air().thermo(np.full_like(p, T), p).rho
    return float(0.5 * np.log(p2 / p1) * np.sum(weight * p * volume))


def adiabatic_work(p1: float, p2: float, T1: float) -> float:
    """Exact: rise of enthalpy along dh = v dp, real air, by 200 Runge-Kutta steps [J/kg]."""
    table = air()
    start = h = float(table.thermo(T1, p1).h)
    steps = np.geomspace(p1, p2, 201)

    def volume(h: float, p: float) -> float:
        return 1.0 / float(table.thermo(table.temperature_from_enthalpy(h, p), p).rho)

    for low, high in pairwise(steps):
        d, middle = high - low, 0.5 * (low + high)
        a = volume(h, low)
        b = volume(h + 0.5 * d * a, middle)
        c = volume(h + 0.5 * d * b, middle)
        e = volume(h + d * c, high)
        h += d * (a + 2 * b + 2 * c + e) / 6.0
    return h - start


@pytest.mark.parametrize("held", [True, False])
def test_stroke_steps(held: bool) -> None:
    """Work of an ideal compressor, 1 to 9 bar: isothermal and isentropic, exact for real air."""
    values = []
    for travel in (24, 48, 96):
        steps = Resolution(travel=travel, settled=1e-6)
        cycle = run_compressor(1e5, 300.0, 9e5, 0.05, 0.0, held, resolution=steps)
        values.append(cycle.work[0] / cycle.drawn[0])
    exact = isothermal_work(1e5, 9e5, 300.0) if held else adiabatic_work(1e5, 9e5, 300.0)
    errors = [abs(value / exact - 1.0) for value in values]
    assert errors[1] < 1.5e-3
    # Below 2e-4 it is the valves' remaining resistance that shows, whatever the steps.
    assert errors[2] < max(0.6 * errors[0], 2e-4)


def fin_end(rings: int) -> tuple[float, float]:
    """Solve a barrel as a fin: held hot at its flange, cooled outside, closed at its head."""
    machine = bench_machine()
    stage = replace(machine.stages[0], flange_conductance=1e9, piston_length=0.0)
    stage = replace(stage, material=replace(stage.material, conductivity=50.0))
    h, ambient, hot = 40.0, 300.0, 400.0
    outside = np.pi * (stage.bore + 2 * stage.wall_thickness) * stage.barrel_length / rings
    barrel = blank("Barrel")
    barrel["air"][:rings], barrel["air_pull"][:rings] = h * outside, h * outside * ambient
    barrel["crown_gas"], barrel["crown_pull"] = 1.0, ambient
    design = Design(machine=replace(machine, stages=(stage,)))
    walls = balance_walls(design, 0, barrel, hot, Resolution(rings=rings))
    # The radial resistance outside stands in series with h.
    surface = np.pi * (stage.bore + 2 * stage.wall_thickness)
    radial = np.log((stage.bore + 2 * stage.wall_thickness) / (stage.bore + stage.wall_thickness))
    U = 1.0 / (1.0 / (h * surface) + radial / (2 * np.pi * 50.0))
    section = np.pi / 4 * ((stage.bore + 2 * stage.wall_thickness) ** 2 - stage.bore**2)
    m = np.sqrt(U / (50.0 * section))
    exact = ambient + (hot - ambient) / np.cosh(m * stage.barrel_length)
    return float(walls["head"]), float(exact)


def test_rings() -> None:
    """Exact: a fin with a closed end, hot - ambient over cosh(mL)."""
    ends = [fin_end(rings) for rings in (12, 24, 48)]
    found = grid_convergence([end for end, _ in ends])
    assert found.order == pytest.approx(2.0, abs=0.1)
    assert found.extrapolated == pytest.approx(ends[0][1], rel=1e-5)
    assert found.error < 1e-4
