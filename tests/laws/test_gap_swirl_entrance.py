"""Small terms of heat: an unfed jacket's gap, the swirl's angle, a passage's entrance.

Each stands against a computation that shares no formula with the package: a radiosity network,
a quadrature of the published swirl, a library's law of the entry.
"""

from __future__ import annotations

from dataclasses import replace

import ht
import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from sample import JACKET, MACHINE, run, single
from scipy.optimize import brentq

from jacketcalc.core.machine import pack_passage
from jacketcalc.core.parts import PassageParts
from jacketcalc.correlations.heat import entrance_factor
from jacketcalc.correlations.outside import gap_exchange, radiation
from jacketcalc.inputs import Exhaust
from jacketcalc.passage_geometry import passage_geometries

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
    flux = float(gap_exchange(e1, e2, 40.0 / d2) * radiation(1.0, 360.0, 300.0)) * 60.0
    assert flux == pytest.approx(exchanged(e1, e2, 40.0, d2, 360.0, 300.0), rel=1e-9)


def test_unfed_jacket_conducts_and_radiates() -> None:
    """What a solved ring under an unfed jacket gives to the surroundings, balanced by bisection.

    Still air 0.025 W/(m K); the shell's film by ht's Churchill and Chu with CoolProp's air.
    Radiation alone adds at least half of what conduction brings across the gap.
    """
    open_air = Exhaust(to="atmosphere")
    machine = replace(MACHINE, exhaust_1=open_air, exhaust_2=open_air)
    solved = run([machine], 0.5).solutions[0]
    stage, shell, ambient = machine.stages[0], JACKET.shell, machine.ambient
    ring = solved.rings // 2
    walls = solved.found["barrel"][0]
    surface = float(walls["outside"][ring])
    barrel = stage.bore + 2 * stage.wall_thickness
    found = float(walls["air"][ring]) / (np.pi * barrel * stage.barrel_length / solved.rings)
    inner = barrel + 2 * JACKET.gap
    outer = inner + 2 * JACKET.shell_thickness

    def given(skin: float) -> float:
        """Heat from the shell's skin to the surroundings per length [W/m]."""
        at = ("T", (skin + ambient.temperature) / 2, "P", ambient.pressure, "Air")
        mu, k, rho, cp = (PropsSI(name, *at) for name in ("V", "L", "D", "C"))
        Gr = 9.80665 * (skin - ambient.temperature) / at[1] * outer**3 * (rho / mu) ** 2
        free = ht.Nu_horizontal_cylinder_Churchill_Chu(mu * cp / k, Gr) * k / outer
        black = SIGMA * (skin**4 - ambient.temperature**4)
        return float(
            np.pi * outer * (free * (skin - ambient.temperature) + shell.emissivity * black)
        )

    def spare(skin: float) -> float:
        """Heat across the gap less heat through shell and film [W/m]."""
        q = given(skin)
        inside = skin + q * np.log(outer / inner) / (2 * np.pi * shell.conductivity)
        across = 2 * np.pi * 0.025 / np.log(inner / barrel) * (surface - inside)
        e = stage.material.emissivity, shell.emissivity
        radiant = np.pi * barrel * exchanged(*e, barrel, inner, surface, inside)
        assert radiant / across > 0.5
        return float(across + radiant - q)

    skin = brentq(spare, ambient.temperature + 1.0, surface - 1.0, xtol=1e-9)
    want = given(skin) / (np.pi * barrel * (surface - ambient.temperature))
    assert surface > ambient.temperature + 20.0
    assert found == pytest.approx(want, rel=5e-3)


