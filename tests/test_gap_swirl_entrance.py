"""Small terms of heat: an unfed jacket's gap, the swirl's angle, a passage's entrance.

Each stands against a computation that shares no formula with the package: a radiosity network,
a quadrature of the published swirl, a library's law of the entry.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import ht
import numpy as np
import pytest
from sample import JACKET, MACHINE, IdealAir, network_of, single
from scipy.integrate import quad
from scipy.optimize import brentq
from test_march import follow, sizes

from jacketcalc.components import passage_cells as pc
from jacketcalc.components.barrel_wall import build_grid
from jacketcalc.components.chamber_heat import Pace, stage_heat
from jacketcalc.components.stroke_grid import Resolution, instants
from jacketcalc.correlations import entrance_factor, gap_radiation
from jacketcalc.coupling.wall_loads import idle_film
from jacketcalc.gas.table import air
from jacketcalc.inputs import Exhaust

SIGMA = 5.670374419e-8


def exchanged(e1: float, e2: float, d1: float, d2: float, T1: float, T2: float) -> float:
    """Net flux of the inner of two long grey cylinders, by radiosities [W/m2].

    F12 = 1, F21 = A1/A2, F22 = 1 - F21; J = e s T4 + (1 - e) (F J), two equations.
    """
    back = d1 / d2
    M = np.array([[1.0, -(1 - e1)], [-(1 - e2) * back, 1 - (1 - e2) * (1 - back)]])
    J = np.linalg.solve(M, [e1 * SIGMA * T1**4, e2 * SIGMA * T2**4])
    return float(J[0] - J[1])


@pytest.mark.parametrize(
    ("e1", "e2", "d2"), [(0.3, 0.9, 50.0), (0.8, 0.05, 44.0), (1.0, 1.0, 41.0)]
)
def test_gap_radiates(e1: float, e2: float, d2: float) -> None:
    """Grey, diffuse, concentric: the radiosity equations, solved as they stand."""
    flux = float(gap_radiation(e1, e2, 40.0 / d2, 360.0, 300.0)) * 60.0
    assert flux == pytest.approx(exchanged(e1, e2, 40.0, d2, 360.0, 300.0), rel=1e-9)


def test_unfed_jacket_conducts_and_radiates() -> None:
    """Barrel at 360 K in a room at 293.15 K: gap, shell and film balanced by bisection.

    Still air 0.025 W/(m K); the shell's film by ht's Churchill and Chu with CoolProp's air.
    Radiation alone adds at least half of what conduction brings across the gap.
    """
    open_air = Exhaust(to="atmosphere")
    machine = replace(MACHINE, exhaust_1=open_air, exhaust_2=open_air)
    network = network_of(machine)
    grid = build_grid(network, instants(Resolution()))
    stage, shell = machine.stages[0], JACKET.shell
    surface = np.full(grid.area_out.shape, 360.0)
    found = float(idle_film(air(), network, grid, surface)[0, 0, 0])
    room = machine.room
    barrel = stage.bore + 2 * stage.wall_thickness
    inner = barrel + 2 * JACKET.gap
    outer = inner + 2 * JACKET.shell_thickness

    def given(skin: float) -> float:
        """Heat from the shell's skin to the room per length [W/m]."""
        film = (skin + room.temperature) / 2
        gas = air().thermo(np.array(film), np.array(room.pressure))
        mu, k = (float(v) for v in air().transport(np.array(film), np.array(room.pressure)))
        Gr = 9.80665 * (skin - room.temperature) / film * outer**3 * (float(gas.rho) / mu) ** 2
        free = ht.Nu_horizontal_cylinder_Churchill_Chu(mu * float(gas.h_T) / k, Gr) * k / outer
        black = SIGMA * (skin**4 - room.temperature**4)
        return np.pi * outer * (free * (skin - room.temperature) + shell.emissivity * black)

    def through(skin: float, glow: float = 1.0) -> float:
        """Heat across the gap less heat through shell and film [W/m]."""
        q = given(skin)
        inside = skin + q * np.log(outer / inner) / (2 * np.pi * shell.conductivity)
        across = 2 * np.pi * 0.025 / np.log(inner / barrel) * (360.0 - inside)
        e = stage.material.emissivity, shell.emissivity
        radiant = np.pi * barrel * exchanged(*e, barrel, inner, 360.0, inside)
        assert radiant > 0.5 * across
        return float(across + glow * radiant - q)

    skin = brentq(through, room.temperature + 2.0, 340.0, xtol=1e-9)
    want = given(skin) / (np.pi * barrel * (360.0 - room.temperature))
    assert found == pytest.approx(want, rel=2e-3)


def test_swirl_turns_with_time() -> None:
    """Mean of the published swirl^0.8 over a turn at constant speed, by quadrature.

    Adair, Qvale and Pearson 1972, eq. 15 (read in the ThermoCycle library): 2 w (1.04 + cos 2
    theta), half of it away from the head, theta the crank's angle. The piston here keeps its
    speed, so an angle taken from its place would give 27 % less; the floor of the swirl adds 1 %.
    """
    machine = single(1e5, 45e5, 32e-3)
    machine = replace(machine, models=replace(machine.models, cylinder="adair"))
    network, gas = network_of(machine), IdealAir()
    steps, omega, one = 4000, 7.0, np.ones((1, 1))
    face = float(network.stage_area[0, 0])
    volume, wetted = face * 0.06, 2 * face + np.sqrt(4 * np.pi * face) * 0.06
    period = np.pi / omega
    means = []
    for opening in (True, False):
        law: Any = [
            stage_heat(
                network, gas, Pace(omega=np.full(1, omega), piston_speed=one[0]),  # type: ignore[arg-type]
                p=1e6 * one, T=300.0 * one, thermo=gas.thermo(300.0 * one, 1e6), area=wetted * one,
                volume=volume * one, wall=300.0 * one, inflow=0.0 * one, speed=one[0],
                time=np.full(1, (i + 0.5) / steps * period), opening=np.full((1, 1), opening),
            ).coefficient[0, 0]
            for i in range(steps)
        ]  # fmt: skip
        means.append(float(np.mean(law)))
    De, rho = 6 * volume / wetted, 1e6 / (gas.GAS_CONSTANT * 300.0)
    k = gas.viscosity * gas.cp / gas.prandtl

    def h(theta: float) -> float:
        swirl = 2 * omega * (1.04 + np.cos(2 * theta)) * (1.0 if theta < np.pi / 2 else 0.5)
        Re = rho * De * (De * swirl / 2) / gas.viscosity
        return float(0.053 * Re**0.8 * gas.prandtl**0.6 * k / De)

    want = quad(h, 0.0, np.pi, points=[np.pi / 2], limit=200)[0] / np.pi
    assert means[0] == pytest.approx(means[1], rel=1e-9)
    assert means[0] == pytest.approx(want, rel=0.02)
    assert means[0] > want


@pytest.mark.parametrize("slenderness", [1.0, 10.0, 50.0, 350.0])
def test_entrance_is_hausens(slenderness: float) -> None:
    """ht 1.2.0, turbulent_entry_Hausen: a duct of L/D over an endless one; 7.4 % at 50."""
    law = ht.conv_internal.turbulent_entry_Hausen
    want = law(1e5, 0.7, 0.01, 0.01 * slenderness) / law(1e5, 0.7, 0.01, 1e12)
    assert float(entrance_factor(0.01, 0.01 * slenderness)) == pytest.approx(want, rel=1e-6)
    assert float(entrance_factor(0.01, 0.0)) == 2.0


def test_channel_and_tube_have_an_entrance(monkeypatch: pytest.MonkeyPatch) -> None:
    """The march's coefficients are the long passage's x ht's factor on the developed length."""
    monkeypatch.setattr(pc, "property_ratio", lambda T, wall, Re: 1.0)
    g = sizes(MACHINE)
    ones = sizes(MACHINE, entrance=1.0, tube_entrance=1.0)
    found, endless = (
        follow(IdealAir(), one, 20e-3, 250.0, 285.0, barrel=330.0) for one in (g, ones)
    )
    law = ht.conv_internal.turbulent_entry_Hausen

    def gain(D: float, L: float) -> float:
        return float(law(1e5, 0.7, D, L) / law(1e5, 0.7, D, 1e12))

    stage = MACHINE.stages[1]
    jacket = stage.jacket
    assert jacket is not None
    lead, round_it = (
        jacket.pitch * jacket.starts,
        np.pi * (stage.bore + 2 * stage.wall_thickness + jacket.gap),
    )
    length = jacket.wound_length / lead * np.hypot(lead, round_it)
    ratio = found.coefficient / endless.coefficient
    assert float(found.reynolds.min()) > 1e4
    assert ratio[0].item() == pytest.approx(gain(g.hydraulic_diameter.item(), length), rel=1e-3)
    tube = found.outer_conductance[: pc.TUBE_CELLS] / endless.outer_conductance[: pc.TUBE_CELLS]
    want = gain(g.tube_bore.item(), g.tube_length.item())
    assert tube[0].item() == pytest.approx(want, rel=1e-3)