def test_swirl_turns_with_time() -> None:
    """Mean coefficient of both strokes of a solved stage, by the published swirl at each instant.

    Adair, Qvale and Pearson 1972, eq. 15 (read in the ThermoCycle library): 2 w (1.04 + cos 2
    theta), half of it away from the head, theta = w t the crank's angle; 0.053 Re^0.8 Pr^0.6 on
    6 V/A, properties of CoolProp. The floor of the swirl adds 2 %. An angle taken from the
    piston's place would give a quarter less.
    """
    machine = single(8e5, 40e5, 32e-3)
    machine = replace(machine, models=replace(machine.models, cylinder="adair"))
    solved = run([machine], 0.5)
    solution, omega = solved.solutions[0], 2 * np.pi * solved.outcomes[0].cycle_rate
    chamber, stage = solution.numbering.stages[0], machine.stages[0]
    face, around = np.pi / 4 * stage.bore**2, np.pi * stage.bore
    sums = np.zeros(3)
    for number, stroke in enumerate(solution.found["stroke"][:2], 1):
        n = int(stroke["instants"])
        dt, T, p, V = (
            stroke["dt"][:n], stroke["T"][:n, chamber], stroke["p"][:n, chamber],
            stroke["volume"][:n, chamber],
        )  # fmt: skip
        wetted = 2 * face + around * V / face
        h = stroke["conductance"][:n, chamber] / wetted
        turned = np.minimum(omega * (np.cumsum(dt) - 0.5 * dt), np.pi)
        place = np.arccos(1.0 - 2.0 * stroke["place"][:n] / machine.drive.stroke)
        mu, k, rho, cp = (PropsSI(name, "T", T, "P", p, "Air") for name in ("V", "L", "D", "C"))
        De = 6 * V / wetted

        def law(theta: np.ndarray) -> float:
            theta = np.pi - theta if number == stage.compresses_on else theta  # noqa: B023
            swirl = 2 * omega * (1.04 + np.cos(2 * theta)) * np.where(np.cos(theta) > 0, 1.0, 0.5)
            Re = rho * De * (De * swirl / 2) / mu  # noqa: B023
            each = 0.053 * Re**0.8 * (mu * cp / k) ** 0.6 * k / De  # noqa: B023
            return float((each * dt).sum())  # noqa: B023

        sums += float((h * dt).sum()), law(turned), law(place)
    found, timed, placed = sums
    assert found == pytest.approx(timed, rel=0.03)
    assert placed < 0.9 * timed


@pytest.mark.parametrize("slenderness", [1.0, 10.0, 50.0, 350.0])
def test_entrance_is_hausens(slenderness: float) -> None:
    """ht 1.2.0, turbulent_entry_Hausen: a duct of L/D over an endless one; 7.4 % at 50."""
    law = ht.conv_internal.turbulent_entry_Hausen
    want = law(1e5, 0.7, 0.01, 0.01 * slenderness) / law(1e5, 0.7, 0.01, 1e12)
    assert float(entrance_factor(0.01, 0.01 * slenderness)) == pytest.approx(want, rel=1e-6)
    assert float(entrance_factor(0.01, 0.0)) == 2.0


def test_channel_and_tube_have_an_entrance() -> None:
    """The march's coefficients are the long passage's x ht's factor on the developed length."""
    stage = MACHINE.stages[1]
    jacket, tube = stage.jacket, MACHINE.exhaust_1.tube
    assert jacket is not None and tube is not None
    parts = PassageParts(MACHINE)
    walls = parts.walls(250.0, 250.0)
    found = parts.march(20e-3, 250.0, walls)
    g = passage_geometries(MACHINE)[0]
    long = replace(g, entrance=1.0, tube_entrance=1.0)
    parts.record["passage"][0] = pack_passage(long, "nominal")
    endless = parts.march(20e-3, 250.0, walls)
    law = ht.conv_internal.turbulent_entry_Hausen

    def gain(D: float, L: float) -> float:
        return float(law(1e5, 0.7, D, L) / law(1e5, 0.7, D, 1e12))

    lead = jacket.pitch * jacket.starts
    around = np.pi * (stage.bore + 2 * stage.wall_thickness + jacket.gap)
    length = jacket.length / lead * np.hypot(lead, around)
    width = (jacket.pitch - jacket.rib) * around / np.hypot(lead, around)
    Dh = 2 * jacket.gap * width / (jacket.gap + width)
    assert float(found["reynolds"][0]) > 1e4
    ratio = float(found["coefficient"][0] / endless["coefficient"][0])
    assert ratio == pytest.approx(gain(Dh, length), rel=1e-3)
    ratio = float(found["outer"][0] / endless["outer"][0])
    assert ratio == pytest.approx(gain(tube.bore, tube.length), rel=1e-3)
